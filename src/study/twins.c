#include "study/twins.h"

#include <string.h>
#include <strings.h>

#include "base/arena.h"
#include "base/ensure.h"
#include "base/text.h"
#include "check/model.h"
#include "logic/graft.h"
#include "lower/lower.h"
#include "reference/machine.h"
#include "study/driving.h"

#define OTHER_MACHINE \
    "the two texts do not have one machine: what their review text says " \
    "comes out differently for them"

/* A pair under way. */
struct joining {
    struct twins *pair;
    struct arena *arena;
    struct lowered *was, *is;
    const struct model *old, *new; /* as lowered: with further rows */
    uint32_t n_rows;
    uint32_t *row;        /* per row of the new one: of both */
    uint32_t *cell;       /* per cell of the new one: of both */
    bool *own;            /* per cell of the new one: it has its own */
    uint32_t n_cells;
    const flat_expr *image;
    struct flat *flat;
    enum twins_way way;
};

/* ---- choice rows ---- */

/* Rows of what the programs read stand behind those of the model, named for
 * their variables. */
static uint32_t read_row(const struct joining *j, uint32_t new)
{
    const struct model *was = j->pair->was.model, *is = j->pair->is.model;
    uint32_t slot = 0, partner;

    while (slot < is->n_slots &&
           is->slots[slot].path != j->is->flat->choices[new].name)
        slot++;
    ENSURE(slot < is->n_slots);
    partner = j->pair->slots[slot];
    for (uint32_t i = was->n_choices;
         partner != MODEL_NONE && i < j->was->flat->n_choices; i++)
        if (j->was->flat->choices[i].name == was->slots[partner].path)
            return i;
    return MODEL_NONE;
}

static bool same_choice(const struct flat_choice *a,
                        const struct flat_choice *b)
{
    return a->count == b->count &&
           memcmp(a->values, b->values, a->count * sizeof *a->values) == 0;
}

static void join_rows(struct joining *j, const uint32_t *partner)
{
    const struct flat *was = j->was->flat, *is = j->is->flat;
    uint32_t known = j->pair->is.model->n_choices;
    struct flat_choice *choices = arena_array(
        j->arena, (size_t)was->n_choices + is->n_choices + 1,
        sizeof *choices);

    memcpy(choices, was->choices, was->n_choices * sizeof *choices);
    j->n_rows = was->n_choices;
    j->row = arena_array(j->arena, (size_t)is->n_choices + 1, sizeof *j->row);
    for (uint32_t i = 0; i < is->n_choices; i++) {
        uint32_t old = i < known ? partner[i] : read_row(j, i);

        if (old != MODEL_NONE &&
            !same_choice(&was->choices[old], &is->choices[i]))
            old = MODEL_NONE;
        j->row[i] = old != MODEL_NONE ? old : j->n_rows;
        if (old == MODEL_NONE)
            choices[j->n_rows++] = is->choices[i];
    }
    j->flat->choices = choices;
    j->flat->n_choices = j->n_rows;
}

/* ---- cells ---- */

static bool is_program_slot(const struct slot *slot)
{
    return slot->home == SLOT_PROGRAM || slot->home == SLOT_GLOBAL;
}

/* What both programs keep for themselves. */
static bool is_program_cell(const struct model *model,
                            const struct flat_cell *cell)
{
    return cell->kind == PLACE_PHASE ||
           (cell->kind == PLACE_SLOT &&
            is_program_slot(&model->slots[cell->index]));
}

/* What requirements and recorders keep. */
static bool is_judging_cell(const struct model *model,
                            const struct flat_cell *cell)
{
    switch ((enum place_kind)cell->kind) {
    case PLACE_SLOT: return model->slots[cell->index].home == SLOT_RECORDER;
    case PLACE_CLOCK_WAS: case PLACE_CLOCK_AGE: case PLACE_MONITOR_FLAG:
    case PLACE_MONITOR_AGE: case PLACE_NOTICE: case PLACE_EXCEPT_AGE:
        return true;
    default: return false;
    }
}

/* May each version have one of its own? */
static bool may_be_two(const struct joining *j, const struct flat_cell *cell)
{
    return is_program_cell(j->new, cell) ||
           (j->way == TWINS_AT_WILL && is_judging_cell(j->new, cell));
}

/* The cell of the old one that stands for the same thing, or FLAT_NONE; of a
 * program that is a guess by its name.  Expressions of the new one hold for
 * values that its own cell can have: a wider one does not stand for it. */
static uint32_t same_cell(const struct joining *j,
                          const struct flat_cell *cell)
{
    uint32_t index = cell->index;

    if (cell->kind == PLACE_SLOT)
        index = j->pair->slots[index];
    for (uint32_t i = 0; i < j->was->flat->n_cells; i++)
        if (j->was->flat->cells[i].kind == cell->kind &&
            j->was->flat->cells[i].index == index)
            return j->was->flat->cells[i].low >= cell->low &&
                           j->was->flat->cells[i].high <= cell->high
                       ? i : FLAT_NONE;
    return FLAT_NONE;
}

static void begin_cells(struct joining *j)
{
    const struct flat *is = j->is->flat;

    j->cell = arena_array(j->arena, (size_t)is->n_cells + 1, sizeof *j->cell);
    j->own = arena_array(j->arena, (size_t)is->n_cells + 1, sizeof *j->own);
    for (uint32_t i = 0; i < is->n_cells; i++) {
        j->cell[i] = same_cell(j, &is->cells[i]);
        j->own[i] = j->cell[i] == FLAT_NONE;
    }
}

static void number_cells(struct joining *j)
{
    j->n_cells = j->was->flat->n_cells;
    for (uint32_t i = 0; i < j->is->flat->n_cells; i++)
        if (j->own[i])
            j->cell[i] = j->n_cells++;
}

static flat_expr *cell_leaves(const struct joining *j)
{
    const struct flat *was = j->was->flat, *is = j->is->flat;
    flat_expr *leaf = arena_array(j->arena, (size_t)is->n_cells + 1,
                                  sizeof *leaf);

    for (uint32_t i = 0; i < is->n_cells; i++) {
        const struct flat_cell *cell =
            j->own[i] ? &is->cells[i] : &was->cells[j->cell[i]];

        leaf[i] = flat_leaf(j->was->builder, FLAT_CELL, j->cell[i],
                            cell->low, cell->high);
    }
    return leaf;
}

static flat_expr *hole_leaves(const struct joining *j)
{
    const struct flat *was = j->was->flat, *is = j->is->flat;
    flat_expr *leaf = arena_array(j->arena, (size_t)is->n_holes + 1,
                                  sizeof *leaf);

    for (uint32_t i = 0; i < is->n_holes; i++) {
        uint32_t k = 0;

        while (k < was->n_holes && (was->hole_kind[k] != is->hole_kind[i] ||
                                    was->hole_index[k] != is->hole_index[i]))
            k++;
        ENSURE(k < was->n_holes);
        leaf[i] = flat_leaf(j->was->builder, FLAT_HOLE, k, 0, 1);
    }
    return leaf;
}

static void graft(struct joining *j)
{
    const struct graft graft = {
        .from = j->is->flat, .into = j->was->builder,
        .cell = cell_leaves(j), .hole = hole_leaves(j), .choice = j->row};

    j->image = graft_nodes(j->arena, &graft);
}

/* Program variables of both that begin alike and, if they are alike, are so
 * after the next scan, are one.  Gives true when a guess was wrong. */
static bool part_cells(struct joining *j)
{
    const struct flat *was = j->was->flat, *is = j->is->flat;
    bool parted = false;

    for (uint32_t i = 0; i < is->n_cells; i++) {
        const struct flat_cell *cell = &is->cells[i];

        if (j->own[i] || !may_be_two(j, cell) ||
            (j->image[cell->next] == was->cells[j->cell[i]].next &&
             j->image[cell->initial] == was->cells[j->cell[i]].initial))
            continue;
        j->own[i] = parted = true;
    }
    return parted;
}

static size_t most_outputs(const struct joining *j)
{
    return (size_t)j->old->n_actuators + j->new->n_slots + 1;
}

/* With room for one more per output: it has differed. */
static void join_cells(struct joining *j)
{
    const struct flat *was = j->was->flat, *is = j->is->flat;
    struct flat_cell *cells = arena_array(
        j->arena, (size_t)j->n_cells + most_outputs(j), sizeof *cells);

    memcpy(cells, was->cells, was->n_cells * sizeof *cells);
    for (uint32_t i = 0; i < is->n_cells; i++) {
        struct flat_cell *cell = &cells[j->cell[i]];

        if (!j->own[i])
            continue;
        *cell = is->cells[i];
        cell->name = arena_printf(j->arena, "new %s", cell->name);
        cell->initial = j->image[cell->initial];
        cell->next = j->image[cell->next];
    }
    j->flat->cells = cells;
    j->flat->n_cells = j->n_cells;
}

/* ---- outputs ---- */

static flat_expr old_value(const struct joining *j,
                           const struct twins_output *output)
{
    return output->actuator != MODEL_NONE
               ? j->was->command[output->actuator]
               : j->was->slot_value[output->was];
}

static flat_expr new_value(const struct joining *j,
                           const struct twins_output *output)
{
    return j->image[output->actuator != MODEL_NONE
                        ? j->is->command[output->actuator]
                        : j->is->slot_value[output->is]];
}

static bool is_commanded(const struct model *model, uint32_t slot)
{
    for (uint32_t i = 0; i < model->n_actuators; i++)
        if (model->actuators[i].command == slot)
            return true;
    return false;
}

/* What one version reads of an output, or commands, counts for both. */
static const bool *drive_in_either(const struct joining *j)
{
    uint32_t n = j->old->n_actuators;
    const bool *was = driving_actuators(j->arena, j->old, j->was);
    const bool *is = driving_actuators(j->arena, j->new, j->is);
    bool *either = arena_array(j->arena, (size_t)n + 1, sizeof *either);

    for (uint32_t i = 0; i < n; i++)
        either[i] = was == NULL || is == NULL || was[i] || is[i] ||
                    (j->old->actuators[i].command == MODEL_NONE) !=
                        (j->new->actuators[i].command == MODEL_NONE);
    return either;
}

static void find_outputs(struct joining *j)
{
    const struct model *was = j->old, *is = j->new;
    struct twins_output *outputs = arena_array(
        j->arena, most_outputs(j), sizeof *outputs);
    const bool *drives = drive_in_either(j);
    uint32_t n = 0;

    for (uint32_t i = 0; i < was->n_actuators; i++)
        outputs[n++] = (struct twins_output){
            .name = was->actuators[i].name->spelling,
            .title = was->actuators[i].title, .actuator = i,
            .type = was->actuators[i].type,
            .drives = drives[i]};
    for (uint32_t i = 0; i < is->n_slots; i++) {
        uint32_t old = j->pair->slots[i];

        if (old == MODEL_NONE || !is->slots[i].output ||
            !was->slots[old].output || is_commanded(is, i) ||
            is_commanded(was, old))
            continue;
        outputs[n++] = (struct twins_output){
            .name = is->slots[i].path, .title = is->slots[i].path,
            .actuator = MODEL_NONE, .was = old, .is = i,
            .type = is->slots[i].type};
    }
    for (uint32_t i = 0; i < n; i++)
        outputs[i].identical =
            old_value(j, &outputs[i]) == new_value(j, &outputs[i]);
    j->pair->outputs = outputs;
    j->pair->n_outputs = n;
}

/* ---- watches ---- */

/* part 0: the new one is on, or higher, where the old one is not; 1: the
 * reverse. */
static flat_expr ahead(const struct joining *j,
                       const struct twins_output *output, uint32_t part)
{
    flat_expr was = old_value(j, output), is = new_value(j, output);

    return part == 0 ? flat_binary(j->was->builder, FLAT_LT, was, is)
                     : flat_binary(j->was->builder, FLAT_LT, is, was);
}

static flat_expr either_way(const struct joining *j,
                            const struct twins_output *output)
{
    return flat_binary(j->was->builder, FLAT_OR, ahead(j, output, 0),
                       ahead(j, output, 1));
}

/* Ahead where no intended difference of that output may be. */
static flat_expr beyond(const struct joining *j,
                        const struct twins_output *output, uint32_t part)
{
    struct flat_builder *b = j->was->builder;
    flat_expr left = ahead(j, output, part);

    for (uint32_t i = 0; i < j->old->n_intended; i++)
        if (j->old->intended[i].actuator == output->actuator)
            left = flat_binary(b, FLAT_AND, left,
                               flat_not(b, j->was->intended[i]));
    return left;
}

static struct flat_watch *put(struct flat_watch *at,
                              enum flat_watch_kind kind, uint32_t index,
                              uint32_t part, flat_expr condition)
{
    *at = (struct flat_watch){kind, index, part, condition};
    return at + 1;
}

static struct flat_watch *put_differences(const struct joining *j,
                                          struct flat_watch *at)
{
    const struct twins *pair = j->pair;

    for (uint32_t i = 0; i < pair->n_outputs; i++)
        for (uint32_t part = 0; part < 2; part++)
            at = put(at, WATCH_DIFFERENCE, i, part,
                     beyond(j, &pair->outputs[i], part));
    for (uint32_t i = 0; pair->n_outputs > 0 && i < j->old->n_intended;
         i++) {
        const struct twins_output *output =
            &pair->outputs[j->old->intended[i].actuator];

        at = put(at, WATCH_DIFFERENCE, pair->n_outputs + i, 0,
                 flat_binary(j->was->builder, FLAT_AND,
                             either_way(j, output), j->was->intended[i]));
    }
    return at;
}

static uint32_t partner_of(const struct model *was,
                           const struct requirement *asked)
{
    for (uint32_t i = 0; i < was->n_requirements; i++)
        if (strcasecmp(was->requirements[i].name->spelling,
                       asked->name->spelling) == 0)
            return i;
    return MODEL_NONE;
}

static flat_expr only(const struct joining *j, flat_expr one, flat_expr other)
{
    struct flat_builder *b = j->was->builder;

    return flat_binary(b, FLAT_AND, one, flat_not(b, other));
}

/* Three watches for each requirement that both have. */
static struct flat_watch *put_breaches(const struct joining *j,
                                       const struct flat_watch *first,
                                       struct flat_watch *at)
{
    const struct flat *is = j->is->flat;
    struct twins_breach *breaches = arena_array(
        j->arena, (size_t)j->new->n_requirements + 1, sizeof *breaches);

    for (uint32_t i = 0; i < j->new->n_requirements; i++) {
        uint32_t old = partner_of(j->old, &j->new->requirements[i]);
        uint32_t number = (uint32_t)(at - first);
        flat_expr was_broken, is_broken;

        breaches[i].partner = old;
        if (old == MODEL_NONE)
            continue;
        was_broken = first[j->was->breach[old]].condition;
        is_broken = j->image[is->watches[j->is->breach[i]].condition];
        breaches[i] = (struct twins_breach){
            old, j->was->breach[old], number, number + 1, number + 2};
        at = put(at, WATCH_BREACH, i, 0, is_broken);
        at = put(at, WATCH_BREACH, i, 0, only(j, was_broken, is_broken));
        at = put(at, WATCH_BREACH, i, 0, only(j, is_broken, was_broken));
    }
    j->pair->breaches = breaches;
    return at;
}

static void join_watches(struct joining *j)
{
    struct twins *pair = j->pair;
    const struct flat *was = j->was->flat;
    uint32_t n = was->n_watches, n_errors = j->new->n_errors;
    struct flat_watch *watches = arena_array(
        j->arena, (size_t)n + 3 * pair->n_outputs + j->old->n_intended +
                      n_errors + 3 * (size_t)j->new->n_requirements + 1,
        sizeof *watches);
    struct flat_watch *at = watches + n;

    memcpy(watches, was->watches, n * sizeof *watches);
    pair->difference = n;
    at = put_differences(j, at);
    pair->error = (uint32_t)(at - watches);
    for (uint32_t i = 0; i < n_errors; i++)
        if (j->is->error[i] != FLAT_NONE)
            at = put(at, WATCH_ERROR, i, 0,
                     j->image[j->is->flat->watches[j->is->error[i]]
                                  .condition]);
    pair->n_errors = (uint32_t)(at - watches) - pair->error;
    if (j->way == TWINS_AT_WILL)
        at = put_breaches(j, watches, at);
    j->flat->watches = watches;
    j->flat->n_watches = (uint32_t)(at - watches);
}

/* A path may end behind the first scan in which an output that drives the
 * machine differs, intended or not. */
static void mark_behind_difference(struct joining *j)
{
    struct twins *pair = j->pair;
    uint32_t *parted = arena_array(j->arena, (size_t)pair->n_outputs + 1,
                                   sizeof *parted);
    struct flat_cell *cells = (struct flat_cell *)j->flat->cells;
    struct flat_watch *watches = (struct flat_watch *)j->flat->watches;

    pair->parted = parted;
    for (uint32_t i = 0; i < pair->n_outputs; i++) {
        uint32_t cell = j->flat->n_cells, end = j->flat->n_watches;

        parted[i] = MODEL_NONE;
        if (!pair->outputs[i].drives || pair->outputs[i].identical)
            continue;
        j->flat->n_cells++;
        j->flat->n_watches++;
        cells[cell] = (struct flat_cell){
            .name = "parted", .kind = PLACE_KINDS, .low = 0, .high = 1,
            .unit = 1, .initial = flat_const(j->was->builder, 0),
            .next = either_way(j, &pair->outputs[i])};
        put(&watches[end], WATCH_ERROR, MODEL_NONE, 0,
            flat_leaf(j->was->builder, FLAT_CELL, cell, 0, 1));
        parted[i] = end;
    }
}

/* ---- the whole ---- */

static void join_nodes(struct joining *j)
{
    uint32_t n = flat_builder_count(j->was->builder);
    struct flat_node *nodes = arena_array(j->arena, n, sizeof *nodes);

    memcpy(nodes, flat_nodes(j->was->builder), n * sizeof *nodes);
    j->flat->nodes = nodes;
    j->flat->n_nodes = n;
}

/* The model of both, as far as studies ask for it: that of the old one with
 * all rows. */
static const struct model *model_of_both(struct joining *j)
{
    struct model *model = ARENA_NEW(j->arena, struct model);
    struct choice *choices = arena_array(j->arena, (size_t)j->n_rows + 1,
                                         sizeof *choices);
    uint32_t n = j->was->flat->n_choices;

    *model = *j->old;
    memcpy(choices, j->old->choices,
           (n < j->old->n_choices ? n : j->old->n_choices) *
               sizeof *choices);
    for (uint32_t i = j->old->n_choices; i < j->n_rows; i++)
        choices[i] = (struct choice){
            .kind = CHOICE_INPUT, .name = j->flat->choices[i].name,
            .count = j->flat->choices[i].count,
            .values = j->flat->choices[i].values,
            .rest = j->flat->choices[i].rest, .of = MODEL_NONE};
    model->choices = choices;
    model->n_choices = j->n_rows;
    return model;
}

static void make_study(struct joining *j, const struct study_setting *setting)
{
    struct study *study = &j->pair->study;
    struct lowered *lowered = ARENA_NEW(j->arena, struct lowered);

    *lowered = *j->was;
    lowered->flat = j->flat;
    study->arena = j->arena;
    study->model = model_of_both(j);
    study->setting = *setting;
    study->lowered = lowered;
    study->despites = ARENA_NEW(j->arena, struct despites);
}

static void note_rough(struct joining *j)
{
    bool *rough = arena_array(j->arena, (size_t)j->n_rows + 1, sizeof *rough);
    uint32_t n_old = j->was->flat->n_choices;

    for (uint32_t i = 0; j->was->rough != NULL && i < n_old; i++)
        rough[i] = j->was->rough[i];
    for (uint32_t i = 0;
         j->is->rough != NULL && i < j->is->flat->n_choices; i++)
        rough[j->row[i]] = rough[j->row[i]] || j->is->rough[i];
    for (uint32_t i = 0; i < j->n_rows; i++)
        j->pair->rough = j->pair->rough || rough[i];
    j->pair->rough_row = rough;
}

static void drop_assumptions(struct joining *j)
{
    uint32_t n = j->old->n_assumptions;
    bool *dropped = arena_array(j->arena, (size_t)n + 1, sizeof *dropped);

    for (uint32_t i = 0; i < n; i++)
        dropped[i] = true;
    j->pair->study.dropped = dropped;
}

/* Lowers one version; where values are to be free, again with those. */
static struct lowered *lower_one(const struct joining *j,
                                 const struct model *model,
                                 struct diags *diags)
{
    struct lowered *whole = lower_model(j->arena, model, diags), *free_one;

    if (whole == NULL || j->way == TWINS_WHOLE)
        return whole;
    free_one = lower_free(j->arena, model,
                          j->way == TWINS_READ_FREE ? LOWER_READ_FREE
                                                    : LOWER_AT_WILL,
                          whole, diags);
    lowered_free(whole);
    return free_one;
}

static bool same_machine(const struct model *was, const struct model *is,
                         enum twins_way way, const char **why)
{
    if (was->power_may_fail != is->power_may_fail)
        *why = "one of the two texts holds RETAIN and the other does not, so "
               "that power can go in one of them only\n   what to do: say in "
               "the review text, in its line POWER, whether it can";
    else if (was->n_actuators != is->n_actuators ||
             was->n_causes != is->n_causes ||
             was->n_movements != is->n_movements ||
             (way != TWINS_AT_WILL &&
              (was->n_assumptions != is->n_assumptions ||
               was->n_intended != is->n_intended)) ||
             was->scan != is->scan)
        *why = OTHER_MACHINE;
    return *why == NULL;
}

/* Has the old one a hole for each of the new one? */
static bool same_holes(const struct joining *j)
{
    const struct flat *was = j->was->flat, *is = j->is->flat;

    for (uint32_t i = 0; i < is->n_holes; i++) {
        uint32_t k = 0;

        while (k < was->n_holes && (was->hole_kind[k] != is->hole_kind[i] ||
                                    was->hole_index[k] != is->hole_index[i]))
            k++;
        if (k == was->n_holes)
            return false;
    }
    return true;
}

static void join(struct joining *j, const uint32_t *partner)
{
    *j->flat = *j->was->flat;
    join_rows(j, partner);
    begin_cells(j);
    do {
        number_cells(j);
        graft(j);
    } while (part_cells(j));
    join_cells(j);
    if (j->way != TWINS_AT_WILL)
        find_outputs(j);
    join_watches(j);
}

const char *twins_open(struct twins *pair, struct arena *arena,
                      const struct twins_asked *asked, struct diags *diags)
{
    struct joining j = {.pair = pair, .arena = arena, .way = asked->way};
    const uint32_t *partner;
    const char *why = NULL;

    memset(pair, 0, sizeof *pair);
    pair->was = asked->was;
    pair->is = asked->is;
    if (!same_machine(pair->was.model, pair->is.model, asked->way, &why))
        return why;
    pair->slots = partner_slots(arena, &pair->was, &pair->is, asked->renames);
    partner = partner_rows(arena, &pair->was, &pair->is, pair->slots);
    partner_align(arena, &pair->was.model, &pair->is.model, partner, &why);
    if (why != NULL)
        return why;
    j.old = pair->was.model;
    j.new = pair->is.model;
    j.was = lower_one(&j, j.old, diags);
    j.is = j.was == NULL ? NULL : lower_one(&j, j.new, diags);
    if (j.is == NULL) {
        lowered_free(j.was);
        return "";
    }
    if (!same_holes(&j)) {
        lowered_free(j.was);
        lowered_free(j.is);
        return OTHER_MACHINE;
    }
    j.flat = ARENA_NEW(arena, struct flat);
    join(&j, partner);
    make_study(&j, asked->setting);
    mark_behind_difference(&j);
    if (asked->way != TWINS_WHOLE)
        drop_assumptions(&j);
    join_nodes(&j);
    pair->row = j.row;
    note_rough(&j);
    lowered_free(j.is);
    pair->old_machine = machine_new(arena, j.old);
    pair->new_machine = machine_new(arena, j.new);
    return NULL;
}

void twins_close(struct twins *pair)
{
    if (pair->study.arena != NULL)
        study_close(&pair->study);
}
