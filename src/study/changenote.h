/* changenote.h - what was found of one change, written down by the process
 * that looked at it and read by the one that asked.
 */
#ifndef KEEPCLEAR_STUDY_CHANGENOTE_H
#define KEEPCLEAR_STUDY_CHANGENOTE_H

#include <stdbool.h>
#include <stdint.h>

#include "study/changefinding.h"

struct arena;
struct text;

/* internal: a sentence, or NULL. */
void changenote_write(struct text *out, const struct change_finding *finding,
                      uint32_t n_requirements, const char *internal);

/* Puts it into a finding that has room for its requirements; the change
 * itself is not part of the note.  Strings lie in the arena.  False where it
 * is no such note: the finding is then as it was, or a part of it. */
bool changenote_read(const struct text *note, struct arena *arena,
                     uint32_t n_requirements, struct change_finding *finding,
                     const char **internal);

#endif
