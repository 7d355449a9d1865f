/* tree.h - the syntax tree: what was written, nothing resolved.
 *
 * Control text and review text share one tree.  Nodes live in an arena and
 * are built by lang/build.h from grammar actions; after parsing they are
 * const.  Lists are singly linked in source order through `next`.
 */
#ifndef KEEPCLEAR_LANG_TREE_H
#define KEEPCLEAR_LANG_TREE_H

#include <stdbool.h>
#include <stdint.h>

#include "base/name.h"
#include "source/source.h"

#define TREE_LIST(type)                                                    \
    struct {                                                               \
        struct type *first, *last;                                         \
        uint32_t n;                                                        \
    }

/* A mistake, or something that is not read: reported when the part that it
 * stands in is needed. */
struct tree_unread {
    struct tree_unread *next;
    struct span span;
    const char *message, *hint;
    bool once; /* say the same message once only */
    bool body; /* about a body that is no text: none is needed of what is
                  UNKNOWN */
    bool beyond; /* about something that is not read in this version, not a
                    mistake */
};

/* A name that stands in a text. */
struct tree_mention {
    const struct name *name;
    uint32_t from;
    bool is_type; /* in the place of a type */
    bool behind;  /* behind a point: only a global variable is meant, where
                     the name of its list stands before the point */
};

/* A part of a control text that need not be readable if nothing needs it:
 * a POU, a type, a global variable. */
struct tree_part {
    TREE_LIST(tree_unread) unread;
    const struct tree_mention *mentions;
    uint32_t n_mentions;
};

/* One identifier where it stands. */
struct tree_ident {
    struct tree_ident *next;
    const struct name *name;
    struct span span;
};

enum path_part_kind {
    PART_NAME,  /* name */
    PART_INDEX, /* [ indices ] */
    PART_BIT    /* .3 or .%X3: bit */
};

struct path_part {
    struct path_part *next;
    enum path_part_kind kind;
    const struct name *name;      /* PART_NAME, else NULL */
    TREE_LIST(tree_expr) indices; /* PART_INDEX, one for each dimension */
    int64_t bit;                  /* PART_BIT */
    struct span span;             /* without the point */
};

/* A.b[i].c.3; a single identifier is a path of one.  The first part is a
 * name. */
struct tree_path {
    TREE_LIST(path_part) parts;
    struct span span;
    bool standard; /* a function of the language, whatever the texts call
                      so: nobody wrote it */
};

/* ---- expressions ---- */

enum tree_op {
    TREE_NOT, TREE_NEGATE, TREE_PLUS,
    TREE_OR, TREE_XOR, TREE_AND,
    TREE_EQ, TREE_NE, TREE_LT, TREE_LE, TREE_GT, TREE_GE,
    TREE_ADD, TREE_SUB, TREE_MUL, TREE_DIV, TREE_MOD, TREE_POWER,
    TREE_OR_ELSE, TREE_AND_THEN
};

enum tree_expr_kind {
    TREE_INTEGER,   /* number; type_name set for INT#5 */
    TREE_BOOL,      /* number 0 or 1 */
    TREE_DURATION,  /* number in milliseconds */
    TREE_REAL,      /* real; type_name set for REAL#1.5 */
    TREE_OPAQUE,    /* a text, or a date: type_name is its type */
    TREE_REF,       /* path */
    TREE_ITEM,      /* type_name # item (path of one) */
    TREE_UNARY,     /* op, left */
    TREE_BINARY,    /* op, left, right */
    TREE_CALL,      /* path ( args ) in an expression */
    /* behind the := of a declaration only */
    TREE_ELEMENTS,  /* [ args without names ] */
    TREE_REPEATED,  /* number ( args without names ), within [ ] */
    TREE_FIELDS,    /* ( args with names ) */
    /* review text only */
    TREE_PRESSED,   /* path */
    TREE_READ,      /* path */
    TREE_COMMANDED, /* path */
    TREE_PREVIOUS,  /* left */
    TREE_RISING,    /* left */
    TREE_FALLING,   /* left */
    TREE_TRUE_FOR   /* left for the duration right; sampled */
};

struct tree_expr {
    struct tree_expr *next; /* in lists of expressions */
    enum tree_expr_kind kind;
    struct span span;
    int64_t number;
    bool beyond; /* TREE_INTEGER: from 2^63 on, number being its 64 bits */
    double real;
    const struct name *type_name;
    struct tree_path *path;
    enum tree_op op;
    struct span op_span;
    struct tree_expr *left, *right;
    TREE_LIST(tree_arg) args;
    bool sampled;
    bool parenthesised; /* written in ( ) */
    uint32_t height;    /* of the tree from here: 1 for a leaf; bounded */
};

/* name := value, name => target, or value alone (name NULL). */
struct tree_arg {
    struct tree_arg *next;
    struct tree_ident *name;
    bool output; /* => */
    struct tree_expr *value;
    struct span span;
};

/* ---- types and declarations ---- */

struct tree_enum_item {
    struct tree_enum_item *next;
    const struct name *name;
    struct tree_expr *value; /* of name := value, or NULL */
    struct span span;
};

/* low .. high of one dimension of an array; both NULL for *. */
struct tree_dim {
    struct tree_dim *next;
    struct tree_expr *low, *high;
    struct span span;
};

enum tree_type_kind {
    TREE_NAMED,       /* name [ (low .. high) ] */
    TREE_ENUMERATION, /* ( items ), of the base `name` unless NULL */
    TREE_ARRAY,       /* ARRAY [ dims ] OF element */
    TREE_STRUCTURE    /* STRUCT fields END_STRUCT */
};

struct tree_type {
    enum tree_type_kind kind;
    const struct name *name;
    struct tree_expr *low, *high; /* NULL unless a subrange */
    struct span length;           /* of STRING [80], or none */
    TREE_LIST(tree_enum_item) items;
    TREE_LIST(tree_dim) dims;
    struct tree_type *element;
    TREE_LIST(tree_var) fields;
    struct tree_type *heritage; /* STRUCT EXTENDS: its name, or NULL */
    struct span span;
};

/* TYPE name : type := initial; END_TYPE */
struct tree_type_decl {
    struct tree_type_decl *next;
    struct tree_ident *name;
    struct tree_type *type;
    struct tree_expr *initial; /* or NULL */
    struct span span;          /* the whole declaration */
    struct tree_part part;
};

enum tree_section {
    TREE_VAR, TREE_VAR_INPUT, TREE_VAR_OUTPUT, TREE_VAR_IN_OUT,
    TREE_VAR_TEMP, TREE_VAR_EXTERNAL, TREE_VAR_GLOBAL,
    TREE_VAR_CONFIG, TREE_VAR_ACCESS
};

struct tree_stmt;

/* One variable; "a, b : INT" makes two that share type and initial.  A line of
 * VAR_CONFIG or VAR_ACCESS speaks of one that is declared elsewhere. */
struct tree_var {
    struct tree_var *next;
    const struct name *name;
    struct span span;
    struct span located;  /* place of AT %..., or none */
    const char *location; /* "%IX0.3" or NULL */
    const struct name *place; /* its name (place.h), or NULL */
    struct tree_type *type;
    struct tree_expr *initial; /* or NULL */
    struct tree_path *path;    /* the one that is spoken of, else NULL */
    bool access, writes;       /* of VAR_ACCESS; READ_WRITE */
    struct tree_stmt *starts;  /* of a DATA_BLOCK, or NULL */
    struct span whole;         /* DATA_BLOCK: all of it, else no place */
    struct tree_part part;     /* of a VAR_GLOBAL outside a POU */
};

struct tree_var_block {
    struct tree_var_block *next;
    enum tree_section section;
    bool constant, retain, non_retain;
    bool is_static; /* VAR_STAT */
    TREE_LIST(tree_var) vars;
    struct span span;
};

/* ---- statements ---- */

enum tree_stmt_kind {
    TREE_ASSIGN, /* target := value */
    TREE_INVOKE, /* path ( args ) */
    TREE_IF,     /* branches; the ELSE branch has condition NULL */
    TREE_CASE,   /* value OF branches; the ELSE branch has no labels */
    TREE_FOR,    /* target := value TO to BY by; one branch, its span that */
    TREE_WHILE,  /* value; one branch */
    TREE_REPEAT, /* one branch, then UNTIL value */
    TREE_EXIT, TREE_CONTINUE, TREE_RETURN,
    TREE_EMPTY,
    TREE_MAY     /* branches without conditions; MECHANISM only */
};

/* value or low .. high of a CASE branch. */
struct tree_label {
    struct tree_label *next;
    struct tree_expr *low, *high; /* high NULL for a single value */
    struct span span;
};

struct tree_branch {
    struct tree_branch *next;
    struct tree_expr *condition;
    TREE_LIST(tree_label) labels;
    TREE_LIST(tree_stmt) body;
    struct span span; /* of the condition, the labels, or the word ELSE */
};

struct tree_stmt {
    struct tree_stmt *next;
    enum tree_stmt_kind kind;
    struct span span;
    struct tree_path *target;
    struct tree_expr *value;
    struct tree_expr *to, *by; /* TREE_FOR; by NULL: 1 */
    TREE_LIST(tree_arg) args;
    TREE_LIST(tree_branch) branches;
};

/* ---- program organisation units ---- */

enum tree_pou_kind { TREE_PROGRAM, TREE_FUNCTION_BLOCK, TREE_FUNCTION };

struct tree_pou {
    struct tree_pou *next;
    enum tree_pou_kind kind;
    struct tree_ident *name;
    struct tree_type *result; /* FUNCTION only */
    TREE_LIST(tree_var_block) blocks;
    TREE_LIST(tree_stmt) body;
    struct span span;
    struct tree_part part;
};

/* ---- configurations ---- */

/* TASK name (INTERVAL := .., SINGLE := .., PRIORITY := ..); */
struct tree_task {
    struct tree_task *next;
    struct tree_ident *name;
    TREE_LIST(tree_arg) args;
};

/* PROGRAM name [WITH task] : type; */
struct tree_instance {
    struct tree_instance *next;
    struct tree_ident *name, *task; /* task NULL: none */
    struct tree_ident *type;
};

/* CONFIGURATION, its resources told apart by nothing but their tasks. */
struct tree_configuration {
    struct tree_configuration *next;
    struct tree_ident *name;
    TREE_LIST(tree_task) tasks;
    TREE_LIST(tree_instance) instances;
    uint32_t n_resources;
    struct span span; /* of the word and the name */
};

#endif
