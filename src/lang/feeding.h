/* feeding.h - the inside of a feed, for those who look ahead in it. */
#ifndef KEEPCLEAR_LANG_FEEDING_H
#define KEEPCLEAR_LANG_FEEDING_H

#include "base/vec.h"
#include "lang/aside.h"
#include "lang/token.h"
#include "lang/tree.h"

struct block;
struct name;
struct scanner;

struct open {
    const struct block *block;
    struct span where;
    bool until; /* of REPEAT: its UNTIL was read */
    bool paths; /* of VAR_CONFIG: its lines begin with Program.variable */
};

/* How much of a call without ( ) stands there. */
enum bare { BARE_NOT, BARE_BEGINS, BARE_PATH };

struct feed {
    struct reading *reading;
    struct scanner *scanner;
    VEC(struct feed_token) queue;
    size_t head;
    VEC(struct open) opens;
    VEC(const struct name *) names; /* words of the language that this POU
                                       declares as names */
    VEC(struct feed_token) made; /* to be taken before anything else, the
                                    next one last */
    struct feed_token ahead; /* read but not yet looked at */
    bool has_ahead;
    int last, last2;         /* kinds of the tokens before */
    int parens, prefixes;
    enum bare bare;
    struct actions actions;
    struct namespaces namespaces;
    bool loose_else; /* an ELSIF stood in no IF: its END_IF is not blamed */
};

struct feed_token feeding_take(struct feed *feed);
struct feed_token feeding_peek(struct feed *feed);

/* A token that was not written, to be taken next. */
void feeding_give(struct feed *feed, int kind, struct span where);

/* Puts a token, or one that was not written, into the queue. */
void feeding_queue(struct feed *feed, struct feed_token token);
void feeding_queue_made(struct feed *feed, int kind, struct span where);
void feeding_queue_left_out(struct feed *feed, int kind, struct span where);

bool feeding_is_word(const struct feed_token *token, const char *folded);
bool feeding_next_is(struct feed *feed, const char *folded);

/* Where the feed stands; the first: directly in the block that this token
 * opens. */
bool feeding_stands_in(const struct feed *feed, int block);
bool feeding_in_variables(const struct feed *feed);
bool feeding_in_structure(const struct feed *feed);
bool feeding_in_configuration(const struct feed *feed);
bool feeding_in_unit(const struct feed *feed);

#endif
