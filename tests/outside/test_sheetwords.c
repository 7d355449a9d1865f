/* The words of a whole test sheet.  Whoever reads the rows of a page by the
 * rules that it says at its beginning must come to what each step expects;
 * every word comes from the table or from the user's texts; the German sheet
 * has the form of the English one and no English word of ours. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

#include <cmocka.h>

#include "base/arena.h"
#include "base/text.h"
#include "present/byhandwords.h"
#include "present/sheetphrases.h"
#include "present/sheetsteps.h"
#include "present/testsheetwords.h"
#include "present/wordtable.h"
#include "source/source.h"
#include "study/load.h"
#include "study/testsheet.h"
#include "tests/support/checked.h"

static struct loaded *loaded; /* the tailgate */
static const struct testsheet *tailgate;

/* A machine with a valve that is open at rest, a lamp that may be either, of
 * two horns now one and now the other that may, a speed, a selector, a stop that does not latch and a button that does, and a
 * requirement of each form whose trigger is told in words of ours; none of its
 * own words is one of the table. */
static const char zq_control[] =
    "PROGRAM Zq\n"
    "VAR_INPUT zqgo AT %IX0.0 : BOOL; zqhalt AT %IX0.1 : BOOL;\n"
    "  zqkeep AT %IX0.2 : BOOL; zqopen AT %IX0.3 : BOOL;\n"
    "  zqway AT %IW1 : INT (0..2); END_VAR\n"
    "VAR_OUTPUT zqvent AT %QX0.0 : BOOL; zqrun AT %QX0.1 : BOOL;\n"
    "  zqlamp AT %QX0.2 : BOOL; zqhorn AT %QX0.3 : BOOL;\n"
    "  zqbell AT %QX0.4 : BOOL; zqspeed AT %QW1 : INT (0..9); END_VAR\n"
    "VAR zqmemory : BOOL; END_VAR\n"
    "IF zqhalt THEN zqmemory := FALSE; ELSIF zqgo THEN zqmemory := TRUE;\n"
    "END_IF;\n"
    "zqrun := zqmemory AND zqkeep AND zqway > 0;\n"
    "zqvent := NOT zqrun;\n"
    "zqlamp := zqopen;\n"
    "zqhorn := zqopen AND zqrun;\n"
    "zqbell := zqopen AND NOT zqrun;\n"
    "zqspeed := SEL(zqrun, 0, zqway * 2);\n"
    "END_PROGRAM\n";
static const char zq_review[] =
    "REVIEW Zq 'zqzq'\n  SCAN T#100ms;\n  CONTROLS\n"
    "    zqgo : BUTTON 'zqstart' AT 'zqplace';\n"
    "    zqhalt : STOP 'zqstopper' AT 'zqplace' CONTACTS CLOSING;\n"
    "    zqkeep : BUTTON 'zqkeeper' AT 'zqother' LATCHING;\n"
    "    zqway : NUMBER (0 .. 2) 'zqlever';\n"
    "    zqvent : VALVE 'zqventing';\n    zqrun : MOTOR 'zqrunning';\n"
    "    zqlamp : LAMP 'zqlight' AT 'zqplace';\n"
    "    zqhorn : HORN 'zqsound';\n    zqbell : HORN 'zqring';\n"
    "    zqspeed : VALVE 'zqspeeding';\n"
    "  END_CONTROLS\n  REQUIREMENTS\n"
    "    Zq1 'zqa' : NEVER zqrun AND zqlamp AND PRESSED zqhalt;\n"
    "    Zq2 'zqb' : zqrun AT LEAST T#50ms;\n"
    "    Zq3 'zqc' : NEVER zqrun BY ITSELF, STARTED BY zqgo;\n"
    "  END_REQUIREMENTS\nEND_REVIEW\n";

static struct checked zq;
static const struct testsheet *zq_sheet;

static const struct testsheet *study(struct arena *arena,
                                     const struct model *model,
                                     struct diags *diags)
{
    const struct testsheet_setting setting = {0};
    const struct testsheet *sheet =
        testsheet_study(arena, model, &setting, diags);

    assert_non_null(sheet);
    assert_null(sheet->internal_error);
    assert_int_equal(sheet->end, EXPLORE_COMPLETE);
    return sheet;
}

static int make(void **state)
{
    const struct load_request request = {
        .path = "models/tailgate/tailgate.review"};

    (void)state;
    loaded = load_run(&request);
    assert_non_null(loaded->model);
    tailgate = study(loaded->arena, loaded->model, loaded->diags);
    checked_init(&zq, zq_control, zq_review);
    assert_non_null(zq.model);
    zq_sheet = study(zq.arena, zq.model, zq.diags);
    return 0;
}

static int release(void **state)
{
    (void)state;
    loaded_free(loaded);
    checked_release(&zq);
    return 0;
}

static struct byhand_view view_of(const struct testsheet *sheet,
                                  const char *language)
{
    bool own = sheet == zq_sheet;

    return (struct byhand_view){
        sheet, own ? zq.sources : loaded->sources,
        wordtable_language(own ? zq.arena : loaded->arena,
                           sheetphrases_table(), language)};
}

/* ---- a reader of rows ---- */

/* What somebody takes an actuator to be. */
enum taken { OFF, ON, EITHER };

struct reader {
    const struct testsheet *sheet;
    const bool *rest;
    enum taken taken[64], before[64];
    int64_t value[64];
    bool named[64];
};

static uint32_t find_title(const struct model *model, const char *at,
                           size_t n)
{
    for (uint32_t i = 0; i < model->n_actuators; i++)
        if (strlen(model->actuators[i].title) == n &&
            memcmp(model->actuators[i].title, at, n) == 0)
            return i;
    fail_msg("no actuator: %.*s", (int)n, at);
    return 0;
}

static void take_list(struct reader *r, const char *at, enum taken as)
{
    while (*at != '\0') {
        const char *comma = strstr(at, ", ");
        size_t n = comma == NULL ? strlen(at) : (size_t)(comma - at);
        uint32_t i = find_title(r->sheet->model, at, n);

        assert_false(r->named[i]);
        r->named[i] = true;
        r->taken[i] = as;
        at += n + (comma != NULL ? 2 : 0);
    }
}

static bool begins(const char *line, const char *with)
{
    return strncmp(line, with, strlen(with)) == 0;
}

static void take_line(struct reader *r, const char *line)
{
    static const struct {
        const char *label;
        enum taken as;
    } labels[] = {{"ON: ", ON}, {"still ON: ", ON}, {"OFF: ", OFF},
                  {"still OFF: ", OFF}};

    for (size_t i = 0; i < sizeof labels / sizeof *labels; i++)
        if (begins(line, labels[i].label)) {
            take_list(r, line + strlen(labels[i].label), labels[i].as);
            return;
        }
    if (strcmp(line, "not judged: the same as before") == 0) {
        for (uint32_t i = 0; i < r->sheet->model->n_actuators; i++)
            if (r->before[i] == EITHER)
                r->taken[i] = EITHER;
    } else if (begins(line, "not judged: ")) {
        take_list(r, line + strlen("not judged: "), EITHER);
    } else if (begins(line, "zqspeeding: ")) {
        uint32_t i = find_title(r->sheet->model, line, strlen("zqspeeding"));

        r->named[i] = true;
        r->value[i] = strtoll(line + strlen("zqspeeding: "), NULL, 10);
    } else {
        assert_true(strcmp(line, "all OFF") == 0 ||
                    strcmp(line, "all as at rest") == 0);
    }
}

/* Lines that say what changed must not name what is as it was. */
static void take_lines(struct reader *r, const struct text *lines)
{
    char line[1024];

    for (const char *at = text_str(lines); *at != '\0';) {
        size_t n = strcspn(at, "\n");

        assert_in_range(n, 1, sizeof line - 1);
        memcpy(line, at, n);
        line[n] = '\0';
        take_line(r, line);
        at += n + 1;
    }
}

static void meets(const struct reader *r,
                           const struct hand_step *step)
{
    const struct model *model = r->sheet->model;

    for (uint32_t i = 0; i < model->n_actuators; i++) {
        const struct hand_expected *what = &step->expected[i];

        if (model->actuators[i].type->kind != TYPE_BOOL) {
            assert_int_equal(r->taken[i] == EITHER, !what->sure);
            assert_true(!what->sure || r->value[i] == what->value);
            continue;
        }
        if (r->taken[i] != (!what->sure ? EITHER : what->value != 0 ? ON : OFF))
            fail_msg("%s", model->actuators[i].title);
    }
}

static void read_step(struct reader *r, const struct byhand_view *view,
                      const struct sheetsteps_at *at)
{
    const struct model *model = r->sheet->model;
    struct text changed = {0}, still = {0};

    sheetsteps_must(&changed, &still, view, at);
    assert_true(changed.n + still.n > 0);
    memcpy(r->before, r->taken, sizeof r->before);
    memset(r->named, 0, sizeof r->named);
    memset(r->value, 0, sizeof r->value);
    for (uint32_t i = 0; i < model->n_actuators; i++)
        r->taken[i] = r->rest[i] ? ON : OFF;
    take_lines(r, &changed);
    if (strncmp(text_str(&changed), "all", 3) != 0)
        for (uint32_t i = 0; at->step > 0 && i < model->n_actuators; i++)
            if (r->named[i] && r->sheet->model->actuators[i].type->kind ==
                                   TYPE_BOOL)
                assert_int_not_equal(r->taken[i], r->before[i]);
    take_lines(r, &still);
    meets(r, &at->sequence->steps[at->step]);
    text_release(&changed);
    text_release(&still);
}

/* Steps read. */
static unsigned read_sheet(const struct testsheet *sheet)
{
    struct arena *arena = arena_new();
    const struct byhand_view view = view_of(sheet, "en");
    struct reader reader = {.sheet = sheet,
                            .rest = sheetsteps_rest(arena, sheet)};
    unsigned n = 0;

    assert_in_range(sheet->model->n_actuators, 1, 64);
    for (uint32_t s = 0; s < sheet->n_sequences; s++) {
        struct sheetsteps_at at = {&sheet->sequences[s], 0, reader.rest};

        for (; at.step < at.sequence->n_steps; at.step++, n++)
            read_step(&reader, &view, &at);
    }
    arena_free(arena);
    return n;
}

static void rows_say_what_is_expected(void **state)
{
    (void)state;
    assert_in_range(read_sheet(tailgate), 50, 1000);
    assert_in_range(read_sheet(zq_sheet), 5, 1000);
}

/* ---- while the supply is off ---- */

/* Whoever reads what is to be done knows whether the supply goes, and every
 * control that is then moved. */
static void is_done_in_the_dark(const char *words, const struct model *model,
                                const struct hand_step *step)
{
    static const char off[] = "supply off, ", on[] = ", after 5 s supply on";
    size_t n = strlen(words);

    assert_int_equal(strncmp(words, off, strlen(off)) == 0, step->power);
    assert_int_equal(strstr(words, "supply on") != NULL, step->power);
    if (!step->power)
        return;
    assert_true(n > strlen(on) &&
                strncmp(words + n - strlen(on), on, strlen(on)) == 0);
    assert_true(step->n_changes > 0);
    for (uint32_t i = 0; i < step->n_changes; i++)
        assert_non_null(strstr(
            words, model->controls[step->changes[i].control].title));
}

/* In a row and in a line of the CSV. */
static void supply_goes_where_it_says(void **state)
{
    const struct byhand_view view = view_of(tailgate, "en");
    struct text row = {0}, line = {0};
    unsigned dark = 0;

    (void)state;
    for (uint32_t s = 0; s < tailgate->n_sequences; s++)
        for (uint32_t k = 0; k < tailgate->sequences[s].n_steps; k++) {
            const struct hand_step *step = &tailgate->sequences[s].steps[k];

            sheetsteps_do(&row, &view, step);
            byhandwords_do(&line, &view, step);
            is_done_in_the_dark(text_str(&row), tailgate->model, step);
            is_done_in_the_dark(text_str(&line), tailgate->model, step);
            dark += step->power;
            text_clear(&row);
            text_clear(&line);
        }
    assert_in_range(dark, 4, 100);
    text_release(&row);
    text_release(&line);
}

/* The valve is on at rest, and the lamp is not judged, of this one machine;
 * of the tailgate nothing is on at rest. */
static void what_is_on_at_rest(void **state)
{
    struct arena *arena = arena_new();
    struct text words = {0};

    (void)state;
    sheetsteps_rest_words(&words, zq_sheet, sheetsteps_rest(arena, zq_sheet));
    assert_string_equal(text_str(&words), "zqventing");
    text_clear(&words);
    sheetsteps_rest_words(&words, tailgate, sheetsteps_rest(arena, tailgate));
    assert_string_equal(text_str(&words), "");
    text_release(&words);
    arena_free(arena);
}

/* ---- where words come from ---- */

static void print(struct text *out, const struct byhand_view *view,
                  const char *form)
{
    if (strcmp(form, "csv") == 0)
        testsheetwords_csv(out, view);
    else
        testsheetwords_add(out, view, strcmp(form, "page") == 0);
}

/* A table that has no letter: only marks, and its gaps. */
static void without_letters(struct arena *arena, struct words *words)
{
    const struct wordtable *table = sheetphrases_table();
    struct text own = {0};

    for (size_t i = 0; i < table->n; i++) {
        text_printf(&own, "%s = #", table->rows[i].key);
        for (const char *at = table->rows[i].en;
             (at = strstr(at, "{}")) != NULL; at += 2)
            text_add(&own, " {} #");
        text_add(&own, "\n");
    }
    assert_null(wordtable_read(arena, words, text_str(&own), own.n));
    text_release(&own);
}

static bool is_letter(char c)
{
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || c == '_' ||
           (unsigned char)c >= 0x80;
}

static bool is_in_word(char c)
{
    return is_letter(c) || (c >= '0' && c <= '9');
}

/* The next word of letters and digits that begins with a letter, tags and
 * escaped signs left out; n: 0 where there is none. */
static const char *next_word(const char *at, size_t *n)
{
    for (*n = 0; *at != '\0'; at++) {
        if (*at == '<' && (is_letter(at[1]) || at[1] == '/'))
            at += strcspn(at, ">");
        else if (*at == '&' && is_letter(at[1]))
            at += strcspn(at, ";");
        else if (is_letter(*at))
            break;
        while (is_in_word(*at) && is_in_word(at[1]))
            at++; /* of what begins with a digit */
    }
    while (is_in_word(at[*n]))
        ++*n;
    return at;
}

static bool has_word(const char *in, const char *word, size_t n)
{
    size_t length;

    for (const char *at = next_word(in, &length); length > 0;
         at = next_word(at + length, &length))
        if (length == n && strncasecmp(at, word, n) == 0)
            return true;
    return false;
}

static bool is_station(const char *word, size_t n)
{
    return n == 1 && word[0] >= 'A' && word[0] <= 'Z';
}

/* What the user wrote, or words of the language in it. */
static bool is_users(const struct byhand_view *view, const char *word,
                     size_t n)
{
    if (is_station(word, n))
        return true;
    for (uint32_t f = 1; f <= sources_count(view->sources); f++) {
        size_t length;
        const char *text = sources_text(view->sources, f, &length);

        if (has_word(text, word, n) ||
            has_word(sources_path(view->sources, f), word, n))
            return true;
    }
    return false;
}

/* The sheet without what is not for people: the style, and lines of the CSV
 * above the steps, which are names. */
static const char *body_of(const struct text *sheet, const char *form)
{
    const char *at = text_str(sheet);

    if (strcmp(form, "page") == 0)
        at = strstr(at, "<body>");
    if (strcmp(form, "csv") == 0)
        at = strstr(at, "remark\r\n") + 8;
    return at;
}

static bool is_digest(const char *word, size_t n)
{
    return n > 6 && strspn(word, "0123456789abcdef") >= n;
}

static void every_word_has_a_source(void **state)
{
    static const char *const forms[] = {"text", "page", "csv"};
    const struct testsheet *sheets[] = {zq_sheet, tailgate};

    (void)state;
    for (int k = 0; k < 6; k++) {
        struct byhand_view view = view_of(sheets[k / 3], "en");
        struct arena *arena = arena_new();
        struct words *words = wordtable_language(arena, sheetphrases_table(),
                                                 "en");
        struct text sheet = {0};
        unsigned seen = 0;
        size_t n;

        without_letters(arena, words);
        view.words = words;
        print(&sheet, &view, forms[k % 3]);
        for (const char *at = next_word(body_of(&sheet, forms[k % 3]), &n);
             n > 0; at = next_word(at + n, &n), seen++)
            if (!is_users(&view, at, n) && !is_digest(at, n))
                fail_msg("%s: %.*s", forms[k % 3], (int)n, at);
        assert_in_range(seen, 50, 1000000);
        text_release(&sheet);
        arena_free(arena);
    }
}

/* ---- in German ---- */

static unsigned count(const char *in, const char *what)
{
    unsigned n = 0;

    for (; (in = strstr(in, what)) != NULL; in += strlen(what))
        n++;
    return n;
}

/* Is it a word of an English phrase and of no German one? */
static bool is_ours_in_english(const char *word, size_t n)
{
    const struct wordtable *table = sheetphrases_table();
    bool english = false;

    for (size_t i = 0; i < table->n; i++) {
        if (has_word(table->rows[i].de, word, n))
            return false;
        english = english || has_word(table->rows[i].en, word, n);
    }
    return english;
}

/* Of the user's words those count that stand between quotes. */
static bool is_title(const struct byhand_view *view, const char *word,
                     size_t n)
{
    const struct model *model = view->sheet->model;

    for (uint32_t i = 0; i < model->n_controls; i++)
        if (has_word(model->controls[i].title, word, n) ||
            (model->controls[i].place != NULL &&
             has_word(model->controls[i].place, word, n)))
            return true;
    for (uint32_t i = 0; i < model->n_actuators; i++)
        if (has_word(model->actuators[i].title, word, n) ||
            (model->actuators[i].place != NULL &&
             has_word(model->actuators[i].place, word, n)))
            return true;
    for (uint32_t i = 0; i < model->n_assumptions; i++)
        if (model->assumptions[i].title != NULL &&
            has_word(model->assumptions[i].title, word, n))
            return true;
    for (uint32_t i = 0; i < model->n_requirements; i++)
        for (uint32_t k = 0; k < model->requirements[i].n_triggers; k++)
            if (has_word(model->requirements[i].triggers[k].words, word, n))
                return strncmp(word, "leaving", n) != 0;
    return has_word(model->title, word, n);
}

static void no_english_word_on_a_german_sheet(void **state)
{
    static const char *const forms[] = {"text", "page", "csv"};
    const struct byhand_view view = view_of(tailgate, "de");
    unsigned seen = 0;
    size_t n;

    (void)state;
    for (int k = 0; k < 3; k++) {
        struct text sheet = {0};

        print(&sheet, &view, forms[k]);
        for (const char *at = next_word(body_of(&sheet, forms[k]), &n);
             n > 0; at = next_word(at + n, &n)) {
            seen++;
            if (is_ours_in_english(at, n) && !is_station(at, n) &&
                !is_title(&view, at, n))
                fail_msg("%s: %.*s", forms[k], (int)n, at);
        }
        text_release(&sheet);
    }
    assert_in_range(seen, 1000, 1000000);
}

static void the_same_form_in_both(void **state)
{
    static const char *const parts[] = {
        "<tr", "<th scope=\"row\">", "<th scope=\"rowgroup\"", "<thead>",
        "<span role=\"img\"", "<h2>", "class=\"blank\"", "class=\"caution\"",
        "<b>", "<i>", "<td>", "class=\"further\"", "class=\"entry\""};
    struct byhand_view view = view_of(tailgate, "en");
    struct text english = {0}, german = {0};

    (void)state;
    testsheetwords_add(&english, &view, true);
    view = view_of(tailgate, "de");
    testsheetwords_add(&german, &view, true);
    for (size_t i = 0; i < sizeof parts / sizeof *parts; i++)
        assert_int_equal(count(english.at, parts[i]),
                         count(german.at, parts[i]));
    assert_int_equal(count(german.at, "<html lang=\"de\">"), 1);
    for (size_t i = 0; i < 3; i++)
        assert_int_equal(
            count(german.at, (const char *const[]){
                                 "aria-label=\"wie erwartet\"",
                                 "aria-label=\"nicht wie erwartet\"",
                                 "aria-label=\"hier nicht möglich\""}[i]),
            count(german.at, "<th scope=\"row\">"));
    text_release(&english);
    text_release(&german);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(rows_say_what_is_expected),
        cmocka_unit_test(supply_goes_where_it_says),
        cmocka_unit_test(what_is_on_at_rest),
        cmocka_unit_test(every_word_has_a_source),
        cmocka_unit_test(no_english_word_on_a_german_sheet),
        cmocka_unit_test(the_same_form_in_both),
    };

    return cmocka_run_group_tests(tests, make, release);
}
