/* need.h - which parts of the control text the programs under review need.
 *
 * Found by names alone: a part is needed when a needed part, or the review
 * text, mentions a name that it declares.  That is sometimes more than is
 * needed and never less.
 */
#ifndef KEEPCLEAR_CHECK_NEED_H
#define KEEPCLEAR_CHECK_NEED_H

#include <stdbool.h>

#include "lang/review.h"

struct arena;
struct diags;
struct need;

/* Everything is needed where no PROGRAM runs. */
const struct need *need_of(struct arena *arena, const struct tree_run *run);

/* Is what has this name needed?  need NULL: everything is. */
bool need_has(const struct need *need, const struct name *name);

/* A global variable is needed by its place too, %MW10. */
bool need_global(const struct need *need, const struct tree_var *var);

/* Does this PROGRAM run: named by a configuration, or there is none; or it
 * is the one that runs alone? */
bool need_runs(const struct tree_run *run, const struct tree_pou *pou);

/* Reports what is wrong with needed parts. */
void need_report(const struct need *need, const struct tree_run *run,
                 struct diags *diags);

/* Does the review text declare it UNKNOWN? */
bool need_unknown(const struct tree_run *run, const struct tree_pou *pou);

#endif
