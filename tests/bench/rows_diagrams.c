/* Rows against a diagram library used directly, and against z3. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "tests/bench/clock.h"
#include "tests/bench/diagrams.h"
#include "tests/bench/engines.h"
#include "tests/bench/found.h"
#include "tests/bench/pair.h"
#include "tests/bench/probes.h"
#include "tests/bench/unrolled.h"

static const double OUR_SECONDS = 3;
static const double MARGIN = 1.15; /* a rival is ended that far behind */
static const double SURE = 1.05;   /* or that far, against the same round */
static const double MOST_RANDOM = 14, MOST_SOLVER = 60, MOST_DIAGRAM = 45;

static double least(double a, double b)
{
    return a < b ? a : b;
}

/* How long a rival may run, at least a little. */
static double patience(double goal, double ours, double margin, double most)
{
    double seconds = (goal > 0 ? goal : 3) * ours * margin;

    return least(seconds < 2 ? 2 : seconds, most);
}

/* The rival used both cores, for two runs at a time. */
static void note_probe(struct row *row)
{
    size_t n = strlen(row->note);

    snprintf(row->note + n, sizeof row->note - n,
             "; two runs at a time, two-thread probe %.2f",
             probe_two_threads());
}

/* The better of declaration order and the library's own reordering. */
static void run_better(struct pair *pair, double seconds)
{
    struct diagram_task tasks[2] = {
        {.slice = pair->contest->question.slice, .most_seconds = seconds}};
    struct found *other = calloc(1, sizeof *other);

    tasks[1] = tasks[0];
    tasks[1].reorder = true;
    diagrams_run_better(tasks, pair->rival, other);
    contest_gate(pair->contest, "buddy", other);
    if (!other->failed && (pair->rival->failed ||
                           other->seconds < pair->rival->seconds))
        *pair->rival = *other;
    free(other);
}

void contest_diagrams(struct contest *contest, enum contest_whom whom,
                      double goal)
{
    const char *name = "whole/buddy-direct", *rival = "buddy";
    struct pair pair;
    struct row row;

    if (!pair_open(&pair, contest, whom, name))
        return;
    do {
        pair_ours(&pair, OUR_SECONDS);
        run_better(&pair, patience(goal, pair_our_whole(&pair), SURE,
                                   MOST_DIAGRAM));
        pair_note(&pair, rival);
    } while (pair.rounds < ROUNDS && pair.rival->seconds < 4);
    if (!pair.ours->complete && pair.ours->expanded < 1) {
        report_skipped(contest->report, name, contest->model,
                       "none of our engines came far enough in time");
        pair_close(&pair);
        return;
    }
    row = pair_row(&pair, name, rival, goal);
    row.at_least_so = pair.rival->failed;
    if (!*row.note)
        snprintf(row.note, sizeof row.note, "%.6g situations, %u levels; "
                 "better of declaration order and its own reordering%s",
                 contest->known->situations, contest->known->levels,
                 pair.rival->failed ? "; ended before it was through" : "");
    note_probe(&row);
    report_row(contest->report, &row);
    pair_close(&pair);
}

/* Seeds 2 i + 1 and 2 i + 2; the fifth alone. */
static void run_random(struct pair *pair, double seconds)
{
    struct found *other = calloc(1, sizeof *other);

    for (uint32_t seed = 1; seed <= ROUNDS; seed += 2) {
        struct diagram_task tasks[2] = {
            {.slice = pair->contest->question.slice, .seed = seed,
             .most_seconds = seconds}};

        pair_ours(pair, OUR_SECONDS);
        tasks[1] = tasks[0];
        tasks[1].seed++;
        if (seed == ROUNDS)
            diagrams_run(tasks, pair->rival);
        else
            diagrams_run_both(tasks, pair->rival, other);
        pair_note(pair, "buddy");
        if (seed == ROUNDS)
            break;
        *pair->rival = *other;
        pair_note(pair, "buddy");
    }
    free(other);
}

void contest_random_orders(struct contest *contest, double goal)
{
    const char *name = "whole/buddy-random";
    double seconds;
    struct pair pair;
    struct row row;

    if (!pair_open(&pair, contest, ANY_ENGINE, name))
        return;
    pair_ours(&pair, OUR_SECONDS);
    seconds = patience(goal, pair.ours->seconds, MARGIN, MOST_RANDOM);
    run_random(&pair, seconds);
    row = pair_row(&pair, name, "buddy", goal);
    row.at_least_so = pair.failed > ROUNDS / 2;
    snprintf(row.note, sizeof row.note,
             "five random orders of the bits; a run is ended after %.1f s: "
             "%d were", seconds, pair.failed);
    note_probe(&row);
    report_row(contest->report, &row);
    pair_close(&pair);
}

void contest_unrolled(struct contest *contest, double goal)
{
    const char *name = "deep/z3";
    uint32_t depth = contest->known->watch_level;
    struct pair pair;
    struct row row;

    if (!unrolled_here()) {
        report_skipped(contest->report, name, contest->model,
                       "z3 is not installed");
        return;
    }
    if (!pair_open(&pair, contest, ANY_ENGINE, name))
        return;
    pair_ours(&pair, OUR_SECONDS);
    if (!pair.ours->watch_level) {
        report_skipped(contest->report, name, contest->model,
                       "none of our engines came that deep in time");
        pair_close(&pair);
        return;
    }
    for (int i = 0; i < ROUNDS; i++) {
        pair_ours(&pair, OUR_SECONDS);
        if (i == 0)
            unrolled_run(contest->question.slice, depth + 10,
                         patience(goal, pair.ours->seconds, MARGIN,
                                  MOST_SOLVER),
                         pair.rival);
        pair_note(&pair, "z3");
    }
    row = pair_row(&pair, name, "z3", goal);
    row.at_least_so = pair.rival->failed;
    snprintf(row.note, sizeof row.note,
             "seen after %u scans; z3 run once, %s %.0f scans excluded",
             contest->known->watch_level,
             pair.rival->failed ? "ended with" : "found, with",
             pair.rival->expanded);
    report_row(contest->report, &row);
    pair_close(&pair);
}

void contest_bytes(struct contest *contest, const char *engine, double goal)
{
    const struct engine *asked = engine_find(engine);
    struct found *found = calloc(1, sizeof *found);
    struct row row = {.name = "bytes/situation", .model = contest->model,
                      .ours = engine, .rival = "bound", .unit = "bytes",
                      .goal = goal, .at_most = true, .rounds = 1};
    struct engine_task task = {.slice = contest->question.slice,
                               .most_seconds = 5};

    if (!asked) {
        report_skipped(contest->report, row.name, contest->model, engine);
        free(found);
        return;
    }
    asked->run(&task, found);
    contest_gate(contest, engine, found);
    row.our_figure = (double)found->bytes / found->situations;
    row.rival_figure = goal;
    row.ratio = (struct spread){row.our_figure, row.our_figure,
                                row.our_figure};
    snprintf(row.note, sizeof row.note,
             "the ratio is the figure itself; %.0f situations%s",
             found->situations, found->complete ? "" : ", not the whole");
    report_row(contest->report, &row);
    free(found);
}
