/* writtenblock.h - what the outputs of standard blocks say (docs/notes/step.md,
 * section 4), as expressions over names. */
#ifndef KEEPCLEAR_STUDY_WRITTENBLOCK_H
#define KEEPCLEAR_STUDY_WRITTENBLOCK_H

#include "check/code.h"
#include "study/writtenwalk.h"

/* One call of the block whose frame begins at variable `inner`; its inputs
 * have what the call gives.  Everything that it writes is assigned. */
void writtenblock_call(struct written_walk *w, uint32_t inner,
                       const struct code_stmt *stmt);

#endif
