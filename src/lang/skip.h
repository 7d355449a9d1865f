/* skip.h - what stands in control text and is out of scope.
 *
 * Such a construct is passed over up to its END_ word, so that what follows
 * is read; the part it stands in remembers why it is not.
 */
#ifndef KEEPCLEAR_LANG_SKIP_H
#define KEEPCLEAR_LANG_SKIP_H

#include <stdbool.h>

struct feed;
struct feed_token;

/* Is this word, not yet classified, the beginning of something out of scope
 * (METHOD, CLASS, EXTENDS ...) or to be left out (PUBLIC ...)?  Then it is
 * passed over. */
bool skip_out_of_scope(struct feed *feed, const struct feed_token *token);

/* Passes over all up to the end of the POU. */
void skip_body(struct feed *feed);

#endif
