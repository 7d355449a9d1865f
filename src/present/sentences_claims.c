#include "present/sentence_parts.h"

#include "check/model.h"

void sentences_of_hazards(struct sentence_writer *w)
{
    for (uint32_t i = 0; i < w->model->n_hazards; i++) {
        const struct hazard *hazard = &w->model->hazards[i];
        uint32_t n = 0;

        text_printf(&w->words, "%s. Against it: ", hazard->title);
        for (uint32_t r = 0; r < w->model->n_requirements; r++) {
            const struct requirement *of = &w->model->requirements[r];

            for (uint32_t h = 0; h < of->n_hazards; h++)
                if (of->hazards[h] == i)
                    text_printf(&w->words, "%s%s", n++ > 0 ? ", " : "",
                                of->name->spelling);
        }
        text_add(&w->words, n == 0 ? "no requirement." : ".");
        sentence_end(w, hazard->name);
    }
    sentence_group_end(w, "What may happen to people");
}

/* ---- templates ---- */

static const char *stands_to_template(const struct used_parameter *row)
{
    switch (row->state) {
    case USED_SAME: return ", as in the template";
    case USED_STRICTER: return ", stricter than in the template";
    case USED_LOOSER: return ", looser than in the template";
    case USED_GIVEN: break;
    }
    return "";
}

static void add_parameter(struct sentence_writer *w,
                          const struct used_parameter *row)
{
    text_printf(&w->words, " For %s stands `%s`%s",
                row->title != NULL ? row->title : row->name, row->words,
                stands_to_template(row));
    if (row->because != NULL || row->state == USED_LOOSER)
        sentence_reason(w, row->because, row->confirmed_by);
    else
        text_add(&w->words, ".");
}

static void add_used(struct sentence_writer *w,
                     const struct used_template *used)
{
    text_printf(&w->words, "Requirements whose names begin with %s are made "
                           "by the template %s%s%s; source: %s.",
                used->name->spelling, used->template->spelling,
                used->title != NULL ? ", " : "",
                used->title != NULL ? used->title : "", used->source);
    for (uint32_t p = 0; p < used->n_parameters; p++)
        add_parameter(w, &used->parameters[p]);
    sentence_end(w, used->name);
}

/* ---- what may differ, what was accepted ---- */

static void add_intended(struct sentence_writer *w,
                         const struct intended *intended)
{
    text_printf(&w->words, "%s: beside another version of the control text, "
                           "%s may differ while ", intended->title,
                w->model->actuators[intended->actuator].title);
    plainly_condition(&w->plainly, intended->condition, true);
    text_add(&w->words, ".");
    sentence_end(w, intended->name);
}

static void add_accepted(struct sentence_writer *w, const char *what,
                         const char *on, const char *at)
{
    text_printf(&w->words, "Accepted is %s in %s", what, on);
    if (at != NULL)
        text_printf(&w->words, " at `%s`", at);
}

void sentences_of_claims(struct sentence_writer *w)
{
    const struct model *model = w->model;

    for (uint32_t i = 0; i < model->n_used; i++)
        add_used(w, &model->used[i]);
    sentence_group_end(w, "Where requirements come from");
    for (uint32_t i = 0; i < model->n_intended; i++)
        add_intended(w, &model->intended[i]);
    sentence_group_end(w, "Where two versions may differ");
    for (uint32_t i = 0; i < model->n_acceptances; i++) {
        const struct acceptance *of = &model->acceptances[i];

        add_accepted(w, remark_name(of->kind), of->subject, of->words);
        sentence_reason(w, of->because, of->confirmed_by);
        sentence_end(w, NULL);
    }
    for (uint32_t i = 0; i < model->n_harmless; i++) {
        const struct harmless *of = &model->harmless[i];

        add_accepted(w, "that no requirement notices a change", of->part,
                     of->words);
        sentence_reason(w, of->because, of->confirmed_by);
        sentence_end(w, NULL);
    }
    sentence_group_end(w, "What was accepted");
}
