/* spelled.h - kinds of spellings beyond the standard, and their count. */
#ifndef KEEPCLEAR_LANG_SPELLED_H
#define KEEPCLEAR_LANG_SPELLED_H

#include <stdint.h>

#include "source/source.h"

enum spelling {
    SPELLING_WINDOWS,    /* the file is Windows-1252 */
    SPELLING_UTF16,      /* the file is UTF-16 */
    SPELLING_CONTAINER,  /* END_ words that an XML file leaves out */
    SPELLING_SEMICOLON,  /* none behind END_IF and the like */
    SPELLING_SLASHES,    /* comments from // on */
    SPELLING_STARS,      /* comments between the signs of C */
    SPELLING_NESTED,     /* comments within comments */
    SPELLING_PRAGMA,
    SPELLING_IMPORT,     /* #import */
    SPELLING_ELSEIF,
    SPELLING_RUN_ON,     /* FUNCTIONBLOCK */
    SPELLING_BARE_CALL,  /* block; for block(); */
    SPELLING_ACCESS,     /* PUBLIC, INTERNAL, FINAL ... */
    SPELLING_PERSISTENT, /* for RETAIN */
    SPELLING_SETS,       /* S= */
    SPELLING_RESETS,     /* R= */
    SPELLING_BARE_LIST,  /* initial values without [ ] */
    SPELLING_LENGTH,     /* STRING (40) */
    SPELLING_LETTERS,    /* letters beyond ASCII in a name */
    SPELLING_POINT,      /* .5 and 1. */
    SPELLING_MARKED,     /* "name" and #name */
    SPELLING_DATA,       /* DATA_BLOCK */
    SPELLING_ABOUT,      /* VERSION : 0.1, BEGIN, REGION */
    SPELLING_NAMESPACE,  /* NAMESPACE, USING, Space.name */
    SPELLING_COUNTS,     /* += and the like */
    SPELLING_CHAINED,    /* a := b := c */
    SPELLING_SHORT,      /* W#16#FF */
    SPELLING_IDLE,       /* ; where nothing ends */
    SPELLING_COMMA,      /* , behind the last of a list */
    SPELLING_ELSE_COLON, /* ELSE: as if it were a label */
    SPELLING_NO_VALUE,   /* name := or name => and nothing behind it */
    SPELLING_VOID,       /* FUNCTION name : VOID */
    SPELLING_BIT,        /* BIT as a type */
    SPELLING_WORD,       /* a word of the language as a name */
    SPELLINGS
};

struct spelled {
    uint32_t n;
    struct span first;
};

#endif
