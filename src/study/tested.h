/* tested.h - a test sheet that came back filled in.
 *
 * The form of it, lines that the sheet and its reader share:
 *
 *     test sheet,NAME
 *     fingerprint of the texts,64 digits
 *     fingerprint of the steps,64 digits
 *     date of the test,
 *     tested by,
 *     heading of the steps
 *     one line for each step
 *
 * A sheet of other texts, or one whose printed columns were changed, is not
 * taken.
 */
#ifndef KEEPCLEAR_STUDY_TESTED_H
#define KEEPCLEAR_STUDY_TESTED_H

#include <stdbool.h>
#include <stdint.h>

struct arena;
struct model;
struct sources;
struct text;

/* Columns of a step; the first ones are printed, the others filled in. */
enum tested_column {
    TESTED_ROUND, TESTED_SEQUENCE, TESTED_STEP, TESTED_STANDS, TESTED_STATION,
    TESTED_DO, TESTED_WAIT, TESTED_MUST_BE, TESTED_FOR,
    TESTED_AS_EXPECTED, TESTED_NOT, TESTED_NOT_POSSIBLE, TESTED_REMARK,
    TESTED_COLUMNS
};

enum { TESTED_PRINTED = TESTED_AS_EXPECTED };

const char *tested_heading(enum tested_column column);

/* The words before the columns, in their order. */
enum tested_line {
    TESTED_SHEET, TESTED_TEXTS, TESTED_STEPS, TESTED_DATE, TESTED_BY,
    TESTED_LINES
};

const char *tested_words(enum tested_line line);

/* Fingerprint of all texts of a run. */
void tested_digest(struct text *out, const struct sources *sources);

/* Adds a printed cell to what the fingerprint of the steps is taken of. */
void tested_add_cell(struct text *steps, const char *cell);

/* Steps that are for one requirement. */
struct tested_requirement {
    uint32_t n, n_as_expected, n_not, n_not_possible, n_open;
};

/* A step that was not as expected. */
struct tested_wrong {
    const char *sequence, *step, *remark;
};

struct tested {
    const char *failure; /* why it is not taken, a sentence; else NULL */
    const char *date, *by;
    const struct tested_requirement *requirements; /* of the model */
    const struct tested_wrong *wrong; uint32_t n_wrong;
    uint32_t n, n_open;  /* steps, and those not filled in */
};

/* Reads one; lies in the arena. */
const struct tested *tested_read(struct arena *arena,
                                 const struct model *model,
                                 const struct sources *sources,
                                 const char *path);

#endif
