#include "lower/lower.h"

#include "base/arena.h"
#include "base/ensure.h"
#include "check/decision.h"
#include "logic/flat.h"
#include "lower/leaf.h"
#include "lower/unfold.h"
#include "lower/sym.h"
#include "lower/course.h"
#include "lower/widen.h"
#include "lower/will.h"

/* ---- choices, motions, assumptions ---- */

static enum flat_kind kind_of(enum choice_kind kind)
{
    switch (kind) {
    case CHOICE_TIME: return FLAT_TIME;
    case CHOICE_POWER: return FLAT_POWER;
    case CHOICE_FAULT: return FLAT_FAULT;
    case CHOICE_START: return FLAT_START;
    case CHOICE_PAST: return FLAT_PAST;
    case CHOICE_MACHINE: return FLAT_MACHINE;
    case CHOICE_OPERATOR: return FLAT_OPERATOR;
    case CHOICE_INPUT: return FLAT_INPUT;
    case CHOICE_SHARED: return FLAT_SHARED;
    case CHOICE_UNCOMMANDED: return FLAT_UNCOMMANDED;
    case CHOICE_ANY: return FLAT_ANY;
    }
    ENSURE(!"a kind of choice");
    return FLAT_POWER;
}

static void add_choices(struct sym *sym, struct flat *flat)
{
    const struct model *model = sym->model;
    struct flat_choice *choices = arena_array(
        sym->arena, model->n_choices, sizeof *choices);
    for (uint32_t i = 0; i < model->n_choices; i++) {
        const struct choice *choice = &model->choices[i];
        bool cause = choice->kind == CHOICE_FAULT &&
                     choice->of < model->n_causes;
        choices[i] = (struct flat_choice){
            .kind = kind_of(choice->kind), .count = choice->count,
            .values = choice->values, .rest = choice->rest,
            .name = choice->name, .cause = cause ? choice->of : FLAT_NONE};
    }
    flat->choices = choices;
    flat->n_choices = model->n_choices;
}

static void add_motions(struct sym *sym, struct flat *flat)
{
    const struct model *model = sym->model;
    struct flat_motion *motions = arena_array(
        sym->arena, model->n_choices, sizeof *motions);
    for (uint32_t i = 0; i < model->n_choices; i++)
        if (sym->moved[i] != FLAT_NONE)
            motions[flat->n_motions++] =
                (struct flat_motion){sym->moved[i], i};
    flat->motions = motions;
}

static bool is_input(const struct model *model, const struct flat_node *node)
{
    if (node->op == FLAT_CELL || node->op == FLAT_HOLE)
        return false;
    if (node->op != FLAT_CHOICE)
        return true;
    enum choice_kind kind = model->choices[node->a].kind;
    return kind == CHOICE_OPERATOR || kind == CHOICE_INPUT ||
           kind == CHOICE_SHARED;
}

static void mark_reached(bool *reached, const struct flat_node *node)
{
    if (node->op < FLAT_NOT)
        return; /* leaves use a for something else */
    if (node->a != FLAT_NONE)
        reached[node->a] = true;
    if (node->b != FLAT_NONE)
        reached[node->b] = true;
    if (node->c != FLAT_NONE)
        reached[node->c] = true;
}

/* Does the expression read inputs of this scan and nothing else? */
static bool only_inputs(struct sym *sym, flat_expr expr)
{
    bool *reached = arena_array(sym->arena, (size_t)expr + 1,
                                sizeof *reached);
    reached[expr] = true;
    for (flat_expr i = expr + 1; i-- > 0;) {
        const struct flat_node *node = flat_node(sym->builder, i);
        if (reached[i] && !is_input(sym->model, node))
            return false;
        if (reached[i])
            mark_reached(reached, node);
    }
    return true;
}

static void add_assumptions(struct sym *sym, struct flat *flat)
{
    uint32_t n = sym->model->n_assumptions;
    struct flat_assumption *all = arena_array(sym->arena, n, sizeof *all);
    for (uint32_t i = 0; i < n; i++) {
        all[i].condition = sym->assumption[i];
        all[i].current_inputs_only = only_inputs(sym, sym->assumption[i]);
    }
    flat->assumptions = all;
    flat->n_assumptions = n;
}

/* ---- watches ---- */

struct watches {
    struct flat_watch *at;
    uint32_t n;
};

static uint32_t add_watch(struct watches *watches, enum flat_watch_kind kind,
                          uint32_t index, uint32_t part, flat_expr condition)
{
    watches->at[watches->n] =
        (struct flat_watch){kind, index, part, condition};
    return watches->n++;
}

static uint32_t *numbers(struct sym *sym, uint32_t n)
{
    uint32_t *all = arena_array(sym->arena, n, sizeof *all);
    for (uint32_t i = 0; i < n; i++)
        all[i] = FLAT_NONE;
    return all;
}

static void watch_requirements(struct sym *sym, struct watches *watches,
                               struct lowered *lowered)
{
    const struct model *model = sym->model;
    uint32_t *breach = numbers(sym, model->n_requirements);
    uint32_t *trigger = numbers(sym, model->n_requirements);
    for (uint32_t i = 0; i < model->n_requirements; i++) {
        breach[i] = add_watch(watches, WATCH_BREACH, i, 0, sym->breach[i]);
        if (model->requirements[i].n_triggers > 0)
            trigger[i] = watches->n;
        for (uint32_t k = 0; k < model->requirements[i].n_triggers; k++)
            add_watch(watches, WATCH_TRIGGER, i, k, sym->trigger[i][k]);
    }
    lowered->breach = breach;
    lowered->trigger = trigger;
}

static void watch_errors(struct sym *sym, struct watches *watches,
                         struct lowered *lowered)
{
    uint32_t n = sym->model->n_errors;
    uint32_t *error = numbers(sym, n);
    uint32_t *site = numbers(sym, sym->n_raised);
    for (uint32_t i = 0; i < n; i++)
        if (sym->raised[i].order != FLAT_NONE)
            site[sym->raised[i].order] = i;
    for (uint32_t i = 0; i < sym->n_raised; i++)
        error[site[i]] = add_watch(watches, WATCH_ERROR, site[i], 0,
                                   sym->raised[site[i]].condition);
    lowered->error = error;
}

static void watch_branches(struct sym *sym, struct watches *watches,
                           struct lowered *lowered)
{
    uint32_t n = sym->model->n_branches;
    uint32_t *branch = numbers(sym, n);
    for (uint32_t i = 0; i < n; i++)
        branch[i] = add_watch(watches, WATCH_BRANCH, i, 0, sym->branch[i]);
    lowered->branch = branch;
}

static void watch_stretches(struct sym *sym, struct watches *watches,
                            struct lowered *lowered)
{
    uint32_t n = sym->model->n_stretches;
    uint32_t *stretch = numbers(sym, n);
    for (uint32_t i = 0; i < n; i++)
        stretch[i] = add_watch(watches, WATCH_STRETCH, i, 0,
                               sym->stretch[i]);
    lowered->stretch = stretch;
}

static void watch_vectors(struct sym *sym, struct watches *watches,
                          struct lowered *lowered)
{
    const struct decisions *all = sym->model->decisions;
    lowered->vector = watches->n;
    for (uint32_t i = 0; all && i < all->n; i++)
        for (uint32_t k = 0; k < all->at[i].n_vectors; k++)
            add_watch(watches, WATCH_VECTOR, i, k,
                      sym->vector[all->at[i].first_vector + k]);
}

static void watch_noticing(struct sym *sym, struct watches *watches,
                           struct lowered *lowered)
{
    lowered->notice = FLAT_NONE;
    if (!sym->model->noticing.demand)
        return;
    lowered->notice = watches->n;
    for (uint32_t i = 0; i < NOTICE_PARTS; i++)
        add_watch(watches, WATCH_NOTICE, 0, i, sym->noticed[i]);
}

static void add_watches(struct sym *sym, struct flat *flat,
                        struct lowered *lowered)
{
    const struct model *model = sym->model;
    uint32_t most = model->n_requirements + sym->n_raised +
                    model->n_branches + model->n_stretches +
                    (model->noticing.demand ? NOTICE_PARTS : 0) +
                    (model->decisions ? model->decisions->n_vectors : 0);
    for (uint32_t i = 0; i < model->n_requirements; i++)
        most += model->requirements[i].n_triggers;
    struct watches watches = {
        arena_array(sym->arena, most, sizeof *watches.at), 0};
    watch_requirements(sym, &watches, lowered);
    watch_errors(sym, &watches, lowered);
    watch_branches(sym, &watches, lowered);
    watch_stretches(sym, &watches, lowered);
    watch_vectors(sym, &watches, lowered);
    watch_noticing(sym, &watches, lowered);
    ENSURE(watches.n == most);
    flat->watches = watches.at;
    flat->n_watches = watches.n;
}

/* ---- values for views ---- */

static void add_values(struct sym *sym, struct flat *flat,
                       struct lowered *lowered)
{
    const struct model *model = sym->model;
    uint32_t n = model->n_slots + model->n_controls + model->n_contacts +
                 model->n_sensors + model->n_actuators + 1 + model->n_intended;
    flat_expr *all = arena_array(sym->arena, n, sizeof *all), *at = all;
    sym->silent = true;
    lowered->slot_value = at;
    for (uint32_t i = 0; i < model->n_slots; i++)
        *at++ = sym_remembers(&model->slots[i]) ? env_get(&sym->env, i)
                                                 : sym->slot[i].before;
    lowered->hand = at;
    for (uint32_t i = 0; i < model->n_controls; i++)
        *at++ = leaf_hand(sym, i, CODE_NOW);
    lowered->contact = at;
    for (uint32_t i = 0; i < model->n_contacts; i++)
        *at++ = leaf_contact(sym, i, CODE_NOW);
    lowered->sensor = at;
    for (uint32_t i = 0; i < model->n_sensors; i++)
        *at++ = unfold_expr(sym, model->sensors[i].on_when);
    lowered->command = at;
    for (uint32_t i = 0; i < model->n_actuators; i++)
        *at++ = sym->command[i];
    lowered->dark = at;
    *at++ = sym->dark;
    lowered->intended = at;
    for (uint32_t i = 0; i < model->n_intended; i++)
        *at++ = unfold_expr(sym, model->intended[i].condition);
    flat->value = all;
    flat->n_values = n;
}

/* ---- the whole ---- */

static void add_cells(struct sym *sym, struct flat *flat)
{
    struct flat_cell *cells = arena_array(sym->arena, sym->cells.n,
                                          sizeof *cells);
    for (size_t i = 0; i < sym->cells.n; i++) {
        cells[i] = sym->cells.at[i];
        ENSURE(cells[i].next != FLAT_NONE);
    }
    flat->cells = cells;
    flat->n_cells = (uint32_t)sym->cells.n;
}

static void add_causes(struct sym *sym, struct flat *flat)
{
    const struct model *model = sym->model;
    struct flat_cause *causes =
        arena_array(sym->arena, model->n_causes, sizeof *causes);
    struct flat_fault *faults =
        arena_array(sym->arena, model->n_faults, sizeof *faults);
    for (uint32_t i = 0; i < model->n_causes; i++)
        causes[i] = (struct flat_cause){model->causes[i].choice,
                                        sym->cause[i].cell,
                                        model->causes[i].first_only};
    for (uint32_t i = 0; i < model->n_faults; i++) {
        const struct fault *fault = &model->faults[i];
        faults[i] = (struct flat_fault){
            .choice = fault->own ? fault->choice : FLAT_NONE,
            .cell = fault->own ? sym->fault[i].cell : FLAT_NONE,
            .causes = fault->causes, .n_causes = fault->n_causes,
            .first_only = fault->timing == TIMING_FROM_POWER_UP,
            .goes = fault->timing == TIMING_INTERMITTENT};
    }
    flat->causes = causes;
    flat->n_causes = model->n_causes;
    flat->faults = faults;
    flat->n_faults = model->n_faults;
}

static void add_holes(struct sym *sym, struct flat *flat)
{
    const struct model *model = sym->model;
    size_t n = sym->hole_kind.n;
    enum flat_hole *kind = arena_array(sym->arena, n, sizeof *kind);
    uint32_t *index = arena_array(sym->arena, n, sizeof *index);
    for (size_t i = 0; i < n; i++) {
        kind[i] = sym->hole_kind.at[i];
        index[i] = sym->hole_index.at[i];
    }
    flat->hole_kind = kind;
    flat->hole_index = index;
    flat->n_holes = (uint32_t)n;
    flat->timed_may = sym->timed_may;
    flat->timed_must = sym->timed_must;
    flat->n_movements = model->n_movements;
}

/* A copy, taken last: the builder's own array moves while slices make
 * further nodes. */
static void add_nodes(struct sym *sym, struct flat *flat)
{
    uint32_t n = flat_builder_count(sym->builder);
    struct flat_node *nodes = arena_array(sym->arena, n, sizeof *nodes);
    for (uint32_t i = 0; i < n; i++)
        nodes[i] = *flat_node(sym->builder, i);
    flat->nodes = nodes;
    flat->n_nodes = n;
}

static struct lowered *take(struct sym *sym, struct arena *arena)
{
    struct lowered *lowered = ARENA_NEW(arena, struct lowered);
    struct flat *flat = ARENA_NEW(arena, struct flat);
    course_keep(sym);
    add_choices(sym, flat);
    add_cells(sym, flat);
    add_holes(sym, flat);
    add_causes(sym, flat);
    add_motions(sym, flat);
    add_assumptions(sym, flat);
    add_watches(sym, flat, lowered);
    add_values(sym, flat, lowered);
    add_nodes(sym, flat);
    lowered->flat = flat;
    lowered->builder = sym->builder;
    lowered->rough = sym->will ? sym->will->rough : NULL;
    return lowered;
}

static struct lowered *lower_way(struct arena *arena,
                                 const struct widen_asked *asked, bool *stopped)
{
    const struct bounds *bounds = widen_bounds(arena, asked, stopped);
    struct lowered *lowered = NULL;
    struct sym sym;
    if (!bounds)
        return NULL;
    sym_init(&sym, arena, asked->model, bounds, asked->will);
    sym.limits = asked->limits;
    course_run(&sym);
    *stopped = sym.stopped;
    if (sym.stopped)
        flat_builder_free(sym.builder);
    else
        lowered = take(&sym, arena);
    sym_release(&sym);
    return lowered;
}

struct lowered *lower_model(struct arena *arena, const struct model *model,
                            struct diags *diags)
{
    bool stopped;

    return lower_within(arena, model, NULL, diags, &stopped);
}

struct lowered *lower_within(struct arena *arena, const struct model *model,
                             const struct lower_limits *limits,
                             struct diags *diags, bool *stopped)
{
    return lower_way(arena,
                     &(struct widen_asked){.model = model, .limits = limits,
                                        .diags = diags},
                     stopped);
}

struct lowered *lower_free(struct arena *arena, const struct model *model,
                           enum lower_way way, const struct lowered *whole,
                           struct diags *diags)
{
    const struct will *will = will_new(arena, model, way, whole->flat);
    bool stopped;

    return lower_way(arena,
                     &(struct widen_asked){.model = will->model, .will = will,
                                        .diags = diags},
                     &stopped);
}

void lowered_free(struct lowered *lowered)
{
    if (lowered)
        flat_builder_free(lowered->builder);
}
