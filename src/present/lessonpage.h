/* lessonpage.h - the trainer's page: one file that needs nothing else.
 *
 * Without scripts it still tells its stories; nothing is ever fetched, and
 * the page forbids the browser to.
 */
#ifndef KEEPCLEAR_PRESENT_LESSONPAGE_H
#define KEEPCLEAR_PRESENT_LESSONPAGE_H

#include <stdint.h>

#include "present/lessonplan.h"

struct arena;
struct lesson_machine;
struct lesson_story;
struct words;
struct text;

struct lesson {
    struct arena *arena;
    const struct words *words;
    const char *tool; /* "keepclear 0.1" */
    const struct lesson_machine *machines; /* the first one is shown first */
    uint32_t n_machines;
    const struct lesson_story *stories;
    uint32_t n_stories;
    const struct plan *plan;   /* NULL: no text of a lesson */
    const uint32_t *told;      /* per line of the plan that is PLAY or BREAK:
                                  its story */
};

void lessonpage_add(struct text *out, const struct lesson *lesson);

#endif
