/* action.h - ACTIONs: statements of a POU that stand apart from its body and
 * are called by name.
 *
 * An ACTION has no variables of its own: a call of it is read as if its
 * statements stood there.  So the feed goes over to them where the call
 * stands, and comes back.  Those of a FUNCTION_BLOCK that something outside of
 * it may call are read once more at its end, each for itself.
 */
#ifndef KEEPCLEAR_LANG_ACTION_H
#define KEEPCLEAR_LANG_ACTION_H

#include <stdbool.h>

#include "lang/aside.h"

struct feed;
struct feed_token;
struct reading;

/* Finds the ACTIONs of a control text. */
void action_find(struct reading *reading, struct actions *actions);
void action_release(struct actions *actions);

/* RETURN leaves the ACTION alone: its text stands in a loop of one pass,
 * which an EXIT leaves. */
void action_return(struct feed *feed, struct feed_token *token);

/* Is `token` a statement that calls an ACTION?  Then the feed stands at the
 * beginning of that ACTION, and the token is used up. */
bool action_called(struct feed *feed, const struct feed_token *token);

/* At the end of a FUNCTION_BLOCK: is there an ACTION that others may call, not
 * given so far?  Then the feed stands at its beginning, and the token comes
 * again behind it. */
bool action_given(struct feed *feed, const struct feed_token *token);

/* ACTION where it stands: it is passed over.  False: it is none. */
bool action_passed(struct feed *feed, const struct feed_token *token);

#endif
