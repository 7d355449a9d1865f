#include "present/sentences.h"

#include <string.h>

#include "base/arena.h"
#include "base/text.h"
#include "base/vec.h"
#include "check/model.h"
#include "present/formwords.h"
#include "present/machinewords.h"
#include "present/plainly.h"
#include "present/sentence_parts.h"
#include "present/signalwords.h"

/* ---- groups ---- */

static void add_signals(struct sentence_writer *w)
{
    const struct model *model = w->model;

    for (uint32_t i = 0; i < model->n_controls; i++) {
        signalwords_control(&w->plainly, &model->controls[i]);
        sentence_end(w, model->controls[i].name);
    }
    sentence_group_end(w, "What people operate");
    for (uint32_t i = 0; i < model->n_sensors; i++) {
        signalwords_sensor(&w->plainly, &model->sensors[i]);
        sentence_end(w, model->sensors[i].name);
    }
    sentence_group_end(w, "What the control sees of the machine");
    for (uint32_t i = 0; i < model->n_actuators; i++) {
        signalwords_actuator(&w->plainly, &model->actuators[i]);
        sentence_end(w, model->actuators[i].name);
    }
    sentence_group_end(w, "What the control moves and lights");
}

static void add_body(struct sentence_writer *w, const struct body *body)
{
    for (uint32_t i = 0; i < body->n_stmts; i++) {
        machinewords_statement(&w->plainly, &body->stmts[i]);
        sentence_end(w, body->name);
    }
}

static void add_machine(struct sentence_writer *w)
{
    const struct model *model = w->model;

    for (uint32_t s = 0; s < model->n_slots; s++)
        if (machinewords_begins(&w->plainly, s))
            sentence_end(w, NULL);
    for (uint32_t i = 0; i < model->n_movements; i++) {
        machinewords_movement(&w->plainly, &model->movements[i]);
        sentence_end(w, NULL);
    }
    for (uint32_t i = 0; i < model->n_mechanisms; i++)
        add_body(w, &model->mechanisms[i]);
    sentence_group_end(w, "What the machine does");
}

static void add_assumptions(struct sentence_writer *w)
{
    for (uint32_t a = 0; a < w->model->n_assumptions; a++) {
        const struct assumption *assumption = &w->model->assumptions[a];

        if (assumption->name == NULL)
            continue;
        text_printf(&w->words, "%s: it is assumed of every moment: ",
                    assumption->title);
        plainly_condition(&w->plainly, assumption->condition, true);
        sentence_reason(w, assumption->because, assumption->confirmed_by);
        sentence_end(w, assumption->name);
    }
    sentence_group_end(w, "What is assumed");
}

static void add_hazards(struct sentence_writer *w, const struct requirement *r)
{
    for (uint32_t h = 0; h < r->n_hazards; h++)
        text_printf(&w->words, "%s%s", h == 0 ? " Against: " : ", ",
                    w->model->hazards[r->hazards[h]].title);
    if (r->n_hazards > 0)
        text_add(&w->words, ".");
    if (r->refers_to == NULL)
        return;
    text_printf(&w->words, " It refers to: %s; ", r->refers_to);
    if (r->read_by != NULL)
        text_printf(&w->words, "read by %s.", r->read_by);
    else
        text_add(&w->words, "clause not checked against the text in force.");
}

static void add_requirements(struct sentence_writer *w)
{
    for (uint32_t i = 0; i < w->model->n_requirements; i++) {
        const struct requirement *r = &w->model->requirements[i];

        text_printf(&w->words, "%s. ", r->title);
        formwords_add(&w->plainly, r);
        add_hazards(w, r);
        sentence_end(w, r->name);
    }
    sentence_group_end(w, "What is required");
}

static void add_wired(struct sentence_writer *w, const struct body *wiring)
{
    for (uint32_t i = 0; i < wiring->n_stmts; i++) {
        machinewords_wiring(&w->plainly, wiring, i);
        sentence_end(w, NULL);
    }
}

static void add_wiring(struct sentence_writer *w)
{
    add_wired(w, &w->model->wiring_in);
    sentence_group_end(w, "What lies between the controls and the program");
    add_wired(w, &w->model->wiring_out);
    sentence_group_end(w, "What lies between the program and what it moves");
}

static void add_recorders(struct sentence_writer *w)
{
    for (uint32_t i = 0; i < w->model->n_recorders; i++)
        add_body(w, &w->model->recorders[i]);
    sentence_group_end(w, "What is recorded for the requirements");
}

const struct sentence_group *sentences_make(struct arena *arena,
                                            const struct model *model,
                                            const struct sources *sources,
                                            uint32_t *n)
{
    struct sentence_writer w = {.arena = arena, .model = model};
    struct sentence_group *groups;

    w.plainly = (struct plainly){&w.words, model, sources};
    sentences_of_run(&w);
    add_signals(&w);
    add_wiring(&w);
    add_machine(&w);
    add_assumptions(&w);
    sentences_of_faults(&w);
    sentences_of_hazards(&w);
    add_recorders(&w);
    add_requirements(&w);
    sentences_of_claims(&w);
    sentences_of_scenarios(&w);
    *n = (uint32_t)w.groups.n;
    groups = arena_array(arena, w.groups.n + 1, sizeof *groups);
    memcpy(groups, w.groups.at, w.groups.n * sizeof *groups);
    vec_release(&w.at);
    vec_release(&w.groups);
    text_release(&w.words);
    return groups;
}

const char *sentences_requirement(struct arena *arena,
                                  const struct model *model,
                                  const struct sources *sources,
                                  const struct requirement *requirement)
{
    struct text words = {0};
    const struct plainly plainly = {&words, model, sources};
    const char *kept_words;

    formwords_add(&plainly, requirement);
    kept_words = arena_copy(arena, text_str(&words), words.n);
    text_release(&words);
    return kept_words;
}
