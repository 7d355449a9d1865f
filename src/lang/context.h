/* context.h - what the reading of a text needs. */
#ifndef KEEPCLEAR_LANG_CONTEXT_H
#define KEEPCLEAR_LANG_CONTEXT_H

struct arena;
struct diags;
struct names;
struct sources;

/* A template is read with the words of a review text. */
enum parse_kind { PARSE_CONTROL, PARSE_REVIEW, PARSE_TEMPLATE };

/* What a parse needs; all borrowed. */
struct parse_context {
    struct arena *arena;
    struct names *names;
    const struct sources *sources;
    struct diags *diags;
};

#endif
