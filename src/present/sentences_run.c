#include "present/sentence_parts.h"

#include "check/model.h"
#include "check/pace.h"
#include "present/amount.h"
#include "present/naming.h"
#include "present/say.h"

static void add_texts(struct sentence_writer *w)
{
    const struct sources *sources = w->plainly.sources;
    uint32_t n = 0;

    text_add(&w->words, "Read were the texts ");
    for (uint32_t f = 1; f <= sources_count(sources); f++)
        if (sources_cause(sources, f).file == 0)
            text_printf(&w->words, "%s%s", n++ > 0 ? ", " : "",
                        naming_file(sources, f));
    text_add(&w->words, ".");
    sentence_end(w, NULL);
}

static void add_scan(struct sentence_writer *w)
{
    text_add(&w->words, "One scan takes ");
    amount_span(&w->words, pace_shortest(w->model), w->model->scan);
    if (pace_row(w->model) != MODEL_NONE) {
        text_add(&w->words, ", each any time of that in steps of ");
        amount_seconds(&w->words, pace_step(w->model));
    }
    text_add(&w->words, w->model->scan_assumed
                            ? " (assumed: nothing is said of it)."
                            : ".");
    sentence_end(w, NULL);
}

static void add_programs(struct sentence_writer *w)
{
    for (uint32_t i = 0; i < w->model->n_programs; i++) {
        const struct program *program = &w->model->programs[i];

        if (program->every > 1)
            text_printf(&w->words, "Of %u scans the program %s runs in one, "
                                   "first in that in which power comes.",
                        program->every, program->name->spelling);
        else
            text_printf(&w->words, "The program %s runs in every scan.",
                        program->name->spelling);
        sentence_end(w, NULL);
    }
}

static void add_power(struct sentence_writer *w)
{
    const struct model *model = w->model;

    if (model->power_may_fail) {
        text_add(&w->words, "Power may go between any two scans and return "
                            "later.");
    } else {
        text_add(&w->words, "Power is assumed to stay");
        sentence_reason(w, model->power_because, model->power_confirmed_by);
    }
    sentence_end(w, NULL);
    if (!model->retain_any)
        return;
    text_add(&w->words, "What is kept without power may have any value when "
                        "power comes for the first time.");
    sentence_end(w, NULL);
}

static void add_fixed(struct sentence_writer *w)
{
    for (uint32_t i = 0; i < w->model->n_fixed; i++) {
        const struct fixed *fixed = &w->model->fixed[i];
        const struct slot *slot = &w->model->slots[fixed->slot];

        if (fixed->constant || fixed->held)
            continue;
        naming_slot(&w->words, w->model, fixed->slot);
        text_add(&w->words, " is assumed to be ");
        say_value(&w->words, slot->type, slot->initial);
        text_add(&w->words, " for good");
        sentence_reason(w, fixed->because, fixed->confirmed_by);
        sentence_end(w, NULL);
    }
}

/* Nobody says anything of it, or others write it too. */
static void add_free(struct sentence_writer *w, enum choice_kind kind,
                     const char *words)
{
    for (uint32_t i = 0; i < w->model->n_choices; i++) {
        const struct choice *choice = &w->model->choices[i];

        if (choice->kind != kind)
            continue;
        naming_slot(&w->words, w->model, choice->of);
        text_add(&w->words, words);
        sentence_end(w, NULL);
    }
}

static void add_unknown(struct sentence_writer *w)
{
    for (uint32_t i = 0; i < w->model->n_unknown; i++) {
        const struct unknown *unknown = &w->model->unknown[i];

        text_printf(&w->words, "What %s does is not known, it has no text: "
                               "whatever it gives may be anything at every "
                               "call", unknown->name->spelling);
        sentence_reason(w, unknown->because, unknown->confirmed_by);
        sentence_end(w, NULL);
    }
}

static void add_setting(struct sentence_writer *w, enum setting_kind kind)
{
    const struct setting *setting = &w->model->settings[kind];

    if (setting->any) {
        text_add(&w->words, "It is not known which, and each is tried: ");
        for (uint32_t i = 0; i < setting_choices(kind); i++)
            text_printf(&w->words, "%s%s", i > 0 ? "; or " : "",
                        setting_says(kind, i));
    } else {
        text_printf(&w->words, "In this controller %s",
                    setting_says(kind, setting->value));
    }
    if (setting->because != NULL)
        text_printf(&w->words, ", because %s", setting->because);
    if (setting->observed_by != NULL)
        text_printf(&w->words, "; observed by %s.", setting->observed_by);
    else
        text_add(&w->words, setting->any ? "." : "; assumed, not observed.");
    sentence_end(w, NULL);
}

static void add_controller(struct sentence_writer *w)
{
    if (w->model->controller_said && w->model->controller != NULL) {
        text_printf(&w->words, "The controller is %s.",
                    w->model->controller);
        sentence_end(w, NULL);
    }
    for (int kind = 0; kind < SETTING_KINDS; kind++)
        if (w->model->settings[kind].said)
            add_setting(w, (enum setting_kind)kind);
}

void sentences_of_run(struct sentence_writer *w)
{
    add_texts(w);
    add_scan(w);
    add_programs(w);
    add_power(w);
    add_controller(w);
    add_unknown(w);
    sentence_group_end(w, "What runs, and how");
    add_fixed(w);
    add_free(w, CHOICE_SHARED, " is written by others too: before each scan "
                               "it may be anything.");
    add_free(w, CHOICE_INPUT, " is described by nothing: in each scan it may "
                              "be anything.");
    sentence_group_end(w, "What else is read");
}
