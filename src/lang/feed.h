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

#include "lang/token.h"

struct reading;
struct feed;

/* reading must outlive the feed. */
struct feed *feed_open(struct reading *reading);
void feed_close(struct feed *feed);

/* The next token; after the end, the end again. */
struct feed_token feed_next(struct feed *feed);

#endif
