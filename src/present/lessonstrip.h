/* lessonstrip.h - a story as a printed strip of the trainer's page: a log
 * sheet, with what was expected at each place. */
#ifndef KEEPCLEAR_PRESENT_LESSONSTRIP_H
#define KEEPCLEAR_PRESENT_LESSONSTRIP_H

struct lesson_machine;
struct lesson_story;
struct words;
struct text;

/* A table; each row says which scan it tells (data-scan). */
void lessonstrip_add(struct text *out, const struct lesson_machine *machine,
                     const struct lesson_story *story,
                     const struct words *words);

#endif
