/* Rows about memory, threads and the program as a whole. */
#include <stdio.h>
#include <stdlib.h>

#include "base/text.h"
#include "engine/concrete/store.h"
#include "engine/tiles/tiles.h"
#include "tests/bench/clock.h"
#include "tests/bench/command.h"
#include "tests/bench/contest.h"
#include "tests/bench/engines.h"
#include "tests/bench/found.h"
#include "tests/bench/probes.h"
#include "tests/bench/question.h"
#include "tests/bench/rows.h"
#include "tests/support/hand_slice.h"

#if __has_include("engine/tiles/table.h")
#include "engine/tiles/table.h"
#define HAS_TABLE 1
#endif

enum { BATCH = 32, TWO_ROUNDS = 3 };

static const uint64_t INSERTS = 12 << 20;

/* ---- inserts ---- */

static double insert_concrete(uint64_t n)
{
    struct store *store = store_new(1, 0);
    double start = clock_processor();

    for (uint64_t i = 0; i < n; i++) {
        uint64_t key = probe_key(i);

        store_add(store, &key, NULL);
    }
    start = clock_processor() - start;
    store_free(store);
    return start;
}

#ifdef HAS_TABLE
static double insert_plain(uint64_t n)
{
    struct budget budget = {0};
    struct table *table = table_of_bits(&budget, 48);
    uint64_t keys[BATCH], found = 0;
    double start = clock_processor();

    for (uint64_t i = 0; i < n; i += BATCH) {
        for (int j = 0; j < BATCH; j++)
            keys[j] = probe_key(i + (uint64_t)j);
        if (!table_add(table, keys, BATCH, 1, &found))
            exit(1);
    }
    start = clock_processor() - start;
    table_free(table);
    return start;
}
#endif

static void insert_row(struct report *report, const char *ours,
                       double (*insert)(uint64_t n), uint64_t n, double goal)
{
    struct row row = {.name = "inserts/bare-loop", .model = "random keys",
                      .ours = ours, .rival = "bare loop",
                      .unit = "M inserts/s", .goal = goal,
                      .rounds = ROUNDS};
    double figure[ROUNDS], bare[ROUNDS], ratio[ROUNDS];

    for (int i = 0; i < ROUNDS; i++) {
        figure[i] = (double)n / insert(n) / 1e6;
        bare[i] = (double)n / probe_inserts(n) / 1e6;
        ratio[i] = figure[i] / bare[i];
    }
    row.our_figure = spread_of(figure, ROUNDS).median;
    row.rival_figure = spread_of(bare, ROUNDS).median;
    row.ratio = spread_of(ratio, ROUNDS);
    snprintf(row.note, sizeof row.note,
             "ratio of rates; ours grows from nothing, the bare loop does "
             "not");
    report_row(report, &row);
}

void rows_of_inserts(struct report *report)
{
#ifdef HAS_TABLE
    insert_row(report, "concrete", insert_concrete, INSERTS / 4, 0);
    insert_row(report, "plain", insert_plain, INSERTS, 0.9);
#else
    insert_row(report, "concrete", insert_concrete, INSERTS, 0.9);
#endif
}

/* ---- bytes for each situation ---- */

/* 3 * 2^24 situations of 48 bits: a walker over so many places with a second
 * cell that follows from the first as if at random.  Its first way goes
 * through all places: 13 - 1 is a multiple of 4 and of 3, and what is added
 * of neither 2 nor 3 (Knuth, The Art of Computer Programming, volume 2,
 * 3.2.1.2, theorem A). */
static void make_large(struct hand *h)
{
    const int64_t n = INT64_C(3) << 24, m = INT64_C(1) << 22;
    flat_expr way = hand_choice(h, FLAT_OPERATOR, 2, 0);
    flat_expr x = hand_cell(h, 0, n - 1, 1), y = hand_cell(h, 0, m - 1, 1);
    flat_expr zero = hand_const(h, 0), size = hand_const(h, n);
    flat_expr a = hand_op(h, FLAT_MUL, x, hand_const(h, 13));
    flat_expr b = hand_op(h, FLAT_MUL, x, hand_const(h, 1664525));
    flat_expr to;

    a = hand_op(h, FLAT_ADD, a, hand_const(h, 12345677));
    b = hand_op(h, FLAT_ADD, b, hand_const(h, 1013904223));
    to = hand_op(h, FLAT_MOD, hand_ite(h, way, a, b), size);
    hand_next(h, x, zero, to);
    b = hand_op(h, FLAT_MUL, to, hand_const(h, 2654435761));
    b = hand_op(h, FLAT_DIV, b, hand_const(h, 4096));
    hand_next(h, y, zero, hand_op(h, FLAT_MOD, b, hand_const(h, m)));
    hand_watch(h, zero, zero);
}

static void bound_rows(struct report *report, const char *engine,
                       const struct found *found)
{
    double bytes = (double)found->bytes / found->situations;
    double bound = probe_bound(found->situations, 48);
    struct row row = {.name = "bytes/situation", .model = "3*2^24 by hand",
                      .ours = engine, .rival = "bound", .unit = "bytes",
                      .our_figure = bytes, .rival_figure = bound,
                      .ratio = {bytes, bytes, bytes}, .goal = 5.0,
                      .at_most = true, .rounds = 1};

    snprintf(row.note, sizeof row.note,
             "the ratio is the figure itself; %.0f situations%s in %.1f s",
             found->situations,
             found->complete ? "" : " (a prefix: the time was over)",
             found->seconds);
    report_row(report, &row);
    row.name = "bytes/bound";
    row.ratio.median = row.ratio.least = row.ratio.most = bytes / bound;
    row.goal = 1.8;
    report_row(report, &row);
}

void rows_of_bound(struct report *report)
{
    const struct engine *engine = engine_find("plain");
    struct found *found = calloc(1, sizeof *found);
    struct engine_task task = {.most_seconds = 75};
    struct hand hand;

    if (!engine)
        engine = engine_at(0);
    hand_init(&hand);
    make_large(&hand);
    task.slice = hand_slice(&hand);
    engine->run(&task, found);
    bound_rows(report, engine->name, found);
    hand_release(&hand);
    free(found);
}

/* ---- threads ---- */

/* Wall seconds of a whole run, since two threads are what is asked about. */
static double run_body(const struct slice *slice, uint32_t threads)
{
    const struct explore_setting setting = {.threads = threads};
    double start = clock_wall();
    struct tiles *tiles = tiles_explore(slice, &setting, TILES_AUTOMATIC);

    start = clock_wall() - start;
    if (tiles_reach(tiles)->end != EXPLORE_COMPLETE)
        exit(1);
    tiles_free(tiles);
    return start;
}

/* The probe runs in the same round, so that both meet the same machine. */
static void row_of_two(struct report *report)
{
    struct question question =
        question_open("tests/bench/models/body.review", "Whole");
    struct row row = {.name = "two-threads/one", .model = "body",
                      .ours = "tiles", .rival = "probe", .unit = "times",
                      .goal = 0.85, .rounds = TWO_ROUNDS};
    double speed[TWO_ROUNDS], probe[TWO_ROUNDS], ratio[TWO_ROUNDS];

    for (int i = 0; i < TWO_ROUNDS; i++) {
        double one = run_body(question.slice, 1);

        probe[i] = probe_two_threads();
        speed[i] = one / run_body(question.slice, 2);
        ratio[i] = speed[i] / probe[i];
    }
    row.our_figure = spread_of(speed, TWO_ROUNDS).median;
    row.rival_figure = spread_of(probe, TWO_ROUNDS).median;
    row.ratio = spread_of(ratio, TWO_ROUNDS);
    snprintf(row.note, sizeof row.note, "wall; how many times faster two "
             "threads are, of how many times the arithmetic probe is; three "
             "rounds, of two whole runs each");
    report_row(report, &row);
    question_close(&question);
}

void rows_of_threads(struct report *report)
{
    double scale[ROUNDS];
    struct row row = {.name = "probe/two-threads", .model = "arithmetic",
                      .ours = "two threads", .rival = "one", .unit = "times",
                      .rounds = ROUNDS, .rival_figure = 1};

    for (int i = 0; i < ROUNDS; i++)
        scale[i] = probe_two_threads();
    row.ratio = spread_of(scale, ROUNDS);
    row.our_figure = row.ratio.median;
    snprintf(row.note, sizeof row.note, "what two cores give at this moment; "
             "2 on an idle machine");
    report_row(report, &row);
    row_of_two(report);
}

/* ---- the program ---- */

enum { LEAVING_ROUNDS = 3, COMMAND_SECONDS = 8 };

static double run_command(const char *options, bool *ended)
{
    struct text line = {0};
    double seconds;

    text_printf(&line, "check %s models/rear_body/rear_body.review", options);
    seconds = command_end(command_start(text_str(&line), COMMAND_SECONDS),
                          ended);
    text_release(&line);
    return seconds;
}

/* What our own reductions are worth, as far as they can be left out: without
 * them the command takes so long that it is run once. */
static void row_of_leaving(struct report *report,
                           const double ours[LEAVING_ROUNDS])
{
    double ratio[LEAVING_ROUNDS];
    struct row row = {.name = "command/without", .model = "rear_body",
                      .ours = "keepclear check",
                      .rival = "--without slices,sharing,untimed",
                      .unit = "s", .goal = 3, .rounds = LEAVING_ROUNDS};

    row.rival_figure = run_command(row.rival, &row.at_least_so);
    for (int i = 0; i < LEAVING_ROUNDS; i++)
        ratio[i] = row.rival_figure / ours[i];
    row.our_figure = spread_of(ours, LEAVING_ROUNDS).median;
    row.ratio = spread_of(ratio, LEAVING_ROUNDS);
    snprintf(row.note, sizeof row.note, "our own switches; the rival is run "
             "once%s", row.at_least_so ? " and was ended" : "");
    report_row(report, &row);
}

void rows_of_command(struct report *report)
{
    double seconds[LEAVING_ROUNDS];
    struct row row = {.name = "command/check", .model = "rear_body",
                      .ours = "keepclear check", .rival = "goal",
                      .unit = "s", .goal = 2, .at_most = true,
                      .rival_figure = 2};

    while (row.rounds < LEAVING_ROUNDS) {
        bool ended;

        seconds[row.rounds++] = run_command("", &ended);
        if (ended)
            exit(1);
    }
    row.ratio = spread_of(seconds, row.rounds);
    row.our_figure = row.ratio.median;
    snprintf(row.note, sizeof row.note,
             "processor seconds of the whole command, all requirements; the "
             "ratio is the figure itself");
    report_row(report, &row);
    row_of_leaving(report, seconds);
}
