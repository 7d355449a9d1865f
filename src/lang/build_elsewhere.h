/* build_elsewhere.h - constructors of VAR_CONFIG and VAR_ACCESS, whose lines
 * speak of variables that are declared elsewhere.
 *
 * Nodes live in the arena of the reading; no result is NULL.
 */
#ifndef KEEPCLEAR_LANG_BUILD_ELSEWHERE_H
#define KEEPCLEAR_LANG_BUILD_ELSEWHERE_H

#include "lang/build_parts.h"

struct reading;

/* path [AT location] : type [:= initial]; */
struct tree_var *build_configured(struct reading *reading,
                                  struct tree_path *path,
                                  struct tree_string location,
                                  struct build_value value);

/* name : path : type [READ_ONLY | READ_WRITE]; `vars` (tree_var) are the
 * names, direction is NULL where nothing is written. */
struct chain build_accessed(struct reading *reading, struct chain vars,
                            struct tree_path *path, struct tree_type *type,
                            const struct tree_ident *direction);

/* The lines that belong into such a section; others are reported and left
 * out. */
struct chain build_fitting(struct reading *reading, enum tree_section section,
                           struct chain vars);

/* Adds a section to the run if it is a VAR_CONFIG or VAR_ACCESS, of the unit
 * of that kind and name (NULL: of none).  False if it is another one. */
bool build_elsewhere(struct reading *reading, struct tree_var_block *block,
                     enum tree_pou_kind kind, const struct tree_ident *unit);

#endif
