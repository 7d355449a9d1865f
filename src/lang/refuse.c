#include "lang/refuse.h"

#include <stdio.h>
#include <string.h>
#include <strings.h>

#include "base/name.h"
#include "lang/reading.h"

struct refused {
    const char *word, *hint;
    bool everywhere; /* reported once per text */
};

#define WITH_IF "put what follows under an IF"
#define WITH_DIRECT "name the variable itself"
#define WITH_BLOCK                                                         \
    "write it as a FUNCTION_BLOCK or FUNCTION, or leave it out of the texts " \
    "under review"
#define WITH_COPY                                                          \
    "write a block of its own that holds all of its variables and statements"

static const struct refused types[] = {
};

static const struct refused constructs[] = {
    {"POINTER", WITH_DIRECT, true},
    {"JMP", WITH_IF, false},
    {"METHOD", WITH_BLOCK, false},
    {"PROPERTY", WITH_BLOCK, false},
    {"ACTION", WITH_BLOCK, false},
    {"CLASS", WITH_BLOCK, false},
    {"INTERFACE", WITH_BLOCK, false},
    {"UNION", "use a STRUCT, or one variable for each view", false},
    {"ABSTRACT", WITH_BLOCK, false},
    {"EXTENDS", WITH_COPY, false},
    {"IMPLEMENTS", WITH_COPY, false},
};

static const struct refused *find(const struct refused *list, size_t n,
                                  const char *word)
{
    for (size_t i = 0; i < n; i++)
        if (strcasecmp(list[i].word, word) == 0)
            return &list[i];
    return NULL;
}

bool refuse_type(struct reading *reading, const struct name *name,
                 struct span span)
{
    const struct refused *type =
        find(types, sizeof types / sizeof *types, name->folded);

    if (!type)
        return false;
    reading_error_once(reading, span, type->hint,
                       "the type '%s' is not read in this version",
                       name->spelling);
    return true;
}

void refuse_construct(struct reading *reading, const char *word,
                      struct span span)
{
    size_t n = sizeof constructs / sizeof *constructs;
    const struct refused *found = find(constructs, n, word);

    if (!found)
        return;
    if (found->everywhere)
        reading_error_once(reading, span, found->hint,
                           "'%s' is not read in this version", found->word);
    else
        reading_error(reading, span, found->hint,
                      "'%s' is not read in this version", found->word);
}
