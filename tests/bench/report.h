/* report.h - the table: one line for each row, and the same as CSV. */
#ifndef KEEPCLEAR_BENCH_REPORT_H
#define KEEPCLEAR_BENCH_REPORT_H

#include <stdbool.h>

enum { ROUNDS = 5 };

/* Median, least and most. */
struct spread {
    double median, least, most;
};

struct spread spread_of(const double *values, int n);

struct row {
    const char *name, *model;
    const char *ours, *rival; /* who */
    const char *unit;         /* of both figures */
    double our_figure, rival_figure; /* medians */
    struct spread ratio;
    double goal;              /* 0: for information */
    bool at_most;             /* the ratio is not to exceed the goal */
    bool at_least_so;         /* the ratio is only known to be larger */
    int rounds;
    char note[300];
};

struct report;

/* Writes the line of the machine. */
struct report *report_open(void);

void report_row(struct report *report, const struct row *row);
void report_skipped(struct report *report, const char *name,
                    const char *model, const char *why);

/* A hard gate: something that must be equal was not. */
void report_different(struct report *report, const char *model);

/* Writes the CSV and the last line; the exit code: 1 when a gate failed. */
int report_close(struct report *report);

#endif
