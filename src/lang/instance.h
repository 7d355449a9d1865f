/* instance.h - the text of a template with what it was given. */
#ifndef KEEPCLEAR_LANG_INSTANCE_H
#define KEEPCLEAR_LANG_INSTANCE_H

#include "base/text.h"
#include "base/vec.h"
#include "lang/piece.h"
#include "lang/template.h"
#include "source/source.h"

/* The tokens of a text; release all with vec_release. */
struct instance_words {
    uint32_t file;
    struct pieces all;
};

void instance_words(const struct parse_context *context, uint32_t file,
                    struct instance_words *out);

struct instance {
    struct text text;
    VEC(struct source_piece) pieces; /* what of it is the user's */
};

/* Writes the template anew: its lines stay lines, its head is left blank.
 * words: of the text in which the use stands. */
void instance_make(const struct parse_context *context,
                   const struct instance_words *words,
                   const struct tree_use *use,
                   const struct template *template, struct instance *out);

void instance_release(struct instance *instance);

#endif
