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
#include <stdint.h>

struct reading;

/* Is this an XML file? */
bool container_is(const char *text, size_t n);

/* Puts the text that the file holds in the place of reading->text.  What
 * cannot be read (a malformed file, a method, a body that is a drawing) is
 * held as an error. */
void container_open(struct reading *reading);

/* What a walk over an XML file meets; names without their prefix. */
struct container_events {
    void (*begin)(void *context, const char *name,
                  const char *const *attributes);
    void (*end)(void *context, const char *name);
    void (*text)(void *context, const char *bytes, size_t n);
};

/* Goes through the file; *line is that of each event.  False when it is
 * malformed, nested too deeply or has a document type. */
bool container_walk(const char *bytes, size_t n,
                    const struct container_events *events, void *context,
                    uint32_t *line);

#endif
