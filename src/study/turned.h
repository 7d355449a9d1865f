/* turned.h - the logic of a model with its inputs turned.
 *
 * A scan is held against scans that differ in the position of one input and
 * in nothing else: the same situation before, the same faults, movements,
 * times and other inputs.  Its expressions are made again with another value
 * in the place of that input.
 *
 * An input is a row of choices (a control, a free input, what others write),
 * or a sensor.  A sensor is turned where it shows its value to wiring and
 * programs; the machine stands as it did, and assumptions, which speak of
 * the machine, hold as they did.
 */
#ifndef KEEPCLEAR_STUDY_TURNED_H
#define KEEPCLEAR_STUDY_TURNED_H

#include "study/study.h"

struct study_more;

/* Lowers the model of the study again, with sensors that can be turned, in
 * the place of what was lowered; to be called before the first question.
 * False: diags says why. */
bool turned_open(struct study *study, struct diags *diags);

/* What to put in the place of what: the row or sensor `of`, and the value
 * index of the row, or 0 and 1 for a sensor that shows FALSE and TRUE. */
struct turn {
    bool sensor;
    uint32_t of, to;
};

/* The same expressions, so many, with the input turned; in place.  Counts as
 * made from what turned_open lowered. */
void turned_expressions(const struct study *study, const struct turn *turn,
                        flat_expr *at, uint32_t n);

/* The logic as it is again, with what is added (study/more.h). */
void turned_close(struct study *study, const struct study_more *more);

#endif
