/* told.h - what the checker takes although the standard asks for more words.
 *
 * Programming systems convert between types without being told to, and let a
 * block assign its own inputs.  Where the meaning is the one that is written
 * plainly elsewhere, control text may do so; each kind is counted per text and
 * told as the spellings of the reader are (lang/spelling.h).
 */
#ifndef KEEPCLEAR_CHECK_TOLD_H
#define KEEPCLEAR_CHECK_TOLD_H

#include "check/draft.h"

enum told {
    TOLD_ITEM_NUMBER, /* an enumeration where a number is wanted */
    TOLD_NUMBER_ITEM, /* a number where an enumeration is wanted */
    TOLD_SIGNS,       /* signed and unsigned integers mixed */
    TOLD_BITS_NUMBER, /* bit strings and integers mixed */
    TOLD_BITWISE,     /* bits of integers: AND, NOT, SHL, i.3 */
    TOLD_TRUTH,       /* 0 and 1 for FALSE and TRUE */
    TOLD_INPUT,       /* a block assigns its own input */
    TOLD_RESULT,      /* the result of a function is dropped */
    TOLD_PORT,        /* other names of the inputs of a standard block */
    TOLD_SHORTER,     /* an LREAL stored in a REAL, a REAL in an integer */
    TOLD_LIST,        /* the name of a list of globals before a point */
    TOLD_CASE,        /* CASE over a BOOL */
    TOLD_KINDS
};

/* Counts one. */
void told_seen(struct draft *draft, enum told kind, struct span span);

/* Says what was counted, as the run asks. */
void told_report(struct draft *draft);

#endif
