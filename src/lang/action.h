/* action.h - ACTIONs: statements of a POU that stand apart from its body and
 * are called by name.
 *
 * An ACTION has no variables of its own: a call of it is read as if its
 * statements stood there.  So the feed goes over to them where the call
 * stands, and comes back.
 */
#ifndef KEEPCLEAR_LANG_ACTION_H
#define KEEPCLEAR_LANG_ACTION_H

#include "base/vec.h"
#include "source/source.h"

struct feed;
struct feed_token;
struct name;
struct reading;
struct scanner;

/* One ACTION: the statements between its heading and END_ACTION. */
struct action {
    const struct name *unit, *name;
    uint32_t from, to;
};

/* A scanner that waits while an ACTION is read, and where it stands. */
struct waiting {
    struct scanner *scanner;
    size_t at;
    uint32_t call;    /* place of the outermost call */
    uint32_t end;     /* of the ACTION that is read */
};

struct actions {
    VEC(struct action) all;
    VEC(struct waiting) waiting; /* the inmost last */
    const struct name *unit;     /* the POU that the feed is in */
    unsigned calls;              /* of all, so that they come to an end */
};

/* Finds the ACTIONs of a control text. */
void action_find(struct reading *reading, struct actions *actions);
void action_release(struct actions *actions);

/* Is `token` a statement that calls an ACTION?  Then the feed stands at the
 * beginning of that ACTION, and the token is used up. */
bool action_called(struct feed *feed, const struct feed_token *token);

/* At the end of a scanner: goes back to the one that waits.  False: none
 * does. */
bool action_returns(struct feed *feed);

/* ACTION where it stands: it is passed over.  False: it is none. */
bool action_passed(struct feed *feed, const struct feed_token *token);

#endif
