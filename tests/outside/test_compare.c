/* Two versions of a control text side by side.
 *
 * The judge of random machines is a walk over all pairs of situations by the
 * reference interpreter alone, one machine for each version, which shares
 * nothing with the logic of both: outputs, directions and lengths must agree,
 * and as long as all that drives the machine agrees both machines must stand
 * alike. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/arena.h"
#include "base/os.h"
#include "base/text.h"
#include "reference/odometer.h"
#include "study/asks.h"
#include "study/became.h"
#include "study/compare.h"
#include "study/load.h"
#include "study/reviews.h"
#include "tests/support/checked.h"
#include "tests/support/random_review.h"

#ifdef __SANITIZE_ADDRESS__
enum { SEEDS = 60, WANTED = 4 };
#else
enum { SEEDS = 700, WANTED = 60 };
#endif

enum { MOST_PAIRS = 900, MOST_WAYS = 200000 };

/* ---- one change of a text ---- */

struct change {
    const char *was, *is;
};

static const struct change changes[] = {
    {" AND ", " OR "},  {" OR ", " AND "},  {"NOT ", ""},
    {"TRUE", "FALSE"},  {"FALSE", "TRUE"},  {" XOR ", " OR "},
    {" := ", " := NOT "}, {"200ms", "300ms"}, {" < ", " <= "}, {" + ", " - "},
};

/* Where the change can be made for the k-th time, or NULL. */
static const char *occurrence(const char *text, const char *was, unsigned k)
{
    const char *at = strstr(text, was);

    while (at != NULL && k-- > 0)
        at = strstr(at + 1, was);
    return at;
}

static bool change_text(struct text *to, const char *text, uint64_t seed)
{
    const struct change *change =
        &changes[seed % (sizeof changes / sizeof *changes)];
    const char *body = strstr(text, "END_VAR"), *at;

    if (body == NULL)
        body = text;
    at = occurrence(body, change->was, (unsigned)(seed / 7 % 5));
    if (at == NULL)
        at = strstr(body, change->was);
    if (at == NULL)
        return false;
    text_add_bytes(to, text, (size_t)(at - text));
    text_add(to, change->is);
    text_add(to, at + strlen(change->was));
    return true;
}

/* ---- the judge ---- */

struct judge {
    struct arena *arena;
    const struct comparison *found;
    struct machine *was, *is;
    uint32_t words_was, words_is;
    int64_t *pairs; /* of states, one behind the other */
    uint32_t n, level_begin;
    uint32_t *level; /* per output and direction, 0: never */
    uint32_t faults, ways;
    bool too_large, machines_differ;
};

static bool is_known(const struct judge *j, const int64_t *was,
                     const int64_t *is)
{
    uint32_t width = j->words_was + j->words_is;

    for (uint32_t i = 0; i < j->n; i++)
        if (memcmp(j->pairs + (size_t)i * width, was,
                   j->words_was * sizeof *was) == 0 &&
            memcmp(j->pairs + (size_t)i * width + j->words_was, is,
                   j->words_is * sizeof *is) == 0)
            return true;
    return false;
}

static void keep(struct judge *j, const int64_t *was, const int64_t *is)
{
    uint32_t width = j->words_was + j->words_is;
    int64_t *to = j->pairs + (size_t)j->n * width;

    if (is_known(j, was, is))
        return;
    if (j->n == MOST_PAIRS) {
        j->too_large = true;
        return;
    }
    memcpy(to, was, j->words_was * sizeof *was);
    memcpy(to + j->words_was, is, j->words_is * sizeof *is);
    j->n++;
}

/* Everything of the machine stands alike. */
static bool machines_alike(const struct judge *j, const int64_t *was,
                           const int64_t *is)
{
    const struct model *model = j->found->was.model;

    for (uint32_t i = 0; i < model->n_slots; i++) {
        struct place_id old = {PLACE_SLOT, i}, new = {PLACE_SLOT, i};

        if (model->slots[i].home != SLOT_MACHINE)
            continue;
        while (new.index > 0 &&
               strcmp(j->found->is.model->slots[new.index].path,
                      model->slots[i].path) != 0)
            new.index--;
        if (machine_place(j->was, was, old, INT64_MAX) !=
            machine_place(j->is, is, new, INT64_MAX))
            return false;
    }
    return true;
}

/* True when all that drives the machine agrees. */
static bool note(struct judge *j, const int64_t *was, const int64_t *is,
                 uint32_t level)
{
    bool agree = true;

    for (uint32_t i = 0; i < j->found->n_outputs; i++) {
        const struct twins_output *output = &j->found->outputs[i];

        if (output->actuator == MODEL_NONE || was[output->actuator] ==
                                                  is[output->actuator])
            continue;
        uint32_t *at =
            &j->level[2 * i + (was[output->actuator] > is[output->actuator])];
        if (*at == 0)
            *at = level;
        agree = agree && !output->drives;
    }
    return agree;
}

/* All ways of both through one scan, the rows that the old one reads being
 * alike. */
static void step(struct judge *j, struct odometer *was, struct odometer *is,
                 const int64_t *from, uint32_t level)
{
    const struct step_setting setting = {.fault_limit = j->faults,
                                         .whole = false};
    const struct step_result *old, *new;

    odometer_begin(was, &setting, from);
    while ((old = odometer_next(was)) != NULL && !j->too_large) {
        int64_t command[64], after[512];

        if (old->end != STEP_JUDGED)
            continue;
        memcpy(command, old->command, j->found->was.model->n_actuators *
                                          sizeof *command);
        memcpy(after, was->after, j->words_was * sizeof *after);
        odometer_begin(is, &setting,
                       from == NULL ? NULL : from + j->words_was);
        odometer_fix(is, machine_read_rows(j->was), was->choices);
        while ((new = odometer_next(is)) != NULL && !j->too_large) {
            j->too_large = j->too_large || ++j->ways > MOST_WAYS;
            if (new->end != STEP_JUDGED)
                continue;
            if (!note(j, command, new->command, level))
                continue;
            if (!machines_alike(j, after, is->after))
                j->machines_differ = true;
            keep(j, after, is->after);
        }
    }
}

static void walk(struct judge *j)
{
    struct odometer *was = odometer_new(j->arena, j->was);
    struct odometer *is = odometer_new(j->arena, j->is);
    uint32_t begin = 0, level = 1, width = j->words_was + j->words_is;

    step(j, was, is, NULL, level);
    while (begin < j->n && !j->too_large) {
        uint32_t end = j->n;

        level++;
        for (; begin < end && !j->too_large; begin++)
            step(j, was, is, j->pairs + (size_t)begin * width, level);
    }
}

static bool judge_begin(struct judge *j, struct arena *arena,
                        const struct comparison *found, uint32_t faults)
{
    *j = (struct judge){.arena = arena, .found = found, .faults = faults};
    j->was = machine_new(arena, found->was.model);
    j->is = machine_new(arena, found->is.model);
    j->words_was = machine_words(j->was);
    j->words_is = machine_words(j->is);
    j->pairs = arena_array(arena, (size_t)MOST_PAIRS *
                                      (j->words_was + j->words_is),
                           sizeof *j->pairs);
    j->level = arena_array(arena, 2 * (size_t)found->n_outputs + 1,
                           sizeof *j->level);
    return j->words_was <= 512 && found->was.model->n_actuators <= 64;
}

/* ---- random machines ---- */

struct tally {
    unsigned compared, same_read, same_review, different, with_faults;
};

static uint32_t found_level(const struct comparison *found, uint32_t output,
                            bool new_ahead, uint32_t faults)
{
    for (uint32_t i = 0; i < found->n_differences; i++)
        if (found->differences[i].output == output &&
            found->differences[i].new_ahead == new_ahead &&
            found->differences[i].faults == faults)
            return found->differences[i].level;
    return 0;
}

/* What was found without faults is not looked for with them again. */
static bool agrees(const struct comparison *found, const struct judge *judge)
{
    for (uint32_t i = 0; i < 2 * found->n_outputs; i++) {
        uint32_t level = found_level(found, i / 2, i % 2 == 0,
                                     judge->faults);

        if (judge->faults > 0 &&
            found_level(found, i / 2, i % 2 == 0, 0) != 0)
            continue;
        if (level != judge->level[i]) {
            print_message("output %s, direction %u, faults %u: %u scans, the "
                          "judge has %u\n",
                          found->outputs[i / 2].name, i % 2,
                          (unsigned)judge->faults, (unsigned)level,
                          (unsigned)judge->level[i]);
            return false;
        }
    }
    return !judge->machines_differ;
}

static bool judged(struct arena *arena, const struct comparison *found,
                   struct tally *tally)
{
    uint32_t most = found->faults;

    if (found->sameness == SAME_READ)
        most = found->was.model->n_causes > 0;
    for (uint32_t faults = 0; faults <= most; faults += most > 0 ? most : 1) {
        struct judge judge;

        if (!judge_begin(&judge, arena, found, faults))
            return true;
        walk(&judge);
        if (judge.too_large)
            return true;
        if (!agrees(found, &judge))
            return false;
        tally->with_faults += faults > 0;
    }
    tally->compared++;
    tally->same_read += found->sameness == SAME_READ;
    tally->same_review += found->sameness == SAME_REVIEW;
    tally->different += found->sameness == SAME_DIFFERENT;
    return true;
}

/* Both versions must have the same rows: a change that makes an input unread
 * is nothing for a judge who gives both the same numbers. */
static bool same_rows(const struct model *was, const struct model *is)
{
    if (was->n_choices != is->n_choices || was->n_errors > 0 ||
        is->n_errors > 0)
        return false;
    for (uint32_t i = 0; i < was->n_choices; i++)
        if (strcmp(was->choices[i].name, is->choices[i].name) != 0 ||
            was->choices[i].count != is->choices[i].count)
            return false;
    return true;
}

static bool try_pair(const struct checked *was, const struct checked *is,
                     struct tally *tally)
{
    static const struct study_setting setting = {.most_situations = 20000};
    static const struct renames none = {NULL, 0};
    const struct twins_asked asked = {
        .was = {was->model, was->sources}, .is = {is->model, is->sources},
        .renames = &none, .setting = &setting};
    struct arena *arena = arena_new();
    const struct comparison *found =
        compare_versions(arena, &asked, is->diags);
    bool good = true;

    if (found != NULL && found->internal_error != NULL) {
        print_message("%s\n", found->internal_error);
        good = false;
    } else if (found != NULL && found->refused == NULL &&
               found->sameness != SAME_NOT_KNOWN &&
               found->sameness != SAME_UNBROKEN && !found->up_to_error &&
               found->unbroken.stop == STOP_NONE &&
               found->review.stop == STOP_NONE) {
        good = judged(arena, found, tally);
    }
    arena_free(arena);
    return good;
}

static bool try_seed(uint64_t seed, struct tally *tally)
{
    struct text control = {0}, review = {0}, changed = {0};
    struct random_parts parts = {.leaning = false};
    struct checked was, is;
    bool good = true;

    random_review(seed, &control, &review, &parts);
    if (change_text(&changed, text_str(&control), seed)) {
        checked_init(&was, text_str(&control), text_str(&review));
        checked_init(&is, text_str(&changed), text_str(&review));
        if (was.model != NULL && is.model != NULL &&
            same_rows(was.model, is.model))
            good = try_pair(&was, &is, tally);
        checked_release(&was);
        checked_release(&is);
        if (!good)
            print_message("seed %u\n%s\n--- changed\n%s\n---\n%s\n",
                          (unsigned)seed, text_str(&control),
                          text_str(&changed), text_str(&review));
    }
    text_release(&control);
    text_release(&review);
    text_release(&changed);
    return good;
}

static void test_random(void **unused)
{
    struct tally tally = {0};

    (void)unused;
    for (uint64_t seed = 1; seed <= SEEDS; seed++)
        assert_true(try_seed(seed, &tally));
    print_message("%u pairs compared: %u the same for what is read, %u under "
                  "the review, %u different, %u walks with faults\n",
                  tally.compared, tally.same_read, tally.same_review,
                  tally.different, tally.with_faults);
    assert_true(tally.compared >= WANTED);
    assert_true(tally.different > 0 && tally.same_read > 0);
#ifndef __SANITIZE_ADDRESS__
    assert_true(tally.same_review > 0 && tally.with_faults > 0);
#endif
}

/* ---- the machines of models/ ---- */

struct two {
    struct loaded *was, *is;
    struct arena *arena;
    const struct comparison *found;
};

static struct loaded *load(const char *review, const char *control)
{
    const struct load_request request = {.path = review, .control = control};
    struct loaded *loaded = load_run(&request);

    if (loaded->model == NULL)
        print_error("%s with %s does not read\n", review,
                    control == NULL ? "its own text" : control);
    assert_non_null(loaded->model);
    return loaded;
}

static void put_side_by_side(struct two *two, const char *review,
                             const char *control, bool quick)
{
    static const struct renames none = {NULL, 0};
    const struct study_setting setting = {.quick = quick};

    two->arena = arena_new();
    two->was = load(review, NULL);
    two->is = load(review, control);
    const struct twins_asked asked = {
        .was = {two->was->model, two->was->sources},
        .is = {two->is->model, two->is->sources},
        .renames = &none, .setting = &setting};
    two->found = compare_versions(two->arena, &asked, two->is->diags);
    assert_non_null(two->found);
    assert_null(two->found->refused);
    if (two->found->internal_error != NULL)
        print_error("%s: %s\n", control, two->found->internal_error);
    assert_null(two->found->internal_error);
}

static void release(struct two *two)
{
    arena_free(two->arena);
    loaded_free(two->was);
    loaded_free(two->is);
}

static const char tailgate[] = "models/tailgate/tailgate.review";

/* The differences as lines of a table. */
static void add_lines(struct text *to, const char *name,
                      const struct comparison *found)
{
    for (uint32_t i = 0; i < found->n_differences; i++) {
        const struct difference *one = &found->differences[i];

        text_printf(to, "%s %s %s %u %u\n", name,
                    found->outputs[one->output].name,
                    one->new_ahead ? "on" : "off", (unsigned)one->faults,
                    (unsigned)one->level);
    }
}

/* Length of what speaks of the text that `at` begins with. */
static size_t lines_of_one(const char *at)
{
    size_t name = strcspn(at, " \n"), n = 0;

    while (strncmp(at + n, at, name + 1) == 0)
        n += strcspn(at + n, "\n") + 1;
    return n;
}

/* Each change of the greater body shows what its author meant: the lines of
 * the table, which says with how many faults it was asked for. */
static void differences_are_listed(uint32_t one_in)
{
    static const char folder[] = "models/rear_body/changes/";
    struct text path = {0}, list = {0}, got = {0};
    const char *at;
    uint32_t n = 0;

    text_printf(&path, "%sDIFFERENCES", folder);
    assert_int_equal(os_read_file(text_str(&path), 1 << 16, &list), OS_OK);
    for (at = text_str(&list); *at == '#';)
        at += strcspn(at, "\n") + 1;
    for (size_t length; *at != '\0'; at += length) {
        struct two two;
        char *name = NULL, *lines = NULL;

        length = lines_of_one(at);
        if (n++ % one_in != 0)
            continue;
        name = strndup(at, strcspn(at, " \n"));
        lines = strndup(at, length);
        text_clear(&path);
        text_printf(&path, "%s%s", folder, name);
        put_side_by_side(&two, "models/rear_body/rear_body.review",
                         text_str(&path), true);
        text_clear(&got);
        add_lines(&got, name, two.found);
        assert_string_equal(text_str(&got), lines);
        assert_int_equal(compare_exit_code(two.found), 1);
        release(&two);
        free(name);
        free(lines);
    }
    assert_true(n >= 50);
    text_release(&path);
    text_release(&list);
    text_release(&got);
}

/* What the author of the change wrote down as broken (changes/EXPECTED) comes
 * of commands, so these must differ; table and tailgate wholly, the greater
 * body one in so many. */
static void changes_differ(const char *folder, const char *review,
                           unsigned one_in)
{
    struct text path = {0}, list = {0};
    char before[64] = "";
    unsigned n = 0;

    text_printf(&path, "%sEXPECTED", folder);
    assert_int_equal(os_read_file(text_str(&path), 1 << 16, &list), OS_OK);
    for (const char *at = text_str(&list); *at != '\0';) {
        size_t line = strcspn(at, "\n"), word = strcspn(at, " \n");

        if (*at != '#' && word > 0 && word < sizeof before &&
            (strlen(before) != word || strncmp(before, at, word) != 0)) {
            struct two two;

            memcpy(before, at, word);
            before[word] = '\0';
            text_clear(&path);
            text_printf(&path, "%s%s", folder, before);
            if (n++ % one_in == 0) {
                put_side_by_side(&two, review, text_str(&path), true);
                if (compare_exit_code(two.found) != 1)
                    print_error("%s: no difference\n", text_str(&path));
                assert_int_equal(compare_exit_code(two.found), 1);
                release(&two);
            }
        }
        at += line + (at[line] == '\n');
    }
    assert_true(n > 0);
    text_release(&path);
    text_release(&list);
}

#ifdef __SANITIZE_ADDRESS__
enum { ONE_IN = 10, ONE_IN_BODY = 50 };
#else
/* All 50 of the body take two minutes. */
enum { ONE_IN = 5, ONE_IN_BODY = 10 };
#endif

static void test_changes(void **unused)
{
    (void)unused;
    changes_differ("models/tailgate/changes/", tailgate, ONE_IN);
    changes_differ("models/table/changes/", "models/table/table.review", 1);
    differences_are_listed(ONE_IN_BODY);
}

/* Behaviour is kept by construction: renamed, reordered, other forms of the
 * same expression or statement (by the laws of Boolean algebra). */
static void test_rewritten(void **unused)
{
    static const char *const texts[] = {
        "renamed", "reordered", "flags", "de_morgan", "if_for_case",
        "expressions", "functions", "block"};

    (void)unused;
    for (size_t i = 0; i < sizeof texts / sizeof *texts; i++) {
        struct text path = {0};
        struct two two;

        text_printf(&path, "tests/outside/rewritten/%s.st", texts[i]);
        put_side_by_side(&two, tailgate, text_str(&path), false);
        if (two.found->sameness != SAME_READ)
            print_error("%s is not the same\n", texts[i]);
        assert_int_equal(two.found->sameness, SAME_READ);
        assert_int_equal(compare_exit_code(two.found), 0);
        assert_int_equal(two.found->n_differences, 0);
        release(&two);
        text_release(&path);
    }
}

/* ---- small texts ---- */

static const char switches[] =
    "REVIEW Small\n"
    "  SCAN T#100ms;\n"
    "  CONTROLS\n"
    "    go : BUTTON 'go';\n"
    "    shut_1 : SENSOR 'shut 1' ON WHEN door = Shut;\n"
    "    shut_2 : SENSOR 'shut 2' ON WHEN door = Shut;\n"
    "    drive : MOTOR 'drive';\n"
    "    lamp : LAMP 'lamp';\n"
    "  END_CONTROLS\n"
    "  MECHANISM Door\n"
    "    VAR door : (Shut, Away); END_VAR\n"
    "    MAY door := Shut; OR door := Away; END_MAY;\n"
    "    IF drive THEN door := Away; END_IF;\n"
    "  END_MECHANISM\n"
    "  FAULTS\n"
    "    F1 : shut_1 STAYS;\n"
    "    F2 : shut_2 STAYS;\n"
    "  END_FAULTS\n"
    "%s"
    "  REQUIREMENTS\n"
    "    R1 'the drive runs at a shut door only' :\n"
    "      NEVER drive AND door <> Shut AND NOT PRESSED go;\n"
    "  END_REQUIREMENTS\n"
    "END_REVIEW\n";

static const char program[] =
    "PROGRAM Main\n"
    "VAR_INPUT go, shut_1, shut_2 : BOOL; END_VAR\n"
    "VAR_OUTPUT drive, lamp : BOOL; END_VAR\n"
    "VAR n : INT; END_VAR\n"
    "    %s\n"
    "END_PROGRAM\n";

static const char asks_review[] =
    "REVIEW Small\n"
    "  SCAN T#100ms;\n"
    "  CONTROLS\n"
    "    go : BUTTON 'go';\n"
    "    shut_1 : SENSOR 'shut 1' ON WHEN door = Shut;\n"
    "    shut_2 : SENSOR 'shut 2' ON WHEN door = Shut;\n"
    "    drive : MOTOR 'drive';\n"
    "    lamp : LAMP 'lamp';\n"
    "  END_CONTROLS\n"
    "  MECHANISM Door\n"
    "    VAR door : (Shut, Away); END_VAR\n"
    "    MAY door := Shut; OR door := Away; END_MAY;\n"
    "  END_MECHANISM\n"
    "  FAULTS F1 : shut_1 STAYS; END_FAULTS\n"
    "  REQUIREMENTS R1 'it' : %s; END_REQUIREMENTS\n"
    "END_REVIEW\n";

struct small {
    struct checked was, is;
    struct arena *arena;
    const struct comparison *found;
};

static void compare_small(struct small *s, const char *section,
                          const char *was, const char *is)
{
    static const struct renames none = {NULL, 0};
    static const struct study_setting setting = {0};
    struct text review = {0}, old = {0}, new = {0};

#pragma GCC diagnostic push
#pragma GCC diagnostic ignored "-Wformat-nonliteral"
    text_printf(&review, switches, section);
    text_printf(&old, program, was);
    text_printf(&new, program, is);
#pragma GCC diagnostic pop
    checked_init(&s->was, text_str(&old), text_str(&review));
    checked_init(&s->is, text_str(&new), text_str(&review));
    assert_non_null(s->was.model);
    assert_non_null(s->is.model);
    const struct twins_asked asked = {
        .was = {s->was.model, s->was.sources},
        .is = {s->is.model, s->is.sources},
        .renames = &none, .setting = &setting};
    s->arena = arena_new();
    s->found = compare_versions(s->arena, &asked, s->is.diags);
    assert_non_null(s->found);
    assert_null(s->found->refused);
    assert_null(s->found->internal_error);
    text_release(&review);
    text_release(&old);
    text_release(&new);
}

static void release_small(struct small *s)
{
    arena_free(s->arena);
    checked_release(&s->was);
    checked_release(&s->is);
}

/* Without faults both switches say the same: only a fault tells. */
static void test_two_switches(void **unused)
{
    struct small s;

    (void)unused;
    compare_small(&s, "", "drive := go AND shut_1 AND shut_2; lamp := go;",
                  "drive := go AND shut_1; lamp := go;");
    assert_int_equal(s.found->sameness, SAME_DIFFERENT);
    assert_int_equal(s.found->n_differences, 1);
    assert_int_equal(s.found->differences[0].faults, 1);
    assert_true(s.found->differences[0].new_ahead);
    assert_int_equal(s.found->output[1], SAME_REVIEW);
    assert_int_equal(compare_exit_code(s.found), 1);
    release_small(&s);
}

/* The same for what the machine gives, though not for all that can be read:
 * with both switches alike, and no single fault of the review telling. */
static void test_same_under_review(void **unused)
{
    struct small s;

    (void)unused;
    compare_small(&s, "  ASSUMPTIONS A1 : NOT PRESSED go; END_ASSUMPTIONS\n",
                  "drive := go AND shut_1 AND shut_2; lamp := FALSE;",
                  "drive := go AND shut_1; lamp := FALSE;");
    assert_int_equal(s.found->sameness, SAME_REVIEW);
    assert_int_equal(s.found->n_differences, 0);
    assert_int_equal(compare_exit_code(s.found), 0);
    release_small(&s);
}

/* A lamp drives nothing: what differs behind its difference is found. */
static void test_lamp_drives_nothing(void **unused)
{
    struct small s;

    (void)unused;
    compare_small(&s, "", "lamp := TRUE; drive := go AND shut_1;",
                  "lamp := FALSE; drive := go AND shut_1 AND NOT shut_2;");
    assert_true(s.found->outputs[0].drives);
    assert_false(s.found->outputs[1].drives);
    assert_int_equal(s.found->output[0], SAME_DIFFERENT);
    assert_int_equal(s.found->output[1], SAME_DIFFERENT);
    release_small(&s);
}

static void test_intended(void **unused)
{
    static const char lamp[] =
        "  INTENDED D1 'the lamp shows the door' :\n"
        "    lamp MAY DIFFER WHEN door = Shut; END_INTENDED\n";
    struct small s;

    (void)unused;
    compare_small(&s, lamp, "drive := go; lamp := FALSE;",
                  "drive := go; lamp := shut_1 OR shut_2;");
    assert_int_equal(s.found->sameness, SAME_DIFFERENT);
    assert_int_equal(s.found->n_intended, 1);
    for (uint32_t i = 0; i < s.found->n_differences; i++)
        assert_true(s.found->differences[i].intended == 0 ||
                    s.found->differences[i].faults == 1);
    release_small(&s);
    compare_small(&s, lamp, "drive := go; lamp := shut_1 OR NOT shut_2;",
                  "drive := go; lamp := shut_1 OR NOT shut_2;");
    assert_int_equal(s.found->sameness, SAME_READ);
    assert_int_equal(s.found->n_intended, 0);
    assert_int_equal(compare_exit_code(s.found), 1); /* it does not occur */
    release_small(&s);
    compare_small(&s, "  INTENDED D1 : drive MAY DIFFER WHEN PRESSED go;\n"
                      "  END_INTENDED\n",
                  "drive := go; lamp := go;", "drive := FALSE; lamp := go;");
    assert_int_equal(s.found->sameness, SAME_REVIEW);
    assert_int_equal(s.found->n_intended, 1);
    assert_int_equal(compare_exit_code(s.found), 0);
    release_small(&s);
}

/* A state that the new text never reaches leaves it two values, which look
 * like FALSE and TRUE there. */
static void test_fewer_states(void **unused)
{
    struct small s;

    (void)unused;
    compare_small(&s, "",
                  "CASE n OF 0: IF go THEN n := 1; END_IF; "
                  "1: IF NOT go AND shut_1 THEN n := 2; END_IF; "
                  "ELSE IF go THEN n := 0; END_IF; END_CASE; "
                  "drive := n = 2; lamp := n = 1;",
                  "CASE n OF 0: IF go THEN n := 1; END_IF; "
                  "1: IF NOT go AND shut_1 AND go THEN n := 2; END_IF; "
                  "ELSE IF go THEN n := 0; END_IF; END_CASE; "
                  "drive := n = 2; lamp := n = 1;");
    assert_int_equal(s.found->sameness, SAME_DIFFERENT);
    assert_int_equal(compare_exit_code(s.found), 1);
    release_small(&s);
}

/* Declared outputs that the review does not speak of are compared, too; one
 * that only the new text has is not. */
static void test_outputs_by_declaration(void **unused)
{
    static const struct renames none = {NULL, 0};
    static const struct study_setting setting = {0};
    static const char *const texts[] = {
        "PROGRAM Main\nVAR_INPUT a : BOOL; END_VAR\n"
        "VAR_OUTPUT x : BOOL; END_VAR\n    x := a;\nEND_PROGRAM\n",
        "PROGRAM Main\nVAR_INPUT a : BOOL; END_VAR\n"
        "VAR_OUTPUT x, y : BOOL; END_VAR\n    x := a; y := NOT a;\n"
        "END_PROGRAM\n"};
    struct checked was, is;
    struct arena *arena = arena_new();
    const struct comparison *found;

    (void)unused;
    checked_init(&was, texts[0], NULL);
    checked_init(&is, texts[1], NULL);
    const struct twins_asked asked = {
        .was = {was.model, was.sources}, .is = {is.model, is.sources},
        .renames = &none, .setting = &setting};
    found = compare_versions(arena, &asked, is.diags);
    assert_non_null(found);
    assert_int_equal(found->n_outputs, 1);
    assert_int_equal(found->sameness, SAME_READ);
    assert_int_equal(found->n_alone, 1);
    assert_int_equal(compare_exit_code(found), 1);
    arena_free(arena);
    checked_release(&was);
    checked_release(&is);
}

/* Numbers are told apart at the limits of both texts. */
static void test_limits_of_both(void **unused)
{
    static const struct renames none = {NULL, 0};
    static const struct study_setting setting = {0};
    static const char *const limits[] = {"100", "500"};
    static const char text[] =
        "PROGRAM Main\nVAR_INPUT load : INT; END_VAR\n"
        "VAR_OUTPUT out : BOOL; END_VAR\n    out := load > %s;\n"
        "END_PROGRAM\n";
    struct checked both[2];
    struct arena *arena = arena_new();
    const struct comparison *found;

    (void)unused;
    for (int i = 0; i < 2; i++) {
        struct text control = {0};

#pragma GCC diagnostic push
#pragma GCC diagnostic ignored "-Wformat-nonliteral"
        text_printf(&control, text, limits[i]);
#pragma GCC diagnostic pop
        checked_init(&both[i], text_str(&control), NULL);
        assert_non_null(both[i].model);
        text_release(&control);
    }
    const struct twins_asked asked = {
        .was = {both[0].model, both[0].sources},
        .is = {both[1].model, both[1].sources},
        .renames = &none, .setting = &setting};
    found = compare_versions(arena, &asked, both[1].diags);
    assert_non_null(found);
    assert_null(found->internal_error);
    assert_int_equal(found->n_outputs, 1);
    assert_int_equal(found->n_differences, 1);
    assert_false(found->differences[0].new_ahead);
    arena_free(arena);
    checked_release(&both[0]);
    checked_release(&both[1]);
}

/* What the copy of the review text was made to ask less (its changes: A3
 * added, F6 excluded and so left out of R2, DESPITE of R10 left out, R12
 * removed). */
static void test_reviews(void **unused)
{
    static const struct {
        const char *kind, *name;
        enum review_change change;
    } wanted[] = {
        {"fault", "F6", REVIEW_EXCLUDED},
        {"requirement", "R2", REVIEW_CHANGED},
        {"requirement", "R10", REVIEW_FEWER_FAULTS},
        {"requirement", "R12", REVIEW_REMOVED},
        {"assumption", "A3", REVIEW_ADDED}};
    static const struct study_setting none = {0};
    struct loaded *was = load(tailgate, NULL);
    struct loaded *is = load("tests/outside/rewritten/less.review", NULL);
    struct arena *arena = arena_new();
    const struct review_differences *found = reviews_compare(arena, was, is, &none);

    (void)unused;
    assert_int_equal(found->n, 5);
    assert_int_equal(found->n_less, 5);
    for (uint32_t i = 0; i < found->n; i++) {
        assert_string_equal(found->at[i].kind, wanted[i].kind);
        assert_string_equal(found->at[i].name, wanted[i].name);
        assert_int_equal(found->at[i].change, wanted[i].change);
    }
    found = reviews_compare(arena, is, was, &none);
    assert_int_equal(found->n, 5);
    assert_int_equal(found->n_less, 3); /* what changed words may be less */
    found = reviews_compare(arena, was, was, &none);
    assert_int_equal(found->n, 0);
    arena_free(arena);
    loaded_free(was);
    loaded_free(is);
}

/* An error in one of them counts though all outputs are the same up to it. */
static void test_error_in_one(void **unused)
{
    struct small s;

    (void)unused;
    compare_small(&s, "", "drive := go; lamp := go;",
                  "drive := go; lamp := go; n := 1 / n;");
    assert_true(s.found->up_to_error);
    assert_int_not_equal(s.found->sameness, SAME_READ);
    assert_int_equal(compare_exit_code(s.found), 3);
    release_small(&s);
}

/* What came and went, as it is read off the texts: "+" is possible in the new
 * one only, "-" in the old one only. */
static void write_became(struct text *to, const struct comparison *found)
{
    const struct all_became *all = found->became;

    for (uint32_t i = 0; i < all->n; i++) {
        const struct became *one = &all->at[i];

        assert_int_not_equal(one->came, CAME_NOT_KNOWN);
        if (one->came == CAME_SAME)
            continue;
        text_add(to, one->came == CAME_NEW ? "+" : "-");
        if (one->actuator == MODEL_NONE)
            text_printf(to, "%d>%d ", (int)one->from, (int)one->value);
        else if (one->slot == MODEL_NONE)
            text_printf(to, "a%u ", (unsigned)one->actuator);
        else
            text_printf(to, "a%u@%d ", (unsigned)one->actuator,
                        (int)one->value);
    }
}

static void test_became(void **unused)
{
    static const struct {
        const char *section, *was, *is, *came;
    } cases[] = {
        /* the door is Shut (0) or Away (1); the drive is actuator 0 */
        {"", "drive := go; lamp := go;",
         "drive := go AND shut_1; lamp := go;", "-a0@1 "},
        {"", "drive := go AND NOT shut_2; lamp := FALSE;",
         "drive := go; lamp := FALSE;", "+a0@0 "},
        /* a lamp that no part has to do with */
        {"", "drive := go; lamp := FALSE;", "drive := go; lamp := go;",
         "+a1 "},
        /* a second part, which the drive alone moves */
        {"  MECHANISM Arm VAR arm : (Home, Gone) := Home; END_VAR\n"
         "    IF drive AND NOT lamp THEN arm := Gone; END_IF;\n"
         "  END_MECHANISM\n",
         "drive := go; lamp := go;", "drive := go; lamp := FALSE;",
         "-a1 +0>1 "},
        {"  MECHANISM Arm VAR arm : (Home, Gone); END_VAR\n"
         "    IF drive THEN arm := Gone; END_IF;\n"
         "  END_MECHANISM\n",
         "drive := go; lamp := TRUE;", "drive := FALSE; lamp := TRUE;",
         "-a0 -0>1 "}};

    (void)unused;
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        struct small s;
        struct text got = {0};

        compare_small(&s, cases[i].section, cases[i].was, cases[i].is);
        assert_non_null(s.found->became);
        write_became(&got, s.found);
        assert_string_equal(text_str(&got), cases[i].came);
        text_release(&got);
        release_small(&s);
    }
}

/* What is weaker, stronger or neither is read off the words by hand. */
static void test_asked_less(void **unused)
{
    static const struct {
        const char *was, *is;
        enum asks asks;
    } pairs[] = {
        {"NEVER drive AND NOT PRESSED go", "ALWAYS PRESSED go OR NOT drive",
         ASKS_SAME},
        {"NEVER drive AND NOT PRESSED go",
         "NEVER drive AND NOT PRESSED go AND door <> Shut", ASKS_LESS},
        {"NEVER drive AND lamp", "NEVER drive", ASKS_MORE},
        {"NEVER drive AND lamp", "NEVER drive AND NOT lamp", ASKS_OTHER},
        {"drive NO LONGER THAN T#500ms", "drive NO LONGER THAN T#700ms",
         ASKS_LESS},
        {"WHEN PRESSED go, THEN drive WITHIN T#500ms",
         "WHEN PRESSED go, THEN drive WITHIN T#400ms", ASKS_MORE},
        {"drive ONLY IF PRESSED go", "NEVER drive AND NOT PRESSED go",
         ASKS_SAME},
        {"NEVER drive BY ITSELF, STARTED BY PRESSED go",
         "NEVER drive BY ITSELF, STARTED BY PRESSED go, lamp", ASKS_LESS},
        {"door MOVES ONLY WHILE drive", "door MOVES ONLY WHILE drive OR lamp",
         ASKS_LESS},
        /* a way that is looked for is not compared */
        {"POSSIBLE drive", "POSSIBLE drive AND lamp", ASKS_NOT_KNOWN}};
    static const struct study_setting setting = {0};
    struct text control = {0};

    (void)unused;
#pragma GCC diagnostic push
#pragma GCC diagnostic ignored "-Wformat-nonliteral"
    text_printf(&control, program, "drive := go; lamp := shut_1;");
    for (size_t i = 0; i < sizeof pairs / sizeof *pairs; i++) {
        struct text was = {0}, is = {0};
        struct checked old, new;
        struct arena *arena = arena_new();
        struct asking *asking;

        text_printf(&was, asks_review, pairs[i].was);
        text_printf(&is, asks_review, pairs[i].is);
        checked_init(&old, text_str(&control), text_str(&was));
        checked_init(&new, text_str(&control), text_str(&is));
        assert_non_null(old.model);
        assert_non_null(new.model);
        asking = asking_open(
            arena, &(struct version){old.model, old.sources},
            &(struct version){new.model, new.sources}, &setting);
        if (asking_compare(asking, 0) != pairs[i].asks)
            print_error("%s | %s\n", pairs[i].was, pairs[i].is);
        assert_int_equal(asking_compare(asking, 0), pairs[i].asks);
        asking_close(asking);
        arena_free(arena);
        checked_release(&old);
        checked_release(&new);
        text_release(&was);
        text_release(&is);
    }
#pragma GCC diagnostic pop
    text_release(&control);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_two_switches),
        cmocka_unit_test(test_same_under_review),
        cmocka_unit_test(test_lamp_drives_nothing),
        cmocka_unit_test(test_intended),
        cmocka_unit_test(test_fewer_states),
        cmocka_unit_test(test_outputs_by_declaration),
        cmocka_unit_test(test_limits_of_both),
        cmocka_unit_test(test_reviews),
        cmocka_unit_test(test_asked_less),
        cmocka_unit_test(test_became),
        cmocka_unit_test(test_error_in_one),
        cmocka_unit_test(test_rewritten),
        cmocka_unit_test(test_changes),
        cmocka_unit_test(test_random),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
