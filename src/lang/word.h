/* word.h - the words of the language.
 *
 * Words of Structured Text are keywords everywhere; words of ours only in
 * review texts and templates, some of them only within their phrase (OPEN in
 * DOES NOT OPEN), so that a position of the machine may be called Open.
 */
#ifndef KEEPCLEAR_LANG_WORD_H
#define KEEPCLEAR_LANG_WORD_H

#include <stdbool.h>
#include <stddef.h>

#include "lang/context.h"

struct name;

struct word {
    const char *folded; /* in lower case */
    int token;          /* of grammar/parser.tab.h */
    bool ours;          /* no keyword in control text */
    int value;          /* semantic value, 0 for most */
    int before, before2; /* tokens that must stand before it, 0: any; or
                            one of the places below */
};

/* Places, negative so that no token is one. */
enum {
    WORD_SECTION = -1, /* where a section of the review text begins */
    WORD_STEP = -2,    /* where a step of a SCENARIO begins */
    WORD_KIND = -3,    /* behind the `:` of a signal in CONTROLS */
    WORD_LINE = -4,    /* where a line of the review itself begins */
    WORD_TOP = -5,     /* in no block */
    WORD_CONFIGURATION = -6, /* in CONFIGURATION or RESOURCE */
    WORD_HEADING = -7, /* as WORD_LINE; a title may follow */
    WORD_MANNER = -8,  /* behind a comma of FAULTS */
    WORD_PARAMETER = -9, /* within a line of PARAMETERS */
    WORD_FORM = -10,   /* behind the `:` of a requirement, before a name */
    WORD_NOTICE = -11, /* where a line of NOTICING begins */
    WORD_CYCLE = -12,  /* there, or behind IN */
    WORD_ANOTHER = -13, /* behind AND, before AFTER */
    WORD_EXCEPT = -14, /* before UNTIL or WITHIN */
    WORD_COLOUR = -15  /* behind the kind of a signal in CONTROLS, its title
                          and what else is said of it */
};

/* The word of this name in such a text, or NULL; whether its phrase fits is
 * the caller's to see. */
const struct word *word_find(const struct name *name, enum parse_kind kind);

/* All words, sorted by their spelling; *n gets their number. */
const struct word *word_list(size_t *n);

#endif
