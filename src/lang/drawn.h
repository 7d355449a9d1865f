/* drawn.h - bodies that are no statements: drawings written out as text, and
 * lists of instructions.
 *
 * Such a body is passed over, and its POU remembers what it is.  A text
 * export of several systems writes a drawing behind a word such as _LD_BODY;
 * a list of instructions begins like any statement, with LD and an operand
 * but no sign between them.
 */
#ifndef KEEPCLEAR_LANG_DRAWN_H
#define KEEPCLEAR_LANG_DRAWN_H

#include <stdbool.h>

struct feed;
struct feed_token;

/* Does such a body begin with this word, not yet classified?  Then it is
 * passed over. */
bool drawn_skip(struct feed *feed, const struct feed_token *token);

#endif
