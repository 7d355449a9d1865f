/* generate.h - review texts of puzzles that come in sizes.
 *
 * Published values:
 * Towers of Hanoi, three pegs, n discs: 3^n situations, the shortest way from
 * one peg to another has 2^n - 1 moves (OEIS A000225; value from memory,
 * recomputed by an independent breadth-first search).
 * Dining philosophers who take the left fork first and put both down at
 * once, N of them: 6, 14, 34, 82, 198 situations for N = 2..6, companion Pell
 * numbers (OEIS A002203), and one deadlock after N actions.  With one of
 * them right-handed: 5, 12, 29, 70, 169, Pell numbers (OEIS A000129), and no
 * deadlock.  Counts recomputed by an independent breadth-first search.
 */
#ifndef KEEPCLEAR_TESTS_SUPPORT_GENERATE_H
#define KEEPCLEAR_TESTS_SUPPORT_GENERATE_H

#include <stdbool.h>

struct text;

/* Adds the review text for 1 to 9 discs to `out`.  Requirement Moved says
 * that not all discs are ever on the last peg: broken by a sequence of 2^n
 * scans. */
void generate_hanoi(struct text *out, unsigned discs);

/* Adds the review text for 2 to 9 philosophers.  Requirement Stuck says that
 * it is possible that nobody can do anything: with all left-handed shown by
 * a sequence of n + 1 scans, else never. */
void generate_philosophers(struct text *out, unsigned n, bool one_right_first);

#endif
