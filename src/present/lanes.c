#include "present/lanes.h"

#include <string.h>

#include "base/arena.h"
#include "base/text.h"
#include "base/vec.h"
#include "check/model.h"
#include "check/pace.h"
#include "present/say.h"
#include "reference/replay.h"
#include "study/findings.h"
#include "study/shown.h"

static const struct type on_off = {.kind = TYPE_BOOL, .high = 1};

struct gatherer {
    struct arena *arena;
    const struct model *model;
    const struct machine *machine;
    const struct replay *replay;
    struct lanes lanes;
    VEC(struct lane) all;
};

static const struct replay_scan *scan_at(const struct gatherer *g,
                                         uint32_t i)
{
    return &g->replay->scans[g->lanes.first + i];
}

static int64_t place_at(const struct gatherer *g, uint32_t i,
                        enum place_kind kind, uint32_t index)
{
    return machine_place(g->machine, scan_at(g, i)->state,
                         (struct place_id){kind, index}, INT64_MAX);
}

static int64_t *values_of(struct gatherer *g)
{
    return arena_array(g->arena, g->lanes.n_scans + 1, sizeof(int64_t));
}

/* ---- levels ---- */

static void insert(int64_t *levels, uint32_t *n, int64_t value)
{
    uint32_t at = 0;

    while (at < *n && levels[at] < value)
        at++;
    if (at < *n && levels[at] == value)
        return;
    memmove(&levels[at + 1], &levels[at], (*n - at) * sizeof *levels);
    levels[at] = value;
    ++*n;
}

static void add(struct gatherer *g, struct lane lane, const int64_t *values)
{
    int64_t *levels = values_of(g);

    lane.values = values;
    lane.on_off = type_base(lane.type)->kind == TYPE_BOOL;
    for (uint32_t i = 0; i < g->lanes.n_scans; i++)
        insert(levels, &lane.n_levels, values[i]);
    lane.levels = levels;
    vec_push(&g->all, lane);
}

static bool all_are(const struct gatherer *g, const int64_t *values,
                    int64_t value)
{
    for (uint32_t i = 0; i < g->lanes.n_scans; i++)
        if (values[i] != value)
            return false;
    return true;
}

/* ---- the lanes ---- */

static void add_power(struct gatherer *g)
{
    int64_t *values = values_of(g);

    for (uint32_t i = 0; i < g->lanes.n_scans; i++)
        values[i] = !scan_at(g, i)->dark;
    if (!all_are(g, values, 1))
        add(g, (struct lane){.group = LANE_FAULT, .name = "power",
                             .title = "power", .type = &on_off}, values);
}

static void add_faults(struct gatherer *g)
{
    for (uint32_t f = 0; f < g->model->n_faults; f++) {
        const struct fault *fault = &g->model->faults[f];
        int64_t *values = values_of(g);

        for (uint32_t i = 0; i < g->lanes.n_scans; i++)
            values[i] = place_at(g, i, PLACE_FAULT, f);
        if (all_are(g, values, 0))
            continue;
        add(g, (struct lane){.group = LANE_FAULT,
                             .name = fault->name->spelling,
                             .title = arena_printf(g->arena, "%s: %s",
                                                   fault->name->spelling,
                                                   fault->title),
                             .type = &on_off}, values);
    }
}

static void add_inputs(struct gatherer *g)
{
    for (uint32_t c = 0; c < g->model->n_choices; c++) {
        const struct choice *choice = &g->model->choices[c];
        int64_t *values = values_of(g);

        if (choice->kind < CHOICE_OPERATOR ||
            choice->kind >= CHOICE_UNCOMMANDED)
            continue;
        for (uint32_t i = 0; i < g->lanes.n_scans; i++)
            values[i] = choice->values[scan_at(g, i)->choices[c]];
        if (all_are(g, values, choice->values[choice->rest]))
            continue;
        add(g, (struct lane){.group = LANE_OPERATOR, .name = choice->name,
                             .title = choice->kind == CHOICE_OPERATOR
                                 ? g->model->controls[choice->of].title
                                 : choice->name,
                             .type = choice->type}, values);
    }
}

static void add_actuators(struct gatherer *g)
{
    struct text never = {0};

    for (uint32_t a = 0; a < g->model->n_actuators; a++) {
        const struct actuator *what = &g->model->actuators[a];
        int64_t *values = values_of(g);

        for (uint32_t i = 0; i < g->lanes.n_scans; i++)
            values[i] = place_at(g, i, PLACE_SLOT, what->slot);
        if (all_are(g, values, 0))
            text_printf(&never, "%s%s", never.n > 0 ? ", " : "",
                        what->title);
        else
            add(g, (struct lane){.group = LANE_OUTPUT,
                                 .name = what->name->spelling,
                                 .title = what->title, .type = what->type},
                values);
    }
    g->lanes.never_on = arena_copy(g->arena, text_str(&never), never.n);
    text_release(&never);
}

static void add_machine(struct gatherer *g)
{
    for (uint32_t s = 0; s < g->model->n_slots; s++) {
        const struct slot *slot = &g->model->slots[s];
        int64_t *values = values_of(g);

        if (slot->home != SLOT_MACHINE || slot->temp || slot->clock)
            continue;
        for (uint32_t i = 0; i < g->lanes.n_scans; i++)
            values[i] = place_at(g, i, PLACE_SLOT, s);
        add(g, (struct lane){.group = LANE_MACHINE, .name = slot->path,
                             .title = slot->path, .type = slot->type},
            values);
    }
}

/* ---- chosen variables ---- */

/* What an expression has at each judging: the sequence is run again, since
 * a state does not remember everything. */
static void look(struct gatherer *g, const struct code_expr *expr,
                 int64_t *values)
{
    struct machine *machine = machine_new(g->arena, g->model);
    int64_t *state = arena_array(g->arena, machine_words(machine) + 1,
                                 sizeof *state);
    int64_t value = 0;
    const struct step_question question = {&expr, 1, &value};
    struct step_setting setting = {.fault_limit = g->model->n_causes,
                                   .whole = true, .question = &question};

    machine_start(machine, g->replay->scans[0].choices, state);
    for (uint32_t i = 0; i < g->replay->n_scans; i++) {
        setting.first = i == 0;
        if (machine_step(machine, &setting, g->replay->scans[i].choices,
                         state)->end != STEP_JUDGED)
            return; /* a run-time error in the last scan: nothing judged */
        if (i >= g->lanes.first)
            values[i - g->lanes.first] = value;
    }
}

/* A variable of the machine has its lane whether it was chosen or not. */
static bool has_a_lane(const struct model *model, const struct shown *shown)
{
    const struct slot *slot;

    if (shown->kind != SHOWN_SLOT)
        return false;
    slot = &model->slots[shown->index];
    return slot->home == SLOT_MACHINE && !slot->temp && !slot->clock;
}

static void add_shown(struct gatherer *g, const struct shown *shown)
{
    struct code_expr expr = {.type = shown->type, .index = shown->index,
                             .site = CODE_NO_SITE};
    int64_t *values = values_of(g);

    expr.op = shown->kind == SHOWN_HAND      ? CODE_HAND
              : shown->kind == SHOWN_CONTACT ? CODE_CONTACT
                                             : CODE_VARIABLE;
    expr.variable = (struct code_variable){
        .base = CODE_GLOBAL, .index = shown->index};
    look(g, &expr, values);
    add(g, (struct lane){.group = LANE_PROGRAM, .name = shown->name,
                         .title = shown->name, .type = shown->type},
        values);
}

static int64_t *times_of(const struct gatherer *g)
{
    uint32_t n = g->lanes.n_scans;
    int64_t *times = arena_array(g->arena, (size_t)n + 1, sizeof *times);

    for (uint32_t i = 0; i <= n; i++)
        times[i] = replay_time(g->model, g->replay, g->lanes.first + i);
    return times;
}

struct lanes lanes_make(struct arena *arena, const struct findings *findings,
                        const struct replay *replay,
                        const struct shown_list *by)
{
    struct gatherer g = {.arena = arena,
                         .model = findings->model,
                         .machine = findings->machine,
                         .replay = replay};
    struct lane *lanes;

    g.lanes.shortest = pace_shortest(findings->model);
    g.lanes.longest = findings->model->scan;
    g.lanes.n_scans = replay->n_scans > LANES_MOST_SCANS ? LANES_MOST_SCANS
                                                         : replay->n_scans;
    g.lanes.first = replay->n_scans - g.lanes.n_scans;
    g.lanes.times = times_of(&g);
    add_power(&g);
    add_faults(&g);
    add_inputs(&g);
    for (uint32_t i = 0; by != NULL && i < by->n; i++)
        if (!has_a_lane(findings->model, &by->at[i]))
            add_shown(&g, &by->at[i]);
    add_actuators(&g);
    add_machine(&g);
    lanes = arena_array(arena, g.all.n + 1, sizeof *lanes);
    if (g.all.n > 0)
        memcpy(lanes, g.all.at, g.all.n * sizeof *lanes);
    g.lanes.at = lanes;
    g.lanes.n = (uint32_t)g.all.n;
    vec_release(&g.all);
    return g.lanes;
}

void lane_value(struct text *out, const struct lane *lane, int64_t value)
{
    say_value(out, type_base(lane->type), value);
}

const char *lane_heading(enum lane_group group)
{
    switch (group) {
    case LANE_FAULT: return "faults";
    case LANE_OPERATOR: return "operator";
    case LANE_PROGRAM: return "program";
    case LANE_OUTPUT: return "outputs";
    case LANE_MACHINE: return "machine";
    }
    return "";
}
