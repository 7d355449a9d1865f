/* typing.h - written types, and values known before the first scan.
 *
 * Types of TYPE sections are resolved when first needed.
 */
#ifndef KEEPCLEAR_CHECK_TYPING_H
#define KEEPCLEAR_CHECK_TYPING_H

#include "check/draft.h"

/* Enters the names of all TYPE sections. */
void typing_enter(struct draft *draft);

/* Resolves every type entered, so that mistakes in unused ones are found. */
void typing_finish(struct draft *draft);

/* The type of that name, or NULL: not a type, or a mistake that was
 * reported (*known tells them apart). */
const struct type *typing_named(struct draft *draft,
                                const struct name *name, struct span span,
                                bool *known);

/* The type written; constants come from scope (NULL allowed) and the
 * globals.  NULL when a mistake was reported. */
const struct type *typing_of(struct draft *draft, const struct scope *scope,
                             const struct tree_type *tree);

/* The enumeration item of that name: of the type wanted if it has one, else
 * the only one there is; NULL when there is none.  *several is set when
 * more than one type has it and none is wanted. */
const struct symbol *typing_item(const struct draft *draft,
                                 const struct name *name,
                                 const struct type *wanted, bool *several);

/* Type#item; NULL when a mistake was reported. */
const struct symbol *typing_qualified(struct draft *draft,
                                      const struct tree_expr *tree);

/* Type.item: *known is false, and nothing reported, where no enumeration
 * has the name before the point; else NULL when a mistake was reported. */
const struct symbol *typing_dotted(struct draft *draft,
                                   const struct tree_path *path,
                                   bool *known);

/* The initial values of a variable of this type: what tree says (NULL:
 * nothing), the rest by default; in the arena.  NULL when a mistake was
 * reported. */
int64_t *typing_values(struct draft *draft, const struct scope *scope,
                       const struct tree_expr *tree,
                       const struct type *type);

/* Does this number, as it is written, lie in the type? */
bool typing_holds(const struct type *type, const struct tree_expr *number);

/* The value of a constant expression as a value of this type.  False when a
 * mistake was reported. */
bool typing_constant(struct draft *draft, const struct scope *scope,
                     const struct tree_expr *tree, const struct type *type,
                     int64_t *value);

/* An enumeration with these items, entered for bare use. */
const struct type *typing_enumeration(struct draft *draft,
                                      const struct name *name,
                                      const struct tree_enum_item *items,
                                      uint32_t count);

#endif
