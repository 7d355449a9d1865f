#include <inttypes.h>

#include "base/text.h"
#include "check/model.h"
#include "check/pace.h"
#include "present/byhandwords.h"
#include "present/say.h"
#include "present/sheetphrases.h"
#include "present/testsheetwords.h"
#include "study/testsheet.h"

struct script {
    struct text *out;
    const struct testsheet *sheet;
    const struct words *words;
};

static void add_wait(const struct script *s, uint32_t scans)
{
    if (scans > 0)
        text_printf(s->out, "    WAIT T#%" PRId64 "ms;\n",
                    scans * s->sheet->model->scan);
}

/* ---- where it begins ---- */

static void add_start(const struct script *s,
                      const struct hand_sequence *sequence, uint32_t start)
{
    const struct model *model = s->sheet->model;

    for (uint32_t i = 0; i < model->n_choices; i++) {
        const struct choice *choice = &model->choices[i];
        uint32_t index = start < choice->count ? start : choice->count - 1;
        int64_t value = choice->values[index];

        if (choice->kind != CHOICE_START ||
            model->slots[choice->of].home == SLOT_SETTING)
            continue;
        for (uint32_t k = 0; k < sequence->n_places; k++)
            if (model->movements[sequence->places[k].movement].slot ==
                choice->of)
                value = sequence->places[k].at;
        text_printf(s->out, "    START %s AT ", choice->name);
        say_value(s->out, choice->type,
                  value);
        text_add(s->out, ";\n");
    }
}

/* ---- steps ---- */

static void add_change(const struct script *s,
                       const struct hand_change *change)
{
    const struct control *control =
        &s->sheet->model->controls[change->control];
    const struct choice *choice = &s->sheet->model->choices[control->choice];
    int64_t value = choice->values[change->to];

    if (control->type->kind == TYPE_BOOL) {
        text_printf(s->out, "    %s %s;\n", value != 0 ? "HOLD" : "RELEASE",
                    choice->name);
        return;
    }
    text_printf(s->out, control->kind == SIGNAL_SELECTOR ? "    TURN %s TO "
                                                         : "    SET %s := ",
                choice->name);
    say_value(s->out, control->type, value);
    text_add(s->out, ";\n");
}

/* Scans of a step from one to before another, with what the machine did in
 * them. */
static void add_scans(const struct script *s,
                      const struct handplay_step *played, uint32_t from,
                      uint32_t to)
{
    uint32_t done = from;

    for (uint32_t i = 0; i < played->n_moves; i++) {
        const struct handplay_move *move = &played->moves[i];

        if (move->scan < from || move->scan >= to)
            continue;
        add_wait(s, move->scan - done);
        done = move->scan;
        text_printf(s->out, "    MOVE %s TO ",
                    s->sheet->model->slots[move->slot].path);
        say_value(s->out, s->sheet->model->slots[move->slot].type, move->to);
        text_add(s->out, ";\n");
    }
    add_wait(s, to - done);
}

static void add_expected(const struct script *s, const struct hand_step *step)
{
    const struct model *model = s->sheet->model;

    for (uint32_t i = 0; i < model->n_actuators; i++) {
        const struct actuator *actuator = &model->actuators[i];

        if (!step->expected[i].sure)
            continue;
        if (actuator->type->kind == TYPE_BOOL) {
            text_printf(s->out, "    EXPECT %s%s;\n",
                        step->expected[i].value != 0 ? "" : "NOT ",
                        actuator->name->spelling);
            continue;
        }
        text_printf(s->out, "    EXPECT %s = ", actuator->name->spelling);
        say_value(s->out, actuator->type, step->expected[i].value);
        text_add(s->out, ";\n");
    }
}

static void add_step(const struct script *s, const struct hand_step *step,
                     const struct handplay_step *played)
{
    if (step->power)
        text_add(s->out, "    POWER OFF;\n");
    for (uint32_t i = 0; i < step->n_changes; i++)
        add_change(s, &step->changes[i]);
    if (step->power) {
        add_scans(s, played, 0, played->n_dark);
        text_add(s->out, "    POWER ON;\n");
    }
    add_scans(s, played, played->n_dark, played->n_scans);
    if (played->n_scans > 0)
        add_expected(s, step);
}

/* A title between single quotes; those within it are written as $'. */
static void add_title(const struct script *s, uint32_t number)
{
    struct text title = {0};

    sheetphrases_number(&title, s->words, "scenario", number);
    text_add(s->out, "'");
    for (size_t i = 0; i < title.n; i++) {
        if (title.at[i] == '\'' || title.at[i] == '$')
            text_add_char(s->out, '$');
        text_add_char(s->out, title.at[i]);
    }
    text_add(s->out, "'\n");
    text_release(&title);
}

static void add_scenario(const struct script *s, uint32_t number)
{
    const struct hand_sequence *sequence = &s->sheet->sequences[number];
    const struct handplay *played = &s->sheet->played[number];

    text_printf(s->out, "  SCENARIO Sheet%u ", number + 1);
    add_title(s, number + 1);
    add_start(s, sequence, s->sheet->start[number]);
    add_wait(s, played->rest_scans);
    for (uint32_t k = 0; k < sequence->n_steps; k++)
        add_step(s, &sequence->steps[k], &played->steps[k]);
    text_add(s->out, "  END_SCENARIO\n\n");
}

void testsheetwords_scenarios(struct text *out,
                              const struct byhand_view *view)
{
    const struct script script = {out, view->sheet, view->words};

    for (uint32_t i = 0; i < view->sheet->n_sequences; i++)
        add_scenario(&script, i);
}
