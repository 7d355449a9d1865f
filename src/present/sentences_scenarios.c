#include "present/sentence_parts.h"

#include "check/model.h"
#include "present/amount.h"
#include "present/naming.h"
#include "present/say.h"

static void say_hand(struct sentence_writer *w, const struct choice *choice,
                     int64_t value)
{
    const struct control *control = &w->model->controls[choice->of];

    if (control->type->kind == TYPE_BOOL) {
        text_printf(&w->words, "%s %s%s", control->title,
                    value != 0 ? "" : "no longer ",
                    naming_operated(control->kind));
        return;
    }
    text_printf(&w->words, "%s at ", control->title);
    say_value(&w->words, control->type, value);
}

static void say_row(struct sentence_writer *w, const struct play_step *step)
{
    const struct choice *choice = &w->model->choices[step->row];

    if (choice->kind == CHOICE_OPERATOR) {
        say_hand(w, choice, step->value);
        return;
    }
    text_printf(&w->words, "%s ", choice->name);
    say_value(&w->words, choice->type, step->value);
}

static void say_move(struct sentence_writer *w, const struct play_step *step)
{
    naming_slot(&w->words, w->model, step->row);
    text_add(&w->words, " goes to ");
    say_value(&w->words, w->model->slots[step->row].type, step->value);
}

static void say_wait(struct sentence_writer *w, const struct play_step *step)
{
    amount_of(&w->words, (uint64_t)step->value, "scan");
}

static void say_why(struct sentence_writer *w, const struct play_step *step)
{
    if (step->why != NULL)
        text_printf(&w->words, " (%s)", step->why);
}

static void say_step(struct sentence_writer *w, const struct play_step *step)
{
    switch (step->kind) {
    case PLAY_INPUT: say_row(w, step); break;
    case PLAY_START:
        text_add(&w->words, "at the start ");
        say_row(w, step);
        break;
    case PLAY_FAULT:
        text_printf(&w->words, "fault %s appears",
                    w->model->faults[step->row].name->spelling);
        break;
    case PLAY_MOVE: say_move(w, step); break;
    case PLAY_PACE:
        text_add(&w->words, "from now on a scan takes ");
        amount_seconds(&w->words, step->value);
        break;
    case PLAY_POWER:
        text_add(&w->words, step->value != 0 ? "power returns"
                                             : "power goes");
        break;
    case PLAY_WAIT: say_wait(w, step); break;
    case PLAY_EXPECT:
        text_add(&w->words, "expected: ");
        plainly_condition(&w->plainly, step->expected, true);
        say_why(w, step);
        break;
    case PLAY_BROKEN:
        text_printf(&w->words, "expected: %s is broken",
                    w->model->requirements[step->row].name->spelling);
        say_why(w, step);
        break;
    }
}

void sentences_of_scenarios(struct sentence_writer *w)
{
    for (uint32_t i = 0; i < w->model->n_scenarios; i++) {
        const struct scenario *scenario = &w->model->scenarios[i];

        text_printf(&w->words, "%s. Played, one after the other: ",
                    scenario->title);
        for (uint32_t s = 0; s < scenario->n_steps; s++) {
            text_add(&w->words, s > 0 ? "; " : "");
            say_step(w, &scenario->steps[s]);
        }
        text_add(&w->words, ".");
        sentence_end(w, scenario->name);
    }
    sentence_group_end(w, "What was played, and what is expected");
}
