#include "present/byhandwords.h"

#include <inttypes.h>
#include <string.h>

#include "base/text.h"
#include "check/decision.h"
#include "check/model.h"
#include "present/naming.h"
#include "present/say.h"
#include "present/sheetphrases.h"
#include "source/source.h"
#include "study/testsheet.h"

/* ---- what is done ---- */

void byhandwords_station(struct text *out, const struct byhand_view *view,
                         const struct hand_step *step)
{
    const char *before = NULL;

    for (uint32_t i = 0; i < step->n_changes; i++) {
        const struct control *control =
            &view->sheet->model->controls[step->changes[i].control];
        const char *place = control->place != NULL ? control->place : "";

        if (before != NULL && strcmp(before, place) == 0)
            continue;
        text_printf(out, "%s%s", before != NULL ? " + " : "", place);
        before = place;
    }
}

static const char *bool_action(const struct control *control, bool on)
{
    switch (control->kind) {
    case SIGNAL_STOP:
        if (control->latching)
            return on ? "press_latching" : "unlatch";
        return on ? "press" : "let_out";
    case SIGNAL_SWITCH:
        return on ? "switch_on" : "switch_off";
    default:
        return !on ? "let_go" : control->latching ? "hold_latching" : "hold";
    }
}

const char *byhandwords_action(const struct model *model,
                               const struct hand_change *change,
                               struct text *value)
{
    const struct control *control = &model->controls[change->control];
    int64_t to = model->choices[control->choice].values[change->to];

    if (control->type->kind == TYPE_BOOL)
        return bool_action(control, to != 0);
    say_value(value, control->type, to);
    return control->kind == SIGNAL_SELECTOR ? "turn" : "set";
}

static void say_change(struct text *out, const struct byhand_view *view,
                       const struct hand_change *change)
{
    const struct model *model = view->sheet->model;
    struct text value = {0};
    const char *key = byhandwords_action(model, change, &value);

    sheetphrases_put(out, view->words, key,
                     model->controls[change->control].title,
                     text_str(&value));
    text_release(&value);
}

static void say_together(struct text *out, const struct byhand_view *view,
                         const struct hand_step *step)
{
    struct text first = {0}, second = {0}, both = {0};

    say_change(&first, view, &step->changes[0]);
    say_change(&second, view, &step->changes[1]);
    sheetphrases_put(&both, view->words, "and", text_str(&first),
                     text_str(&second));
    text_clear(&first);
    sheetphrases_seconds(&first, view->words, HAND_APART_MS);
    sheetphrases_put(out, view->words, "together_within", text_str(&both),
                     text_str(&first));
    text_release(&first);
    text_release(&second);
    text_release(&both);
}

void byhandwords_return(struct text *out, const struct byhand_view *view,
                        const struct hand_step *step)
{
    struct text first = {0}, second = {0}, both = {0};

    say_change(&first, view, &step->changes[0]);
    if (step->n_changes == 2) {
        say_change(&second, view, &step->changes[1]);
        sheetphrases_put(&both, view->words, "and", text_str(&first),
                         text_str(&second));
    } else {
        text_add(&both, text_str(&first));
    }
    text_clear(&second);
    text_printf(&second, "%d", HAND_DARK_S);
    sheetphrases_put(out, view->words, "power_return", text_str(&both),
                     text_str(&second));
    text_release(&first);
    text_release(&second);
    text_release(&both);
}

void byhandwords_do(struct text *out, const struct byhand_view *view,
                    const struct hand_step *step)
{
    if (step->power)
        byhandwords_return(out, view, step);
    else if (step->n_changes == 1)
        say_change(out, view, &step->changes[0]);
    else if (step->n_changes == 2)
        say_together(out, view, step);
}

void byhandwords_where(struct text *out, const struct model *model,
                       uint32_t movement, int64_t value)
{
    uint32_t slot = model->movements[movement].slot;

    text_printf(out, "%s = ", model->slots[slot].path);
    say_value(out, model->slots[slot].type, value);
}

void byhandwords_wait(struct text *out, const struct byhand_view *view,
                      const struct hand_step *step)
{
    struct text where = {0}, seconds = {0};

    if (step->seconds > 0) {
        sheetphrases_number(out, view->words, "wait_look", step->seconds);
        return;
    }
    byhandwords_where(&where, view->sheet->model, step->movement, step->seen);
    sheetphrases_seconds(&seconds, view->words, HAND_REACTION_MS);
    sheetphrases_put(out, view->words, "wait_seen_look", text_str(&where),
                     text_str(&seconds));
    text_release(&where);
    text_release(&seconds);
}

/* ---- what is seen ---- */

static bool is_bool(const struct actuator *actuator)
{
    return actuator->type->kind == TYPE_BOOL;
}

static void add_title(struct text *list, const char *title)
{
    text_printf(list, "%s%s", list->n > 0 ? ", " : "", title);
}

/* A line with a list, if there is something in it. */
static void say_list(struct text *out, const struct byhand_view *view,
                     const char *key, struct text *list)
{
    if (list->n > 0) {
        sheetphrases_put(out, view->words, key, text_str(list), NULL);
        text_add(out, "\n");
    }
    text_release(list);
}

/* One line: the actuators that are to be on, or off. */
static void say_those(struct text *out, const struct byhand_view *view,
                      const struct hand_step *step, bool on)
{
    const struct model *model = view->sheet->model;
    struct text list = {0};

    for (uint32_t i = 0; i < model->n_actuators; i++) {
        const struct hand_expected *what = &step->expected[i];

        if (is_bool(&model->actuators[i]) && what->sure &&
            (what->value != 0) == on)
            add_title(&list, model->actuators[i].title);
    }
    say_list(out, view, on ? "on" : "off", &list);
}

static void say_values(struct text *out, const struct byhand_view *view,
                       const struct hand_step *step)
{
    const struct model *model = view->sheet->model;

    for (uint32_t i = 0; i < model->n_actuators; i++) {
        const struct actuator *actuator = &model->actuators[i];
        struct text value = {0};

        if (is_bool(actuator) || !step->expected[i].sure)
            continue;
        say_value(&value, actuator->type, step->expected[i].value);
        sheetphrases_put(out, view->words, "value", actuator->title,
                         text_str(&value));
        text_add(out, "\n");
        text_release(&value);
    }
}

static void say_open(struct text *out, const struct byhand_view *view,
                     const struct hand_step *step)
{
    const struct model *model = view->sheet->model;
    struct text list = {0};

    for (uint32_t i = 0; i < model->n_actuators; i++)
        if (!step->expected[i].sure)
            add_title(&list, model->actuators[i].title);
    say_list(out, view, "not_judged", &list);
}

/* Are all off, of those that are judged and not on? */
static bool rest_is_off(const struct testsheet *sheet,
                        const struct hand_step *step, bool *any_on)
{
    *any_on = false;
    for (uint32_t i = 0; i < sheet->model->n_actuators; i++) {
        if (!is_bool(&sheet->model->actuators[i]))
            return false;
        *any_on = *any_on || !step->expected[i].sure ||
                  step->expected[i].value != 0;
    }
    return true;
}

void byhandwords_expected(struct text *out, const struct byhand_view *view,
                          const struct hand_step *step)
{
    struct text rest = {0};
    bool any_on;

    say_those(out, view, step, true);
    say_open(out, view, step);
    if (rest_is_off(view->sheet, step, &any_on)) {
        sheetphrases_put(&rest, view->words, any_on ? "all_others" : "all",
                         NULL, NULL);
        say_list(out, view, "off", &rest);
    } else {
        say_those(out, view, step, false);
    }
    say_values(out, view, step);
}

/* ---- what it is for ---- */

bool byhandwords_is_named(const struct testsheet *sheet,
                          const struct hand_step *step, uint32_t i)
{
    const struct obligation *all = sheet->obligations.at;

    return all[step->reached[i]].kind == OBLIGATION_EFFECT ||
           (i > 0 &&
            all[step->reached[i - 1]].kind == all[step->reached[i]].kind &&
            all[step->reached[i - 1]].index == all[step->reached[i]].index);
}

uint32_t byhandwords_line(const struct byhand_view *view, uint32_t branch)
{
    return sources_place(view->sources,
                         view->sheet->model->branches[branch].span).line;
}

/* Does it reach nothing that is named but vectors of decisions? */
static bool is_for_pairs(const struct testsheet *sheet,
                         const struct hand_step *step)
{
    for (uint32_t i = 0; i < step->n_reached; i++) {
        enum obligation_kind kind =
            sheet->obligations.at[step->reached[i]].kind;

        if (kind == OBLIGATION_TRIGGER || kind == OBLIGATION_BRANCH)
            return false;
    }
    return true;
}

static uint32_t line_of(const struct byhand_view *view,
                        const struct obligation *what)
{
    const struct model *model = view->sheet->model;

    if (what->kind == OBLIGATION_BRANCH)
        return byhandwords_line(view, what->index);
    return sources_place(view->sources,
                         model->decisions->at[what->index].expr->span).line;
}

void byhandwords_reached(struct text *out, const struct byhand_view *view,
                         const struct hand_step *step)
{
    const struct model *model = view->sheet->model;
    bool pairs_only = is_for_pairs(view->sheet, step);
    struct text lines = {0};

    for (uint32_t i = 0; i < step->n_reached; i++) {
        const struct obligation *what =
            &view->sheet->obligations.at[step->reached[i]];

        if (byhandwords_is_named(view->sheet, step, i) ||
            (what->kind == OBLIGATION_VECTOR && !pairs_only))
            continue;
        if (what->kind == OBLIGATION_TRIGGER)
            text_printf(out, "%s%s", out->n > 0 ? " " : "",
                        model->requirements[what->index].name->spelling);
        else
            text_printf(&lines, "%s%u", lines.n > 0 ? " " : "",
                        line_of(view, what));
    }
    if (lines.n > 0) {
        text_add(out, out->n > 0 ? " " : "");
        sheetphrases_put(out, view->words, "lines", text_str(&lines), NULL);
    }
    text_release(&lines);
}

void byhandwords_stands(struct text *out, const struct byhand_view *view,
                        const struct hand_sequence *sequence)
{
    if (sequence->n_places == 0)
        sheetphrases_put(out, view->words, "anywhere", NULL, NULL);
    for (uint32_t i = 0; i < sequence->n_places; i++) {
        text_add(out, i == 0 ? "" : ", ");
        byhandwords_where(out, view->sheet->model,
                          sequence->places[i].movement,
                          sequence->places[i].at);
    }
}

/* ---- obligations ---- */

/* Words of a trigger that are made of the user's text and one phrase of ours:
 * `marker` and `closing` are that phrase as the checker writes it. */
static bool say_cut(struct text *out, const struct byhand_view *view,
                    const char *words, const char *const phrase[3])
{
    const char *at = NULL, *closing = phrase[2];
    struct text first = {0}, second = {0};

    for (const char *next = words; (next = strstr(next, phrase[1])) != NULL;
         next++)
        at = next;
    if (at == NULL)
        return false;
    text_add_bytes(&first, words, (size_t)(at - words));
    at += strlen(phrase[1]);
    text_add_bytes(&second, at, strlen(at) - strlen(closing));
    sheetphrases_put(out, view->words, phrase[0], text_str(&first),
                     text_str(&second));
    text_release(&first);
    text_release(&second);
    return true;
}

/* Key, what stands before the second part, and behind it. */
static const char *const *phrase_of(enum form form)
{
    static const char *const leaving_out[] = {"leaving_out", " (leaving out ",
                                              ")"};
    static const char *const ends[] = {"ends", " ends", ""};
    static const char *const moves[] = {"moves", " moves", ""};
    static const char *const begins[] = {"begins", " begins", ""};
    static const char *const without[] = {"without", " without ", ""};

    switch (form) {
    case FORM_NEVER:
    case FORM_ALWAYS: return leaving_out;
    case FORM_AT_LEAST: return ends;
    case FORM_MOVES_ONLY_WHILE: return moves;
    case FORM_BY_ITSELF: return begins;
    case FORM_POSSIBLE_AGAIN: return without;
    default: return NULL;
    }
}

static void say_untolerated(struct text *out, const struct byhand_view *view,
                            const struct requirement *asked)
{
    struct text ms = {0};

    text_printf(&ms, "%" PRId64, asked->within.judged);
    sheetphrases_put(out, view->words,
                     asked->noticed ? "fault_noticed" : "after_fault",
                     text_str(&ms), NULL);
    text_release(&ms);
}

static void say_trigger(struct text *out, const struct byhand_view *view,
                        const struct requirement *asked, uint32_t part)
{
    const struct trigger *trigger = &asked->triggers[part];
    const char *const *phrase = phrase_of(asked->form);

    if (trigger->untolerated)
        say_untolerated(out, view, asked);
    else if (phrase == NULL || !say_cut(out, view, trigger->words, phrase))
        text_add(out, trigger->words);
}

void byhandwords_obligation(struct text *out, const struct byhand_view *view,
                            uint32_t number)
{
    const struct obligation *what = &view->sheet->obligations.at[number];
    const struct model *model = view->sheet->model;
    struct text second = {0};

    if (what->kind == OBLIGATION_BRANCH) {
        text_printf(&second, "%u", byhandwords_line(view, what->index));
        sheetphrases_put(out, view->words, "branch",
                         naming_file(view->sources,
                                     model->branches[what->index].span.file),
                         text_str(&second));
    } else {
        say_trigger(&second, view, &model->requirements[what->index],
                    what->part);
        sheetphrases_put(out, view->words, "of_requirement",
                         model->requirements[what->index].name->spelling,
                         text_str(&second));
    }
    text_release(&second);
}
