/* Rows against compiled explorers. */
#include <stdio.h>
#include <stdlib.h>

#include "base/os.h"
#include "tests/bench/engines.h"
#include "tests/bench/found.h"
#include "tests/bench/native.h"
#include "tests/bench/pair.h"

static const double PREFIX_SECONDS = 0.5; /* of a rival, each round */
static const double OUR_SECONDS = 2.5;
static const double LONG_SECONDS = 1.8; /* then so few rounds are enough */
enum { FEW_ROUNDS = 3, INFO_ROUNDS = 1 };

static bool is_full(void)
{
    const char *full = os_environment("BENCH_FULL");

    return full && *full && *full != '0';
}

static struct native_task *run_native(struct contest *contest,
                                      struct found *found, uint64_t sample)
{
    static struct native_task task;
    bool full = is_full() && !sample;

    if (!contest->native)
        contest->native = native_make(contest->question.slice,
                                      contest->model);
    if (!contest->native)
        exit(1);
    task = (struct native_task){
        .most_seconds = full ? 1e9 : PREFIX_SECONDS,
        .sample = sample,
        .until = contest->until};
    native_run(contest->native, &task);
    *found = (struct found){.complete = task.complete,
                            .seconds = task.seconds,
                            .situations = (double)task.situations,
                            .expanded = (double)task.expanded,
                            .leaves = (double)task.leaves,
                            .watch_level = task.watch_level,
                            .bytes = task.bytes};
    for (uint32_t i = 0; i < task.levels && i < FOUND_LEVELS; i++)
        found->level_size[i] = (double)task.level_size[i];
    found->levels = task.levels;
    return &task;
}

void contest_on_demand(struct contest *contest, enum contest_whom whom,
                       double goal)
{
    const char *name = "whole/on-demand", *rival = "native-on-demand";
    int rounds = is_full() ? 1 : goal > 0 ? ROUNDS : INFO_ROUNDS;
    struct pair pair;
    struct row row;

    if (!pair_open(&pair, contest, whom, name))
        return;
    if (!contest->known->complete) { /* perhaps it says how many there are */
        run_native(contest, pair.rival, 0);
        contest_gate(contest, rival, pair.rival);
    }
    for (int i = 0; i < rounds; i++) {
        if (i >= FEW_ROUNDS && pair.ours->seconds > LONG_SECONDS)
            break;
        pair_ours(&pair, OUR_SECONDS);
        run_native(contest, pair.rival, 0);
        pair_note(&pair, rival);
    }
    row = pair_row(&pair, name, rival, goal);
    report_row(contest->report, &row);
    pair_close(&pair);
}

void contest_all_inputs(struct contest *contest, double goal)
{
    const char *name = "whole/all-inputs", *rival = "native-all-inputs";
    const struct native_task *task;
    struct pair pair;
    struct row row;

    if (!pair_open(&pair, contest, ANY_ENGINE, name))
        return;
    for (int i = 0; i < ROUNDS; i++) {
        pair_ours(&pair, OUR_SECONDS);
        task = run_native(contest, pair.rival, 30);
        pair.rival->complete = false;
        pair.rival->expanded = (double)task->sample;
        pair.rival->seconds = task->sample_seconds;
        pair_note(&pair, rival);
    }
    row = pair_row(&pair, name, rival, goal);
    snprintf(row.note, sizeof row.note,
             "rival extrapolated from a sample of %.0f situations, %.0f "
             "choice vectors each", pair.rival->expanded,
             question_vectors(contest->question.slice));
    report_row(contest->report, &row);
    pair_close(&pair);
}
