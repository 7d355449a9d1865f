#include "check/advice/latches.h"

#include "check/advice/say.h"

enum { MAX_GATES = 32, MAX_HOPS = 8 };

/* Going back from an actuator's command to what holds it. */
struct chase {
    const struct subject *subject;
    const struct actuator *actuator;
    const struct code_expr *gates[MAX_GATES]; /* must hold, too */
    unsigned n_gates, hops;
    bool told;
};

/* ---- what an expression reads ---- */

static bool reads(const struct code_expr *expr,
                  struct code_variable variable)
{
    if (!expr)
        return false;
    if (expr->op == CODE_VARIABLE && trail_same(expr->variable, variable))
        return true;
    for (uint32_t i = 0; i < expr->n_args; i++)
        if (reads(expr->args[i].value, variable))
            return true;
    return reads(expr->left, variable) || reads(expr->right, variable);
}

static bool share(const struct code_expr *a, const struct code_expr *b)
{
    if (!a)
        return false;
    if (a->op == CODE_VARIABLE && reads(b, a->variable))
        return true;
    for (uint32_t i = 0; i < a->n_args; i++)
        if (share(a->args[i].value, b))
            return true;
    return share(a->left, b) || share(a->right, b);
}

/* Does something that is asked beside the latch see what resets it? */
static bool is_gated(const struct chase *chase,
                     const struct code_expr *reset)
{
    for (unsigned i = 0; i < chase->n_gates; i++)
        if (share(reset, chase->gates[i]))
            return true;
    return false;
}

/* ---- telling ---- */

static void tell(struct chase *chase, const char *latch, struct span span,
                 const char *hint)
{
    const struct draft *draft = chase->subject->draft;

    chase->told = true;
    say(chase->subject->draft,
        &(struct remark){.kind = REMARK_LATCH_SETS_OVER_RESET,
                         .subject = latch,
                         .span = span,
                         .also = chase->actuator->span,
                         .hint = hint},
        "this latch holds '%s', and where set and reset come together the "
        "set wins: what should stop the motion does not",
        draft_spelling(draft, chase->actuator->name,
                       chase->actuator->span));
}

/* ---- SR ---- */

static void bistable(struct chase *chase, const struct code_frame_var *row)
{
    const struct trail *trail = &chase->subject->trail;

    for (size_t i = 0; i < trail->events.n; i++) {
        const struct trail_event *event = &trail->events.at[i];
        const struct code_stmt *call = event->stmt;

        if (event->kind != TRAIL_CALL ||
            !trail_same(event->variable,
                        (struct code_variable){.base = CODE_LOCAL,
                                               .index = row->offset}))
            continue;
        for (uint32_t a = 0; a < call->n_args; a++)
            if (call->args[a].kind == ARG_INPUT &&
                call->args[a].parameter == LATCH_R &&
                is_gated(chase, call->args[a].value))
                return;
        tell(chase,
             say_declared(chase->subject->draft, chase->subject->unit, row),
             event->span, "use RS, in which the reset wins, or ask the "
                          "reset once more behind the latch");
        return;
    }
}

/* ---- IF set ... ELSIF reset ... ---- */

/* The value that the branch itself gives the variable: 0, 1, or -1. */
static int gives(const struct code_branch *branch,
                 struct code_variable variable)
{
    int value = -1;

    for (uint32_t i = 0; i < branch->n_body; i++) {
        const struct code_stmt *stmt = &branch->body[i];

        if (stmt->kind == CODE_ASSIGN &&
            trail_same(stmt->target, variable) &&
            stmt->value->op == CODE_CONST)
            value = stmt->value->value != 0;
    }
    return value;
}

static void branching(struct chase *chase, struct code_variable variable,
                      const struct code_stmt *stmt)
{
    for (uint32_t set = 0; set < stmt->n_branches; set++) {
        if (gives(&stmt->branches[set], variable) != 1)
            continue;
        for (uint32_t off = set + 1; off < stmt->n_branches; off++) {
            const struct code_expr *reset = stmt->branches[off].condition;

            if (gives(&stmt->branches[off], variable) != 0 || !reset)
                continue;
            if (share(reset, stmt->branches[set].condition) ||
                is_gated(chase, reset))
                return;
            tell(chase,
                 say_variable(chase->subject->draft, chase->subject->unit,
                              variable),
                 stmt->branches[set].span,
                 "ask for the reset first, and for the set in ELSIF");
            return;
        }
    }
}

/* ---- IF reset ...; IF set ... ---- */

/* What must hold for the event's own branch; NULL where it is no IF. */
static const struct code_expr *asked(const struct trail *trail,
                                     const struct trail_event *event)
{
    const struct trail_node *node = &trail->nodes.at[event->node];

    return event->node && node->stmt->kind == CODE_IF
               ? node->branch->condition : NULL;
}

/* The last write, when all are TRUE or FALSE, each in an IF. */
static const struct trail_event *last_constant(const struct trail *trail,
                                               struct code_variable variable)
{
    const struct trail_event *last = NULL;

    for (size_t i = 0; i < trail->events.n; i++) {
        const struct trail_event *event = &trail->events.at[i];

        if (event->kind != TRAIL_WRITE ||
            !trail_touches(event, variable, 1))
            continue;
        if (!trail_same(event->variable, variable) || !event->value ||
            event->value->op != CODE_CONST || !asked(trail, event))
            return NULL;
        last = event;
    }
    return last;
}

static void separate(struct chase *chase, struct code_variable variable)
{
    const struct trail *trail = &chase->subject->trail;
    const struct trail_event *set = last_constant(trail, variable);
    bool any = false;

    if (!set || !set->value->value)
        return;
    for (const struct trail_event *event = trail->events.at; event < set;
         event++) {
        if (event->kind != TRAIL_WRITE ||
            !trail_same(event->variable, variable) || event->value->value)
            continue;
        any = true;
        if (trail_exclusive(trail, event->node, set->node) ||
            share(asked(trail, event), asked(trail, set)) ||
            is_gated(chase, asked(trail, event)))
            return;
    }
    if (any)
        tell(chase,
             say_variable(chase->subject->draft, chase->subject->unit,
                          variable),
             set->span, "put the reset behind the set, or ask for it there");
}

/* ---- following ---- */

static void follow_expr(struct chase *chase, const struct code_expr *expr);

/* All writes of the variable stand in branches of one IF. */
static const struct code_stmt *only_if(const struct trail *trail,
                                       struct code_variable variable)
{
    const struct code_stmt *found = NULL;

    for (size_t i = 0; i < trail->events.n; i++) {
        const struct trail_event *event = &trail->events.at[i];
        const struct code_stmt *stmt =
            trail->nodes.at[event->node].stmt;

        if (event->kind != TRAIL_WRITE ||
            !trail_touches(event, variable, 1))
            continue;
        if (!trail_same(event->variable, variable) || !event->node ||
            stmt->kind != CODE_IF || (found && found != stmt))
            return NULL;
        found = stmt;
    }
    return found;
}

static const struct trail_event *only_write(const struct trail *trail,
                                            struct code_variable variable)
{
    const struct trail_event *found = NULL;

    for (size_t i = 0; i < trail->events.n; i++) {
        const struct trail_event *event = &trail->events.at[i];

        if (event->kind != TRAIL_WRITE ||
            !trail_touches(event, variable, 1))
            continue;
        if (found || event->maybe)
            return NULL;
        found = event;
    }
    return found;
}

static void follow(struct chase *chase, struct code_variable variable)
{
    const struct trail *trail = &chase->subject->trail;
    const struct trail_event *write = only_write(trail, variable);
    const struct code_stmt *stmt = only_if(trail, variable);
    const struct code_frame_var *row =
        variable.base == CODE_LOCAL
            ? say_row(chase->subject->unit->pou, variable.index)
            : NULL;

    if (chase->told || chase->hops >= MAX_HOPS)
        return;
    chase->hops++;
    if (row && row->pou) {
        if (row->pou->standard == STANDARD_SR &&
            variable.index - row->offset == LATCH_Q1)
            bistable(chase, row);
    } else if (stmt) {
        branching(chase, variable, stmt);
    } else if (write && write->value && !write->node) {
        follow_expr(chase, write->value);
    } else {
        separate(chase, variable);
    }
    chase->hops--;
}

static void follow_both(struct chase *chase, const struct code_expr *expr)
{
    unsigned before = chase->n_gates;
    bool room = before + 1 < MAX_GATES;
    bool both = expr->op == CODE_AND || expr->op == CODE_AND_THEN;

    if (!room)
        return;
    if (both)
        chase->gates[chase->n_gates++] = expr->right;
    follow_expr(chase, expr->left);
    chase->n_gates = before;
    if (both)
        chase->gates[chase->n_gates++] = expr->left;
    follow_expr(chase, expr->right);
    chase->n_gates = before;
}

static void follow_expr(struct chase *chase, const struct code_expr *expr)
{
    if (chase->told)
        return;
    if (expr->op == CODE_VARIABLE)
        follow(chase, expr->variable);
    if (expr->op == CODE_AND || expr->op == CODE_OR ||
        expr->op == CODE_AND_THEN || expr->op == CODE_OR_ELSE)
        follow_both(chase, expr);
}

/* ---- actuators ---- */

static void look(struct draft *draft, size_t program,
                 const struct actuator *actuator)
{
    struct subject subject = {.draft = draft,
                              .unit = draft->program_units.at[program]};
    struct chase chase = {.subject = &subject, .actuator = actuator};
    const struct code_pou *pou = subject.unit->pou;
    uint32_t frame = draft->programs.at[program].frame;
    struct code_variable command = {.base = CODE_GLOBAL,
                                    .index = actuator->command};

    if (actuator->command >= frame &&
        actuator->command - frame < pou->size)
        command = (struct code_variable){
            .base = CODE_LOCAL, .index = actuator->command - frame};
    trail_make(&subject.trail, pou->body, pou->n_body);
    follow(&chase, command);
    trail_release(&subject.trail);
}

static bool moves(const struct actuator *actuator)
{
    return actuator->kind == SIGNAL_VALVE || actuator->kind == SIGNAL_MOTOR;
}

void latches_advise(struct draft *draft)
{
    for (size_t i = 0; i < draft->actuators.n; i++) {
        const struct actuator *actuator = &draft->actuators.at[i];

        if (!moves(actuator) || actuator->command == MODEL_NONE)
            continue;
        for (size_t p = 0; p < draft->programs.n; p++)
            look(draft, p, actuator);
    }
}
