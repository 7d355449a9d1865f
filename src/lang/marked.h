/* marked.h - texts of programming systems that mark their names: "block",
 * #variable.
 *
 * Such a text is known by a heading with a name in double quotes.  In it what
 * stands in double quotes is a name, and lines about the block (VERSION,
 * AUTHOR, TITLE ...) follow its heading; BEGIN stands behind its variables.
 */
#ifndef KEEPCLEAR_LANG_MARKED_H
#define KEEPCLEAR_LANG_MARKED_H

#include <stdbool.h>

#include "source/source.h"

struct feed;
struct feed_token;
struct reading;
struct tree_ident;

/* Does the text mark its names? */
bool marked_text(const struct reading *reading);

/* The name in "name" or #name; NULL when it is none. */
struct tree_ident *marked_name(struct reading *reading, struct span span);

/* Words that say nothing about what the block does: skipped.  False: the
 * token is none of them. */
bool marked_skip(struct feed *feed, const struct feed_token *token);

#endif
