/* check.h - the main job: every requirement judged. */
#ifndef KEEPCLEAR_STUDY_CHECK_H
#define KEEPCLEAR_STUDY_CHECK_H

#include "study/findings.h"
#include "study/study.h"

/* Judges everything that the setting asks for.  NULL when the model is
 * beyond this version (diags says why).  The findings lie in the arena. */
const struct findings *check_model(struct arena *arena,
                                   const struct model *model,
                                   const struct study_setting *setting,
                                   struct diags *diags);

#endif
