/* recording.h - a recorded log, read row by row: it may be of any length. */
#ifndef KEEPCLEAR_STUDY_RECORDING_H
#define KEEPCLEAR_STUDY_RECORDING_H

#include "study/meaning.h"

struct recording_setting {
    const char *path;
    const char *map;  /* "column=name,column=name", or NULL */
    const char *time; /* heading of the column of moments; NULL: a usual one,
                         if there is one */
    bool changes;     /* rows only where something changes; a blank field is
                         as in the row before, and lines of one moment make
                         one row */
};

/* A column of the heading. */
struct recorded_column {
    const char *heading;
    bool time;
    struct meaning meaning; /* of others */
};

struct recording {
    const struct recorded_column *columns; uint32_t n_columns;
    bool has_time;
    uint32_t n_meant;          /* columns with a meaning */
    const uint32_t *meant;     /* their numbers */
    /* The row read last: */
    uint64_t line;             /* of the file, from 1; its last one */
    uint64_t rows;             /* read so far */
    int64_t time, last_time;   /* ms; of this row and the one before */
    int64_t *value;            /* per meant column, in `meant` order */
    bool *given;               /* else any value */
    const char *failure;       /* a sentence with file, line and what to do */
};

enum recording_step { RECORDING_ROW, RECORDING_END, RECORDING_WRONG };

/* Opens and reads the heading; never NULL.  `failure` says what is wrong, or
 * is NULL.  Lies in the arena but for the file. */
struct recording *recording_open(struct arena *arena,
                                 const struct model *model,
                                 const struct lowered *lowered,
                                 const struct recording_setting *setting);
void recording_close(struct recording *recording);

/* The next row, blank lines left out. */
enum recording_step recording_next(struct recording *recording);

#endif
