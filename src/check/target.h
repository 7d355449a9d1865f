/* target.h - what may be assigned where. */
#ifndef KEEPCLEAR_CHECK_TARGET_H
#define KEEPCLEAR_CHECK_TARGET_H

#include "check/resolve.h"

/* The variable that a text assigns; the assignment is noted.  False when a
 * mistake was reported. */
bool target_resolve(struct env *env, const struct tree_path *path,
                    struct found *found);

/* The same where a bit of it may be assigned. */
bool target_bit(struct env *env, const struct tree_path *path,
                struct found *found);

/* The instance that a text calls. */
bool target_instance(struct env *env, const struct tree_path *path,
                     struct found *found);

/* Notes that env's text reads this variable. */
void target_note_read(struct env *env, struct code_variable variable,
                      const struct type *type, struct span span);

/* The same for the variable, or the bit of it, that was found. */
void target_note_found(struct env *env, const struct found *found,
                       struct span span);

/* The same for the bits of a word that an AND with a constant leaves, if the
 * expression (or NULL) is one. */
void target_note_masked(struct env *env, const struct code_expr *expr);

/* The inputs that a call of control text gives to an instance of the unit are
 * written there, and no free ones.  False when a mistake was reported: what
 * stands at the terminals is given by nobody. */
bool target_gives(struct env *env, const struct unit *unit,
                  const struct code_stmt *call);

/* Reports that a variable is not assigned; false. */
bool target_kept(struct draft *draft, enum kept kept, struct span span,
                 const struct name *name);

#endif
