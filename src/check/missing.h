/* missing.h - function blocks that are needed and whose text is not there.
 *
 * All that the texts under review say about one is gathered, so that one
 * message can name its uses and a declaration to begin with.
 */
#ifndef KEEPCLEAR_CHECK_MISSING_H
#define KEEPCLEAR_CHECK_MISSING_H

#include "check/draft.h"

/* The variable's type is known to nobody, and no name is near it: notes
 * that in its symbol. */
bool missing_declared(struct draft *draft, const struct tree_var *var,
                      struct symbol *symbol);

/* Such a variable is called there; the block has such an input or output
 * (type NULL: nothing tells it). */
void missing_called(const struct symbol *symbol, struct span span);
void missing_port(const struct symbol *symbol, const struct name *name,
                  const struct type *type, bool output);

/* One message for each of them. */
void missing_report(struct draft *draft);

#endif
