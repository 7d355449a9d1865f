/* Two random versions of a control text side by side.
 *
 * The judge is a walk over all pairs of situations by the reference
 * interpreter alone, one machine for each version, which shares nothing with
 * the logic of both: outputs, directions and lengths must agree, and as long
 * as all that drives the machine agrees both machines must stand alike. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/arena.h"
#include "base/text.h"
#include "reference/odometer.h"
#include "study/compare.h"
#include "tests/support/checked.h"
#include "tests/support/random_review.h"

#ifdef __SANITIZE_ADDRESS__
enum { SEEDS = 60, WANTED = 4 };
#elif defined TEST_WHOLE
enum { SEEDS = 700, WANTED = 60 };
#else
enum { SEEDS = 350, WANTED = 30 };
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

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_random),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
