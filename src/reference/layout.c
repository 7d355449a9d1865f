#include "reference/layout.h"

#include "base/arena.h"
#include "base/ensure.h"
#include "check/pace.h"
#include "reference/walk.h"

/* What the walk over the text gathers. */
struct findings {
    const struct model *model;
    bool *hand_kept, *command_kept, *slot_past;
    int64_t longest;
    bool beyond;        /* ET may go beyond PT */
    bool time_computed; /* a TIME that is stored comes from arithmetic */
    uint32_t args;
};

static bool shows_beyond(const struct model *model)
{
    const struct setting *setting = &model->settings[SETTING_ELAPSED];

    return setting->touched &&
           (setting->any || setting->value != ELAPSED_PRESET);
}

static void longer(struct findings *found, int64_t value)
{
    if (value > found->longest)
        found->longest = value;
}

static void note_past(struct findings *found, const struct code_expr *expr)
{
    switch (expr->op) {
    case CODE_HAND:
        found->hand_kept[expr->index] = true;
        break;
    case CODE_CONTACT:
        found->hand_kept[found->model->contacts[expr->index].control] = true;
        break;
    case CODE_COMMANDED:
        found->command_kept[expr->index] = true;
        break;
    case CODE_READ:
        found->slot_past[expr->index] = true;
        break;
    case CODE_VARIABLE:
        for (uint32_t i = 0; i < code_reach(&expr->variable, 1); i++)
            found->slot_past[expr->variable.index + i] = true;
        break;
    default:
        break;
    }
}

static bool is_arithmetic(const struct code_expr *expr)
{
    return expr->op == CODE_NEGATE || expr->op == CODE_ADD ||
           expr->op == CODE_SUB || expr->op == CODE_MUL ||
           expr->op == CODE_DIV || expr->op == CODE_MOD ||
           expr->op == CODE_CONVERT;
}

static void note_expr(void *context, const struct code_expr *expr,
                      bool in_review)
{
    struct findings *found = context;

    if (in_review && expr->when != CODE_NOW)
        note_past(found, expr);
    if (in_review && found->beyond && is_arithmetic(expr) &&
        expr->left->type->kind == TYPE_TIME)
        found->time_computed = true; /* a scenario may look at any ET */
    if (expr->op == CODE_CONST && expr->type->kind == TYPE_TIME)
        longer(found, expr->value);
}

/* A function hands on what its arguments are. */
static bool is_computed(const struct code_expr *expr)
{
    for (uint32_t i = 0; expr->op == CODE_STANDARD && i < expr->n_args; i++)
        if (is_computed(expr->args[i].value))
            return true;
    return is_arithmetic(expr);
}

static void note_stored(void *context, const struct code_expr *value)
{
    struct findings *found = context;

    found->args += 1 + value->type->size;
    if (value->type->kind == TYPE_TIME && is_computed(value))
        found->time_computed = true;
}

/* Recursion is refused: a place of the text is being run once at a time. */
static void note_called(void *context, const struct code_pou *pou)
{
    struct findings *found = context;

    found->args += pou->n_in_out;
}

/* A PT is a constant, an initial value, a choice, elapsed, or an ET, which is
 * never longer than its PT or tells no more; sums are not followed. */
static void note_tables(struct findings *found)
{
    const struct model *model = found->model;

    longer(found, model->scan);
    for (uint32_t i = 0; i < model->n_slots; i++) {
        longer(found, model->slots[i].told);
        if (model->slots[i].type && model->slots[i].type->kind == TYPE_TIME)
            longer(found, model->slots[i].initial);
    }
    for (uint32_t i = 0; i < model->n_choices; i++) {
        const struct choice *choice = &model->choices[i];

        if (!choice->type || choice->type->kind != TYPE_TIME)
            continue;
        for (uint32_t k = 0; k < choice->count; k++)
            longer(found, choice->values[k]);
    }
}

/* Whole scans, or steps of scans, and one more. */
static int64_t saturation(const struct findings *found)
{
    int64_t step = pace_step(found->model);

    ENSURE(step > 0);
    if (found->time_computed)
        return INT64_MAX;
    return ((found->longest + step - 1) / step + 1) * step;
}

static bool *keep_slots(struct arena *arena, const struct findings *found)
{
    const struct model *model = found->model;
    bool *kept = arena_array(arena, model->n_slots, sizeof *kept);

    for (uint32_t i = 0; i < model->n_slots; i++) {
        const struct slot *slot = &model->slots[i];
        bool sampled = slot->driver == DRIVER_CONTACT ||
                       slot->driver == DRIVER_SENSOR ||
                       slot->driver == DRIVER_CHOICE;

        kept[i] = !sampled || pace_sampler(model, i) != MODEL_NONE ||
                  slot->retain || found->slot_past[i];
    }
    return kept;
}

static void place_words(struct layout *layout, const struct model *model)
{
    const uint32_t count[PLACE_KINDS] = {
        [PLACE_SLOT] = model->n_slots,
        [PLACE_HAND_LAST] = model->n_controls,
        [PLACE_CONTACT_LAST] = model->n_contacts,
        [PLACE_SENSOR_LAST] = model->n_sensors,
        [PLACE_COMMANDED_LAST] = model->n_actuators,
        [PLACE_FAULT] = model->n_faults,
        [PLACE_CAUSE] = model->n_causes,
        [PLACE_WAS_DARK] = 1,
        [PLACE_MOVE_TOTAL] = model->n_movements,
        [PLACE_MOVE_UNBROKEN] = model->n_movements,
        [PLACE_CLOCK_WAS] = model->n_clocks,
        [PLACE_CLOCK_AGE] = model->n_clocks,
        [PLACE_MONITOR_FLAG] = model->n_requirements,
        [PLACE_MONITOR_AGE] = model->n_requirements,
        [PLACE_PHASE] = model->n_programs,
        [PLACE_NOTICE] = model->noticing.demand ? NOTICE_MEMORIES : 0,
        [PLACE_EXCEPT_AGE] = model->n_requirements,
    };

    for (int kind = 0; kind < PLACE_KINDS; kind++) {
        layout->at[kind] = layout->words;
        layout->words += count[kind];
    }
}

const struct layout *layout_new(struct arena *arena,
                                const struct model *model)
{
    struct layout *layout = ARENA_NEW(arena, struct layout);
    struct findings found = {.model = model, .beyond = shows_beyond(model)};
    struct walk walk = {note_expr, note_stored, note_called, &found};

    found.hand_kept = arena_array(arena, model->n_controls, sizeof(bool));
    found.command_kept = arena_array(arena, model->n_actuators, sizeof(bool));
    found.slot_past = arena_array(arena, model->n_slots, sizeof(bool));
    walk_model(arena, model, &walk);
    note_tables(&found);
    place_words(layout, model);
    layout->hand_kept = found.hand_kept;
    layout->command_kept = found.command_kept;
    layout->slot_kept = keep_slots(arena, &found);
    layout->beyond = found.beyond;
    layout->longest = saturation(&found);
    layout->most_args = found.args;
    return layout;
}

uint32_t layout_word(const struct layout *layout, struct place_id place)
{
    return layout_at(layout, place.kind, place.index);
}

uint32_t layout_at(const struct layout *layout, enum place_kind kind,
                   uint32_t index)
{
    uint32_t word = layout->at[kind] + index;

    ENSURE(word < (kind + 1 < PLACE_KINDS ? layout->at[kind + 1]
                                          : layout->words));
    return word;
}
