/* expect.h - what could stand at a place, in a few words. */
#ifndef KEEPCLEAR_LANG_EXPECT_H
#define KEEPCLEAR_LANG_EXPECT_H

#include <stdbool.h>

struct reading;

struct expect {
    const char **words; /* borrowed, shortened in place */
    int n;
    bool value;         /* a value could stand here */
    bool statement;     /* a statement could stand here */
    bool operators;     /* the expression before it could go on */
    bool name;          /* a name could stand here */
};

/* Takes the words for values, statements, operators and what this version
 * does not read out of the list; those are said by the flags. */
struct expect expect_of(const char **words, int n);

bool expect_has(const struct expect *expect, const char *word);

/* How many things are left, flags for values and statements included. */
int expect_count(const struct expect *expect);

/* "'THEN'", "a value or ')'": at most twelve of them; in the arena. */
const char *expect_words(struct reading *reading,
                         const struct expect *expect);

#endif
