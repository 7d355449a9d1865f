#include "present/plainly.h"

#include <string.h>

#include "base/text.h"
#include "check/model.h"
#include "present/amount.h"
#include "present/naming.h"
#include "present/quote.h"
#include "present/say.h"

/* Deeper conditions stand as they are written. */
enum { DEEPEST = 12 };

/* ---- what a value is called ---- */

static const struct actuator *actuator_of(const struct model *model,
                                          uint32_t slot)
{
    for (uint32_t i = 0; i < model->n_actuators; i++)
        if (model->actuators[i].slot == slot)
            return &model->actuators[i];
    return NULL;
}

void plainly_slot(const struct plainly *plainly, uint32_t slot)
{
    const struct actuator *actuator = actuator_of(plainly->model, slot);

    if (actuator != NULL)
        text_add(plainly->out, actuator->title);
    else
        naming_slot(plainly->out, plainly->model, slot);
}

static void as_written(const struct plainly *plainly,
                       const struct code_expr *expr)
{
    text_add_char(plainly->out, '`');
    quote_span(plainly->out, plainly->sources, expr->span);
    text_add_char(plainly->out, '`');
}

static bool is_plain_variable(const struct code_expr *expr)
{
    return expr->op == CODE_VARIABLE && expr->variable.base == CODE_GLOBAL &&
           expr->variable.n_steps == 0;
}

/* The control whose position the value is, or NULL. */
static const struct control *hand_of(const struct model *model,
                                     const struct code_expr *expr)
{
    if (expr->op == CODE_HAND)
        return &model->controls[expr->index];
    if (expr->op == CODE_CONTACT &&
        model->contacts[expr->index].kind == CONTACT_VALUE)
        return &model->controls[model->contacts[expr->index].control];
    return NULL;
}

void plainly_name(const struct plainly *plainly, const struct code_expr *value)
{
    const struct control *control = hand_of(plainly->model, value);

    if (control != NULL)
        text_add(plainly->out, control->title);
    else if (is_plain_variable(value))
        plainly_slot(plainly, value->variable.index);
    else if (value->op == CODE_SENSOR)
        text_add(plainly->out, plainly->model->sensors[value->index].title);
    else if (value->op == CODE_COMMANDED) {
        text_add(plainly->out, "what the program asks of ");
        text_add(plainly->out,
                 plainly->model->actuators[value->index].title);
    } else
        as_written(plainly, value);
}

/* ---- single facts ---- */

/* "is", "is not"; "was", "was not" at the moment before. */
static const char *verb(const struct code_expr *expr, bool holds)
{
    if (expr->when != CODE_NOW)
        return holds ? " was" : " was not";
    return holds ? " is" : " is not";
}

static const char *moment(const struct code_expr *expr)
{
    return expr->when != CODE_NOW ? " just before" : "";
}

/* `what` is on, or off. */
static void on_off(const struct plainly *plainly, const struct code_expr *expr,
                   const char *what, bool holds)
{
    text_printf(plainly->out, "%s %s %s%s", what,
                expr->when != CODE_NOW ? "was" : "is", holds ? "on" : "off",
                moment(expr));
}

/* `what` is in the state `state`. */
static void fact(const struct plainly *plainly, const struct code_expr *expr,
                 const char *what, const char *state, bool holds)
{
    text_printf(plainly->out, "%s%s %s%s", what, verb(expr, holds), state,
                moment(expr));
}

static void hand(const struct plainly *plainly, const struct code_expr *expr,
                 const struct control *control, bool holds)
{
    fact(plainly, expr, control->title, naming_operated(control->kind), holds);
}

/* A sound contact says where the hand is. */
static void contact(const struct plainly *plainly,
                    const struct code_expr *expr, bool holds)
{
    const struct contact *contact = &plainly->model->contacts[expr->index];
    const struct control *control =
        &plainly->model->controls[contact->control];
    struct text at = {0};

    if (contact->kind != CONTACT_ON) {
        hand(plainly, expr, control,
             (contact->kind == CONTACT_OPENING) != holds);
        return;
    }
    text_add(&at, "at ");
    say_value(&at, control->type, contact->position);
    fact(plainly, expr, control->title, text_str(&at), holds);
    text_release(&at);
}

/* The value, by its name, is TRUE: on, if people see it as that. */
static void named(const struct plainly *plainly, const struct code_expr *expr,
                  bool seen, bool holds)
{
    struct text name = {0};
    struct plainly naming = *plainly;

    naming.out = &name;
    plainly_name(&naming, expr);
    if (seen)
        on_off(plainly, expr, text_str(&name), holds);
    else
        fact(plainly, expr, text_str(&name), "TRUE", holds);
    text_release(&name);
}

static void commanded(const struct plainly *plainly,
                      const struct code_expr *expr, bool holds)
{
    bool past = expr->when != CODE_NOW;

    text_printf(plainly->out, "the program %s %s%s",
                past    ? holds ? "asked for" : "did not ask for"
                : holds ? "asks for"
                        : "does not ask for",
                plainly->model->actuators[expr->index].title, moment(expr));
}

static void variable(const struct plainly *plainly,
                     const struct code_expr *expr, bool holds)
{
    bool drives = is_plain_variable(expr) &&
                  actuator_of(plainly->model, expr->variable.index) != NULL;

    named(plainly, expr, drives, holds);
}

static void fault(const struct plainly *plainly, const struct code_expr *expr,
                  bool holds)
{
    const struct fault *fault = &plainly->model->faults[expr->index];
    struct text what = {0};

    text_printf(&what, "fault %s (%s)", fault->name->spelling, fault->title);
    fact(plainly, expr, text_str(&what), "there", holds);
    text_release(&what);
}

/* What is conducted, with the faults that are there. */
static void wired(const struct plainly *plainly, const struct code_expr *expr,
                  const char *name, bool holds)
{
    struct text what = {0};

    text_printf(&what, "contact %s", name);
    fact(plainly, expr, text_str(&what), "conducting", holds);
    text_release(&what);
}

static bool leaf(const struct plainly *plainly, const struct code_expr *expr,
                 bool holds)
{
    const struct model *model = plainly->model;

    switch (expr->op) {
    case CODE_VARIABLE: variable(plainly, expr, holds); return true;
    case CODE_HAND:
        hand(plainly, expr, &model->controls[expr->index], holds);
        return true;
    case CODE_CONTACT: contact(plainly, expr, holds); return true;
    case CODE_SENSOR: named(plainly, expr, true, holds); return true;
    case CODE_CONDUCTS:
        wired(plainly, expr, model->contacts[expr->index].name->spelling,
              holds);
        return true;
    case CODE_SENSED:
        wired(plainly, expr, model->sensors[expr->index].name->spelling,
              holds);
        return true;
    case CODE_COMMANDED: commanded(plainly, expr, holds); return true;
    case CODE_FAULT: fault(plainly, expr, holds); return true;
    case CODE_POWER: on_off(plainly, expr, "power", holds); return true;
    case CODE_READ:
        fact(plainly, expr, model->slots[expr->index].path,
             "TRUE as the program reads it", holds);
        return true;
    default: return false;
    }
}

/* ---- comparisons ---- */

static const char *relation(enum code_op op, bool holds)
{
    switch (op) {
    case CODE_EQ: return holds ? "" : "not ";
    case CODE_NE: return holds ? "not " : "";
    case CODE_LT: return holds ? "below " : "at least ";
    case CODE_GE: return holds ? "at least " : "below ";
    case CODE_LE: return holds ? "at most " : "above ";
    case CODE_GT: return holds ? "above " : "at most ";
    default: return NULL;
    }
}

/* A comparison of a REAL that is no number is false whichever way it is
 * turned: it keeps its own words. */
static bool can_be_turned(const struct code_expr *expr)
{
    return type_base(expr->left->type)->kind != TYPE_REAL;
}

static bool compares(const struct plainly *plainly,
                     const struct code_expr *expr, bool holds)
{
    const char *words = relation(expr->op, holds);
    const struct code_expr *right = expr->right;

    if (words == NULL || (!holds && !can_be_turned(expr)))
        return false;
    plainly_name(plainly, expr->left);
    text_printf(plainly->out, "%s %s", verb(expr->left, true), words);
    if (right->op == CODE_CONST && right->type->kind == TYPE_ENUM)
        say_value(plainly->out, right->type, right->value);
    else if (right->op == CODE_CONST)
        quote_span(plainly->out, plainly->sources, right->span);
    else
        plainly_name(plainly, right);
    text_add(plainly->out, moment(expr->left));
    return true;
}

/* ---- joined conditions ---- */

static void clause(const struct plainly *plainly,
                   const struct code_expr *expr, bool holds, unsigned depth);

static bool same_span(struct span a, struct span b)
{
    return a.file == b.file && a.from == b.from && a.to == b.to;
}

static bool has_past(const struct code_expr *expr)
{
    return expr != NULL && (expr->when != CODE_NOW || has_past(expr->left) ||
                            has_past(expr->right));
}

/* RISING and FALLING have been written out: `now AND NOT before`, with the
 * place of the whole. */
static bool is_edge(const struct code_expr *expr)
{
    return expr->op == CODE_AND && expr->right->op == CODE_NOT &&
           same_span(expr->span, expr->right->span);
}

/* Does the condition come out as several joined ones? */
static bool is_joined(const struct code_expr *expr)
{
    while (expr->op == CODE_NOT)
        expr = expr->left;
    return (expr->op == CODE_AND || expr->op == CODE_OR ||
            expr->op == CODE_AND_THEN || expr->op == CODE_OR_ELSE) &&
           !is_edge(expr);
}

static void edge(const struct plainly *plainly, const struct code_expr *expr,
                 bool holds, unsigned depth)
{
    bool falling = has_past(expr->left);
    const struct code_expr *now = falling ? expr->right->left : expr->left;
    bool whole = is_joined(now);

    text_add(plainly->out, holds ? "" : "it is not so that ");
    if (whole)
        text_add(plainly->out, falling ? "no longer (" : "newly (");
    clause(plainly, now, whole || !falling, depth + 1);
    text_add(plainly->out, whole ? ")" : " from this moment on");
}

static bool is_and(const struct code_expr *expr, bool holds)
{
    bool and = expr->op == CODE_AND || expr->op == CODE_AND_THEN;

    return and == holds;
}

/* Whether `side` is joined by the same word: it needs no brackets. */
static bool goes_on(const struct code_expr *side, bool holds, bool and)
{
    while (side->op == CODE_NOT) {
        side = side->left;
        holds = !holds;
    }
    return is_joined(side) && is_and(side, holds) == and &&
           !(and == false && !holds);
}

/* Comes out as "not at the same time (...)", with brackets of its own. */
static bool stays_whole(const struct code_expr *side, bool holds)
{
    while (side->op == CODE_NOT) {
        side = side->left;
        holds = !holds;
    }
    return is_joined(side) && !holds && !is_and(side, holds);
}

static void side_of(const struct plainly *plainly,
                    const struct code_expr *side, bool holds, bool and,
                    unsigned depth)
{
    bool brackets = is_joined(side) && !goes_on(side, holds, and) &&
                    !stays_whole(side, holds);

    text_add(plainly->out, brackets ? "(" : "");
    clause(plainly, side, holds, depth + 1);
    text_add(plainly->out, brackets ? ")" : "");
}

/* `NOT (a AND b)` stays one whole: that is how people think of it. */
static void not_together(const struct plainly *plainly,
                         const struct code_expr *expr, unsigned depth)
{
    text_add(plainly->out, "not at the same time (");
    clause(plainly, expr, true, depth + 1);
    text_add(plainly->out, ")");
}

static void joined(const struct plainly *plainly,
                   const struct code_expr *expr, bool holds, unsigned depth)
{
    bool and = is_and(expr, holds);

    if (!holds && !and) {
        not_together(plainly, expr, depth);
        return;
    }
    side_of(plainly, expr->left, holds, and, depth);
    text_add(plainly->out, and ? " and " : " or ");
    side_of(plainly, expr->right, holds, and, depth);
}

/* TRUE FOR t: its time is judged in the direction that makes it harder. */
static void held_for(const struct plainly *plainly,
                     const struct code_expr *expr, bool holds, unsigned depth)
{
    const struct clock *clock = &plainly->model->clocks[expr->index];

    text_add(plainly->out, holds ? "for " : "not yet for ");
    amount_seconds(plainly->out, clock->limit.wanted);
    text_add(plainly->out, " (");
    clause(plainly, clock->held, true, depth + 1);
    text_add(plainly->out, ")");
}

static void outright(const struct plainly *plainly,
                     const struct code_expr *expr, bool holds)
{
    as_written(plainly, expr);
    text_add(plainly->out, holds ? " holds" : " does not hold");
}

static void clause(const struct plainly *plainly,
                   const struct code_expr *expr, bool holds, unsigned depth)
{
    if (depth > DEEPEST)
        outright(plainly, expr, holds);
    else if (expr->op == CODE_NOT)
        clause(plainly, expr->left, !holds, depth + 1);
    else if (is_edge(expr))
        edge(plainly, expr, holds, depth);
    else if (is_joined(expr))
        joined(plainly, expr, holds, depth);
    else if (expr->op == CODE_TRUE_FOR)
        held_for(plainly, expr, holds, depth);
    else if (!leaf(plainly, expr, holds) && !compares(plainly, expr, holds))
        outright(plainly, expr, holds);
}

void plainly_condition(const struct plainly *plainly,
                       const struct code_expr *condition, bool holds)
{
    clause(plainly, condition, holds, 0);
}
