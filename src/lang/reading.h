/* reading.h - one text while it is being read. */
#ifndef KEEPCLEAR_LANG_READING_H
#define KEEPCLEAR_LANG_READING_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/vec.h"
#include "lang/context.h"
#include "lang/spelled.h"
#include "lang/tree.h"
#include "source/source.h"

enum {
    READING_NESTING = 100,  /* levels of ( ), statements and comments */
    READING_ERRORS = 50,     /* then the rest is not read */
    READING_OPERATORS = 1000 /* height of the tree of an expression */
};

struct name;
struct tree_run;

enum reading_keyword {
    READING_NO_KEYWORD, READING_STANDARD_WORD, READING_OUR_WORD
};

/* A POU pays for its mistakes alone, and so does each type and global. */
enum reading_place { READING_TOP, READING_UNIT, READING_SECTION };

/* An input with R_EDGE or F_EDGE, and the instance that sees its edge. */
struct reading_edge {
    const struct name *input, *instance;
    struct span span;
    bool falls;
};

/* Shared by scanner, parser and constructors; nothing outlives the parse. */
struct reading {
    const struct parse_context *context;
    uint32_t file;
    enum parse_kind kind;
    struct tree_run *run;
    const char *text; /* of the file, NUL-ended */
    size_t n;

    size_t at;             /* where the scanner stands */
    uint32_t comment_depth;
    struct span comment;   /* opening of the outermost open comment */
    struct span last;      /* the last token given to the parser */
    struct span bad;       /* the last token that was wrong in itself */
    const struct name *end_of_unknown; /* END_ word to skip to, or NULL */
    struct span unknown;   /* the section word it belongs to */
    uint32_t noise;        /* runs of bytes that start nothing */
    uint32_t mistakes;     /* of syntax, so far */
    uint32_t errors;       /* of all kinds, so far */
    TREE_LIST(tree_unread) held; /* errors, in order of their discovery */
    VEC(struct tree_mention) mentions;
    VEC(struct reading_edge) edges; /* of this POU */
    struct spelled spelled[SPELLINGS];
    bool container;        /* text is what an XML file holds */
    bool in_order;         /* all tokens as they stand: an ACTION is not read
                              where it is called, no namespace left out */
    bool marked;           /* names stand in double quotes (marked.h) */
    bool flat_comments;    /* a (* within (* *) opens nothing */
    enum reading_place place; /* of the token at hand */
    uint32_t unit_errors;  /* of this POU */
    bool mute;             /* enough was said of this POU */
    enum reading_keyword keyword; /* the token at hand */
    bool quiet;            /* the token at hand is not the user's */
    bool told;             /* something was held against this part */
    bool stopped;          /* the rest is not worth reading */
};

/* Holds an error at span; hint says what to do.  After as many as a list
 * keeps, the rest of the POU is passed over, or of the text when it stands
 * in none. */
void reading_error(struct reading *reading, struct span span,
                   const char *hint, const char *format, ...)
    __attribute__((format(printf, 4, 5)));

/* The same for what turns up everywhere: when it is told, then once. */
void reading_error_once(struct reading *reading, struct span span,
                        const char *hint, const char *format, ...)
    __attribute__((format(printf, 4, 5)));

/* The same for a body that is no text. */
void reading_error_body(struct reading *reading, struct span span,
                        const char *hint, const char *format, ...)
    __attribute__((format(printf, 4, 5)));

/* From here on tokens stand in such a place. */
void reading_enter(struct reading *reading, enum reading_place place);

/* The bytes of a span, cut to 40 and copied into the arena, control
 * characters replaced by blanks. */
const char *reading_quote(struct reading *reading, struct span span);

/* Line in which a span begins. */
uint32_t reading_line(const struct reading *reading, struct span span);

/* A copy of the text that format makes, in the arena. */
const char *reading_printf(struct reading *reading, const char *format, ...)
    __attribute__((format(printf, 2, 3)));

/* What stands at offset from, blanks (but no comments) skipped. */
const char *reading_peek(const struct reading *reading, size_t from);

/* Does the word (ASCII, in capitals) stand at `at`, in any case, and end
 * there? */
bool reading_word_at(const char *at, const char *word);

#endif
