#include "study/chartlist.h"

#include <string.h>
#include <strings.h>

#include "base/arena.h"
#include "base/text.h"
#include "base/vec.h"
#include "check/model.h"
#include "study/load.h"
#include "study/outputs.h"

/* ---- names ---- */

static const char *slot_name(const struct model *model, uint32_t slot)
{
    const char *path = model->slots[slot].path;
    const char *dot = strchr(path, '.');

    return model->n_programs == 1 && dot != NULL &&
                   model->slots[slot].home == SLOT_PROGRAM
               ? dot + 1 : path;
}

const char *chartlist_input_name(const struct chart *chart,
                                 const struct chart_input *input)
{
    const struct model *model = chart->model;

    if (input->kind == CHART_CONTROL)
        return model->controls[input->of].name->spelling;
    if (input->kind == CHART_SENSOR)
        return model->sensors[input->of].name->spelling;
    return slot_name(model, input->of);
}

const char *chartlist_output_name(const struct chart *chart,
                                  const struct chart_output *output)
{
    const struct model *model = chart->model;

    if (output->of.actuator != MODEL_NONE)
        return model->actuators[output->of.actuator].name->spelling;
    return slot_name(model, output->of.slot);
}

/* ---- inputs ---- */

struct inputs {
    struct chart *chart;
    VEC(struct chart_input) at;
};

static void add_positions(struct inputs *inputs, struct chart_input input)
{
    const struct choice *choice = &inputs->chart->model->choices[input.row];

    if (choice->count > CHART_POSITIONS) {
        input.position = CHART_OTHER;
        vec_push(&inputs->at, input);
        return;
    }
    input.two = choice->count == 2;
    for (uint32_t i = 0; i < choice->count; i++) {
        input.position = i;
        if (!input.two || i != choice->rest)
            vec_push(&inputs->at, input);
    }
}

/* A row of one value leaves nothing to be turned. */
static void add_row(struct inputs *inputs, uint32_t row)
{
    const struct choice *choice = &inputs->chart->model->choices[row];
    struct chart_input input = {.of = choice->of, .row = row};

    if (choice->count < 2)
        return;
    if (choice->kind == CHOICE_OPERATOR)
        input.kind = CHART_CONTROL;
    else if (choice->kind == CHOICE_INPUT)
        input.kind = CHART_FREE;
    else if (choice->kind == CHOICE_SHARED)
        input.kind = CHART_SHARED;
    else
        return;
    add_positions(inputs, input);
}

static void list_inputs(struct inputs *inputs)
{
    const struct model *model = inputs->chart->model;

    for (uint32_t i = 0; i < model->n_choices; i++)
        add_row(inputs, i);
    for (uint32_t i = 0; i < model->n_sensors; i++)
        vec_push(&inputs->at, ((struct chart_input){
            .kind = CHART_SENSOR, .of = i, .row = MODEL_NONE, .position = 1,
            .two = true}));
}

static bool has_contact(const struct model *model, uint32_t control,
                        const char *name)
{
    for (uint32_t i = 0; i < model->n_contacts; i++)
        if (model->contacts[i].control == control &&
            strcasecmp(model->contacts[i].name->spelling, name) == 0)
            return true;
    return false;
}

static bool is_named(const struct chart *chart,
                     const struct chart_input *input, const char *name)
{
    return strcasecmp(chartlist_input_name(chart, input), name) == 0 ||
           (input->kind >= CHART_FREE && input->kind <= CHART_SHARED &&
            strcasecmp(chart->model->slots[input->of].path, name) == 0) ||
           (input->kind == CHART_CONTROL &&
            has_contact(chart->model, input->of, name));
}

/* "a, b and c", each once. */
static const char *name_inputs(struct arena *arena,
                               const struct inputs *inputs)
{
    struct text list = {0};
    const char *last = "", *result;

    for (size_t i = 0; i < inputs->at.n; i++) {
        const char *name =
            chartlist_input_name(inputs->chart, &inputs->at.at[i]);

        if (strcmp(name, last) != 0)
            text_printf(&list, "%s%s", i == 0 ? "" : ", ", name);
        last = name;
    }
    result = arena_printf(arena, "%s", text_str(&list));
    text_release(&list);
    return result;
}

const char *chartlist_inputs(struct arena *arena, struct chart *chart,
                             const char *name)
{
    struct inputs inputs = {.chart = chart};
    struct chart_input *copy;
    const char *failure = NULL;
    uint32_t n = 0;

    list_inputs(&inputs);
    copy = arena_array(arena, inputs.at.n + 1, sizeof *copy);
    for (size_t i = 0; i < inputs.at.n; i++)
        if (name == NULL || is_named(chart, &inputs.at.at[i], name))
            copy[n++] = inputs.at.at[i];
    if (n == 0 && name != NULL)
        failure = arena_printf(
            arena, "'%s' is no control, sensor or free input that can stand "
                   "otherwise; there are %s",
            name, inputs.at.n == 0 ? "none" : name_inputs(arena, &inputs));
    chart->inputs = copy;
    chart->n_inputs = n;
    vec_release(&inputs.at);
    return failure;
}

/* ---- outputs ---- */

struct outputs {
    struct chart *chart;
    VEC(struct chart_output) at, left_out;
};

/* Is some input of such values looked at in ranges, or some bits of it? */
static bool is_cut(const struct model *model, bool items)
{
    for (uint32_t i = 0; i < model->n_choices; i++) {
        const struct choice *choice = &model->choices[i];

        if ((choice->cell_low != NULL || choice->bits != 0) &&
            (!items || type_base(choice->type)->kind == TYPE_ENUM))
            return true;
    }
    return false;
}

static const struct type *type_of(const struct model *model,
                                  const struct pair_output *output)
{
    return output->actuator != MODEL_NONE
               ? model->actuators[output->actuator].type
               : model->slots[output->slot].type;
}

static void add_output(struct outputs *outputs, const struct pair_output *of)
{
    const struct type *type = type_of(outputs->chart->model, of);
    struct chart_output output = {.of = *of, .type = type, .value = 1};
    const struct type *base = type_base(type);

    if (base->kind == TYPE_BOOL) {
        vec_push(&outputs->at, output);
        return;
    }
    output.value = 0;
    if (is_cut(outputs->chart->model, base->kind == TYPE_ENUM)) {
        vec_push(&outputs->left_out, output);
        return;
    }
    output.other = base->kind != TYPE_ENUM || base->count > CHART_POSITIONS;
    if (output.other) {
        vec_push(&outputs->at, output);
        return;
    }
    for (uint32_t i = 1; i < base->count; i++) {
        output.value = i;
        vec_push(&outputs->at, output);
    }
}

/* What has one value of its own; of an array or a structure each part has a
 * variable. */
static bool is_plain(const struct model *model, const struct pair_output *of)
{
    const struct type *base = type_base(type_of(model, of));

    return base->kind == TYPE_BOOL || base->kind == TYPE_ENUM ||
           base->kind == TYPE_INTEGER || base->kind == TYPE_BITS ||
           base->kind == TYPE_TIME;
}

static bool output_named(const struct chart *chart,
                         const struct chart_output *output, const char *name)
{
    return name == NULL ||
           strcasecmp(chartlist_output_name(chart, output), name) == 0 ||
           (output->of.actuator == MODEL_NONE &&
            strcasecmp(chart->model->slots[output->of.slot].path, name) == 0);
}

static const char *no_output(struct arena *arena,
                             const struct outputs *outputs, const char *name)
{
    struct text list = {0};
    const char *result;

    for (size_t i = 0; i < outputs->left_out.n; i++)
        if (output_named(outputs->chart, &outputs->left_out.at[i], name))
            return arena_printf(
                arena, "'%s' is a number, and of numbers only the ranges are "
                       "known here that the texts compare with", name);
    for (size_t i = 0; i < outputs->at.n; i++)
        text_printf(&list, "%s%s", i == 0 ? "" : ", ",
                    chartlist_output_name(outputs->chart,
                                          &outputs->at.at[i]));
    result = arena_printf(arena, "'%s' is no actuator or output; there are %s",
                          name, outputs->at.n == 0 ? "none"
                                                   : text_str(&list));
    text_release(&list);
    return result;
}

const char *chartlist_outputs(struct arena *arena, struct chart *chart,
                              const struct loaded *loaded, const char *name)
{
    const struct pair_outputs all = outputs_of(arena, loaded);
    struct outputs outputs = {.chart = chart};
    struct chart_output *copy, *left_out;
    const char *failure = NULL;
    uint32_t n = 0;

    for (uint32_t i = 0; i < all.n; i++)
        if (is_plain(chart->model, &all.at[i]))
            add_output(&outputs, &all.at[i]);
    copy = arena_array(arena, outputs.at.n + 1, sizeof *copy);
    for (size_t i = 0; i < outputs.at.n; i++)
        if (output_named(chart, &outputs.at.at[i], name))
            copy[n++] = outputs.at.at[i];
    left_out = arena_array(arena, outputs.left_out.n + 1, sizeof *left_out);
    for (size_t i = 0; i < outputs.left_out.n; i++)
        left_out[i] = outputs.left_out.at[i];
    if (n == 0 && name != NULL)
        failure = no_output(arena, &outputs, name);
    chart->outputs = copy;
    chart->n_outputs = n;
    chart->left_out = left_out;
    chart->n_left_out = name == NULL ? (uint32_t)outputs.left_out.n : 0;
    vec_release(&outputs.at);
    vec_release(&outputs.left_out);
    return failure;
}
