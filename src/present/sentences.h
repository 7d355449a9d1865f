/* sentences.h - a review text printed back as plain sentences, so that
 * somebody who did not write it can approve it: one for each control, sensor,
 * actuator, movement, assumption, fault and requirement. */
#ifndef KEEPCLEAR_PRESENT_SENTENCES_H
#define KEEPCLEAR_PRESENT_SENTENCES_H

#include <stdint.h>

#include "present/sentence.h"

struct arena;
struct model;
struct requirement;
struct sources;

/* Groups in the order of the review text; empty ones are left out.  All of
 * it lies in the arena; *n gets the number of groups. */
const struct sentence_group *sentences_make(struct arena *arena,
                                            const struct model *model,
                                            const struct sources *sources,
                                            uint32_t *n);

/* One requirement as a sentence, without its title. */
const char *sentences_requirement(struct arena *arena,
                                  const struct model *model,
                                  const struct sources *sources,
                                  const struct requirement *requirement);

#endif
