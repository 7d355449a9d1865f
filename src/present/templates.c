#include "present/templates.h"

#include "base/text.h"
#include "check/model.h"
#include "present/naming.h"

/* "within is T#700ms, looser than T#500ms of the template" */
static void add_limit(struct text *out, const struct used_parameter *row)
{
    text_printf(out, "%s is %s", row->name, row->words);
    switch (row->state) {
    case USED_SAME:
        text_add(out, ", as in the template");
        break;
    case USED_STRICTER:
        text_printf(out, ", stricter than %s of the template", row->own);
        break;
    case USED_LOOSER:
        text_printf(out, ", looser than %s of the template%s%s%s", row->own,
                    row->why != NULL ? " (" : "",
                    row->why != NULL ? row->why : "",
                    row->why != NULL ? ")" : "");
        break;
    case USED_GIVEN:
        break;
    }
}

static void add_reason(struct text *out, const struct used_parameter *row)
{
    if (row->because != NULL)
        text_printf(out, ", because %s, %s%s", row->because,
                    row->confirmed_by != NULL ? "confirmed by "
                                              : "not confirmed by anybody",
                    row->confirmed_by != NULL ? row->confirmed_by : "");
    else if (row->state == USED_LOOSER)
        text_add(out, ", and no reason is given: this does not count as "
                      "kept");
}

static void add_one(struct text *out, const struct used_template *used,
                    const struct sources *sources)
{
    text_printf(out, "  %s by %s%s%s (", used->name->spelling,
                used->template->spelling, used->title != NULL ? ", " : "",
                used->title != NULL ? used->title : "");
    naming_place(out, sources, used->span);
    text_printf(out, ")\n      source: %s\n", used->source);
    for (uint32_t p = 0; p < used->n_parameters; p++) {
        text_add(out, "      ");
        add_limit(out, &used->parameters[p]);
        add_reason(out, &used->parameters[p]);
        text_add(out, "\n");
    }
}

uint32_t templates_add(struct text *out, const struct model *model,
                       const struct sources *sources)
{
    if (model->n_used > 0)
        text_add(out, "Templates used\n");
    for (uint32_t i = 0; i < model->n_used; i++)
        add_one(out, &model->used[i], sources);
    return model->n_used;
}

void templates_unexplained(struct text *out, const struct model *model)
{
    for (uint32_t i = 0; i < model->n_used; i++) {
        const struct used_template *used = &model->used[i];

        for (uint32_t p = 0; p < used->n_parameters; p++) {
            const struct used_parameter *row = &used->parameters[p];

            if (row->state != USED_LOOSER || row->because != NULL)
                continue;
            text_printf(out, "%s: ", used->name->spelling);
            add_limit(out, row);
            add_reason(out, row);
            text_add(out, "\n\n");
        }
    }
}
