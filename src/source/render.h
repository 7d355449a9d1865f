/* render.h - diagnostics as people read them.
 *
 *     tailgate.st:12:10: error: 'close_lft' is not declared
 *        12 |     x := close_lft AND stop_ok;
 *           |          ^~~~~~~~~
 *        what to do: declare it, or write 'close_left', declared on line 4
 */
#ifndef KEEPCLEAR_SOURCE_RENDER_H
#define KEEPCLEAR_SOURCE_RENDER_H

struct diag;
struct diags;
struct sources;
struct text;

/* Appends one record: place, severity, message, source line, underline,
 * second place, what to do. */
void render_diag(struct text *out, const struct sources *sources,
                 const struct diag *diag);

/* All records in order of their places, then the count of those left out. */
void render_diags(struct text *out, const struct sources *sources,
                  const struct diags *diags);

#endif
