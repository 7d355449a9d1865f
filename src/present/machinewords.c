#include "present/machinewords.h"

#include <string.h>

#include "base/text.h"
#include "check/model.h"
#include "present/amount.h"
#include "present/plainly.h"
#include "present/quote.h"
#include "present/say.h"

/* "one of Shut, Narrow, Wide", of an enumeration. */
static void positions(const struct plainly *plainly, const struct type *type)
{
    if (type_base(type)->kind != TYPE_ENUM)
        return;
    for (int64_t value = type->low; value <= type->high; value++) {
        text_add(plainly->out, value == type->low ? " is one of " : ", ");
        say_value(plainly->out, type, value);
    }
    text_add(plainly->out, "; it");
}

bool machinewords_begins(const struct plainly *plainly, uint32_t slot)
{
    const struct slot *what = &plainly->model->slots[slot];

    if (what->home != SLOT_MACHINE || what->temp || what->clock ||
        strchr(what->path, '.') != NULL)
        return false;
    plainly_slot(plainly, slot);
    positions(plainly, what->type);
    if (what->start != MODEL_NONE) {
        text_add(plainly->out, " may have any of its values at power-up.");
        return true;
    }
    text_add(plainly->out, " is assumed to be ");
    say_value(plainly->out, what->type, what->initial);
    text_add(plainly->out, " at power-up.");
    return true;
}

/* How long it takes, as semantics of movements have it. */
static void duration(const struct plainly *plainly,
                     const struct movement *movement)
{
    if (!movement->timed) {
        text_add(plainly->out, "; at any moment, or never.");
        return;
    }
    if (movement->upper < 0) {
        text_add(plainly->out, "; not before that has held for ");
        amount_seconds(plainly->out, movement->lower);
        text_add(plainly->out, ", and perhaps never.");
        return;
    }
    text_add(plainly->out, "; not before that has held for ");
    amount_seconds(plainly->out, movement->lower);
    text_add(plainly->out, ", and at the latest when it has held without a "
                           "break for ");
    amount_seconds(plainly->out, movement->upper);
    text_add(plainly->out, ".");
}

void machinewords_movement(const struct plainly *plainly,
                           const struct movement *movement)
{
    const struct type *type = plainly->model->slots[movement->slot].type;

    plainly_slot(plainly, movement->slot);
    text_add(plainly->out, " goes from ");
    say_value(plainly->out, type, movement->from);
    text_add(plainly->out, " to ");
    say_value(plainly->out, type, movement->to);
    if (movement->condition != NULL) {
        text_add(plainly->out, " while ");
        plainly_condition(plainly, movement->condition, true);
    }
    duration(plainly, movement);
}

void machinewords_statement(const struct plainly *plainly,
                            const struct code_stmt *stmt)
{
    text_add(plainly->out, "As it is written: `");
    quote_span(plainly->out, plainly->sources, stmt->span);
    text_add(plainly->out, "`");
}

/* ---- wiring ---- */

static bool is_plain(const struct code_stmt *stmt)
{
    return stmt->kind == CODE_ASSIGN && stmt->value != NULL &&
           stmt->target.base == CODE_GLOBAL && stmt->target.n_steps == 0 &&
           type_base(stmt->target_type)->kind == TYPE_BOOL;
}

static bool reads(const struct code_expr *expr, uint32_t slot)
{
    if (expr == NULL)
        return false;
    return (expr->op == CODE_VARIABLE && expr->variable.index == slot) ||
           reads(expr->left, slot) || reads(expr->right, slot);
}

static bool calls(const struct code_expr *expr)
{
    return expr != NULL && (expr->n_args > 0 || expr->op == CODE_CALL ||
                            calls(expr->left) || calls(expr->right));
}

/* Assigned nowhere else, and from nothing that is assigned later: then it
 * has this value at the end of every scan. */
static bool is_said(const struct body *wiring, uint32_t i)
{
    const struct code_stmt *stmt = &wiring->stmts[i];

    if (!is_plain(stmt) || calls(stmt->value))
        return false;
    for (uint32_t k = 0; k < wiring->n_stmts; k++) {
        const struct code_stmt *other = &wiring->stmts[k];

        if (!is_plain(other) ||
            (k != i && other->target.index == stmt->target.index) ||
            (k >= i && reads(stmt->value, other->target.index)))
            return false;
    }
    return true;
}

static bool reads_home(const struct model *model,
                       const struct code_expr *expr, enum slot_home home)
{
    if (expr == NULL)
        return false;
    return (expr->op == CODE_VARIABLE &&
            expr->variable.base == CODE_GLOBAL &&
            model->slots[expr->variable.index].home == home) ||
           reads_home(model, expr->left, home) ||
           reads_home(model, expr->right, home);
}

/* Before the programs, actuators stand as at the scan before. */
static bool is_behind(const struct model *model, const struct code_stmt *stmt)
{
    enum slot_home home = model->slots[stmt->target.index].home;

    return home != SLOT_ACTUATOR && home != SLOT_WIRING_OUT &&
           (reads_home(model, stmt->value, SLOT_ACTUATOR) ||
            reads_home(model, stmt->value, SLOT_WIRING_OUT));
}

void machinewords_wiring(const struct plainly *plainly,
                         const struct body *wiring, uint32_t i)
{
    const struct code_stmt *stmt = &wiring->stmts[i];

    if (!is_said(wiring, i)) {
        machinewords_statement(plainly, stmt);
        return;
    }
    plainly_slot(plainly, stmt->target.index);
    text_add(plainly->out, " is on exactly while ");
    plainly_condition(plainly, stmt->value, true);
    text_add(plainly->out, is_behind(plainly->model, stmt)
                               ? ", as it stood one scan before." : ".");
}
