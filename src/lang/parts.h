/* parts.h - which part of a control text a mistake belongs to.
 *
 * A mistake within a POU, a type or a global variable is told only when that
 * is needed: a file of a whole project stays readable although one block of
 * it is not.
 */
#ifndef KEEPCLEAR_LANG_PARTS_H
#define KEEPCLEAR_LANG_PARTS_H

#include "lang/review.h"

struct diags;
struct reading;

/* Gives what was held and mentioned while one text was read to its parts,
 * and reports what belongs to none.  `before`: how the run ended before. */
struct parts_before {
    const struct tree_pou *pou;
    const struct tree_type_decl *type;
    const struct tree_var_block *globals;
};
struct parts_before parts_begin(const struct tree_run *run);
void parts_settle(struct reading *reading, struct parts_before before);

/* Reports all that is wrong with one part, or with every part. */
void parts_report(const struct tree_part *part, struct diags *diags);

/* The same; bodies: but for bodies that are no text. */
void parts_report_but(const struct tree_part *part, bool bodies,
                      struct diags *diags);
void parts_report_all(const struct tree_run *run, struct diags *diags);

#endif
