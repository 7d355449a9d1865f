/* place.h - places in the controller, %IX0.3: their names, and where they
 * stand in a statement without a declaration.
 */
#ifndef KEEPCLEAR_LANG_PLACE_H
#define KEEPCLEAR_LANG_PLACE_H

#include "lang/build_parts.h"
#include "lang/tree.h"

struct names;
struct reading;

/* The same name for whatever spells the same place: %IX0.3, %ix0.03 and
 * %I0.3.  NULL for one that is not known yet, %I*. */
const struct name *place_name(struct names *names, const char *location);

/* The name of a place that stands where a variable could; of a control text
 * it is a global variable, unless one is declared there. */
struct tree_ident *place_ident(struct reading *reading,
                               struct tree_string location);

#endif
