/* loop.h - loops, pass by pass, as long as a path leads into the next one.
 *
 * Each pass lies in the arm of the one before it, so that what is constant in
 * a pass stays constant and a loop with constant bounds costs its passes.
 */
#ifndef KEEPCLEAR_LOWER_LOOP_H
#define KEEPCLEAR_LOWER_LOOP_H

#include "lower/sym.h"

struct frame;

/* What a loop needs of the text that it stands in. */
struct loop_text {
    struct sym *sym;
    const struct frame *frame;
    flat_expr (*eval)(struct sym *sym, const struct frame *frame,
                      const struct code_expr *expr);
    void (*assign)(struct sym *sym, const struct frame *frame,
                   const struct code_stmt *stmt, flat_expr value);
    void (*run)(struct sym *sym, const struct frame *frame,
                const struct code_branch *body);
    uint32_t *any; /* of the frame: where its open places begin */
};

/* Runs a FOR, WHILE or REPEAT. */
void loop_unfold(const struct loop_text *text, const struct code_stmt *stmt);

#endif
