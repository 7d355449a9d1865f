/* feed.h - the tokens that the parser gets.
 *
 * Between scanner and parser: decides which words are keywords, keeps a list
 * of open blocks, and puts in what is missing to close them in order (each
 * such place is reported, but a `;` behind END_IF and the like, which many
 * controllers let go, is put in without a word).  So the parser always sees
 * blocks that are well nested.
 */
#ifndef KEEPCLEAR_LANG_FEED_H
#define KEEPCLEAR_LANG_FEED_H

#include <stdbool.h>

#include "grammar/parser.tab.h"

struct reading;
struct feed;
struct word;

struct feed_token {
    int kind; /* of parser.tab.h; 0 at the end */
    bool made; /* not written in the text */
    const struct word *word; /* when it is a keyword, else NULL */
    int nest;  /* 1: opens a block, -1: closes one, else 0 */
    struct span where;
    union LANG_STYPE value;
};

/* reading must outlive the feed. */
struct feed *feed_open(struct reading *reading);
void feed_close(struct feed *feed);

/* The next token; after the end, the end again. */
struct feed_token feed_next(struct feed *feed);

#endif
