#include "lang/place.h"

#include <ctype.h>
#include <stdlib.h>
#include <string.h>

#include "base/arena.h"
#include "base/name.h"
#include "base/text.h"
#include "lang/reading.h"
#include "lang/review.h"

/* The letter of the size, X where none is written. */
static char size_of(const char *location)
{
    return isdigit((unsigned char)location[2])
               ? 'X' : (char)toupper((unsigned char)location[2]);
}

const struct name *place_name(struct names *names, const char *location)
{
    const struct name *name;
    struct text text = {0};
    const char *at = location + 1 + strcspn(location + 1, "0123456789*");

    if (*at == '*' || !*at)
        return NULL;
    text_printf(&text, "%%%c%c", toupper((unsigned char)location[1]),
                size_of(location));
    while (*at) {
        while (at[0] == '0' && isdigit((unsigned char)at[1]))
            at++;
        do
            text_printf(&text, "%c", *at);
        while (*at++ != '.' && *at);
    }
    name = names_of(names, text_str(&text));
    text_release(&text);
    return name;
}

static struct tree_type *type_of(struct reading *reading,
                                 struct tree_string location)
{
    struct tree_type *type =
        ARENA_NEW(reading->context->arena, struct tree_type);
    const char *word;

    switch (size_of(location.at)) {
    case 'B': word = "BYTE"; break;
    case 'W': word = "WORD"; break;
    case 'D': word = "DWORD"; break;
    case 'L': word = "LWORD"; break;
    default: word = "BOOL"; break;
    }
    type->name = names_of(reading->context->names, word);
    type->span = location.span;
    return type;
}

/* Points and what they may stand for: %MW3.5 is bit 5 of %MW3 on one
 * controller, and word 5 of module 3 on another. */
static bool one_meaning(const char *location)
{
    return size_of(location) == 'X' || !strchr(location, '.');
}

static void keep(struct reading *reading, const struct tree_ident *ident,
                 struct tree_string location)
{
    struct tree_var *var = ARENA_NEW(reading->context->arena,
                                     struct tree_var);

    var->name = var->place = ident->name;
    var->span = var->located = location.span;
    var->location = location.at;
    var->type = type_of(reading, location);
    CHAIN_APPEND(&reading->run->places, var);
}

struct tree_ident *place_ident(struct reading *reading,
                               struct tree_string location)
{
    struct tree_ident *ident = ARENA_NEW(reading->context->arena,
                                         struct tree_ident);
    const struct name *name =
        place_name(reading->context->names, location.at);

    ident->span = location.span;
    ident->name = name ? name
                       : names_of(reading->context->names, location.at);
    if (location.span.from == reading->bad.from)
        return ident; /* reported */
    if (!name)
        reading_error(reading, location.span, "write its numbers",
                      "a place that is not known yet stands only behind AT");
    else if (!one_meaning(location.at))
        reading_error(reading, location.span,
                      "declare it: name AT %... : BOOL; or WORD",
                      "this may be a bit of a word, or a word of a module");
    else if (reading->kind == PARSE_CONTROL)
        keep(reading, ident, location);
    return ident;
}
