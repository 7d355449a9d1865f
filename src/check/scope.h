/* scope.h - declared names: one table per place where names are declared.
 *
 * Symbols lie in the arena of the check and do not move.  A scope keeps them
 * in the order of declaration.
 */
#ifndef KEEPCLEAR_CHECK_SCOPE_H
#define KEEPCLEAR_CHECK_SCOPE_H

#include <stdbool.h>
#include <stdint.h>

#include "base/vec.h"
#include "check/model.h"
#include "lang/review.h"

struct arena;
struct diags;
struct missing;
struct unit;

enum symbol_kind {
    SYMBOL_TYPE,     /* type; decl until it is resolved */
    SYMBOL_ITEM,     /* value of the enumeration `type` */
    SYMBOL_UNIT,     /* unit */
    SYMBOL_VARIABLE, /* variable of `type` */
    SYMBOL_INSTANCE, /* variable that is an instance of `unit` */
    SYMBOL_CONTROL,  /* control `index`, which has several contacts */
    SYMBOL_CONTACT,  /* contact `index` */
    SYMBOL_SENSOR,
    SYMBOL_ACTUATOR,
    SYMBOL_FAULT,  /* number `index` */
    SYMBOL_GROUP,  /* of faults: cause `index` */
    SYMBOL_BODY,   /* a mechanism or recorder, number `index` */
    SYMBOL_HAZARD, /* hazard `index` */
    SYMBOL_LABEL,  /* an assumption or requirement */
    SYMBOL_WORD    /* power, cold, warm, elapsed: `index` is its code_op */
};

enum { SYMBOL_FRESH, SYMBOL_OPEN, SYMBOL_DONE }; /* of lazy resolution */

struct symbol {
    const struct name *name;
    enum symbol_kind kind;
    struct span span;
    const struct type *type;
    struct unit *unit;
    const struct tree_type_decl *decl;
    int state;
    uint32_t index;
    int64_t value;             /* item, or initial value */
    const int64_t *values;     /* initial values of one with several */
    enum tree_section section; /* of a variable */
    struct code_variable variable;
    bool constant, retain;    /* as its section says */
    bool begins;              /* its declaration says with which value */
    bool hidden;              /* a block's own, not to be named */
    const char *location;     /* AT "%IX0.3", or NULL */
    uint64_t outside;         /* bits that are BOOLs behind it (partly.h) */
    bool at_input, at_output; /* of it, AT %I.., AT %Q.. */
    enum slot_home home;      /* of a variable of a review text */
    uint32_t owner;           /* its recorder or mechanism */
    struct missing *missing;  /* its block has no text */
    const struct symbol *placed; /* of a place: the variable there, */
    struct unit *placed_in;      /* and its program, NULL: a global */
    struct symbol *same;      /* item of the same name elsewhere */
};

struct scope {
    VEC(struct symbol *) all;
    VEC(uint32_t) table; /* open addressing: 1 + place in all, 0 free */
};

/* The symbol of that name or NULL. */
struct symbol *scope_find(const struct scope *scope,
                          const struct name *name);

/* A new symbol, zeroed but for name, kind and span; it replaces none: when
 * the name is taken an error with both places is reported and NULL given
 * back. */
struct symbol *scope_add(struct scope *scope, struct arena *arena,
                         struct diags *diags, const struct symbol *what);

/* As scope_add without a report; the name must be free. */
struct symbol *scope_put(struct scope *scope, struct arena *arena,
                         const struct symbol *what);

/* The name declared in one of count scopes (NULL allowed) that is nearest
 * to this one, or NULL. */
const struct symbol *scope_nearest(const struct scope *const *scopes,
                                   size_t count, const struct name *name);

void scope_release(struct scope *scope);

#endif
