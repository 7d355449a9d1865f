/* marks.h - which inner nodes of a scan are worth remembering.
 *
 * Without them every next value would read all that lies behind it, down to
 * inputs and cells: too much to look anything up by.
 */
#ifndef KEEPCLEAR_ENGINE_TILES_MARKS_H
#define KEEPCLEAR_ENGINE_TILES_MARKS_H

struct arena;
struct scan_form;

/* Sets the marks of a form whose nodes are there, and the number of its
 * items. */
void find_marks(struct arena *arena, struct scan_form *form);

#endif
