/* rhythm.h - how long scans take, and in which of them a program runs: SCAN
 * and RUNS of the review text. */
#ifndef KEEPCLEAR_CHECK_RHYTHM_H
#define KEEPCLEAR_CHECK_RHYTHM_H

#include "check/draft.h"

/* SCAN.  Fills scan of the model, scan_least and scan_step of the draft, also
 * where a mistake was reported. */
void rhythm_scan(struct draft *draft);

/* The program of that name, or NULL with a report; it moves when the list
 * grows. */
struct program *rhythm_program(struct draft *draft, const struct name *name,
                               struct span span);

/* RUNS, when the programs are known. */
void rhythm_runs(struct draft *draft);

#endif
