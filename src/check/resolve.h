/* resolve.h - what a path names. */
#ifndef KEEPCLEAR_CHECK_RESOLVE_H
#define KEEPCLEAR_CHECK_RESOLVE_H

#include "check/env.h"

enum found_kind {
    FOUND_VARIABLE, /* variable, type */
    FOUND_INSTANCE, /* variable (where its frame begins), unit */
    FOUND_SYMBOL    /* anything else: symbol */
};

struct found {
    enum found_kind kind;
    const struct symbol *symbol; /* of the last part that has one: elements
                                    and fields go with their variable */
    const struct symbol *root;   /* of the first part that is a variable */
    struct code_variable variable;
    const struct type *type;
    struct unit *unit;
    uint32_t part; /* where known indices and fields lie in symbol's values */
    bool member;  /* reached through an instance */
    bool control; /* a variable of the control text, seen from outside */
    enum kept kept; /* of a target */
    const struct code_expr *letter; /* only the element of a text with this
                                       number; then `bit` is set, too */
    bool bit;     /* only bit `index` of the variable */
    uint32_t index;
};

/* Is it one value, whose place is known before the start? */
bool found_single(const struct found *found);

/* A bit of what was found is meant: where that comes from outside (partly.h),
 * its BOOL is what is found now. */
bool found_outside(const struct draft *draft, struct found *found,
                   uint32_t bit);

/* Is it a variable in an instance of a block that stands at no place, or that
 * the block itself writes: nothing outside drives it. */
bool found_inside(const struct draft *draft, const struct found *found);

/* What the path names where env stands; `wanted` (or NULL) chooses among
 * enumeration items; a bit of a variable is refused.  False when a mistake
 * was reported. */
bool resolve_path(struct env *env, const struct tree_path *path,
                  const struct type *wanted, struct found *found);

/* The same where a bit of a variable may stand. */
bool resolve_bit(struct env *env, const struct tree_path *path,
                 const struct type *wanted, struct found *found);

/* The variable of a program or the global that the path names, for READ,
 * COMMANDED, FIXED, SHARED and targets of WIRING IN. */
bool resolve_control(struct draft *draft, const struct tree_path *path,
                     struct found *found);

/* The same where a bit of it may stand. */
bool resolve_control_bit(struct draft *draft, const struct tree_path *path,
                         struct found *found);

/* How many variables of programs and globals have this name; the first is
 * found. */
unsigned resolve_candidates(const struct draft *draft,
                            const struct name *name, struct found *found);

/* Could this be an enumeration item, whose type others tell? */
bool resolve_may_be_item(const struct env *env,
                         const struct tree_expr *tree);

/* Reports a name nobody knows, with the nearest one that env sees. */
void resolve_unknown(struct env *env, const struct path_part *part);

#endif
