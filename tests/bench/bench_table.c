/* The table: our engines and their rivals, side by side in one run, as
 * ratios.  docs/notes/bench.md says how to read it. */
#include <string.h>

#include "tests/bench/contest.h"
#include "tests/bench/report.h"
#include "tests/bench/rows.h"

/* Only the groups whose names stand on the command line; none: all. */
static bool is_asked(int argc, char **argv, const char *group)
{
    for (int i = 1; i < argc; i++)
        if (!strcmp(argv[i], group))
            return true;
    return argc < 2;
}

static void body(struct report *report)
{
    struct contest contest = {0};

    contest_open_text(&contest, report, "body", "Whole");
    contest_diagrams(&contest, ANY_ENGINE, 0);
    contest_all_inputs(&contest, 0);
    contest_on_demand(&contest, ANY_ENGINE, 300);
    contest_random_orders(&contest, 100);
    contest_bytes(&contest, "tiles", 0.6);
    contest_close(&contest);
}

static void large(struct report *report)
{
    struct contest contest = {0};

    contest_open_text(&contest, report, "body_large", "Whole");
    contest_diagrams(&contest, ANY_ENGINE, 1.5);
    contest_on_demand(&contest, ANY_ENGINE, 0);
    contest_close(&contest);
}

static void hostile(struct report *report)
{
    struct contest counters = {0}, rack = {0};

    contest_open_text(&counters, report, "counters", "Whole");
    contest_on_demand(&counters, NO_SETS, 1);
    contest_close(&counters);
    contest_open_text(&rack, report, "rack", "Whole");
    contest_on_demand(&rack, NO_SETS, 0); /* says how many there are */
    contest_diagrams(&rack, NO_SETS, 10);
    contest_close(&rack);
}

static void deep(struct report *report)
{
    struct contest contest = {.until = true};

    contest_open_text(&contest, report, "body_large", "Deep");
    contest_unrolled(&contest, 200);
    contest_close(&contest);
}

static const struct {
    const char *name;
    void (*rows)(struct report *report);
} groups[] = {
    {"threads", rows_of_threads}, {"body", body}, {"large", large},
    {"hostile", hostile}, {"deep", deep}, {"puzzles", rows_of_puzzles},
    {"side", rows_of_side_by_side}, {"scan", rows_of_scan},
    {"inserts", rows_of_inserts}, {"command", rows_of_command},
    {"faults", rows_of_faults}, /* with those of rows_of_bound */
    {"reading", rows_of_reading},
};

int main(int argc, char **argv)
{
    struct report *report = report_open();

    for (size_t i = 0; i < sizeof groups / sizeof *groups; i++)
        if (is_asked(argc, argv, groups[i].name))
            groups[i].rows(report);
    return report_close(report);
}
