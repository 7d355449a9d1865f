/* Rows about models that come in sizes, and about puzzles. */
#include "tests/bench/rows.h"

#include <stdio.h>
#include <stdlib.h>

#include "base/text.h"
#include "tests/bench/contest.h"
#include "tests/bench/engines.h"
#include "tests/bench/families.h"
#include "tests/bench/found.h"
#include "tests/support/generate.h"

static const double MOST_SECONDS = 4, PROBE_SECONDS = 1;
static const double TOO_SHORT = 0.004; /* such a time says nothing */

/* One member of a family, run in rounds by one engine. */
struct member {
    double seconds[ROUNDS];
    struct found found;
};

static void run_member(const struct engine *engine, const char *path,
                       const char *requirement, struct member *member)
{
    struct question question = question_open(path, requirement);
    const struct engine_task task = {.slice = question.slice,
                                     .most_seconds = MOST_SECONDS};

    for (int i = 0; i < ROUNDS; i++) {
        engine->run(&task, &member->found);
        member->seconds[i] = member->found.seconds;
        if (member->found.seconds > 1)
            for (; i + 1 < ROUNDS; i++)
                member->seconds[i + 1] = member->seconds[i];
    }
    question_close(&question);
}

struct family {
    const char *name, *requirement;
    void (*write)(struct text *path, unsigned size);
    const unsigned *sizes; /* 0-ended */
    double goal;
    bool halves;           /* the sizes fall */
};

static void growth_row(struct report *report, const struct family *family,
                       const struct engine *engine,
                       const struct member *members, unsigned size)
{
    const struct member *small = &members[0], *large = &members[1];
    double ratio[ROUNDS];
    struct row row = {.name = family->name, .ours = engine->name,
                      .rival = "step before", .unit = "s",
                      .goal = family->goal, .at_most = true,
                      .rounds = ROUNDS};
    char model[32];

    snprintf(model, sizeof model, "%s %u", family->halves ? "ms" : "n", size);
    row.model = model;
    for (int i = 0; i < ROUNDS; i++)
        ratio[i] = large->seconds[i] / small->seconds[i];
    row.ratio = spread_of(ratio, ROUNDS);
    row.our_figure = spread_of(large->seconds, ROUNDS).median;
    row.rival_figure = spread_of(small->seconds, ROUNDS).median;
    row.at_least_so = !large->found.complete;
    if (row.our_figure < TOO_SHORT)
        row.goal = 0;
    snprintf(row.note, sizeof row.note, "growth of ours; %.4g situations%s",
             large->found.situations,
             large->found.complete ? "" : ", not the whole");
    report_row(report, &row);
}

static void grow(struct report *report, const struct family *family,
                 const struct engine *engine)
{
    struct member *members = calloc(2, sizeof *members);

    for (const unsigned *size = family->sizes; *size; size++) {
        struct text path = {0};

        family->write(&path, *size);
        run_member(engine, text_str(&path), family->requirement,
                   &members[1]);
        text_release(&path);
        if (size != family->sizes)
            growth_row(report, family, engine, members, *size);
        members[0] = members[1];
        if (!members[0].found.complete)
            break;
    }
    free(members);
}

static void side_contest(struct report *report, unsigned n)
{
    struct contest contest = {0};
    struct text path = {0};
    char model[32];

    snprintf(model, sizeof model, "bodies-%u", n);
    family_side_by_side(&path, n);
    contest.question = question_open(text_str(&path), "Pump");
    contest_open(&contest, report, model, PROBE_SECONDS);
    contest_diagrams(&contest, ANY_ENGINE, 0);
    contest_close(&contest);
    text_release(&path);
}

void rows_of_side_by_side(struct report *report)
{
    static const unsigned sizes[] = {1, 2, 4, 8, 16, 32, 64, 0};
    const struct family family = {"side-by-side", "Pump",
                                  family_side_by_side, sizes, 3, false};

    if (engine_find("sets"))
        grow(report, &family, engine_find("sets"));
    else
        report_skipped(report, family.name, "n 1 .. 64", "no set engine yet");
    side_contest(report, 8);
    side_contest(report, 32);
}

void rows_of_scan(struct report *report)
{
    static const unsigned sizes[] = {100, 50, 0}, small[] = {20, 10, 0};
    struct family family = {"scan-interval", "Runs", family_scan, sizes, 2.5,
                            true};
    const struct engine *engine = engine_find("sets");

    if (!engine) {
        engine = engine_at(0);
        family.goal = 0;
    }
    grow(report, &family, engine);
    family.sizes = small;
    grow(report, &family, engine);
}

static void puzzle_row(struct report *report, const char *name,
                       const char *path, const char *requirement)
{
    struct contest contest = {0};

    contest.question = question_open(path, requirement);
    contest_open(&contest, report, name, PROBE_SECONDS);
    contest_on_demand(&contest, ANY_ENGINE, 0);
    contest_diagrams(&contest, ANY_ENGINE, 0);
    contest_close(&contest);
}

static void generated(struct report *report, const char *name,
                      struct text *review, const char *requirement)
{
    struct text path = {0};

    family_puzzle(&path, name, review);
    puzzle_row(report, name, text_str(&path), requirement);
    text_release(&path);
    text_release(review);
}

void rows_of_puzzles(struct report *report)
{
    struct text review = {0};

    generate_hanoi(&review, 9);
    generated(report, "hanoi-9", &review, "Moved");
    generate_tiles(&review, 3, 3, 0);
    generated(report, "tiles-3x3", &review, "Exchanged");
    generate_lamps(&review, 4);
    generated(report, "lamps-4x4", &review, "AllOn");
    generate_frogs(&review, 4);
    generated(report, "frogs-4", &review, "Changed");
    generate_philosophers(&review, 8, false);
    generated(report, "philosophers-8", &review, "Stuck");
    puzzle_row(report, "lfsr", "tests/outside/texts/lfsr.review", "Again");
    puzzle_row(report, "knights", "tests/outside/texts/knights.review",
               "Swapped");
}
