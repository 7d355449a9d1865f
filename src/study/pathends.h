/* pathends.h - the run-time errors at which paths end, found before something
 * else is asked of what can be reached. */
#ifndef KEEPCLEAR_STUDY_PATHENDS_H
#define KEEPCLEAR_STUDY_PATHENDS_H

#include "study/study.h"

struct loaded;

struct path_ends {
    const uint32_t *sites; /* of errors that can be reached */
    uint32_t n;
    bool open;             /* others could not be excluded */
    const char *internal_error;
};

/* Judges every error site, in a study of its own.  False: the model is beyond
 * this version, and the diagnostics of `loaded` say why.  Lies in its arena. */
bool path_ends_find(struct path_ends *ends, struct loaded *loaded,
                    const struct study_setting *setting, uint32_t faults);

/* Lets the paths of a study end there. */
void path_ends_put(struct study *study, const struct path_ends *ends);

#endif
