#include "check/flow.h"

#include "base/ensure.h"

/* ---- classes ---- */

uint32_t flow_class(const struct flow *flow, uint32_t node)
{
    while (flow->parent.at[node] != node) {
        flow->parent.at[node] = flow->parent.at[flow->parent.at[node]];
        node = flow->parent.at[node];
    }
    return node;
}

static void join(struct flow *flow, uint32_t a, uint32_t b)
{
    if (a != MODEL_NONE && b != MODEL_NONE)
        flow->parent.at[flow_class(flow, a)] = flow_class(flow, b);
}

uint32_t flow_hand(const struct flow *flow, uint32_t control)
{
    return flow->first_control + control;
}

uint32_t flow_place(const struct flow *flow, uint32_t place)
{
    return flow->first_place + place;
}

static void cut(struct flow *flow, uint32_t node, int64_t at)
{
    if (node != MODEL_NONE)
        vec_push(&flow->cuts,
                 ((struct flow_mark){.node = node, .cut = at}));
}

/* A cell that ends with this value; nothing lies above the largest. */
static void cut_after(struct flow *flow, uint32_t node, int64_t value)
{
    if (value < INT64_MAX)
        cut(flow, node, value + 1);
}

/* The same where no open value helps. */
static void spoil_for_good(struct flow *flow, uint32_t node,
                           struct span span)
{
    if (node != MODEL_NONE)
        vec_push(&flow->spoilt, ((struct flow_mark){
                                    .node = node, .cut = 1, .span = span}));
}

static void spoil(struct flow *flow, uint32_t node, struct span span)
{
    if (node != MODEL_NONE)
        vec_push(&flow->spoilt,
                 ((struct flow_mark){.node = node, .span = span}));
}

/* ---- nodes ---- */

static size_t unit_number(const struct flow *flow,
                          const struct code_pou *pou)
{
    for (size_t i = 0; i < flow->draft->units.n; i++)
        if (flow->draft->units.at[i]->pou == pou)
            return i;
    ENSURE(!"a unit of the draft");
    return 0;
}

static uint32_t pou_node(const struct flow *flow,
                         const struct code_pou *pou, uint32_t offset)
{
    return flow->frames.at[unit_number(flow, pou)] + offset;
}

/* Slots of all VAR_IN_OUT before that one. */
static uint32_t in_out_offset(const struct code_pou *pou, uint32_t index)
{
    uint32_t offset = 0;

    for (uint32_t i = 0; i < index; i++)
        offset += pou->in_out_size[i];
    return offset;
}

static uint32_t first_node(const struct flow *flow,
                           const struct code_pou *pou,
                           const struct code_variable *variable)
{
    if (variable->base == CODE_GLOBAL)
        return variable->index;
    ENSURE(pou);
    if (variable->base == CODE_LOCAL)
        return pou_node(flow, pou, variable->index);
    return pou_node(flow, pou, pou->size) +
           in_out_offset(pou, variable->index) + variable->offset;
}

/* What may be the same variable shares a class: all elements that an index
 * can name. */
static void join_elements(struct flow *flow, uint32_t node,
                          const struct code_variable *variable,
                          uint32_t step)
{
    const struct code_index *at = &variable->steps[step];
    uint32_t next;

    if (step == variable->n_steps)
        return;
    for (int64_t k = at->low; k <= at->high; k++) {
        next = node + (uint32_t)(k - at->low) * at->stride;
        join(flow, node, next);
        join_elements(flow, next, variable, step + 1);
    }
}

/* Of the slot that lies so many behind the variable. */
static uint32_t node_behind(struct flow *flow, const struct code_pou *pou,
                            const struct code_variable *variable,
                            uint32_t slots)
{
    uint32_t node = first_node(flow, pou, variable) + slots;

    join_elements(flow, node, variable, 0);
    return node;
}

static uint32_t variable_node(struct flow *flow, const struct code_pou *pou,
                              const struct code_variable *variable)
{
    return node_behind(flow, pou, variable, 0);
}

static uint32_t new_nodes(struct flow *flow, uint32_t count)
{
    uint32_t first = (uint32_t)flow->parent.n;

    for (uint32_t i = 0; i < count; i++)
        vec_push(&flow->parent, first + i);
    return first;
}

static void make_nodes(struct flow *flow)
{
    const struct draft *draft = flow->draft;

    new_nodes(flow, (uint32_t)draft->slots.n);
    flow->first_control = new_nodes(flow, (uint32_t)draft->controls.n);
    flow->first_place = new_nodes(flow, (uint32_t)draft->open_places.n);
    for (size_t i = 0; i < draft->units.n; i++) {
        const struct code_pou *pou = draft->units.at[i]->pou;

        vec_push(&flow->frames,
                 new_nodes(flow, pou->size + in_out_offset(pou,
                                                           pou->n_in_out)));
    }
}

/* PT is compared with the age, PV with the count, by whatever way it got
 * there. */
static void spoil_durations(struct flow *flow)
{
    for (size_t i = 0; i < flow->draft->units.n; i++) {
        enum code_standard kind = flow->draft->units.at[i]->pou->standard;

        if (kind >= STANDARD_TON && kind <= STANDARD_TP)
            spoil(flow, flow->frames.at[i] + TIMER_PT, (struct span){0});
        if (kind >= STANDARD_CTU && kind <= STANDARD_CTUD) {
            spoil(flow, flow->frames.at[i] + COUNTER_PV, (struct span){0});
            if (flow->draft->model->retain_any)
                spoil(flow, flow->frames.at[i] + COUNTER_CV,
                      (struct span){0});
        }
    }
}

static void join_within(struct flow *flow, const struct type *type,
                        uint32_t base);

/* A frame's slots and the variables of its POU, nested ones included. */
static void join_frame(struct flow *flow, const struct code_pou *pou,
                       uint32_t base)
{
    uint32_t node = pou_node(flow, pou, 0);

    for (uint32_t i = 0; i < pou->size; i++)
        join(flow, base + i, node + i);
    for (uint32_t i = 0; i < pou->n_vars; i++)
        if (pou->vars[i].pou)
            join_frame(flow, pou->vars[i].pou, base + pou->vars[i].offset);
        else
            join_within(flow, pou->vars[i].type,
                        base + pou->vars[i].offset);
}

/* Instances in a variable that begins there. */
static void join_within(struct flow *flow, const struct type *type,
                        uint32_t base)
{
    if (!type->remembers)
        return;
    if (type->kind == TYPE_BLOCK)
        join_frame(flow, type->unit->pou, base);
    for (uint32_t i = 0; i < type->n_fields; i++)
        join_within(flow, type->fields[i].type,
                    base + type->fields[i].offset);
    for (uint32_t i = 0; type->kind == TYPE_ARRAY && i < type->size;
         i += type->element->size)
        join_within(flow, type->element, base + i);
}

static void join_instances(struct flow *flow, const struct scope *scope)
{
    for (size_t i = 0; i < scope->all.n; i++)
        if ((scope->all.at[i]->kind == SYMBOL_INSTANCE ||
             scope->all.at[i]->kind == SYMBOL_VARIABLE) &&
            scope->all.at[i]->type)
            join_within(flow, scope->all.at[i]->type,
                        scope->all.at[i]->variable.index);
}

static void join_frames(struct flow *flow)
{
    const struct draft *draft = flow->draft;

    for (size_t i = 0; i < draft->programs.n; i++)
        join_frame(flow, draft->programs.at[i].pou,
                   draft->programs.at[i].frame);
    for (size_t i = 0; i < draft->functions.n; i++)
        join_frame(flow, draft->functions.at[i],
                   draft->functions.at[i]->frame);
    join_instances(flow, &draft->globals);
    join_instances(flow, &draft->review);
}

/* Contacts that hand a position on, and actuators that follow a command. */
static void join_signals(struct flow *flow)
{
    const struct draft *draft = flow->draft;

    for (uint32_t i = 0; i < draft->slots.n; i++) {
        const struct slot *slot = &draft->slots.at[i];

        if (slot->driver == DRIVER_CONTACT)
            join(flow, i,
                 flow_hand(flow,
                           draft->contacts.at[slot->driver_index].control));
    }
    for (size_t i = 0; i < draft->actuators.n; i++)
        if (draft->actuators.at[i].command != MODEL_NONE)
            join(flow, draft->actuators.at[i].slot,
                 draft->actuators.at[i].command);
}

/* What REALs hold before anything is stored. */
static void note_initial(struct flow *flow)
{
    for (uint32_t i = 0; i < flow->draft->slots.n; i++) {
        const struct slot *slot = &flow->draft->slots.at[i];

        if (slot->type->kind == TYPE_REAL)
            vec_push(&flow->stored, ((struct flow_mark){
                                        .node = i, .cut = slot->initial}));
    }
}

/* ---- expressions ---- */

static void visit(struct flow *flow, const struct code_pou *pou,
                  const struct code_expr *expr);

/* A conversion that changes nothing where it is no error. */
static bool keeps_value(const struct code_expr *expr)
{
    const struct type *from = expr->left->type, *to = expr->type;
    bool bits = from->kind == TYPE_BITS || to->kind == TYPE_BITS;

    if (from->kind == TYPE_ENUM || to->kind == TYPE_ENUM)
        return false;
    /* a ULINT may have bit 63, though it is not followed so far */
    if (bits && from->kind == TYPE_INTEGER && type_width(to) == 64)
        return from->low >= 0 && from->high < INT64_MAX;
    return !bits || (from->low >= 0 && from->high <= to->high);
}

static uint32_t node_of(struct flow *flow, const struct code_pou *pou,
                        const struct code_expr *expr);

/* Does the function give one of its operands, as they are? */
static bool hands_on(const struct code_expr *expr)
{
    enum code_function function = expr->function;
    enum type_kind kind = expr->type->kind;

    return expr->op == CODE_STANDARD &&
           (kind == TYPE_REAL ||
            ((kind == TYPE_INTEGER || kind == TYPE_TIME) &&
             (function == FUNCTION_SEL || function == FUNCTION_MUX ||
              function == FUNCTION_LIMIT || function == FUNCTION_MIN ||
              function == FUNCTION_MAX)));
}

/* The first of the operands that may be given: of SEL and MUX one selects. */
static uint32_t first_given(const struct code_expr *expr)
{
    return expr->function == FUNCTION_SEL || expr->function == FUNCTION_MUX;
}

/* MIN, MAX and LIMIT keep the order of numbers, and so give one cell for all
 * numbers of a cell. */
static uint32_t chosen_node(struct flow *flow, const struct code_pou *pou,
                            const struct code_expr *expr)
{
    uint32_t all = MODEL_NONE, one;

    for (uint32_t i = first_given(expr); i < expr->n_args; i++) {
        one = node_of(flow, pou, expr->args[i].value);
        join(flow, one, all);
        all = one == MODEL_NONE ? all : one;
    }
    if (all != MODEL_NONE && !first_given(expr))
        vec_push(&flow->ordered, all);
    return all;
}

/* The node whose value the expression hands on unchanged, if it does. */
static uint32_t node_of(struct flow *flow, const struct code_pou *pou,
                        const struct code_expr *expr)
{
    switch (expr->op) {
    case CODE_VARIABLE: return variable_node(flow, pou, &expr->variable);
    case CODE_HAND: return flow_hand(flow, expr->index);
    case CODE_CONTACT:
    case CODE_CONDUCTS:
        return flow_hand(flow,
                         flow->draft->contacts.at[expr->index].control);
    case CODE_READ: return expr->index;
    case CODE_COMMANDED: return flow->draft->actuators.at[expr->index].slot;
    case CODE_CALL: return pou_node(flow, expr->pou, expr->pou->result);
    case CODE_CONVERT:
        return keeps_value(expr) ? node_of(flow, pou, expr->left)
                                 : MODEL_NONE;
    case CODE_STANDARD:
        return hands_on(expr) ? chosen_node(flow, pou, expr) : MODEL_NONE;
    case CODE_ROUND: return flow_place(flow, expr->right->place);
    case CODE_ANY:
        return expr->place == CODE_NO_SITE ? MODEL_NONE
                                           : flow_place(flow, expr->place);
    default: return MODEL_NONE;
    }
}

/* An index names another element with each of its values. */
static void visit_place(struct flow *flow, const struct code_pou *pou,
                        const struct code_variable *variable)
{
    for (uint32_t i = 0; i < variable->n_steps; i++) {
        const struct code_index *step = &variable->steps[i];
        uint32_t node = node_of(flow, pou, step->value);

        visit(flow, pou, step->value);
        for (int64_t k = step->low; node != MODEL_NONE && k <= step->high;
             k++)
            cut(flow, node, k);
        cut_after(flow, node, step->high);
    }
}

/* A whole array or structure is handed on slot by slot. */
static void store_all(struct flow *flow, const struct code_pou *pou,
                      uint32_t target, const struct code_expr *value)
{
    visit(flow, pou, value);
    for (uint32_t k = 0; k < value->type->size; k++)
        join(flow, target + k,
             value->op == CODE_CALL
                 ? pou_node(flow, value->pou, value->pou->result + k)
                 : node_behind(flow, pou, &value->variable, k));
}

/* What is neither handed on nor a constant can be any REAL. */
static void store_real(struct flow *flow, uint32_t target,
                       const struct code_expr *value)
{
    if (target == MODEL_NONE)
        return;
    if (value->op == CODE_CONST)
        vec_push(&flow->stored, ((struct flow_mark){.node = target,
                                                    .cut = value->value}));
    else if (value->op == CODE_STANDARD)
        for (uint32_t i = first_given(value); i < value->n_args; i++)
            store_real(flow, target, value->args[i].value);
    else if (value->op > CODE_CALL && value->op != CODE_ANY)
        spoil(flow, target, value->span);
}

/* A value that is stored: copied, and compared with the ends of the type
 * where it need not fit. */
static void store(struct flow *flow, const struct code_pou *pou,
                  uint32_t target, const struct type *type,
                  const struct code_expr *value)
{
    uint32_t source;

    if (!type_elementary(type)) {
        store_all(flow, pou, target, value);
        return;
    }
    source = node_of(flow, pou, value);
    visit(flow, pou, value);
    if (type->kind == TYPE_REAL)
        store_real(flow, target, value);
    if (source == MODEL_NONE)
        return;
    join(flow, source, target);
    if (type->low > value->type->low)
        cut(flow, source, type->low);
    if (type->high < value->type->high)
        cut_after(flow, source, type->high);
}

/* Is this the PT of a timer, the PV of a counter?  Its argument is the line to
 * name. */
static bool is_duration(const struct code_pou *callee, uint32_t parameter)
{
    if (callee->standard >= STANDARD_CTU &&
        callee->standard <= STANDARD_CTUD)
        return parameter == COUNTER_PV;
    return callee->standard >= STANDARD_TON &&
           callee->standard <= STANDARD_TP && parameter == TIMER_PT;
}

static void output(struct flow *flow, const struct code_pou *pou,
                   const struct code_pou *callee,
                   const struct code_arg *arg)
{
    uint32_t source = pou_node(flow, callee, arg->parameter);

    for (uint32_t k = 0; k < arg->target_type->size; k++)
        join(flow, source + k, node_behind(flow, pou, &arg->target, k));
    if (arg->site == CODE_NO_SITE)
        return;
    cut(flow, source, arg->target_type->low);
    cut_after(flow, source, arg->target_type->high);
}

static void in_out(struct flow *flow, const struct code_pou *pou,
                   const struct code_pou *callee, const struct code_arg *arg)
{
    uint32_t node = pou_node(flow, callee, callee->size) +
                    in_out_offset(callee, arg->parameter);

    for (uint32_t k = 0; k < arg->target_type->size; k++)
        join(flow, node + k, node_behind(flow, pou, &arg->target, k));
    /* an instance shares the nodes of all instances of its block */
    join_within(flow, arg->target_type, node);
}

static void arguments(struct flow *flow, const struct code_pou *pou,
                      const struct code_pou *callee,
                      const struct code_arg *args, uint32_t count)
{
    for (uint32_t i = 0; i < count; i++) {
        const struct code_arg *arg = &args[i];

        if (arg->kind != ARG_INPUT)
            visit_place(flow, pou, &arg->target);
        if (arg->kind == ARG_OUTPUT) {
            output(flow, pou, callee, arg);
        } else if (arg->kind == ARG_IN_OUT) {
            in_out(flow, pou, callee, arg);
        } else {
            store(flow, pou, pou_node(flow, callee, arg->parameter),
                  arg->target_type, arg->value);
            if (is_duration(callee, arg->parameter))
                spoil(flow, node_of(flow, pou, arg->value),
                      arg->value->span);
        }
    }
}

static enum code_op mirrored(enum code_op op)
{
    switch (op) {
    case CODE_LT: return CODE_GT;
    case CODE_LE: return CODE_GE;
    case CODE_GT: return CODE_LT;
    case CODE_GE: return CODE_LE;
    default: return op;
    }
}

static void cut_by(struct flow *flow, uint32_t node, enum code_op op,
                   int64_t value)
{
    if (op != CODE_LE && op != CODE_GT)
        cut(flow, node, value);
    if (op != CODE_LT && op != CODE_GE)
        cut_after(flow, node, value);
}

static void compare(struct flow *flow, const struct code_pou *pou,
                    const struct code_expr *expr)
{
    uint32_t left = node_of(flow, pou, expr->left);
    uint32_t right = node_of(flow, pou, expr->right);

    if (expr->op >= CODE_LT && (type_unsigned(expr->left->type) ||
                                type_unsigned(expr->right->type))) {
        cut(flow, left, 0); /* values from 2^63 on lie below 0 */
        cut(flow, right, 0);
    }
    if (expr->place != CODE_NO_SITE && left != MODEL_NONE &&
        right != MODEL_NONE) {
        join(flow, left, right);
        vec_push(&flow->met, left);
        store_real(flow, left, expr->left);
        store_real(flow, right, expr->right);
    } else if (expr->right->op == CODE_CONST) {
        cut_by(flow, left, expr->op, expr->right->value);
    } else if (expr->left->op == CODE_CONST) {
        cut_by(flow, right, mirrored(expr->op), expr->left->value);
    } else {
        spoil(flow, left, expr->span);
        spoil(flow, right, expr->span);
    }
}

static void read_bits(struct flow *flow, uint32_t node, int64_t mask,
                      struct span span)
{
    if (node != MODEL_NONE)
        vec_push(&flow->bits, ((struct flow_mark){.node = node,
                                                  .cut = mask,
                                                  .span = span}));
}

/* One bit, or those of a constant: no other ones matter.  False: this is
 * something else. */
static bool use_bits(struct flow *flow, const struct code_pou *pou,
                     const struct code_expr *expr)
{
    const struct code_expr *left = expr->left, *right = expr->right;

    if (expr->op == CODE_BIT)
        read_bits(flow, node_of(flow, pou, left),
                  (int64_t)(UINT64_C(1) << expr->index), expr->span);
    else if (expr->op != CODE_BIT_AND)
        return false;
    else if (right->op == CODE_CONST)
        read_bits(flow, node_of(flow, pou, left), right->value, expr->span);
    else if (left->op == CODE_CONST)
        read_bits(flow, node_of(flow, pou, right), left->value, expr->span);
    else
        return false;
    return true;
}

/* What has bits, functions and conversions: all that they are given is used
 * in a way that is not followed, but for values that are handed on. */
static void use_words(struct flow *flow, const struct code_pou *pou,
                      const struct code_expr *expr)
{
    uint32_t left;

    if (use_bits(flow, pou, expr))
        return;
    for (uint32_t i = 0; i < expr->n_args; i++) {
        if (!hands_on(expr) || i < first_given(expr))
            spoil(flow, node_of(flow, pou, expr->args[i].value),
                  expr->span);
        visit(flow, pou, expr->args[i].value);
    }
    left = expr->left ? node_of(flow, pou, expr->left) : MODEL_NONE;
    if (expr->op == CODE_CONVERT && expr->type->kind == TYPE_ENUM) {
        for (uint32_t i = 0; i < expr->type->count; i++) {
            cut(flow, left, type_item_number(expr->type, i));
            cut_after(flow, left, type_item_number(expr->type, i));
        }
        return;
    }
    if (expr->op == CODE_CONVERT && keeps_value(expr)) {
        cut(flow, left, expr->type->low);
        cut_after(flow, left, expr->type->high);
        return;
    }
    spoil(flow, left, expr->span);
    if (expr->right)
        spoil(flow, node_of(flow, pou, expr->right), expr->span);
}

static void visit(struct flow *flow, const struct code_pou *pou,
                  const struct code_expr *expr)
{
    if (!expr)
        return;
    if (expr->op >= CODE_EQ && expr->op <= CODE_GE) {
        compare(flow, pou, expr);
    } else if (expr->op >= CODE_NEGATE && expr->op <= CODE_MOD) {
        spoil(flow, node_of(flow, pou, expr->left), expr->span);
        if (expr->right)
            spoil(flow, node_of(flow, pou, expr->right), expr->span);
    } else if (expr->op == CODE_ROUND) {
        vec_push(&flow->rounded,
                 ((struct flow_rounding){node_of(flow, pou, expr->left),
                                         expr}));
    } else if (expr->op == CODE_ANY) {
        for (uint32_t i = 0; i < expr->n_args; i++)
            visit(flow, pou, expr->args[i].value);
    } else if (expr->op > CODE_CALL) {
        use_words(flow, pou, expr);
    } else if (expr->op == CODE_DISPLACED) {
        spoil_for_good(flow, expr->variable.index, expr->span);
    } else if (expr->op == CODE_CALL) {
        arguments(flow, pou, expr->pou, expr->args, expr->n_args);
    }
    visit_place(flow, pou, &expr->variable);
    visit(flow, pou, expr->left);
    visit(flow, pou, expr->right);
}

/* ---- statements ---- */

static void walk(struct flow *flow, const struct code_pou *pou,
                 const struct code_stmt *stmts, uint32_t count);

static void walk_branches(struct flow *flow, const struct code_pou *pou,
                          const struct code_stmt *stmt)
{
    uint32_t node = stmt->kind == CODE_CASE
                        ? node_of(flow, pou, stmt->value)
                        : MODEL_NONE;

    for (uint32_t i = 0; i < stmt->n_branches; i++) {
        const struct code_branch *branch = &stmt->branches[i];

        visit(flow, pou, branch->condition);
        for (uint32_t j = 0; j < branch->n_labels; j++) {
            cut(flow, node, branch->labels[j].low);
            cut_after(flow, node, branch->labels[j].high);
        }
        walk(flow, pou, branch->body, branch->n_body);
    }
}

/* The control variable is compared with another value, and computed. */
/* Does it begin with a constant, and does nothing but its own counting write
 * the variable before it ends (target.h)?  Then no value that the variable had
 * before is counted on. */
static bool counts_alone(const struct code_pou *pou,
                         const struct code_stmt *stmt)
{
    if (!pou || stmt->value->op != CODE_CONST ||
        stmt->target.base != CODE_LOCAL)
        return false;
    for (uint32_t i = 0; i < pou->n_vars; i++)
        if (pou->vars[i].offset == stmt->target.index && !pou->vars[i].pou)
            return type_elementary(pou->vars[i].type); /* no part of one */
    return false;
}

static void walk_count(struct flow *flow, const struct code_pou *pou,
                       const struct code_stmt *stmt)
{
    const struct code_loop *loop = stmt->loop;

    store(flow, pou, variable_node(flow, pou, &stmt->target),
          stmt->target_type, stmt->value);
    if (!counts_alone(pou, stmt))
        spoil(flow, variable_node(flow, pou, &stmt->target), loop->head);
    visit(flow, pou, loop->to);
    spoil(flow, node_of(flow, pou, loop->to), loop->to->span);
    visit(flow, pou, loop->by);
    if (loop->by)
        spoil(flow, node_of(flow, pou, loop->by), loop->by->span);
    walk_branches(flow, pou, stmt);
}

/* w.3 := b leaves the other bits of w as they are. */
static bool sets_bit(struct flow *flow, const struct code_pou *pou,
                     const struct code_stmt *stmt)
{
    const struct code_expr *value = stmt->value;
    uint32_t target = variable_node(flow, pou, &stmt->target);
    uint32_t source = value && value->op == CODE_WITH_BIT
                          ? node_of(flow, pou, value->left) : MODEL_NONE;

    if (target == MODEL_NONE || source == MODEL_NONE ||
        flow_class(flow, target) != flow_class(flow, source))
        return false;
    read_bits(flow, target, (int64_t)(UINT64_C(1) << value->index),
              stmt->span);
    visit(flow, pou, value->right);
    return true;
}

static void walk(struct flow *flow, const struct code_pou *pou,
                 const struct code_stmt *stmts, uint32_t count)
{
    for (uint32_t i = 0; i < count; i++) {
        const struct code_stmt *stmt = &stmts[i];

        if (stmt->kind == CODE_ASSIGN) {
            visit_place(flow, pou, &stmt->target);
            if (!sets_bit(flow, pou, stmt))
                store(flow, pou, variable_node(flow, pou, &stmt->target),
                      stmt->target_type, stmt->value);
            continue;
        }
        if (stmt->kind == CODE_FOR) {
            walk_count(flow, pou, stmt);
            continue;
        }
        visit(flow, pou, stmt->value);
        visit_place(flow, pou, &stmt->instance);
        if (stmt->kind == CODE_INVOKE)
            arguments(flow, pou, stmt->pou, stmt->args, stmt->n_args);
        walk_branches(flow, pou, stmt);
    }
}

static void walk_body(struct flow *flow, const struct body *body)
{
    walk(flow, NULL, body->stmts, body->n_stmts);
}

static void walk_texts(struct flow *flow)
{
    const struct draft *draft = flow->draft;

    for (size_t i = 0; i < draft->units.n; i++)
        walk(flow, draft->units.at[i]->pou, draft->units.at[i]->pou->body,
             draft->units.at[i]->pou->n_body);
    walk_body(flow, &draft->model->wiring_in);
    walk_body(flow, &draft->model->wiring_out);
    for (size_t i = 0; i < draft->mechanisms.n; i++)
        walk_body(flow, &draft->mechanisms.at[i]);
    for (size_t i = 0; i < draft->recorders.n; i++)
        walk_body(flow, &draft->recorders.at[i]);
}

static void walk_machine(struct flow *flow)
{
    const struct draft *draft = flow->draft;

    for (size_t i = 0; i < draft->movements.n; i++) {
        const struct movement *movement = &draft->movements.at[i];

        visit(flow, NULL, movement->condition);
        /* that the variable has moved is seen by comparing two values */
        spoil(flow, movement->slot, movement->span);
    }
    for (size_t i = 0; i < draft->sensors.n; i++) {
        visit(flow, NULL, draft->sensors.at[i].on_when);
        visit(flow, NULL, draft->sensors.at[i].on_when_previous);
        visit(flow, NULL, draft->sensors.at[i].displaced);
    }
    for (size_t i = 0; i < draft->assumptions.n; i++)
        visit(flow, NULL, draft->assumptions.at[i].condition);
    for (size_t i = 0; i < draft->intended.n; i++)
        visit(flow, NULL, draft->intended.at[i].condition);
}

static void walk_requirements(struct flow *flow)
{
    const struct draft *draft = flow->draft;

    for (size_t i = 0; i < draft->requirements.n; i++) {
        const struct requirement *row = &draft->requirements.at[i];

        visit(flow, NULL, row->a);
        visit(flow, NULL, row->b);
        visit(flow, NULL, row->c);
        visit(flow, NULL, row->a_previous);
        if (row->form == FORM_MOVES_ONLY_WHILE)
            spoil(flow, node_of(flow, NULL, row->a), row->a->span);
        for (uint32_t j = 0; j < row->n_started_by; j++)
            visit(flow, NULL, row->started_by[j]);
        for (uint32_t j = 0; j < row->n_cancelled_by; j++)
            visit(flow, NULL, row->cancelled_by[j]);
    }
    visit(flow, NULL, draft->model->noticing.diagnostic);
    visit(flow, NULL, draft->model->noticing.demand);
    visit(flow, NULL, draft->model->noticing.cycle);
    visit(flow, NULL, draft->model->noticing.repair);
}

void flow_follow(struct flow *flow, struct draft *draft)
{
    *flow = (struct flow){.draft = draft};
    make_nodes(flow);
    spoil_durations(flow);
    join_frames(flow);
    join_signals(flow);
    note_initial(flow);
    walk_texts(flow);
    walk_machine(flow);
    walk_requirements(flow);
}

void flow_release(struct flow *flow)
{
    vec_release(&flow->parent);
    vec_release(&flow->frames);
    vec_release(&flow->cuts);
    vec_release(&flow->spoilt);
    vec_release(&flow->bits);
    vec_release(&flow->stored);
    vec_release(&flow->met);
    vec_release(&flow->ordered);
    vec_release(&flow->rounded);
}
