/* container.h - control text that an XML file holds.
 *
 * Programming systems store a POU, a type or a list of globals as one XML
 * object: an element Declaration and, for a body, an element ST.  What they
 * hold is handed on at its own place in the file, everything else blanked
 * out, so that each place in the text is a place in the file.
 */
#ifndef KEEPCLEAR_LANG_CONTAINER_H
#define KEEPCLEAR_LANG_CONTAINER_H

#include <stdbool.h>
#include <stddef.h>

struct reading;

/* Is this an XML file? */
bool container_is(const char *text, size_t n);

/* Puts the text that the file holds in the place of reading->text.  What
 * cannot be read (a malformed file, a method, a body that is a drawing) is
 * held as an error. */
void container_open(struct reading *reading);

#endif
