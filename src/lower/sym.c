#include "lower/sym.h"

#include "base/arena.h"
#include "base/divisor.h"
#include "base/ensure.h"
#include "check/decision.h"
#include "check/pace.h"
#include "lower/limits.h"
#include "lower/term.h"

/* What every text may take, whatever the limit. */
enum { FREE_BYTES = 4 << 20 };

/* For an array of some hundred elements in a text of usual size; looking at
 * so many takes a second or two. */
static const uint64_t SPLITTING = UINT64_C(1) << 24;

static const struct bounds no_or_yes = {0, 1, 1};

/* ---- remembered values ---- */

static struct kept keep(struct sym *sym, struct flat_cell cell,
                        struct bounds bounds, int64_t initial)
{
    struct kept kept = {flat_const(sym->builder, initial), FLAT_NONE};
    if (cell.initial == FLAT_NONE)
        cell.initial = kept.before;
    if (bounds.low == bounds.high && cell.initial == kept.before)
        return kept;
    ENSURE(bounds.unit > 0);
    cell.low = bounds.low;
    cell.high = bounds.high;
    cell.unit = bounds.unit;
    cell.next = FLAT_NONE;
    kept.cell = (uint32_t)sym->cells.n;
    vec_push(&sym->cells, cell);
    kept.before = flat_leaf(sym->builder, FLAT_CELL, kept.cell, bounds.low,
                            bounds.high);
    return kept;
}

static struct flat_cell cell_of(struct sym *sym, enum place_kind kind,
                                uint32_t index, const char *prefix,
                                const char *name)
{
    return (struct flat_cell){
        .name = arena_printf(sym->arena, "%s%s", prefix, name),
        .kind = kind, .index = index, .initial = FLAT_NONE};
}

static struct bounds hull(struct bounds a, struct bounds b)
{
    a.low = b.low < a.low ? b.low : a.low;
    a.high = b.high > a.high ? b.high : a.high;
    a.unit = divisor_common(a.unit, b.unit);
    return bounds_aligned(a);
}

static struct bounds of_row(const struct sym *sym, uint32_t row)
{
    const struct choice *choice = &sym->model->choices[row];
    struct bounds all = {choice->values[0], choice->values[0], 1};
    for (uint32_t i = 0; i < choice->count; i++)
        all = hull(all, (struct bounds){choice->values[i],
                                        choice->values[i], 1});
    return all;
}

static struct kept *kepts(struct sym *sym, uint32_t count)
{
    return arena_array(sym->arena, count, sizeof(struct kept));
}

static void keep_slots(struct sym *sym)
{
    const struct model *model = sym->model;
    sym->slot = kepts(sym, model->n_slots);
    for (uint32_t i = 0; i < model->n_slots; i++) {
        const struct slot *slot = &model->slots[i];
        struct flat_cell cell = cell_of(sym, PLACE_SLOT, i, "", slot->path);
        int64_t initial = slot->home == SLOT_ACTUATOR ? 0 : slot->initial;
        struct bounds bounds = sym->bounds[i];
        if (slot->start != MODEL_NONE)
            cell.initial = sym_choice(sym, slot->start);
        if (!sym_remembers(slot))
            bounds = (struct bounds){initial, initial, 1};
        sym->slot[i] = keep(sym, cell, bounds, initial);
        sym->env.value[i] = sym->slot[i].before;
    }
}

static void keep_hands(struct sym *sym)
{
    const struct model *model = sym->model;
    sym->hand = kepts(sym, model->n_controls);
    sym->hand_now = arena_array(sym->arena, model->n_controls,
                                 sizeof *sym->hand_now);
    for (uint32_t i = 0; i < model->n_controls; i++) {
        const struct control *control = &model->controls[i];
        const struct choice *row = &model->choices[control->choice];
        sym->hand[i] = keep(sym, cell_of(sym, PLACE_HAND_LAST, i, "hand ",
                                           control->name->spelling),
                             of_row(sym, control->choice),
                             row->values[row->rest]);
        sym->hand_now[i] = sym_choice(sym, control->choice);
    }
}

static void keep_past(struct sym *sym, struct kept *kept, uint32_t past,
                      struct flat_cell cell, struct bounds bounds)
{
    if (past != MODEL_NONE) {
        cell.initial = sym_choice(sym, past);
        bounds = hull(bounds, of_row(sym, past));
    }
    *kept = keep(sym, cell, bounds, 0);
}

static void keep_conducted(struct sym *sym)
{
    const struct model *model = sym->model;
    sym->contact_last = kepts(sym, model->n_contacts);
    for (uint32_t i = 0; i < model->n_contacts; i++) {
        const struct contact *contact = &model->contacts[i];
        struct bounds bounds = no_or_yes;
        if (contact->kind == CONTACT_VALUE)
            bounds = hull(bounds, of_row(sym, model->controls[
                                      contact->control].choice));
        keep_past(sym, &sym->contact_last[i], contact->past,
                  cell_of(sym, PLACE_CONTACT_LAST, i, "contact ",
                          contact->name->spelling), bounds);
    }
    sym->sensor_last = kepts(sym, model->n_sensors);
    for (uint32_t i = 0; i < model->n_sensors; i++)
        keep_past(sym, &sym->sensor_last[i], model->sensors[i].past,
                  cell_of(sym, PLACE_SENSOR_LAST, i, "sensor ",
                          model->sensors[i].name->spelling), no_or_yes);
}

static void keep_commanded(struct sym *sym)
{
    const struct model *model = sym->model;
    static const struct bounds off = {0, 0, 1};
    sym->commanded = kepts(sym, model->n_actuators);
    for (uint32_t i = 0; i < model->n_actuators; i++) {
        const struct actuator *actuator = &model->actuators[i];
        struct bounds bounds = off;
        if (actuator->command != MODEL_NONE)
            bounds = hull(sym->bounds[actuator->command], off);
        sym->commanded[i] = keep(
            sym, cell_of(sym, PLACE_COMMANDED_LAST, i, "commanded ",
                          actuator->name->spelling), bounds, 0);
    }
}

/* A fault without moments of its own shares the cell of its cause. */
static void keep_fault(struct sym *sym, uint32_t number)
{
    const struct fault *fault = &sym->model->faults[number];
    sym->fault[number] =
        fault->own ? keep(sym, cell_of(sym, PLACE_FAULT, number, "fault ",
                                       fault->name->spelling), no_or_yes, 0)
        : fault->excluded ? (struct kept){.before = flat_const(sym->builder, 0),
                                          .cell = FLAT_NONE}
                          : sym->cause[fault->cause];
    sym->fault_now[number] = sym_hole(sym, HOLE_FAULT, number);
}

static void keep_causes(struct sym *sym)
{
    const struct model *model = sym->model;
    uint32_t n = model->n_causes;
    sym->cause = kepts(sym, n);
    sym->cause_now = arena_array(sym->arena, n, sizeof *sym->cause_now);
    for (uint32_t i = 0; i < n; i++) {
        const struct cause *cause = &model->causes[i];
        bool own = cause->group || model->faults[cause->members[0]].own;
        sym->cause[i] = keep(
            sym, own ? cell_of(sym, PLACE_CAUSE, i, "cause ",
                               cause->name->spelling)
                     : cell_of(sym, PLACE_FAULT, cause->members[0], "fault ",
                               cause->name->spelling), no_or_yes, 0);
        sym->cause_now[i] = sym_hole(sym, HOLE_CAUSE, i);
    }
}

static void keep_faults(struct sym *sym)
{
    const struct model *model = sym->model;
    keep_causes(sym);
    sym->fault = kepts(sym, model->n_faults);
    sym->fault_now = arena_array(sym->arena, model->n_faults,
                                  sizeof *sym->fault_now);
    for (uint32_t i = 0; i < model->n_faults; i++)
        keep_fault(sym, i);
}

/* ---- clocks and monitors ---- */

static struct bounds ages(const struct sym *sym, int64_t limit)
{
    return (struct bounds){0, bounds_whole_scans(limit, sym->step),
                           sym->step};
}

static void keep_movements(struct sym *sym)
{
    const struct model *model = sym->model;
    sym->total = kepts(sym, model->n_movements);
    sym->unbroken = kepts(sym, model->n_movements);
    for (uint32_t i = 0; i < model->n_movements; i++) {
        const struct movement *movement = &model->movements[i];
        int64_t upper = movement->upper < 0 ? 0 : movement->upper;
        const char *name = arena_printf(
            sym->arena, "%s %lld to %lld", model->slots[movement->slot].path,
            (long long)movement->from, (long long)movement->to);
        sym->total[i] = keep(sym, cell_of(sym, PLACE_MOVE_TOTAL, i,
                                            "waited ", name),
                              ages(sym, movement->timed
                                             ? movement->lower : 0), 0);
        sym->unbroken[i] = keep(sym, cell_of(sym, PLACE_MOVE_UNBROKEN, i,
                                               "unbroken ", name),
                                 ages(sym, movement->timed ? upper : 0), 0);
    }
}

static void keep_clocks(struct sym *sym)
{
    const struct model *model = sym->model;
    sym->clock_was = kepts(sym, model->n_clocks);
    sym->clock_age = kepts(sym, model->n_clocks);
    for (uint32_t i = 0; i < model->n_clocks; i++) {
        const char *name = arena_printf(sym->arena, "%u", i);
        sym->clock_was[i] = keep(sym, cell_of(sym, PLACE_CLOCK_WAS, i,
                                                "clock was ", name),
                                  no_or_yes, 0);
        sym->clock_age[i] = keep(sym, cell_of(sym, PLACE_CLOCK_AGE, i,
                                                "clock age ", name),
                                  ages(sym, model->clocks[i].limit.judged),
                                  0);
    }
}

static bool form_has_flag(enum form form)
{
    return form != FORM_NEVER && form != FORM_ALWAYS &&
           form != FORM_ONLY_IF && form != FORM_POSSIBLE &&
           form != FORM_POSSIBLE_AGAIN;
}

static bool form_has_age(enum form form)
{
    return form == FORM_WHEN_THEN_WITHIN || form == FORM_NO_LONGER ||
           form == FORM_AT_LEAST;
}

static void keep_monitors(struct sym *sym)
{
    const struct model *model = sym->model;
    static const struct bounds none = {0, 0, 1};
    sym->flag = kepts(sym, model->n_requirements);
    sym->age = kepts(sym, model->n_requirements);
    for (uint32_t i = 0; i < model->n_requirements; i++) {
        const struct requirement *asked = &model->requirements[i];
        const char *name = asked->name->spelling;
        bool has_age = form_has_age(asked->form);
        sym->flag[i] = keep(sym, cell_of(sym, PLACE_MONITOR_FLAG, i,
                                           "monitor ", name),
                             form_has_flag(asked->form) ? no_or_yes : none,
                             0);
        sym->age[i] = keep(sym, cell_of(sym, PLACE_MONITOR_AGE, i,
                                          "monitor age ", name),
                            has_age ? ages(sym, asked->limit.judged) : none,
                            0);
    }
}

/* Time since the last fault appeared, where the exception counts it. */
static void keep_exceptions(struct sym *sym)
{
    const struct model *model = sym->model;
    static const struct bounds none = {0, 0, 1};
    sym->since = kepts(sym, model->n_requirements);
    for (uint32_t i = 0; i < model->n_requirements; i++) {
        const struct requirement *asked = &model->requirements[i];
        sym->since[i] = keep(sym, cell_of(sym, PLACE_EXCEPT_AGE, i,
                                          "since a fault ",
                                          asked->name->spelling),
                             asked->within.wanted
                                 ? ages(sym, asked->within.judged) : none,
                             0);
    }
}

static void keep_notices(struct sym *sym)
{
    static const char *const names[NOTICE_MEMORIES] = {
        "demanded", "cycles", "repaired", "shown"};
    static const struct bounds cycles = {0, 2, 1};
    if (!sym->model->noticing.demand)
        return;
    sym->studied_before = sym_hole(sym, HOLE_STUDIED, 0);
    for (uint32_t i = 0; i < NOTICE_MEMORIES; i++)
        sym->notice[i] = keep(sym, cell_of(sym, PLACE_NOTICE, i, "noticing ",
                                           names[i]),
                              i == NOTICE_CYCLES ? cycles : no_or_yes, 0);
}

/* Scans until a program runs; 0: in the next one. */
static void keep_phases(struct sym *sym)
{
    const struct model *model = sym->model;
    sym->phase = kepts(sym, model->n_programs);
    for (uint32_t i = 0; i < model->n_programs; i++) {
        const struct program *program = &model->programs[i];
        sym->phase[i] = (struct kept){flat_const(sym->builder, 0), FLAT_NONE};
        if (program->every <= 1)
            continue;
        sym->phase[i] = keep(sym, cell_of(sym, PLACE_PHASE, i, "scans until ",
                                          program->name->spelling),
                             (struct bounds){0, program->every - 1, 1}, 0);
    }
}

/* ---- the beginning of a scan ---- */

static flat_expr *exprs(struct sym *sym, uint32_t count, flat_expr value)
{
    flat_expr *all = arena_array(sym->arena, count, sizeof *all);
    for (uint32_t i = 0; i < count; i++)
        all[i] = value;
    return all;
}

static void make_results(struct sym *sym)
{
    const struct model *model = sym->model;
    flat_expr no = term_false(sym->builder);
    sym->conducts = exprs(sym, model->n_contacts + model->n_sensors, no);
    sym->sampled = exprs(sym, model->n_slots, FLAT_NONE);
    sym->command = exprs(sym, model->n_actuators, no);
    sym->element = arena_array(sym->arena, model->n_slots + 1,
                               sizeof *sym->element);
    sym->splitting = SPLITTING;
    sym->written = arena_array(sym->arena, model->n_slots + SYM_EXTRA,
                               sizeof *sym->written);
    sym->failed = no;
    for (uint32_t i = 0; i < SYM_EXTRA; i++)
        sym->env.value[model->n_slots + i] = no;
    sym->clock_value = exprs(sym, model->n_clocks, FLAT_NONE);
    sym->assumption = exprs(sym, model->n_assumptions, FLAT_NONE);
    sym->branch = exprs(sym, model->n_branches, no);
    sym->stretch = exprs(sym, model->n_stretches, no);
    if (model->decisions) {
        sym->condition = exprs(sym, model->decisions->n_conditions, no);
        sym->asked = exprs(sym, model->decisions->n_conditions, no);
        sym->vector = exprs(sym, model->decisions->n_vectors, no);
    }
    sym->moved = exprs(sym, model->n_choices, FLAT_NONE);
    sym->timed_may = exprs(sym, model->n_movements, FLAT_NONE);
    sym->timed_must = exprs(sym, model->n_movements, FLAT_NONE);
    sym->breach = exprs(sym, model->n_requirements, FLAT_NONE);
    sym->raised = arena_array(sym->arena, model->n_errors,
                               sizeof *sym->raised);
    for (uint32_t i = 0; i < model->n_errors; i++)
        sym->raised[i] = (struct raised){no, FLAT_NONE};
    sym->preset = arena_array(sym->arena, model->n_slots,
                               sizeof *sym->preset);
    for (uint32_t i = 0; i < model->n_slots; i++)
        sym->preset[i].most = -1;
}

/* First, dark, returned: which kind of scan this is. */
static void make_kind(struct sym *sym)
{
    struct flat_builder *b = sym->builder;
    const struct model *model = sym->model;
    sym->first = sym_hole(sym, HOLE_FIRST, 0);
    sym->step = pace_step(model);
    sym->elapsed = pace_row(model) == MODEL_NONE
                       ? flat_const(b, model->scan)
                       : sym_choice(sym, pace_row(model));
    sym->dark = term_false(b);
    sym->was_dark = (struct kept){sym->dark, FLAT_NONE};
    for (uint32_t i = 0; i < model->n_choices; i++) {
        if (model->choices[i].kind != CHOICE_POWER)
            continue;
        sym->dark = term_less(
            b, term_equals(b, sym_choice(sym, i),
                           model->choices[i].values[1]), sym->first);
        sym->was_dark = keep(sym, cell_of(sym, PLACE_WAS_DARK, 0, "",
                                            "was dark"), no_or_yes, 0);
    }
    sym->lit = flat_not(b, sym->dark);
    sym->returned = term_less(
        b, term_less(b, sym->was_dark.before, sym->dark), sym->first);
    sym->no_edge = term_or(b, sym->first,
                            term_or(b, sym->dark, sym->was_dark.before));
    sym->path = term_true(b);
}

void sym_init(struct sym *sym, struct arena *arena,
               const struct model *model, const struct bounds *bounds,
               const struct will *will)
{
    *sym = (struct sym){.arena = arena, .model = model, .bounds = bounds,
                        .will = will};
    sym->builder = flat_builder_new(arena);
    env_init(&sym->env, arena, sym->builder, model->n_slots + SYM_EXTRA);
    make_kind(sym);
    keep_faults(sym);
    keep_slots(sym);
    keep_hands(sym);
    keep_conducted(sym);
    keep_commanded(sym);
    keep_movements(sym);
    keep_clocks(sym);
    keep_monitors(sym);
    keep_exceptions(sym);
    keep_notices(sym);
    keep_phases(sym);
    make_results(sym);
}

void sym_release(struct sym *sym)
{
    env_release(&sym->env);
    vec_release(&sym->cells);
    vec_release(&sym->hole_kind);
    vec_release(&sym->hole_index);
}

/* ---- what the texts record ---- */

flat_expr sym_hole(struct sym *sym, enum flat_hole kind, uint32_t index)
{
    uint32_t hole = (uint32_t)sym->hole_kind.n;
    vec_push(&sym->hole_kind, kind);
    vec_push(&sym->hole_index, index);
    return flat_leaf(sym->builder, FLAT_HOLE, hole, 0, 1);
}

flat_expr sym_choice(struct sym *sym, uint32_t row)
{
    const struct choice *choice = &sym->model->choices[row];
    int64_t low = choice->values[0], high = choice->values[0];
    for (uint32_t i = 1; i < choice->count; i++) {
        low = choice->values[i] < low ? choice->values[i] : low;
        high = choice->values[i] > high ? choice->values[i] : high;
    }
    return flat_leaf(sym->builder, FLAT_CHOICE, row, low, high);
}

void sym_keep(struct sym *sym, struct kept kept, flat_expr next)
{
    if (kept.cell == FLAT_NONE)
        return;
    struct flat_cell *cell = &sym->cells.at[kept.cell];
    ENSURE(cell->next == FLAT_NONE);
    cell->next = next;
}

/* The order of watches is the order of first execution.  A site that is
 * executed again (in a loop, in a function called twice) must not seem to
 * come before what happened between its two executions: its later errors
 * count only where there was none before. */
void sym_raise(struct sym *sym, uint32_t site, flat_expr condition)
{
    struct flat_builder *b = sym->builder;
    if (site == CODE_NO_SITE || sym->silent)
        return;
    ENSURE(site < sym->model->n_errors);
    condition = term_and(b, sym->path, condition);
    if (term_is(b, condition, 0))
        return;
    struct raised *raised = &sym->raised[site];
    if (raised->order == FLAT_NONE)
        raised->order = sym->n_raised++;
    else
        condition = term_less(b, condition, sym->failed);
    raised->condition = term_or(b, raised->condition, condition);
    sym->failed = term_or(b, sym->failed, condition);
}

void sym_branch(struct sym *sym, uint32_t branch)
{
    if (branch == CODE_NO_SITE || sym->silent)
        return;
    ENSURE(branch < sym->model->n_branches);
    sym->branch[branch] = term_or(sym->builder, sym->branch[branch],
                                   sym->path);
}

void sym_stretch(struct sym *sym, uint32_t stretch)
{
    if (stretch == 0 || sym->silent)
        return;
    ENSURE(stretch <= sym->model->n_stretches);
    sym->stretch[stretch - 1] = term_or(
        sym->builder, sym->stretch[stretch - 1], sym->path);
}

flat_expr sym_turn(const struct sym *sym, uint32_t program)
{
    return term_equals(sym->builder, sym->phase[program].before, 0);
}

flat_expr sym_due(const struct sym *sym, uint32_t program)
{
    flat_expr due = sym_turn(sym, program);
    for (uint32_t i = 0; i < sym->model->n_effects; i++) {
        const struct effect *effect = &sym->model->effects[i];
        if (effect->kind == FAULT_STOPS && effect->first == program)
            due = term_less(sym->builder, due,
                            sym->fault_now[effect->fault]);
    }
    return due;
}

bool sym_stops(struct sym *sym)
{
    const struct lower_limits *limits = sym->limits;
    uint64_t bytes = arena_used(sym->arena);
    if (limits == NULL || sym->stopped)
        return sym->stopped;
    sym->stopped =
        (limits->interrupted != NULL && limits->interrupted()) ||
        (limits->most_bytes != 0 && bytes > FREE_BYTES &&
         bytes > limits->most_bytes);
    return sym->stopped;
}

bool sym_is_control(const struct slot *slot)
{
    return slot->home == SLOT_PROGRAM || slot->home == SLOT_GLOBAL;
}

bool sym_remembers(const struct slot *slot)
{
    return !slot->temp && slot->home != SLOT_FUNCTION;
}

flat_expr sym_raised(const struct sym *sym)
{
    flat_expr any = term_false(sym->builder);

    for (uint32_t i = 0; i < sym->model->n_errors; i++)
        any = term_or(sym->builder, any, sym->raised[i].condition);
    return any;
}
