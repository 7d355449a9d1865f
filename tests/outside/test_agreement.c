/* Explorer against naive enumeration by the reference interpreter: the two
 * implementations share scanner, parser and checker only, and must agree on
 * situations, levels, verdicts, triggers, dead ends, run-time errors and
 * canonical sequences. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "base/arena.h"
#include "base/name.h"
#include "base/text.h"
#include "check/check.h"
#include "check/model.h"
#include "engine/explore.h"
#include "engine/sequence.h"
#include "lang/parse.h"
#include "lang/review.h"
#include "lower/lower.h"
#include "tests/support/random_review.h"
#include "reference/naive.h"
#include "reference/replay.h"
#include "source/diag.h"
#include "source/render.h"
#include "source/source.h"

enum { MODELS = 400, WANTED = 220 };

static const uint64_t MOST_STATES = 20000;

/* One random machine, read. */
struct subject {
    uint64_t seed;
    struct arena *arena;
    struct names *names;
    struct sources *sources;
    struct diags *diags;
    const struct model *model;
    struct lowered *lowered;
    struct machine *machine;
    struct random_parts parts;
};

struct tally {
    unsigned compared, questions, broken, dead_ends, errors, faults, power,
        movements, assumptions, skipped;
};

static void complain(const struct subject *s, const char *what)
{
    struct text control = {0}, review = {0};
    struct random_parts parts;

    random_review(s->seed, &control, &review, &parts);
    print_message("seed %u: %s\n%s\n%s\n", (unsigned)s->seed, what,
                  text_str(&control), text_str(&review));
    text_release(&control);
    text_release(&review);
}

static void read_subject(struct subject *s)
{
    struct text control = {0}, review = {0}, words = {0};
    struct tree_run *run;

    s->arena = arena_new();
    s->names = names_new(s->arena);
    s->sources = sources_new(s->arena);
    s->diags = diags_new(s->arena);
    run = ARENA_NEW(s->arena, struct tree_run);
    random_review(s->seed, &control, &review, &s->parts);
    const struct parse_context parse = {s->arena, s->names, s->sources,
                                        s->diags};
    const struct check_context check = {s->arena, s->names, s->sources,
                                        s->diags};
    parse_text(&parse, sources_add(s->sources, "random.st",
                                   text_str(&control), control.n),
               PARSE_CONTROL, run);
    parse_text(&parse, sources_add(s->sources, "random.review",
                                   text_str(&review), review.n),
               PARSE_REVIEW, run);
    if (diags_errors(s->diags) == 0)
        s->model = check_run(&check, run);
    if (s->model == NULL) {
        render_diags(&words, s->sources, s->diags);
        complain(s, text_str(&words));
    }
    text_release(&words);
    text_release(&control);
    text_release(&review);
    assert_non_null(s->model);
    s->lowered = lower_model(s->arena, s->model, s->diags);
    assert_non_null(s->lowered);
    s->machine = machine_new(s->arena, s->model);
}

static void release_subject(struct subject *s)
{
    lowered_free(s->lowered);
    names_free(s->names);
    diags_free(s->diags);
    sources_free(s->sources);
    arena_free(s->arena);
}

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
               (flat->kind == PLACE_SLOT &&
                s->model->slots[flat->index].clock);

    if (age)
        place.most = flat->high;
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
    bool *allowed = arena_array(s->arena, s->model->n_faults + 1,
                                sizeof *allowed);
    struct naive_setting setting = {
        .step = {.fault_limit = r->despite, .allowed = allowed,
                 .counted = counted},
        .places = places,
        .n_places = slice->n_cells,
        .requirement = requirement,
        .most_states = MOST_STATES,
    };

    for (uint32_t i = 0; i < slice->n_cells; i++)
        places[i] = place_of(s, &slice->cells[i]);
    for (uint32_t i = 0; i < s->model->n_choices; i++)
        counted[i] = slice->used[i];
    for (uint32_t f = 0; f < s->model->n_faults; f++)
        allowed[f] = r->despite_of[f] &&
                     slice->used[s->model->faults[f].choice];
    return naive_explore(s->arena, s->machine, &setting);
}

static bool check_that(const struct subject *s, bool holds, const char *what)
{
    if (!holds)
        complain(s, what);
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
    const struct explore_setting setting = {.most_situations = MOST_STATES};
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

static void explorer_agrees_with_naive_enumeration(void **state)
{
    struct tally tally = {0};
    bool same = true;

    (void)state;
    for (uint64_t seed = 1; same && seed <= MODELS; seed++) {
        struct subject s = {.seed = seed};
        unsigned before = tally.questions;

        read_subject(&s);
        for (uint32_t r = 0; same && r < s.model->n_requirements; r++)
            same = compare(&s, r, &tally);
        if (tally.questions > before) {
            tally.compared++;
            tally.faults += s.parts.faults;
            tally.power += s.parts.power;
            tally.movements += s.parts.movements;
            tally.assumptions += s.parts.assumptions;
        }
        release_subject(&s);
    }
    print_message("%u models, %u questions: %u broken, %u with dead ends, "
                  "%u with run-time errors; models with faults %u, power "
                  "%u, movements %u, assumptions %u; too large: %u\n",
                  tally.compared, tally.questions, tally.broken,
                  tally.dead_ends, tally.errors, tally.faults, tally.power,
                  tally.movements, tally.assumptions, tally.skipped);
    assert_true(same);
    assert_true(tally.compared >= WANTED);
    assert_true(tally.broken > 50 && tally.dead_ends > 10);
    assert_true(tally.faults > 40 && tally.power > 40);
    assert_true(tally.movements > 80 && tally.assumptions > 80);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(explorer_agrees_with_naive_enumeration),
    };

    return cmocka_run_group_tests_name("agreement", tests, NULL, NULL);
}
