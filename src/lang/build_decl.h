/* build_decl.h - constructors of variables and POUs. */
#ifndef KEEPCLEAR_LANG_BUILD_DECL_H
#define KEEPCLEAR_LANG_BUILD_DECL_H

#include "lang/build_parts.h"

struct reading;

/* Bits of a VAR block beside its enum tree_section. */
enum { BUILD_CONSTANT = 0x10, BUILD_RETAIN = 0x20, BUILD_NON_RETAIN = 0x40,
       BUILD_STATIC = 0x80 };

/* In place of a name that is missing. */
struct tree_ident *build_nameless(struct reading *reading,
                                  struct span span);

/* Variables (tree_var) for names (tree_ident), at a location or, when that
 * is all zero, at none. */
struct chain build_located(struct reading *reading, struct chain names,
                           struct tree_string location);
/* Gives all these variables their type and initial value. */
struct chain build_vars(struct chain vars, struct tree_type *type,
                        struct tree_expr *initial);
/* `a : INT = 5`: reported, gives vars. */
struct chain build_vars_with_equals(struct reading *reading,
                                    struct chain vars, struct span where);
struct tree_var_block *build_var_block(struct reading *reading, int bits,
                                       struct chain vars, struct span word,
                                       struct span span);

/* Adds to the run. */
void build_types_global(struct reading *reading, struct chain decls);
void build_globals(struct reading *reading, struct tree_var_block *block);
/* UNKNOWN name: a block or function of which only the parameters are there;
 * in review text. */
void build_unknown(struct reading *reading, struct tree_ident *name,
                   struct tree_reason reason);

#endif
