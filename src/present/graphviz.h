/* graphviz.h - DOT text laid out as a picture.
 *
 * The only module that knows the layout library.  The library is not made
 * for several threads, leaks a little per graph, and its time grows fast with
 * the graph: so it runs in a child process with a time limit.  The plug-ins
 * are linked in and measure text with tables of their own: the same DOT text
 * gives the same bytes on every machine.
 */
#ifndef KEEPCLEAR_PRESENT_GRAPHVIZ_H
#define KEEPCLEAR_PRESENT_GRAPHVIZ_H

#include "base/os.h"

struct text;

/* Lays out DOT text (valid UTF-8, without NUL) and writes SVG into svg,
 * which is emptied first.  OS_TIMED_OUT: more than `seconds`;
 * OS_CHILD_FAILED: not DOT, or the library failed; svg is then empty.
 * Comments and titles that the library makes of node names are taken out:
 * objects are known by the ids that the DOT text gives them. */
enum os_status graphviz_svg(const char *dot, double seconds,
                            struct text *svg);

/* Adds a user's text as a piece of a quoted DOT string: quotes, backslashes
 * and the signs of entities are escaped, control characters become blanks,
 * what is not UTF-8 becomes U+FFFD. */
void graphviz_quote(struct text *out, const char *bytes, size_t n);

#endif
