/* stray.h - what stands where the word before it is missing.
 *
 * One PROGRAM or VAR that is missing would otherwise be blamed on each line
 * behind it.
 */
#ifndef KEEPCLEAR_LANG_STRAY_H
#define KEEPCLEAR_LANG_STRAY_H

#include <stdbool.h>

struct feed;
struct feed_token;

/* Does a name stand outside of all blocks of a control text?  Then that is
 * said, and all up to the next block is passed over. */
bool stray_outside(struct feed *feed, const struct feed_token *token);

/* Does the name begin a list of variables that stands behind no VAR?  Then
 * that is said, and a VAR is put before it. */
void stray_variables(struct feed *feed, const struct feed_token *token);

#endif
