/* POSSIBLE against a closed set of states, found by brute force with the
 * reference interpreter. */
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
#include "reference/naive.h"
#include "reference/replay.h"
#include "study/check.h"
#include "tests/support/left_out.h"
#include "tests/support/subject.h"

/* With sanitizers everything is many times slower: fewer machines then. */
#ifdef __SANITIZE_ADDRESS__
enum { CHECKED = 25, PACED = 8, DESPITE = 10 };
#elif defined TEST_WHOLE
enum { CHECKED = 60, PACED = 24, DESPITE = 48 };
#else
enum { CHECKED = 30, PACED = 12, DESPITE = 24 };
#endif

struct tally {
    unsigned verdicts[5], faults; /* faults: some sets do, some do not */
};

static bool check_that(const struct subject *s, bool holds, const char *what)
{
    if (!holds)
        subject_complain(s, what);
    return holds;
}

/* ---- POSSIBLE against a closed set of states found by brute force ---- */

struct graph {
    const struct subject *s;
    struct step_setting setting; /* faults that may occur */
    const uint32_t *present;     /* per choice row: in the first scan; rows of
                                    faults only, NULL: no fault */
    int64_t *states; /* n of them */
    uint32_t n, cap, words;
    uint32_t *from, *to; /* edges; from UINT32_MAX: first scans; to
                            UINT32_MAX: a run-time error */
    bool *good;          /* per edge: what is looked for is there */
    uint32_t *ours;      /* per edge: number of our choices, ascending */
    uint32_t n_edges, cap_edges;
};

enum { MOST_GRAPH = 1500 };

static uint32_t graph_state(struct graph *g, const int64_t *state)
{
    for (uint32_t i = 0; i < g->n; i++)
        if (memcmp(g->states + (size_t)i * g->words, state,
                   g->words * sizeof *state) == 0)
            return i;
    if (g->n == g->cap)
        return UINT32_MAX;
    memcpy(g->states + (size_t)g->n * g->words, state,
           g->words * sizeof *state);
    return g->n++;
}

/* state NULL: a run-time error. */
static bool graph_edge(struct graph *g, uint32_t from, const int64_t *state,
                       bool good, uint32_t ours)
{
    uint32_t to = state != NULL ? graph_state(g, state) : UINT32_MAX;

    if ((state != NULL && to == UINT32_MAX) || g->n_edges == g->cap_edges)
        return false;
    g->from[g->n_edges] = from;
    g->to[g->n_edges] = to;
    g->ours[g->n_edges] = ours;
    g->good[g->n_edges++] = good;
    return true;
}

/* Resolved against us, when our choices of the scan are made. */
static bool is_shared(const struct choice *choice)
{
    return choice->kind == CHOICE_TIME || choice->kind == CHOICE_SHARED ||
           choice->kind == CHOICE_UNCOMMANDED;
}

static bool turns(const struct choice *choice, bool first)
{
    return choice->kind != CHOICE_POWER && choice->kind != CHOICE_FAULT &&
           (first || (choice->kind != CHOICE_START &&
                      choice->kind != CHOICE_PAST));
}

static bool turn_rows(const struct model *model, bool first, bool shared,
                      uint32_t *choices)
{
    for (uint32_t i = 0; i < model->n_choices; i++) {
        const struct choice *choice = &model->choices[i];

        if (!turns(choice, first) || is_shared(choice) != shared)
            continue;
        if (++choices[i] < choice->count)
            return true;
        choices[i] = 0;
    }
    return false;
}

/* Next combination of the rows that turn (START and PAST at first); those
 * against us fastest, so that those that differ in them alone follow one
 * another.  *ours counts the others. */
static bool turn(const struct model *model, bool first, uint32_t *choices,
                 uint32_t *ours)
{
    if (turn_rows(model, first, true, choices))
        return true;
    ++*ours;
    return turn_rows(model, first, false, choices);
}

static bool graph_expand(struct graph *g, uint32_t from)
{
    const struct model *model = g->s->model;
    struct step_setting setting = g->setting;
    uint32_t choices[64] = {0};
    int64_t state[512];
    uint32_t ours = 0;

    assert_true(model->n_choices <= 64 && g->words <= 512);
    setting.first = from == UINT32_MAX;
    if (setting.first && g->present != NULL)
        memcpy(choices, g->present, model->n_choices * sizeof *choices);
    do {
        const struct step_result *result;

        if (setting.first)
            machine_start(g->s->machine, choices, state);
        else
            memcpy(state, g->states + (size_t)from * g->words,
                   g->words * sizeof *state);
        result = machine_step(g->s->machine, &setting, choices, state);
        if (result->end != STEP_NOT_ALLOWED &&
            !graph_edge(g, from, result->end == STEP_JUDGED ? state : NULL,
                        result->breach[0], ours))
            return false;
    } while (turn(model, setting.first, choices, &ours));
    return true;
}

static bool helps(const struct graph *g, const bool *can, uint32_t edge)
{
    return g->to[edge] != UINT32_MAX &&
           (g->good[edge] || can[g->to[edge]]);
}

/* Past the edges that have all of our choices alike; *all: each helps. */
static uint32_t same_choices(const struct graph *g, const bool *can,
                             uint32_t edge, bool *all)
{
    uint32_t from = g->from[edge], ours = g->ours[edge];

    *all = true;
    for (; edge < g->n_edges && g->from[edge] == from &&
           g->ours[edge] == ours; edge++)
        *all = *all && helps(g, can, edge);
    return edge;
}

/* From every first scan, however long each scan takes? */
static bool graph_possible(const struct graph *g)
{
    bool *can = calloc(g->n + 1, sizeof *can), added = true, all = true;

    while (added) {
        added = false;
        for (uint32_t e = 0, next; e < g->n_edges; e = next) {
            bool good;

            next = same_choices(g, can, e, &good);
            if (g->from[e] != UINT32_MAX && !can[g->from[e]] && good)
                can[g->from[e]] = added = true;
        }
    }
    for (uint32_t e = 0; e < g->n_edges; e++)
        if (g->from[e] == UINT32_MAX && g->to[e] != UINT32_MAX &&
            !helps(g, can, e))
            all = false;
    free(can);
    return all;
}

static bool graph_fill(struct graph *g)
{
    bool whole = graph_expand(g, UINT32_MAX);

    for (uint32_t i = 0; whole && i < g->n; i++)
        whole = graph_expand(g, i);
    return whole;
}

static void graph_init(struct graph *g, const struct subject *s)
{
    *g = (struct graph){.s = s, .cap = MOST_GRAPH, .cap_edges = 1 << 20,
                        .words = machine_words(s->machine)};
    g->states = malloc((size_t)g->cap * (g->words + 1) * sizeof *g->states);
    g->from = malloc(g->cap_edges * sizeof *g->from);
    g->to = malloc(g->cap_edges * sizeof *g->to);
    g->good = malloc(g->cap_edges * sizeof *g->good);
    g->ours = malloc(g->cap_edges * sizeof *g->ours);
}

static void graph_release(struct graph *g)
{
    free(g->states);
    free(g->from);
    free(g->to);
    free(g->good);
    free(g->ours);
}

/* ---- every set of faults that DESPITE allows, present from the start ---- */

struct sets {
    struct graph g;
    const struct requirement *asked;
    uint32_t *present;
    bool *in; /* per cause: in the set */
    unsigned tried, impossible;
    bool whole;
};

/* With exactly what is present now. */
static void try_present(struct sets *sets)
{
    sets->g.n = sets->g.n_edges = 0;
    if (!graph_fill(&sets->g))
        sets->whole = false;
    else
        sets->impossible += !graph_possible(&sets->g);
    sets->tried++;
}

/* A cause of the set lets it appear, when it likes. */
static bool is_enabled(const struct sets *sets, const struct fault *fault)
{
    for (uint32_t i = 0; i < fault->n_causes; i++)
        if (sets->in[fault->causes[i]])
            return true;
    return false;
}

static void try_moments(struct sets *sets, uint32_t from)
{
    const struct model *model = sets->g.s->model;

    try_present(sets);
    for (uint32_t f = from; f < model->n_faults && sets->whole; f++) {
        const struct fault *fault = &model->faults[f];

        if (!fault->own || !is_enabled(sets, fault))
            continue;
        sets->present[fault->choice] = 1;
        try_moments(sets, f + 1);
        sets->present[fault->choice] = 0;
    }
}

static void try_causes(struct sets *sets, uint32_t from, uint32_t left)
{
    const struct model *model = sets->g.s->model;

    try_moments(sets, 0);
    for (uint32_t c = from; c < model->n_causes && left > 0; c++) {
        if (sets->asked->despite_of != NULL && !sets->asked->despite_of[c])
            continue;
        sets->in[c] = true;
        sets->present[model->causes[c].choice] = 1;
        try_causes(sets, c + 1, left - 1);
        sets->present[model->causes[c].choice] = 0;
        sets->in[c] = false;
    }
}

static bool possible_agrees(const struct subject *s,
                            const struct findings *findings,
                            struct tally *tally)
{
    const struct requirement_finding *finding = &findings->requirements[0];
    struct sets sets = {.asked = &s->model->requirements[0], .whole = true};
    bool same = true;

    graph_init(&sets.g, s);
    sets.present = arena_array(s->arena, s->model->n_choices + 1,
                               sizeof *sets.present);
    sets.in = arena_array(s->arena, s->model->n_causes + 1, sizeof(bool));
    sets.g.present = sets.present;
    sets.g.setting.fault_limit = sets.asked->despite;
    sets.g.setting.allowed = sets.asked->despite_of;
    if (finding->verdict != VERDICT_NOT_FINISHED)
        try_causes(&sets, 0, sets.asked->despite);
    if (sets.whole && sets.tried > 0) {
        tally->verdicts[finding->verdict]++;
        tally->faults += sets.impossible > 0 && sets.impossible < sets.tried;
        same = check_that(s, (finding->verdict == VERDICT_KEPT) ==
                                 (sets.impossible == 0), "POSSIBLE differs");
    }
    graph_release(&sets.g);
    return same;
}

static void possible_like(const struct subject *like, unsigned n,
                          unsigned least)
{
    const struct study_setting setting = {.most_situations = 200000};
    struct tally tally = {0};
    bool same = true;

    for (uint64_t seed = like->seed; same && seed < like->seed + n; seed++) {
        struct subject s = *like;
        const struct findings *findings;

        s.seed = seed;

        subject_read(&s, true);
        findings = check_model(s.arena, s.model, &setting, s.diags);
        assert_non_null(findings);
        same = (findings->internal_error == NULL ||
                check_that(&s, false, findings->internal_error)) &&
               possible_agrees(&s, findings, &tally);
        subject_release(&s);
    }
    print_message("possible: kept %u, broken %u, as faults go %u\n",
                  tally.verdicts[VERDICT_KEPT],
                  tally.verdicts[VERDICT_BROKEN], tally.faults);
    assert_true(same);
    assert_true(tally.verdicts[VERDICT_KEPT] >= least);
    assert_true(tally.verdicts[VERDICT_BROKEN] >= least);
    assert_true(!like->despite || tally.faults >= least);
}

static void possible_agrees_with_brute_force(void **state)
{
    (void)state;
    possible_like(&(struct subject){.seed = 2001}, CHECKED, CHECKED / 11);
}

static void possible_whatever_time_a_scan_takes(void **state)
{
    (void)state;
    possible_like(&(struct subject){.seed = 7001, .range = true}, PACED / 2,
                  PACED / 20);
    possible_like(&(struct subject){.seed = 7501, .every = true}, PACED / 4,
                  PACED / 20);
}

static void possible_despite_faults(void **state)
{
    (void)state;
    possible_like(&(struct subject){.seed = 8001, .despite = true}, DESPITE,
                  DESPITE / 20);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(possible_agrees_with_brute_force),
        cmocka_unit_test(possible_whatever_time_a_scan_takes),
        cmocka_unit_test(possible_despite_faults),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
