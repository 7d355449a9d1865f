#include "lower/will.h"

#include <stdlib.h>
#include <string.h>

#include "base/arena.h"
#include "lower/relay.h"
#include "lower/sym.h"
#include "lower/unfold.h"

enum { MOST_VALUES = 4096, MOST_TRIED = 240 };

/* ---- rows ---- */

struct rows {
    struct arena *arena;
    const struct model *model;
    const struct flat *whole;
    enum lower_way way;
    struct choice *choices; /* of the model, then further ones */
    uint32_t n;
    uint32_t *row;
    bool *rough;
};

static bool few_values(const struct type *type)
{
    return (uint64_t)type->high - (uint64_t)type->low < MOST_VALUES;
}

static int by_value(const void *a, const void *b)
{
    int64_t x = *(const int64_t *)a, y = *(const int64_t *)b;

    return (x > y) - (x < y);
}

static uint32_t without_twins(int64_t *values, uint32_t n)
{
    uint32_t kept = 0;

    qsort(values, n, sizeof *values, by_value);
    for (uint32_t i = 0; i < n; i++)
        if (kept == 0 || values[kept - 1] != values[i])
            values[kept++] = values[i];
    return kept;
}

static void try_value(const struct type *type, int64_t *values, uint32_t *n,
                      int64_t value)
{
    if (value >= type->low && value <= type->high)
        values[(*n)++] = value;
}

/* The ends of the type, and the constants of the logic with their
 * neighbours: the values at which a comparison can change. */
static const int64_t *some_values(struct rows *rows, const struct type *type,
                                  uint32_t *count)
{
    int64_t *values = arena_array(rows->arena, MOST_TRIED + 6,
                                  sizeof *values);
    uint32_t n = 0;

    try_value(type, values, &n, type->low);
    try_value(type, values, &n, type->high);
    for (uint32_t i = 0; i < rows->whole->n_nodes && n < MOST_TRIED; i++) {
        const struct flat_node *node = &rows->whole->nodes[i];

        if (node->op != FLAT_CONST || node->value <= type->low ||
            node->value >= type->high)
            continue;
        for (int64_t off = -1; off <= 1; off++)
            try_value(type, values, &n, node->value + off);
    }
    *count = without_twins(values, n);
    return values;
}

static const int64_t *all_values(struct rows *rows, const struct type *type,
                                 uint32_t *count)
{
    uint32_t n = (uint32_t)((uint64_t)type->high - (uint64_t)type->low) + 1;
    int64_t *values = arena_array(rows->arena, n, sizeof *values);

    for (uint32_t i = 0; i < n; i++)
        values[i] = type->low + i;
    *count = n;
    return values;
}

/* Are its values those that the type gives, not those of a control? */
static bool is_whole(const struct rows *rows, uint32_t row)
{
    const struct choice *choice = &rows->choices[row];

    return rows->rough[row] ||
           choice->count - 1 == (uint64_t)choice->type->high -
                                    (uint64_t)choice->type->low;
}

/* Rows of one type share their values. */
static const struct choice *like(const struct rows *rows,
                                 const struct type *type)
{
    for (uint32_t i = rows->model->n_choices; i < rows->n; i++)
        if (rows->choices[i].type == type && is_whole(rows, i))
            return &rows->choices[i];
    return NULL;
}

/* The row of the control whose position a variable reads as it is: its
 * values stand for all of them, exactly; or NULL. */
static const struct choice *position(const struct rows *rows, uint32_t slot)
{
    const struct model *model = rows->model;
    const struct slot *read = &model->slots[slot];
    const struct contact *contact;

    if (read->driver != DRIVER_CONTACT)
        return NULL;
    contact = &model->contacts[read->driver_index];
    return contact->kind == CONTACT_VALUE
               ? &model->choices[model->controls[contact->control].choice]
               : NULL;
}

static void add_row(struct rows *rows, uint32_t slot)
{
    const struct type *type = rows->model->slots[slot].type;
    const struct choice *same = position(rows, slot);

    struct choice *choice = &rows->choices[rows->n];

    if (same == NULL)
        same = like(rows, type);
    *choice = (struct choice){
        .kind = CHOICE_MACHINE, .name = rows->model->slots[slot].path,
        .of = MODEL_NONE, .type = type};
    rows->rough[rows->n] =
        !few_values(type) && position(rows, slot) == NULL;
    rows->row[slot] = rows->n++;
    if (same != NULL) {
        choice->values = same->values;
        choice->count = same->count;
    } else if (few_values(type)) {
        choice->values = all_values(rows, type, &choice->count);
    } else {
        choice->values = some_values(rows, type, &choice->count);
    }
}

/* What a text beside the programs gives its value; what is free has a row
 * already. */
static bool is_read(const struct slot *slot)
{
    return slot->input && (slot->driver == DRIVER_CONTACT ||
                           slot->driver == DRIVER_SENSOR ||
                           slot->driver == DRIVER_WIRING);
}

static bool may_be_free(const struct rows *rows, const struct slot *slot)
{
    if (rows->way == LOWER_SENSORS_HELD)
        return false;
    if (rows->way == LOWER_READ_FREE)
        return is_read(slot);
    if (slot->temp || slot->clock || slot->driver == DRIVER_FIXED)
        return false;
    if (sym_is_control(slot))
        return true;
    return rows->way == LOWER_AT_WILL && (slot->home == SLOT_ACTUATOR ||
                                          slot->home == SLOT_WIRING_OUT);
}

/* How a sensor is held; in this order. */
enum { AS_SEEN, HELD_FALSE, HELD_TRUE };

static void hold_sensors(struct rows *rows)
{
    static const int64_t ways[] = {AS_SEEN, HELD_FALSE, HELD_TRUE};

    for (uint32_t i = 0; i < rows->model->n_sensors; i++)
        rows->choices[rows->n++] = (struct choice){
            .kind = CHOICE_MACHINE,
            .name = rows->model->sensors[i].name->spelling,
            .count = sizeof ways / sizeof *ways, .values = ways,
            .of = MODEL_NONE};
}

static void begin_rows(struct rows *rows)
{
    const struct model *model = rows->model;
    uint32_t most = model->n_choices + model->n_slots + model->n_sensors;

    rows->choices = arena_array(rows->arena, most, sizeof *rows->choices);
    rows->rough = arena_array(rows->arena, most, sizeof *rows->rough);
    rows->row = arena_array(rows->arena, model->n_slots, sizeof *rows->row);
    rows->n = model->n_choices;
    if (model->n_choices > 0)
        memcpy(rows->choices, model->choices,
               model->n_choices * sizeof *rows->choices);
}

const struct will *will_new(struct arena *arena, const struct model *model,
                            enum lower_way way, const struct flat *whole)
{
    struct rows rows = {
        .arena = arena, .model = model, .whole = whole, .way = way};
    struct model *wide = ARENA_NEW(arena, struct model);
    struct will *will = ARENA_NEW(arena, struct will);

    begin_rows(&rows);
    for (uint32_t i = 0; i < model->n_slots; i++) {
        rows.row[i] = MODEL_NONE;
        if (may_be_free(&rows, &model->slots[i]))
            add_row(&rows, i);
    }
    if (way == LOWER_SENSORS_HELD)
        hold_sensors(&rows);
    *wide = *model;
    wide->choices = rows.choices;
    wide->n_choices = rows.n;
    *will = (struct will){way, wide, rows.row, rows.rough,
                          model->n_choices};
    return will;
}

/* ---- what the programs read, and whether they run ---- */

bool will_runs_programs(const struct sym *sym)
{
    return !sym->will || sym->will->way == LOWER_READ_FREE ||
           sym->will->way == LOWER_SENSORS_HELD;
}

flat_expr will_sensor(struct sym *sym, uint32_t sensor, flat_expr sees)
{
    struct flat_builder *b = sym->builder;
    flat_expr row;

    if (!sym->will || sym->will->way != LOWER_SENSORS_HELD)
        return sees;
    row = sym_choice(sym, sym->will->first_held + sensor);
    return flat_ite(b, flat_binary(b, FLAT_EQ, row, flat_const(b, AS_SEEN)),
                    sees,
                    flat_binary(b, FLAT_EQ, row, flat_const(b, HELD_TRUE)));
}

/* ---- what a text writes ---- */

/* Runs programs (or WIRING OUT) and takes everything back but the marks. */
static void mark_written(struct sym *sym, bool programs)
{
    const struct model *model = sym->model;
    size_t n = model->n_slots * sizeof *sym->preset;
    size_t mark = env_mark(&sym->env);
    struct preset *preset = arena_array(sym->arena, model->n_slots,
                                        sizeof *preset);

    if (n > 0)
        memcpy(preset, sym->preset, n);
    sym->env.written = sym->written;
    sym->silent = true;
    for (uint32_t i = 0; programs && i < model->n_programs; i++)
        unfold_program(sym, &model->programs[i]);
    if (!programs) {
        relay_begin(sym, SLOT_WIRING_OUT);
        unfold_body(sym, &model->wiring_out);
    }
    sym->silent = false;
    sym->env.written = NULL;
    (void)env_take(&sym->env, mark);
    if (n > 0)
        memcpy(sym->preset, preset, n);
}

static void set_free(struct sym *sym, uint32_t slot)
{
    uint32_t row = sym->will->row[slot];

    if (row != MODEL_NONE)
        env_set(&sym->env, slot, sym_choice(sym, row));
}

void will_inputs(struct sym *sym)
{
    if (!sym->will || sym->will->way != LOWER_READ_FREE)
        return;
    for (uint32_t i = 0; i < sym->model->n_slots; i++)
        set_free(sym, i);
}

static void give_commands(struct sym *sym)
{
    for (uint32_t i = 0; i < sym->model->n_actuators; i++) {
        uint32_t command = sym->model->actuators[i].command;

        sym->command[i] = command == MODEL_NONE
                              ? flat_const(sym->builder, 0)
                              : env_get(&sym->env, command);
    }
}

/* A command is free even where the programs leave it alone. */
static void mark_commands(struct sym *sym)
{
    const struct model *model = sym->model;

    for (uint32_t i = 0; i < model->n_actuators; i++) {
        uint32_t command = model->actuators[i].command;

        if (command != MODEL_NONE &&
            model->slots[command].driver == DRIVER_NONE)
            sym->written[command] = true;
    }
}

static void free_control(struct sym *sym)
{
    for (uint32_t i = 0; i < sym->model->n_slots; i++)
        if (sym->written[i] && sym_is_control(&sym->model->slots[i]))
            set_free(sym, i);
    give_commands(sym);
}

void will_programs(struct sym *sym)
{
    mark_written(sym, true);
    mark_commands(sym);
    free_control(sym);
}

void will_always(struct sym *sym)
{
    free_control(sym);
}

void will_actuators(struct sym *sym)
{
    const struct model *model = sym->model;

    mark_written(sym, false);
    for (uint32_t i = 0; i < model->n_slots; i++)
        if (sym->written[i] && model->slots[i].home == SLOT_WIRING_OUT)
            set_free(sym, i);
    for (uint32_t i = 0; i < model->n_actuators; i++)
        set_free(sym, model->actuators[i].slot);
}
