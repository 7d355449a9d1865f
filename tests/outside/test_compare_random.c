/* Two random versions of a control text side by side.
 *
 * The judge is a walk over all pairs of situations by the reference
 * interpreter alone, one machine for each version, which shares nothing with
 * the logic of both: outputs, directions and lengths must agree, what is
 * INTENDED and what is beyond it, and as long as all that drives the machine
 * agrees both machines must stand alike.  Of some pairs the new version has
 * other names, and a list of them. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/arena.h"
#include "base/hash.h"
#include "base/text.h"
#include "reference/odometer.h"
#include "study/compare.h"
#include "tests/support/checked.h"
#include "tests/support/random_review.h"

#ifdef __SANITIZE_ADDRESS__
enum { SEEDS = 60, WANTED = 2, READ_ONE_IN = 4 };
#elif defined TEST_WHOLE
enum { SEEDS = 1400, WANTED = 120, READ_ONE_IN = 1 };
#else
enum { SEEDS = 400, WANTED = 30, READ_ONE_IN = 4 };
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

static bool change_once(struct text *to, const char *text, uint64_t seed)
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

/* One change or two: one alone is often without effect. */
static bool change_text(struct text *to, const char *text, uint64_t seed)
{
    struct text once = {0};
    bool changed = change_once(&once, text, seed);

    if (seed % 2 == 0 || !changed ||
        !change_once(to, text_str(&once), hash_word(seed)))
        text_add(to, text_str(&once));
    text_release(&once);
    return changed;
}

/* ---- other names ---- */

/* d is an input that the review does not speak of. */
static const struct renamed other_names[] = {
    {"d", "asked"}, {"m2", "was_on"}, {"k", "steps"}};
enum { N_OTHER_NAMES = sizeof other_names / sizeof *other_names };

/* The text with those names: whole words only. */
static void rename_text(struct text *to, const char *text)
{
    static const char letters[] = "abcdefghijklmnopqrstuvwxyz"
                                  "ABCDEFGHIJKLMNOPQRSTUVWXYZ_0123456789";

    while (*text != '\0') {
        size_t n = strspn(text, letters), i = 0;

        while (n > 0 && i < N_OTHER_NAMES &&
               (strlen(other_names[i].was) != n ||
                memcmp(other_names[i].was, text, n) != 0))
            i++;
        if (n > 0 && i < N_OTHER_NAMES)
            text_add(to, other_names[i].is);
        else
            text_add_bytes(to, text, n > 0 ? n : 1);
        text += n > 0 ? n : 1;
    }
}

/* Gives the program an input d, which z depends on. */
static void add_input(struct text *control)
{
    static const char inputs[] = "PROGRAM Main\nVAR_INPUT ";
    static const char end[] = "END_PROGRAM";
    const char *all = text_str(control), *at = strstr(all, inputs), *last;
    struct text made = {0};

    assert_non_null(at);
    at += strlen(inputs);
    last = strstr(at, end);
    assert_non_null(last);
    text_add_bytes(&made, all, (size_t)(at - all));
    text_add(&made, "d, ");
    text_add_bytes(&made, at, (size_t)(last - at));
    text_printf(&made, "  z := z XOR (d AND NOT y);\n%s", last);
    text_clear(control);
    text_add(control, text_str(&made));
    text_release(&made);
}

/* ---- what is intended ---- */

/* A section of one or two, before the requirements. */
static void add_intended(struct text *review, uint64_t seed)
{
    static const char *const conditions[] = {
        "gap = Wide", "gap <> Shut", "a", "NOT b", "NOT loose", "y AND c",
        "PREVIOUS z", "RISING a", "PREVIOUS gap <> gap", "POWER"};
    static const char where[] = "REQUIREMENTS\n";
    uint64_t pick = hash_word(seed + 77);
    struct text made = {0};
    const char *all = text_str(review), *at = strstr(all, where);
    enum { N = sizeof conditions / sizeof *conditions };

    assert_non_null(at);
    text_add_bytes(&made, all, (size_t)(at - all));
    text_printf(&made, "INTENDED\n  D1 : y MAY DIFFER WHEN %s;\n",
                conditions[pick % N]);
    if (pick % 3 > 0)
        text_printf(&made, "  D2 : %s MAY DIFFER WHEN %s;\n",
                    pick % 3 == 1 ? "y" : "z", conditions[pick / N % N]);
    text_printf(&made, "END_INTENDED\n%s", at);
    text_clear(review);
    text_add(review, text_str(&made));
    text_release(&made);
}

/* ---- the judge ---- */

struct judge {
    struct arena *arena;
    const struct comparison *found;
    struct machine *was, *is;
    uint32_t words_was, words_is;
    int64_t *pairs; /* of states, one behind the other */
    uint32_t n, level_begin;
    uint32_t *level; /* per output and direction, 0: never, or intended */
    uint32_t *intended;       /* per intended difference, likewise */
    struct step_question may; /* is it there in this scan? */
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

static void note_level(uint32_t *at, uint32_t level)
{
    if (*at == 0)
        *at = level;
}

/* Each that speaks of the actuator and may be there is; false: none. */
static bool note_intended(struct judge *j, uint32_t actuator, uint32_t level)
{
    const struct model *model = j->found->was.model;
    bool any = false;

    for (uint32_t i = 0; i < model->n_intended; i++) {
        if (model->intended[i].actuator != actuator || !j->may.value[i])
            continue;
        note_level(&j->intended[i], level);
        any = true;
    }
    return any;
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
        if (!note_intended(j, output->actuator, level))
            note_level(&j->level[2 * i + (was[output->actuator] >
                                          is[output->actuator])], level);
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
    struct step_setting asking = setting;
    const struct step_result *old, *new;

    asking.question = &j->may;
    odometer_begin(was, &asking, from);
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

static void ask_intended(struct judge *j)
{
    const struct model *model = j->found->was.model;
    size_t n = (size_t)model->n_intended + 1;
    const struct code_expr **conditions = arena_array(j->arena, n,
                                                      sizeof *conditions);

    for (uint32_t i = 0; i < model->n_intended; i++)
        conditions[i] = model->intended[i].condition;
    j->intended = arena_array(j->arena, n, sizeof *j->intended);
    j->may = (struct step_question){
        conditions, model->n_intended,
        arena_array(j->arena, n, sizeof(int64_t))};
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
    ask_intended(j);
    return j->words_was <= 512 && found->was.model->n_actuators <= 64;
}

/* ---- random machines ---- */

struct tally {
    unsigned compared, same_read, same_review, different, with_faults;
    unsigned intended, beyond, renamed;
    unsigned read_found; /* the same for what is read: one in READ_ONE_IN is
                            walked, for there are many */
};

static uint32_t found_level(const struct comparison *found, uint32_t output,
                            bool new_ahead, uint32_t faults)
{
    for (uint32_t i = 0; i < found->n_differences; i++)
        if (found->differences[i].output == output &&
            found->differences[i].intended == MODEL_NONE &&
            found->differences[i].new_ahead == new_ahead &&
            found->differences[i].faults == faults)
            return found->differences[i].level;
    return 0;
}

static uint32_t intended_level(const struct comparison *found,
                               uint32_t intended, uint32_t faults)
{
    for (uint32_t i = 0; i < found->n_differences; i++)
        if (found->differences[i].intended == intended &&
            found->differences[i].faults == faults)
            return found->differences[i].level;
    return 0;
}

static bool intended_agree(const struct comparison *found,
                           const struct judge *judge)
{
    for (uint32_t i = 0; i < found->was.model->n_intended; i++) {
        uint32_t level = intended_level(found, i, judge->faults);

        if (judge->faults > 0 && intended_level(found, i, 0) != 0)
            continue;
        if (level != judge->intended[i]) {
            print_message("D%u, faults %u: %u scans, the judge has %u\n",
                          (unsigned)i + 1, (unsigned)judge->faults,
                          (unsigned)level, (unsigned)judge->intended[i]);
            return false;
        }
    }
    return true;
}

/* Different is what differs beyond what is intended. */
static bool sameness_agrees(const struct comparison *found,
                            const struct judge *judge)
{
    bool any = false;

    for (uint32_t i = 0; i < 2 * found->n_outputs; i++)
        any = any || judge->level[i] != 0;
    if (any && found->sameness != SAME_DIFFERENT)
        print_message("a difference, and yet the same\n");
    return !any || found->sameness == SAME_DIFFERENT;
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
    return !judge->machines_differ && intended_agree(found, judge) &&
           sameness_agrees(found, judge);
}

static void count(const struct comparison *found, struct tally *tally)
{
    tally->compared++;
    tally->same_read += found->sameness == SAME_READ;
    tally->same_review += found->sameness == SAME_REVIEW;
    tally->different += found->sameness == SAME_DIFFERENT;
    tally->intended += found->n_intended > 0;
    tally->beyond += found->n_intended > 0 &&
                     found->sameness == SAME_DIFFERENT;
}

static bool judged(struct arena *arena, const struct comparison *found,
                   struct tally *tally)
{
    uint32_t most = found->faults;

    if (found->sameness == SAME_READ && tally->read_found++ % READ_ONE_IN != 0)
        return true;
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
    count(found, tally);
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
                     const struct renames *renames, struct tally *tally)
{
    static const struct study_setting setting = {.most_situations = 20000};
    const struct twins_asked asked = {
        .was = {was->model, was->sources}, .is = {is->model, is->sources},
        .renames = renames, .setting = &setting};
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

/* What the caller of random_review decides. */
static struct random_parts parts_of(uint64_t seed)
{
    return (struct random_parts){.range = seed % 11 == 3,
                                 .every = seed % 11 == 5,
                                 .loops = seed % 11 == 7,
                                 .settings = seed % 11 == 9};
}

/* The new version with other names, where the review needs none of them. */
static bool try_renamed(const struct checked *was, const char *control,
                        const char *review, struct tally *tally)
{
    static const struct renames all = {other_names, N_OTHER_NAMES};
    struct text renamed = {0};
    struct checked is;
    unsigned before = tally->compared;
    bool good = true;

    rename_text(&renamed, control);
    checked_init(&is, text_str(&renamed), review);
    if (is.model != NULL)
        good = try_pair(was, &is, &all, tally);
    tally->renamed += tally->compared - before;
    checked_release(&is);
    text_release(&renamed);
    return good;
}

static bool try_texts(uint64_t seed, const char *control, const char *changed,
                      const char *review, struct tally *tally)
{
    static const struct renames none = {NULL, 0};
    struct checked was, is;
    bool good = true;

    checked_init(&was, control, review);
    checked_init(&is, changed, review);
    if (was.model != NULL && is.model != NULL &&
        same_rows(was.model, is.model))
        good = seed % 4 == 0 ? try_renamed(&was, changed, review, tally)
                             : try_pair(&was, &is, &none, tally);
    checked_release(&was);
    checked_release(&is);
    if (!good)
        print_message("seed %u\n%s\n--- changed\n%s\n---\n%s\n",
                      (unsigned)seed, control, changed, review);
    return good;
}

static bool try_seed(uint64_t seed, struct tally *tally)
{
    struct text control = {0}, review = {0}, changed = {0};
    struct random_parts parts = parts_of(seed);
    bool good = true;

    random_review(seed, &control, &review, &parts);
    if (seed % 4 == 0)
        add_input(&control);
    if (seed % 3 == 0)
        add_intended(&review, seed);
    if (change_text(&changed, text_str(&control), seed))
        good = try_texts(seed, text_str(&control), text_str(&changed),
                         text_str(&review), tally);
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
                  "the review, %u different, %u walks with faults; %u with "
                  "what is intended, %u of them more; %u with other names\n",
                  tally.compared, tally.same_read, tally.same_review,
                  tally.different, tally.with_faults, tally.intended,
                  tally.beyond, tally.renamed);
    assert_true(tally.compared >= WANTED);
    assert_true(tally.different > 0 && tally.same_read > 0);
#ifndef __SANITIZE_ADDRESS__
    assert_true(tally.same_review > 0 && tally.with_faults > 0);
    assert_true(tally.beyond > 0 && tally.intended > tally.beyond);
    assert_true(tally.renamed > 0);
#endif
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_random),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
