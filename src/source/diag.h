/* diag.h - what is wrong with the user's text, and what to do about it.
 *
 * Records only; source/render.h makes words of them.  Wording: lower case,
 * no final stop, the thing in quotes, what was expected; the hint is one
 * sentence that says what to do.
 */
#ifndef KEEPCLEAR_SOURCE_DIAG_H
#define KEEPCLEAR_SOURCE_DIAG_H

#include <stdbool.h>
#include <stddef.h>

#include "source/source.h"

enum severity { DIAG_ERROR, DIAG_WARNING, DIAG_NOTE };

struct diag {
    enum severity severity;
    struct span span;
    const char *message; /* owned by the list */
    const char *hint;    /* what to do; NULL only for notes */
    struct span also;    /* second place, e.g. the first declaration */
    const char *also_message; /* NULL when there is none */
    const char *remedy; /* a line of review text that ends the mistake, for
                           want of something better; or NULL */
    const char *declaration; /* a control text that the line wants; or NULL */
};

struct diags;

/* An empty list; keeps at most 50 errors and counts the rest. */
struct diags *diags_new(struct arena *arena);
void diags_free(struct diags *diags);

/* Adds a record.  Two records with the same place and message count once. */
void diag_add(struct diags *diags, enum severity severity, struct span span,
              const char *hint, const char *format, ...)
    __attribute__((format(printf, 5, 6)));

/* Gives the newest record a second place. */
void diag_also(struct diags *diags, struct span span, const char *message);

/* Gives the newest record a line of review text that ends it, and what must
 * stand in a control text for that (or NULL). */
void diag_remedy(struct diags *diags, const char *line,
                 const char *declaration);

/* Is there an error with this second place?  Then it gets a further line of
 * remedy (or NULL), behind a line end. */
bool diag_told(struct diags *diags, struct span also, const char *remedy);

size_t diags_count(const struct diags *diags);
const struct diag *diags_at(const struct diags *diags, size_t index);
size_t diags_errors(const struct diags *diags);

#endif
