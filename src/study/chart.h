/* chart.h - cause and effect, computed: what each input alone does to each
 * output.
 *
 * A line of the chart is an input in one position; a column is an output that
 * is on or off.  A scan that can occur, from any reachable situation or as
 * the first one, is held against the same scan with the input in another
 * position: same situation before, same faults, movements, times, power, open
 * comparisons and other inputs.  Both must be allowed by the assumptions, and
 * end in no run-time error.  `with` is the one in which the input is in the
 * position of the line, `without` the other one; what counts is the output at
 * the judging of this scan, and `before` at the judging before it (off before
 * the first scan).
 *
 * Lines:
 * - a control, a free input or what others write: two positions have one line,
 *   for the one that is not at rest; up to CHART_POSITIONS one line each; more
 *   of them one line for all but the one at rest, held against that one;
 * - a sensor: one line, for TRUE.  It alone is turned: the machine stands as
 *   it did, so one of both scans is one in which the sensor shows something
 *   else than there is.
 *
 * Columns: an actuator as it really stands; an output of the text that
 * commands none, off while there is no power.  BOOL is on when TRUE; an
 * enumeration of up to CHART_POSITIONS items has a column for each but the
 * first, any other type one for "not 0".  Where inputs are looked at in ranges
 * of values, which is exact for what compares them and not for a number that
 * is given away, outputs that may be such numbers are left out.
 *
 * What an input brings about later, by way of something that is stored, is
 * not in the chart.
 */
#ifndef KEEPCLEAR_STUDY_CHART_H
#define KEEPCLEAR_STUDY_CHART_H

#include <stdbool.h>
#include <stdint.h>

#include "study/findings.h"
#include "study/pair.h"

struct machine;
struct type;

enum { CHART_POSITIONS = 8 };
#define CHART_OTHER UINT32_MAX

enum chart_kind {
    CHART_CONTROL, /* of: control */
    CHART_FREE,    /* of: slot that nothing describes */
    CHART_SHARED,  /* of: slot that others write */
    CHART_SENSOR   /* of: sensor */
};

struct chart_input {
    enum chart_kind kind;
    uint32_t of;
    uint32_t row;      /* of choices; sensor: MODEL_NONE */
    uint32_t position; /* value index of the row, sensor: 1; CHART_OTHER: any
                          but that at rest */
    bool two;          /* it has two positions */
};

struct chart_output {
    struct pair_output of;
    const struct type *type;
    int64_t value; /* on is this value; of a column for "not 0": 0 */
    bool other;    /* that column */
};

/* What may be seen in a scan. */
enum chart_act {
    CHART_TURNS_ON,  /* off before, on with, off without */
    CHART_KEEPS_ON,  /* on before, on with, off without */
    CHART_TURNS_OFF, /* on before, off with, on without */
    CHART_KEEPS_OFF, /* off before, off with, on without */
    CHART_ON_WITH,   /* on, the input in that position; nothing is turned */
    CHART_ON_WITHOUT,/* on, the input in another one */
    CHART_ACTS
};

enum chart_state { CHART_NEVER, CHART_SEEN, CHART_NOT_KNOWN };

struct chart_cell {
    enum chart_state act[CHART_ACTS];
};

/* In every reachable situation the output is off whenever the input is in
 * that position, and at least once that makes the difference. */
bool chart_stops(const struct chart_cell *cell);

/* The same of every other position. */
bool chart_only_with(const struct chart_cell *cell);

/* Does one of the answers above or an act hang on what is not known? */
bool chart_open(const struct chart_cell *cell);

struct chart {
    const struct model *model;
    const struct machine *machine; /* reads the states of sequences */
    const struct chart_input *inputs;
    uint32_t n_inputs;
    const struct chart_output *outputs;
    uint32_t n_outputs;
    const struct chart_output *left_out; /* no columns: may be numbers of
                                            which only ranges are known */
    uint32_t n_left_out;
    struct chart_cell *cells;  /* per input, per output */
    uint32_t faults;           /* so many may appear */
    uint64_t situations;       /* of the largest column; UINT64_MAX: more than
                                  fits */
    uint32_t errors;           /* run-time errors at which paths end */
    bool errors_open;          /* others could not be excluded */
    bool dead_end;             /* assumptions may leave no way to go on */
    enum stop_reason stop;     /* why something is not known */
    const char *internal_error;
};

/* 0; 3 where something is not known, or an error or a dead end of the
 * assumptions cuts short what was looked at; 4 internal error. */
int chart_exit_code(const struct chart *chart);

#endif
