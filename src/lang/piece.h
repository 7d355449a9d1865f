/* piece.h - a text as tokens and comments in the order they stand. */
#ifndef KEEPCLEAR_LANG_PIECE_H
#define KEEPCLEAR_LANG_PIECE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/vec.h"

struct reading;

struct piece {
    uint32_t from, to;
    int kind;        /* of parser.tab.h; PIECE_COMMENT */
    int nest;        /* 1: opens a block, -1: closes one, else 0 */
    uint32_t lines;  /* line ends between it and the piece before */
    uint32_t blanks; /* blanks before it in its line; a tab counts one */
};

/* Pragmas count as comments. */
enum { PIECE_COMMENT = -1 };

struct pieces { /* a vec, see base/vec.h */
    struct piece *at;
    size_t n, cap;
};

/* All pieces of a text that has no mistake; release with vec_release. */
struct pieces pieces_of(struct reading *reading);

#endif
