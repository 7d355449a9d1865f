#include "check/scenario.h"

#include "check/expr.h"
#include "check/resolve.h"
#include "check/typing.h"
#include "check/wording.h"

enum { MOST_SCANS = 100000 };

/* A scenario being checked. */
struct casting {
    struct draft *draft;
    const struct tree_step *tree;
    struct play_step step;
    int64_t pace; /* ms of the scans to come */
    bool ran;     /* a WAIT stands before */
    bool pending; /* steps stand behind the last WAIT */
};

static bool refuse(struct casting *c, struct span span, const char *hint,
                   const char *what)
{
    diag_add(c->draft->diags, DIAG_ERROR, span, hint, "%s", what);
    return false;
}

static bool refuse_name(struct casting *c, const char *hint,
                        const char *what)
{
    diag_add(c->draft->diags, DIAG_ERROR, c->tree->path->span, hint,
             "'%s' %s", draft_words(c->draft, c->tree->path->span), what);
    return false;
}

/* ---- what a step acts on ---- */

static const struct symbol *signal_named(const struct casting *c)
{
    const struct path_part *first = c->tree->path->parts.first;

    return first->next ? NULL
                       : scope_find(&c->draft->review, first->name);
}

/* The control behind a symbol, MODEL_NONE when it is none. */
static uint32_t control_of(const struct draft *draft,
                           const struct symbol *symbol)
{
    const struct contact *contact;

    if (symbol->kind == SYMBOL_CONTROL)
        return symbol->index;
    if (symbol->kind != SYMBOL_CONTACT)
        return MODEL_NONE;
    contact = &draft->contacts.at[symbol->index];
    return contact->name == draft->controls.at[contact->control].name
               ? contact->control : MODEL_NONE;
}

static bool refuse_signal(struct casting *c, const struct symbol *symbol)
{
    struct draft *draft = c->draft;

    switch (symbol->kind) {
    case SYMBOL_CONTACT:
        return refuse_name(
            c,
            arena_printf(draft->arena, "write '%s'",
                         draft->controls
                             .at[draft->contacts.at[symbol->index].control]
                             .name->spelling),
            "is one of several contacts of a control");
    case SYMBOL_SENSOR:
        return refuse_name(c, "MOVE the machine, or begin with START",
                           "is a sensor: it follows the machine");
    case SYMBOL_ACTUATOR:
        return refuse_name(c,
                           "EXPECT it, and let the program do it; with a "
                           "fault by which it MOVES WITHOUT COMMAND, SET it",
                           "is an actuator");
    case SYMBOL_FAULT:
        return refuse_name(c, "write FAULT before it", "is a fault");
    default:
        return refuse_name(
            c, "MOVE a machine variable; name a control or a free input",
            "is nothing that an operator sets");
    }
}

static bool free_input(struct casting *c, uint32_t *row)
{
    struct found found;
    const struct slot *slot;

    if (!resolve_control(c->draft, c->tree->path, &found))
        return false;
    if (!found_single(&found))
        return refuse_name(c, "name one of its variables",
                           "is not a single value");
    slot = &c->draft->slots.at[found.variable.index];
    *row = slot->driver_index;
    switch (slot->driver) {
    case DRIVER_CHOICE: return true;
    case DRIVER_FIXED:
        return refuse_name(c, "leave this step or the FIXED out",
                           "is FIXED and never changes");
    case DRIVER_NONE:
        return refuse_name(c, "EXPECT it, and let the program do it",
                           "is computed by the program");
    default:
        return refuse_name(c, "name the control or machine that drives it",
                           "is driven by CONTROLS or WIRING");
    }
}

/* The choice row of a control, of a free input, or of an actuator that a
 * fault lets move without command. */
static bool find_input(struct casting *c, uint32_t *row)
{
    const struct symbol *symbol = signal_named(c);
    uint32_t control;

    if (!symbol)
        return free_input(c, row);
    if (symbol->kind == SYMBOL_ACTUATOR) {
        *row = c->draft->actuators.at[symbol->index].uncommanded;
        if (*row != MODEL_NONE)
            return true;
    }
    control = control_of(c->draft, symbol);
    if (control == MODEL_NONE)
        return refuse_signal(c, symbol);
    *row = c->draft->controls.at[control].choice;
    return true;
}

/* Is the value one of a choice, or in one of its cells? */
static bool takes(const struct choice *choice, int64_t value)
{
    for (uint32_t i = 0; i < choice->count; i++)
        if (choice->values[i] == value ||
            (choice->bits && (value & choice->bits) == choice->values[i]) ||
            (choice->cell_low && value >= choice->cell_low[i] &&
             value <= choice->cell_high[i]))
            return true;
    return false;
}

static bool take_value(struct casting *c, uint32_t row)
{
    struct draft *draft = c->draft;
    const struct choice *choice = &draft->choices.at[row];

    c->step.row = row;
    if (!typing_constant(draft, &draft->review, c->tree->value,
                         choice->type, &c->step.value))
        return false;
    if (takes(choice, c->step.value))
        return true;
    diag_add(draft->diags, DIAG_ERROR, c->tree->value->span,
             "write a value that it can have",
             "'%s' never has the value %s", choice->name,
             wording_value(draft, choice->type, c->step.value));
    return false;
}

static const char *other_word(const struct choice *choice, bool selector)
{
    return choice->kind == CHOICE_UNCOMMANDED ? "write SET name := value"
           : choice->type->kind == TYPE_BOOL ? "write HOLD or RELEASE"
           : selector ? "write TURN name TO position"
                      : "write SET name := value";
}

static bool cast_input(struct casting *c)
{
    struct draft *draft = c->draft;
    enum tree_step_kind kind = c->tree->kind;
    bool button = kind == TREE_STEP_HOLD || kind == TREE_STEP_RELEASE;
    bool is_bool, is_selector, is_control;
    const struct choice *choice;
    uint32_t row = 0;

    c->step.kind = PLAY_INPUT;
    if (!find_input(c, &row))
        return false;
    choice = &draft->choices.at[row];
    is_bool = choice->type->kind == TYPE_BOOL;
    is_control = choice->kind == CHOICE_OPERATOR;
    is_selector = is_control &&
                  draft->controls.at[choice->of].kind == SIGNAL_SELECTOR;
    if (button ? !is_bool || choice->kind == CHOICE_UNCOMMANDED
               : (kind == TREE_STEP_TURN) != is_selector ||
                     (is_control && is_bool))
        return refuse_name(c, other_word(choice, is_selector),
                           button ? "cannot be held or released"
                           : kind == TREE_STEP_TURN
                               ? "is not a selector"
                               : "is not a number to be set");
    if (!button)
        return take_value(c, row);
    c->step.row = row;
    c->step.value = kind == TREE_STEP_HOLD;
    return true;
}

static bool refuse_fault(struct casting *c, const char *hint,
                         const char *what)
{
    diag_add(c->draft->diags, DIAG_ERROR, c->tree->name->span, hint,
             "'%s' %s", c->tree->name->name->spelling, what);
    return false;
}

static bool can_appear(struct casting *c, const struct fault *fault)
{
    if (fault->excluded)
        return refuse_fault(c, "leave it out, or its EXCLUDED",
                            "is EXCLUDED: it never appears");
    return fault->timing != TIMING_FROM_POWER_UP || !c->ran ||
           refuse_fault(c, "move it before the first WAIT",
                        "is PRESENT FROM POWER_UP");
}

static bool cast_fault(struct casting *c)
{
    const struct symbol *symbol =
        scope_find(&c->draft->review, c->tree->name->name);

    c->step.kind = PLAY_FAULT;
    if (symbol && symbol->kind == SYMBOL_FAULT) {
        c->step.row = symbol->index;
        return can_appear(c, &c->draft->faults.at[symbol->index]);
    }
    if (symbol && symbol->kind == SYMBOL_GROUP)
        return refuse_fault(c, "name one of the faults in it",
                            "is a group of faults");
    diag_add(c->draft->diags, DIAG_ERROR, c->tree->name->span,
             "declare it in FAULTS, or name one that is",
             "there is no fault '%s'", c->tree->name->name->spelling);
    return false;
}

/* ---- the machine ---- */

static bool can_move(const struct draft *draft, uint32_t slot, int64_t to)
{
    for (size_t i = 0; i < draft->movements.n; i++)
        if (draft->movements.at[i].slot == slot &&
            draft->movements.at[i].to == to)
            return true;
    return draft->mays.n > 0;
}

static bool machine_slot(struct casting *c, struct found *found)
{
    struct env env = {.draft = c->draft, .text = TEXT_EXPECT,
                      .frame = MODEL_NONE};

    return resolve_path(&env, c->tree->path, NULL, found);
}

static bool cast_move(struct casting *c)
{
    struct draft *draft = c->draft;
    struct found found;

    c->step.kind = PLAY_MOVE;
    if (!machine_slot(c, &found))
        return false;
    if (!found_single(&found) || found.control || found.member ||
        found.root->home != SLOT_MACHINE)
        return refuse_name(c, "name a variable that a MECHANISM declares",
                           "is not a machine variable");
    c->step.row = found.variable.index;
    if (!typing_constant(draft, &draft->review, c->tree->value, found.type,
                         &c->step.value))
        return false;
    if (can_move(draft, c->step.row, c->step.value))
        return true;
    diag_add(draft->diags, DIAG_ERROR, c->tree->span,
             "name a value that a MOVES line leads to",
             "no movement leads to %s",
             wording_value(draft, found.type, c->step.value));
    return false;
}

/* Contacts and sensors: what they conducted before power-up. */
static uint32_t past_of(const struct draft *draft,
                        const struct symbol *symbol)
{
    if (symbol && symbol->kind == SYMBOL_CONTACT)
        return draft->contacts.at[symbol->index].past;
    if (symbol && symbol->kind == SYMBOL_SENSOR)
        return draft->sensors.at[symbol->index].past;
    return MODEL_NONE;
}

static bool has_past(const struct draft *draft, const struct symbol *symbol)
{
    uint32_t row = past_of(draft, symbol);

    return row < draft->choices.n &&
           draft->choices.at[row].kind == CHOICE_PAST;
}

static bool cast_start(struct casting *c)
{
    const struct symbol *symbol = signal_named(c);
    struct found found;
    uint32_t row;

    c->step.kind = PLAY_START;
    if (c->ran)
        return refuse(c, c->tree->span, "move it before the first WAIT",
                      "START says what is so before the first scan");
    if (has_past(c->draft, symbol))
        return take_value(c, past_of(c->draft, symbol));
    if (!machine_slot(c, &found))
        return false;
    row = found_single(&found)
              ? c->draft->slots.at[found.variable.index].start
              : MODEL_NONE;
    if (row == MODEL_NONE)
        return refuse_name(c,
                           "leave this step out; only what has no := in a "
                           "MECHANISM begins with any value",
                           "has no choice where it begins");
    return take_value(c, row);
}

static bool cast_power(struct casting *c)
{
    bool off = c->tree->kind == TREE_STEP_OFF;

    c->step.kind = PLAY_POWER;
    c->step.value = !off;
    if (!c->draft->model->power_may_fail)
        return refuse(c, c->tree->span,
                      "write POWER MAY FAIL; in this review",
                      "power stays on in this review");
    return !off || c->ran ||
           refuse(c, c->tree->span, "WAIT first",
                  "the first scan has power");
}

/* ---- WAIT and EXPECT ---- */

static bool refuse_time(struct casting *c, int64_t time)
{
    struct draft *draft = c->draft;
    const struct type *type = draft->types.time;
    int64_t scan = c->pace, below = time / scan * scan;

    diag_add(draft->diags, DIAG_ERROR, c->tree->value->span,
             below <= 0
                 ? arena_printf(draft->arena, "write %s or more",
                                wording_value(draft, type, scan))
                 : arena_printf(draft->arena, "write %s or %s",
                                wording_value(draft, type, below),
                                wording_value(draft, type, below + scan)),
             "WAIT runs whole scans, and a scan takes %s",
             wording_value(draft, type, scan));
    return false;
}

static bool cast_wait(struct casting *c)
{
    struct draft *draft = c->draft;
    int64_t scan = c->pace, time = scan;

    c->step.kind = PLAY_WAIT;
    if (c->tree->value &&
        !typing_constant(draft, NULL, c->tree->value, draft->types.time,
                         &time))
        return false;
    if (time <= 0 || time % scan)
        return refuse_time(c, time);
    if (time / scan > MOST_SCANS)
        return refuse(c, c->tree->value->span, "write a shorter time",
                      "this is more than 100000 scans");
    c->step.value = time / scan;
    return true;
}

/* How long the scans to come take. */
static bool cast_pace(struct casting *c)
{
    struct draft *draft = c->draft;
    const struct type *type = draft->types.time;
    int64_t least = draft->scan_least, longest = draft->model->scan;
    int64_t time;

    c->step.kind = PLAY_PACE;
    if (!typing_constant(draft, NULL, c->tree->value, type, &time))
        return false;
    if (time < least || time > longest ||
        (time - least) % draft->scan_step) {
        diag_add(draft->diags, DIAG_ERROR, c->tree->value->span,
                 least == longest
                     ? "leave this step out"
                     : arena_printf(draft->arena, "write one in steps of %s",
                                    wording_value(draft, type,
                                                 draft->scan_step)),
                 "in this review a scan takes %s%s",
                 wording_value(draft, type, least),
                 least == longest
                     ? "" : arena_printf(draft->arena, " to %s",
                                         wording_value(draft, type,
                                                      longest)));
        return false;
    }
    c->step.value = c->pace = time;
    return true;
}

static bool calls(const struct code_expr *expr)
{
    for (uint32_t i = 0; expr && i < expr->variable.n_steps; i++)
        if (calls(expr->variable.steps[i].value))
            return true;
    for (uint32_t i = 0; expr && i < expr->n_args; i++)
        if (expr->op == CODE_CALL || calls(expr->args[i].value))
            return true;
    return expr && (expr->op == CODE_CALL || calls(expr->left) ||
                    calls(expr->right));
}

/* What could fail, or call something, is no plain look at what is there. */
static bool cast_expect(struct casting *c)
{
    struct draft *draft = c->draft;
    struct env env = {.draft = draft, .text = TEXT_EXPECT,
                      .frame = MODEL_NONE};
    size_t sites = draft->errors.n;
    struct code_expr *expr = expr_condition(&env, c->tree->value);

    c->step.kind = PLAY_EXPECT;
    c->step.expected = expr;
    if (!expr)
        return false;
    if (calls(expr))
        return refuse(c, expr->span,
                      "call it in a RECORDER, and EXPECT its result",
                      "an EXPECT calls no function");
    return draft->errors.n == sites ||
           refuse(c, draft->errors.at[sites].span,
                  "compare the values themselves, or compute it in a "
                  "RECORDER",
                  "this result may not fit its type");
}

static bool cast_broken(struct casting *c)
{
    struct draft *draft = c->draft;
    const struct tree_ident *ident = c->tree->name;

    c->step.kind = PLAY_BROKEN;
    for (uint32_t i = 0; i < draft->requirements.n; i++) {
        if (draft->requirements.at[i].name->folded != ident->name->folded)
            continue;
        c->step.row = i;
        return draft->requirements.at[i].form < FORM_POSSIBLE ||
               refuse(c, ident->span,
                      "EXPECT the condition that it asks for",
                      "what is POSSIBLE is not broken by one sequence");
    }
    diag_add(draft->diags, DIAG_ERROR, ident->span,
             "name one of REQUIREMENTS, or put a condition in ( )",
             "there is no requirement '%s'", ident->name->spelling);
    return false;
}

/* Looking back at the last judging, after something was set already. */
static bool in_order(struct casting *c)
{
    if (!c->ran)
        return refuse(c, c->tree->span, "write WAIT before it",
                      "nothing was run yet that could be looked at");
    return !c->pending ||
           refuse(c, c->tree->span,
                  "move it before them, or write WAIT before it",
                  "the steps before this EXPECT were not run yet");
}

static bool cast_step(struct casting *c)
{
    switch (c->tree->kind) {
    case TREE_STEP_HOLD: case TREE_STEP_RELEASE: case TREE_STEP_TURN:
    case TREE_STEP_SET: return cast_input(c);
    case TREE_STEP_WAIT: return cast_wait(c);
    case TREE_STEP_FAULT: return cast_fault(c);
    case TREE_STEP_MOVE: return cast_move(c);
    case TREE_STEP_START: return cast_start(c);
    case TREE_STEP_OFF: case TREE_STEP_ON: return cast_power(c);
    case TREE_STEP_SCAN: return cast_pace(c);
    case TREE_STEP_EXPECT: return in_order(c) && cast_expect(c);
    case TREE_STEP_BROKEN: return in_order(c) && cast_broken(c);
    }
    return false;
}

static void advance(struct casting *c)
{
    enum tree_step_kind kind = c->tree->kind;

    if (kind == TREE_STEP_WAIT) {
        c->ran = true;
        c->pending = false;
    } else if (kind != TREE_STEP_EXPECT && kind != TREE_STEP_BROKEN) {
        c->pending = true;
    }
}

static void cast(struct draft *draft, const struct tree_scenario *tree)
{
    struct casting c = {.draft = draft, .pace = draft->model->scan};
    struct play_step *steps =
        arena_array(draft->arena, tree->steps.n + 1, sizeof *steps);
    struct scenario row = {.name = draft_named(draft, tree->name->name,
                                               tree->name->span),
                           .title = tree->title.at,
                           .steps = steps,
                           .span = tree->name->span};

    if (!row.title)
        row.title = row.name->spelling;
    for (c.tree = tree->steps.first; c.tree; c.tree = c.tree->next) {
        c.step = (struct play_step){.why = c.tree->why.at,
                                    .span = c.tree->span};
        if (cast_step(&c))
            steps[row.n_steps++] = c.step;
        advance(&c);
    }
    if (!c.ran || c.pending)
        diag_add(draft->diags, DIAG_ERROR,
                 c.pending ? tree->steps.last->span : row.span,
                 c.pending ? "write WAIT behind it"
                           : "write steps such as HOLD button; and WAIT;",
                 c.pending ? "this step is never run"
                           : "nothing is run in this scenario");
    vec_push(&draft->scenarios, row);
}

void scenario_all(struct draft *draft)
{
    const struct tree_scenario *tree = draft->run->review.scenarios.first;

    for (; tree; tree = tree->next)
        if (scope_add(&draft->labels, draft->arena, draft->diags,
                      &(struct symbol){.name = tree->name->name,
                                       .kind = SYMBOL_LABEL,
                                       .span = tree->name->span}))
            cast(draft, tree);
}
