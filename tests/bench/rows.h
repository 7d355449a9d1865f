/* rows.h - groups of rows of the table. */
#ifndef KEEPCLEAR_BENCH_ROWS_H
#define KEEPCLEAR_BENCH_ROWS_H

struct report;

void rows_of_side_by_side(struct report *report);
void rows_of_scan(struct report *report);
void rows_of_puzzles(struct report *report);

/* The machine and the program as a whole. */
void rows_of_inserts(struct report *report);
void rows_of_bound(struct report *report);
void rows_of_threads(struct report *report);
void rows_of_command(struct report *report);

/* Faults put into a machine.  While the pairs run, the other core counts the
 * situations of rows_of_bound, which are about bytes and not about time. */
void rows_of_faults(struct report *report);

/* Long control texts. */
void rows_of_reading(struct report *report);

#endif
