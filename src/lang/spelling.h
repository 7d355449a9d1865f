/* spelling.h - spellings beyond the standard that are read all the same.
 *
 * Programming systems export control text in many spellings.  What is read
 * although the standard spells it otherwise is counted, and told once per
 * text and kind, so that nothing is taken in silence by those who ask.
 */
#ifndef KEEPCLEAR_LANG_SPELLING_H
#define KEEPCLEAR_LANG_SPELLING_H

#include <stdint.h>

#include "source/source.h"

enum spelling {
    SPELLING_WINDOWS,    /* the file is Windows-1252 */
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
    SPELLING_WORD,       /* a word of the language as a name */
    SPELLINGS
};

struct spelled {
    uint32_t n;
    struct span first;
};

struct reading;

/* Counts one. */
void spelling_seen(struct reading *reading, enum spelling kind,
                   struct span span);

/* Says what was counted, as the run asks. */
void spelling_report(const struct reading *reading);

#endif
