/* generate.h - texts of puzzles that come in sizes.  Each adds a review text
 * to `out`; the control text beside it is generate_idle, unless it says
 * otherwise.  One action in a scan, or none: what d actions lead to is first
 * seen at level d + 1. */
#ifndef KEEPCLEAR_TESTS_SUPPORT_GENERATE_H
#define KEEPCLEAR_TESTS_SUPPORT_GENERATE_H

#include <stdbool.h>

struct text;

/* A control text that does nothing: only the machine moves. */
const char *generate_idle(void);

/* Towers of Hanoi with 1 to 9 discs, d1 the smallest, on pegs 0 .. 2.
 * Moved: never all discs on peg 2. */
void generate_hanoi(struct text *out, unsigned discs);

/* Philosophers, 2 to 9, who take one fork, then the other, and put both down
 * at once; the left one first, but for one of them where one_right_first.
 * Stuck: never a situation in which nobody can do anything. */
void generate_philosophers(struct text *out, unsigned n, bool one_right_first);

/* Sliding tiles on rows by columns cells c0, .. row by row, 0 the
 * blank, at the beginning in cell `blank`, the tiles in order.  Exchanged:
 * never two neighbours exchanged and all others as in the beginning. */
void generate_tiles(struct text *out, unsigned rows, unsigned columns,
                    unsigned blank);

/* Lamps in a square of side n, 2 to 4, all off; a push on one turns it and
 * its neighbours over.  AllOn: never all on. */
void generate_lamps(struct text *out, unsigned n);

/* n frogs, a blank, n toads in a row c0, .. ; frogs (1) go right, toads
 * (2) left, one cell or over one piece of any colour.  Changed: never have
 * frogs and toads changed sides. */
void generate_frogs(struct text *out, unsigned n);

/* Control texts of counters with n bits Counter.b0, .. , and the review text
 * for either.  Again: all bits are never off.  Gray: one bit changes in each
 * scan, b0 first.  Johnson: a shift register fed with the opposite of its
 * last bit. */
void generate_gray(struct text *out, unsigned n);
void generate_johnson(struct text *out, unsigned n);
void generate_counter_review(struct text *out, unsigned n);

#endif
