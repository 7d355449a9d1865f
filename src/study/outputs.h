/* outputs.h - what the programs of a run give to the outside. */
#ifndef KEEPCLEAR_STUDY_OUTPUTS_H
#define KEEPCLEAR_STUDY_OUTPUTS_H

#include "study/pair.h"

struct loaded;
struct model;

/* Its actuators; then each VAR_OUTPUT of a program and each variable at %Q
 * that commands none of them.  Lies in the arena. */
struct pair_outputs outputs_of(struct arena *arena,
                               const struct loaded *loaded);

/* Its name for people; lies in the arena. */
const char *outputs_name(struct arena *arena, const struct model *model,
                         const struct pair_output *output);

#endif
