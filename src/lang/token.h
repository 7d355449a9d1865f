/* token.h - a token between scanner and parser. */
#ifndef KEEPCLEAR_LANG_TOKEN_H
#define KEEPCLEAR_LANG_TOKEN_H

#include <stdbool.h>

#include "grammar/parser.tab.h"

struct word;

struct feed_token {
    int kind; /* of parser.tab.h; 0 at the end */
    bool made; /* not written in the text */
    bool left_out; /* made, and nobody was told: it may be left out, and a
                      mistake found at it is one of its own */
    const struct word *word; /* when it is a keyword, else NULL */
    int nest;  /* 1: opens a block, -1: closes one, else 0 */
    uint32_t called_at; /* in an ACTION: where it is called, else 0 */
    struct span where;
    union LANG_STYPE value;
};

#endif
