/* Explorer against naive enumeration by the reference interpreter: the two
 * implementations share scanner, parser and checker only, and must agree on
 * situations, levels, triggers, dead ends, run-time errors and canonical
 * sequences.  (test_verdicts.c compares whole verdicts.) */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/arena.h"
#include "check/model.h"
#include "engine/explore.h"
#include "engine/sequence.h"
#include "lower/lower.h"
#include "reference/layout.h"
#include "reference/naive.h"
#include "reference/replay.h"
#include "tests/support/subject.h"
#include "tests/support/trial.h"

/* With sanitizers everything is many times slower: fewer machines then. */
#ifdef __SANITIZE_ADDRESS__
enum { MODELS = 20, WANTED = 5, PACED = 2, OPEN = 6, SET = 2,
       LOOPED = 2 };
#elif defined TEST_WHOLE
enum { MODELS = 400, WANTED = 100, PACED = 28, OPEN = 180, SET = 6,
       LOOPED = 28 };
#else
enum { MODELS = 200, WANTED = 50, PACED = 14, OPEN = 90, SET = 3,
       LOOPED = 28 };
#endif

/* What a number of machines must have shown; so few as with sanitizers need
 * not. */
static void shown(bool enough)
{
#ifdef __SANITIZE_ADDRESS__
    (void)enough;
#else
    assert_true(enough);
#endif
}

/* Every time of a scan is one more way on: smaller machines there. */
static uint64_t most_states(const struct subject *s)
{
    return s->range || s->every ? 700 : s->open ? 200 : 2500;
}

struct tally {
    unsigned compared, questions, broken, dead_ends, errors, faults, power,
        movements, assumptions, skipped;
};

/* The saturation bound of a cell, for the reference's unbounded ages. */
static struct naive_place place_of(const struct subject *s,
                                   const struct slice_cell *cell)
{
    const struct flat_cell *flat = &s->lowered->flat->cells[cell->cell];
    struct naive_place place = {
        .id = {(enum place_kind)flat->kind, flat->index},
        .most = INT64_MAX,
    };
    bool age = flat->kind == PLACE_MOVE_TOTAL ||
               flat->kind == PLACE_MOVE_UNBROKEN ||
               flat->kind == PLACE_CLOCK_AGE ||
               flat->kind == PLACE_MONITOR_AGE ||
               flat->kind == PLACE_EXCEPT_AGE ||
               (flat->kind == PLACE_SLOT &&
                (machine_layout(s->machine)->beyond ||
                 s->model->slots[flat->index].clock));

    if (age)
        place.most = trial_stands(s->model, s->lowered->flat, flat);
    return place;
}

static const struct naive_result *ask_naive(const struct subject *s,
                                            uint32_t requirement,
                                            const struct slice *slice)
{
    const struct requirement *r = &s->model->requirements[requirement];
    struct naive_place *places = arena_array(s->arena, slice->n_cells + 1,
                                             sizeof *places);
    bool *counted = arena_array(s->arena, s->model->n_choices + 1,
                                sizeof *counted);
    bool *allowed = arena_array(s->arena, s->model->n_causes + 1,
                                sizeof *allowed);
    struct naive_setting setting = {
        .step = {.fault_limit = r->despite, .allowed = allowed,
                 .counted = counted},
        .places = places,
        .n_places = slice->n_cells,
        .requirement = requirement,
        .most_states = most_states(s),
    };

    for (uint32_t i = 0; i < slice->n_cells; i++)
        places[i] = place_of(s, &slice->cells[i]);
    for (uint32_t i = 0; i < s->model->n_choices; i++)
        counted[i] = slice->used[i];
    for (uint32_t f = 0; f < s->model->n_causes; f++)
        allowed[f] = r->despite_of[f] &&
                     slice->used[s->model->causes[f].choice];
    return naive_explore(s->arena, s->machine, &setting);
}

static bool check_that(const struct subject *s, bool holds, const char *what)
{
    if (!holds)
        subject_complain(s, what);
    return holds;
}

static bool same_levels(const struct subject *s,
                        const struct exploration *found,
                        const struct naive_result *naive)
{
    bool same = exploration_situations(found) == naive->situations &&
                exploration_levels(found) >= naive->n_levels;

    for (uint32_t l = 1; same && l <= naive->n_levels; l++)
        same = exploration_level_size(found, l) == naive->levels[l - 1];
    if (!same)
        print_message("engine %llu situations %u levels, naive %llu, %u\n",
                      (unsigned long long)exploration_situations(found),
                      exploration_levels(found),
                      (unsigned long long)naive->situations,
                      naive->n_levels);
    return check_that(s, same, "situations or levels differ");
}

/* Choices of the slice agree; others are at rest in the engine's. */
static bool same_sequence(const struct subject *s, const struct slice *slice,
                          const struct sequence *found,
                          const struct naive_result *naive)
{
    bool same = found != NULL && naive->sequence != NULL;
    uint32_t n = s->model->n_choices;

    for (uint32_t i = 0; same && i < found->length * n; i++)
        if (slice->used[i % n])
            same = found->choices[i] == naive->sequence[i];
    for (uint32_t i = 0; !same && found != NULL && naive->sequence != NULL &&
                         i < found->length * n; i++)
        if (slice->used[i % n])
            print_message("scan %u %s: engine %u, naive %u\n", i / n + 1,
                          s->model->choices[i % n].name, found->choices[i],
                          naive->sequence[i]);
    return check_that(s, same, "canonical sequences differ");
}

/* All of one requirement is compared in its slice, as it stands, with every
 * error as an end. */
static bool compare(struct subject *s, uint32_t requirement,
                    struct tally *tally)
{
    const struct requirement *r = &s->model->requirements[requirement];
    uint32_t watches[64] = {s->lowered->breach[requirement]};
    uint32_t ends[64], n_ends = 0;
    struct slice_request request = {.watches = watches,
        .n_watches = 1 + r->n_triggers, .ends = ends,
        .faults = r->despite, .allowed = r->despite_of};
    const struct explore_setting setting = {.most_situations = most_states(s)};
    const struct naive_result *naive;
    const struct slice *slice;
    struct exploration *found;
    bool same;

    assert_true(r->n_triggers < 63);
    for (uint32_t t = 0; t < r->n_triggers; t++)
        watches[1 + t] = s->lowered->trigger[requirement] + t;
    for (uint32_t e = 0; e < s->model->n_errors && n_ends < 64; e++)
        if (s->lowered->error[e] != FLAT_NONE)
            ends[n_ends++] = s->lowered->error[e];
    request.n_ends = n_ends;
    slice = slice_build(s->arena, s->lowered->builder, s->lowered->flat,
                        &request);
    if (slice->n_assumptions != s->model->n_assumptions) {
        /* Assumptions left out may block what the slice goes on with. */
        uint32_t all[16];

        for (uint32_t a = 0; a < s->model->n_assumptions; a++)
            all[a] = a;
        request.with_assumptions = all;
        request.n_with_assumptions = s->model->n_assumptions;
        slice = slice_build(s->arena, s->lowered->builder, s->lowered->flat,
                            &request);
    }
    found = explore(slice, &setting);
    naive = ask_naive(s, requirement, slice);
    if (exploration_end(found) != EXPLORE_COMPLETE || !naive->complete) {
        exploration_free(found);
        tally->skipped++;
        return true;
    }
    same = same_levels(s, found, naive) &&
           check_that(s, exploration_watch_level(found, 0) ==
                             naive->breach_level, "breach levels differ") &&
           check_that(s, (exploration_dead_end(found) != FLAT_NONE) ==
                             naive->dead_end, "dead ends differ") &&
           check_that(s, !naive->dead_end || exploration_dead_end(found) ==
                             naive->dead_end_level, "dead end levels differ");
    for (uint32_t t = 0; same && t < r->n_triggers; t++)
        same = check_that(s, (exploration_watch_level(found, 1 + t) != 0) ==
                                 naive->trigger[t], "triggers differ");
    if (same && naive->breach_level != 0)
        same = same_sequence(s, slice,
                             sequence_find(s->arena, found, GOAL_WATCH, 0),
                             naive);
    tally->questions++;
    tally->broken += naive->breach_level != 0;
    tally->dead_ends += naive->dead_end;
    tally->errors += naive->error_level != 0;
    exploration_free(found);
    return same;
}

/* Every value left open is more ways through one scan. */
static bool few_ways(const struct subject *s)
{
    uint64_t ways = 1;

    for (uint32_t i = 0; s->open && i < s->model->n_choices; i++)
        ways *= s->model->choices[i].count;
    return ways <= 1500;
}

/* Machines like this one, of seeds from its own on. */
static struct tally explore_like(const struct subject *like, unsigned most,
                                 unsigned enough)
{
    struct tally tally = {0};
    bool same = true;

    for (uint64_t seed = like->seed; same && seed < like->seed + most &&
                                     tally.compared < enough; seed++) {
        struct subject s = *like;
        unsigned before = tally.questions;

        s.seed = seed;

        subject_read(&s, false);
        for (uint32_t r = 0; same && few_ways(&s) &&
                             r < s.model->n_requirements; r++)
            same = compare(&s, r, &tally);
        if (tally.questions > before) {
            tally.compared++;
            tally.faults += s.parts.faults;
            tally.power += s.parts.power;
            tally.movements += s.parts.movements;
            tally.assumptions += s.parts.assumptions;
        }
        subject_release(&s);
    }
    print_message("%u models, %u questions: %u broken, %u with dead ends, "
                  "%u with run-time errors; models with faults %u, power "
                  "%u, movements %u, assumptions %u; too large: %u\n",
                  tally.compared, tally.questions, tally.broken,
                  tally.dead_ends, tally.errors, tally.faults, tally.power,
                  tally.movements, tally.assumptions, tally.skipped);
    assert_true(same);
    assert_true(tally.compared >= enough);
    return tally;
}

static void explorer_agrees_with_naive_enumeration(void **state)
{
    struct tally tally =
        explore_like(&(struct subject){.seed = 1}, MODELS, WANTED);

    (void)state;
    shown(tally.broken > WANTED / 4 && tally.dead_ends > WANTED / 20);
    shown(tally.faults > WANTED / 10 && tally.power > WANTED / 10);
    shown(tally.movements > WANTED / 3);
    shown(tally.assumptions > WANTED / 3);
}

static void scans_of_any_length_agree(void **state)
{
    struct tally tally = explore_like(
        &(struct subject){.seed = 3001, .range = true}, 4 * PACED, PACED);

    (void)state;
    shown(tally.broken > PACED / 4 && tally.movements > PACED / 4);
}

static void programs_every_few_scans_agree(void **state)
{
    struct tally tally = explore_like(
        &(struct subject){.seed = 4001, .every = true}, 4 * PACED, PACED);

    (void)state;
    shown(tally.broken > PACED / 4 && tally.power > PACED / 10);
    explore_like(
        &(struct subject){.seed = 4501, .every = true, .range = true},
        4 * PACED, PACED / 4);
}

static void open_values_agree(void **state)
{
    struct tally tally = explore_like(
        &(struct subject){.seed = 8001, .open = true}, 40 * OPEN, OPEN);

    (void)state;
    shown(tally.broken > OPEN / 4 && tally.dead_ends > OPEN / 100);
    shown(tally.power > OPEN / 20 && tally.movements > OPEN / 8);
    shown(tally.assumptions > OPEN / 4);
}

static void loops_agree(void **state)
{
    struct tally tally = explore_like(
        &(struct subject){.seed = 8001, .loops = true}, 4 * LOOPED, LOOPED);

    (void)state;
    shown(tally.broken > LOOPED / 4 && tally.errors > 0);
    explore_like(&(struct subject){.seed = 8501, .loops = true, .open = true},
                 80 * PACED, PACED / 2);
}

static void exceptions_agree(void **state)
{
    struct tally tally = explore_like(
        &(struct subject){.seed = 17001, .noticing = true}, 8 * PACED,
        PACED);

    (void)state;
    shown(tally.broken > PACED / 4);
    explore_like(
        &(struct subject){.seed = 17501, .noticing = true, .range = true},
        8 * PACED, PACED / 4);
}

/* Seeds whose machines are walked within seconds: every setting left open
 * doubles what there is to walk. */
static void controllers_agree(void **state)
{
    static const uint64_t seeds[] = {
#ifndef __SANITIZE_ADDRESS__
        14001, 17001,
#endif
        19001};
    unsigned broken = 0, errors = 0;

    (void)state;
    for (size_t i = 0; i < sizeof seeds / sizeof *seeds; i++) {
        struct tally tally = explore_like(
            &(struct subject){.seed = seeds[i], .settings = true}, 9, SET);

        broken += tally.broken;
        errors += tally.errors;
    }
    shown(broken > 6 && errors > 0);
    explore_like(
        &(struct subject){.seed = 14501, .settings = true, .range = true}, 9,
        SET - 1);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(explorer_agrees_with_naive_enumeration),
        cmocka_unit_test(scans_of_any_length_agree),
        cmocka_unit_test(programs_every_few_scans_agree),
        cmocka_unit_test(open_values_agree),
        cmocka_unit_test(loops_agree),
        cmocka_unit_test(controllers_agree),
        cmocka_unit_test(exceptions_agree),
    };

    return cmocka_run_group_tests_name("agreement", tests, NULL, NULL);
}
