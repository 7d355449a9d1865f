/* lessondata.h - machines and stories as the data of the trainer's page. */
#ifndef KEEPCLEAR_PRESENT_LESSONDATA_H
#define KEEPCLEAR_PRESENT_LESSONDATA_H

#include <stdint.h>

struct lesson_machine;
struct lesson_story;
struct text;

/* The machine as one object of JSON: its logic (logic/flatdata.h), what it is
 * operated by, what it switches, where it stands, what may fail, what is
 * required, and what each value is called. */
void lessondata_machine(struct text *out, const struct lesson_machine *machine);

/* The story: its title, and per scan the rows of choices that changed, each
 * with its new value; before the first scan all stand at rest.  id: of its
 * strip in the page. */
void lessondata_story(struct text *out, const struct lesson_machine *machine,
                      const struct lesson_story *story, const char *id);

#endif
