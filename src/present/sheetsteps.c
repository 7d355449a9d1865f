#include "present/sheetsteps.h"

#include <string.h>

#include "base/arena.h"
#include "base/text.h"
#include "check/model.h"
#include "present/say.h"
#include "present/sheetphrases.h"
#include "study/testsheet.h"

static bool is_bool(const struct model *model, uint32_t actuator)
{
    return model->actuators[actuator].type->kind == TYPE_BOOL;
}

static void add_title(struct text *list, const char *title)
{
    text_printf(list, "%s%s", list->n > 0 ? ", " : "", title);
}

/* ---- at rest ---- */

static bool ends_on(const struct hand_sequence *sequence, uint32_t actuator)
{
    const struct hand_expected *what;

    if (sequence->n_steps == 0)
        return false;
    what = &sequence->steps[sequence->n_steps - 1].expected[actuator];
    return what->sure && what->value != 0;
}

const bool *sheetsteps_rest(struct arena *arena,
                            const struct testsheet *sheet)
{
    const struct model *model = sheet->model;
    bool *rest = arena_array(arena, model->n_actuators + 1, sizeof *rest);

    for (uint32_t i = 0; i < model->n_actuators; i++) {
        rest[i] = is_bool(model, i) && sheet->n_sequences > 0;
        for (uint32_t s = 0; s < sheet->n_sequences; s++)
            rest[i] = rest[i] && ends_on(&sheet->sequences[s], i);
    }
    return rest;
}

void sheetsteps_rest_words(struct text *out, const struct testsheet *sheet,
                           const bool *rest)
{
    for (uint32_t i = 0; i < sheet->model->n_actuators; i++)
        if (rest[i])
            add_title(out, sheet->model->actuators[i].title);
}

bool sheetsteps_ends_on(const struct testsheet *sheet,
                        const struct hand_sequence *sequence,
                        const bool *rest)
{
    const struct hand_expected *last;

    if (sequence->quiet || sequence->n_steps == 0)
        return !sequence->quiet;
    last = sequence->steps[sequence->n_steps - 1].expected;
    for (uint32_t i = 0; i < sheet->model->n_actuators; i++)
        if (!last[i].sure || (last[i].value != 0) != rest[i])
            return true;
    return false;
}

/* ---- who ---- */

static uint32_t first_there(const struct model *model, uint32_t control)
{
    uint32_t i = 0;

    while (model->controls[i].place == NULL ||
           strcmp(model->controls[i].place,
                  model->controls[control].place) != 0)
        i++;
    return i;
}

bool sheetsteps_is_station(const struct model *model, uint32_t control)
{
    return model->controls[control].place != NULL &&
           first_there(model, control) == control;
}

void sheetsteps_letter(struct text *out, const struct model *model,
                       uint32_t control)
{
    enum { LETTERS = 26 };
    uint32_t n = 0, first;

    if (model->controls[control].place == NULL)
        return;
    first = first_there(model, control);
    for (uint32_t i = 0; i < first; i++)
        n += sheetsteps_is_station(model, i);
    text_add_char(out, (char)('A' + n % LETTERS));
    if (n >= LETTERS)
        text_printf(out, "%u", n / LETTERS + 1);
}

void sheetsteps_stations(struct text *out, const struct model *model,
                         const struct hand_step *step)
{
    struct text first = {0}, second = {0};

    if (step->n_changes > 0)
        sheetsteps_letter(&first, model, step->changes[0].control);
    if (step->n_changes > 1)
        sheetsteps_letter(&second, model, step->changes[1].control);
    text_add(out, text_str(&first));
    if (second.n > 0 && strcmp(text_str(&first), text_str(&second)) != 0)
        text_printf(out, "%s%s", first.n > 0 ? "+" : "", text_str(&second));
    text_release(&first);
    text_release(&second);
}

/* ---- what is done ---- */

static void say_one(struct text *out, const struct byhand_view *view,
                    const char *key, const char *title, const char *value)
{
    sheetphrases_put(out, view->words, key, title, value);
}

/* Two hands that do the same have one verb. */
static void say_two(struct text *out, const struct byhand_view *view,
                    const struct hand_step *step)
{
    const struct model *model = view->sheet->model;
    struct text value[2] = {{0}}, part[2] = {{0}}, both = {0};
    const char *key[2], *title[2];

    for (int i = 0; i < 2; i++) {
        key[i] = byhandwords_action(model, &step->changes[i], &value[i]);
        title[i] = model->controls[step->changes[i].control].title;
        say_one(&part[i], view, key[i], title[i], text_str(&value[i]));
    }
    if (strcmp(key[0], key[1]) == 0 &&
        strcmp(text_str(&value[0]), text_str(&value[1])) == 0) {
        say_one(&both, view, "and", title[0], title[1]);
        text_clear(&part[0]);
        say_one(&part[0], view, key[0], text_str(&both), text_str(&value[0]));
    } else {
        say_one(&both, view, "and", text_str(&part[0]), text_str(&part[1]));
        text_clear(&part[0]);
        text_add(&part[0], text_str(&both));
    }
    say_one(out, view, "together", text_str(&part[0]), NULL);
    text_release(&both);
    for (int i = 0; i < 2; i++) {
        text_release(&value[i]);
        text_release(&part[i]);
    }
}

static void say_hands(struct text *out, const struct byhand_view *view,
                      const struct hand_step *step)
{
    const struct model *model = view->sheet->model;
    struct text value = {0};
    const char *key;

    if (step->power)
        byhandwords_return(out, view, step);
    else if (step->n_changes == 2)
        say_two(out, view, step);
    if (step->power || step->n_changes != 1)
        return;
    key = byhandwords_action(model, &step->changes[0], &value);
    say_one(out, view, key, model->controls[step->changes[0].control].title,
            text_str(&value));
    text_release(&value);
}

void sheetsteps_do(struct text *out, const struct byhand_view *view,
                   const struct hand_step *step)
{
    struct text where = {0};

    say_hands(out, view, step);
    if (step->n_changes > 0 && step->seconds == HAND_USUAL_S)
        return;
    text_add(out, step->n_changes > 0 ? "; " : "");
    if (step->seconds > 0) {
        sheetphrases_number(out, view->words, "wait", step->seconds);
        return;
    }
    byhandwords_where(&where, view->sheet->model, step->movement, step->seen);
    sheetphrases_put(out, view->words, "wait_seen", text_str(&where), NULL);
    text_release(&where);
}

/* ---- what is seen ---- */

/* An actuator of a step, and as it was before. */
struct seen {
    struct hand_expected now, before;
    bool rest;
};

static struct seen seen_of(const struct sheetsteps_at *at, uint32_t actuator)
{
    struct seen seen = {
        .now = at->sequence->steps[at->step].expected[actuator],
        .before = {true, at->rest[actuator]},
        .rest = at->rest[actuator],
    };

    if (at->step > 0)
        seen.before = at->sequence->steps[at->step - 1].expected[actuator];
    return seen;
}

static bool is_other(const struct seen *seen)
{
    return !seen->before.sure || seen->before.value != seen->now.value;
}

/* Is it named with that value, in lines of what changed or of what did not?
 * What comes back to rest is named too, unless nobody knows whether it was
 * away from it. */
static bool is_in(const struct seen *seen, bool on, bool changed)
{
    bool away = (seen->now.value != 0) != seen->rest;

    return seen->now.sure && (seen->now.value != 0) == on &&
           is_other(seen) == changed &&
           (away || (changed && seen->before.sure));
}

static void say_those(struct text *out, const struct byhand_view *view,
                      const struct sheetsteps_at *at, bool on, bool changed)
{
    static const char *const keys[2][2] = {{"still_off", "off"},
                                           {"still_on", "on"}};
    const struct model *model = view->sheet->model;
    struct text list = {0};

    for (uint32_t i = 0; i < model->n_actuators; i++) {
        struct seen seen = seen_of(at, i);

        if (is_bool(model, i) && is_in(&seen, on, changed))
            add_title(&list, model->actuators[i].title);
    }
    if (list.n > 0) {
        sheetphrases_put(out, view->words, keys[on][changed],
                         text_str(&list), NULL);
        text_add(out, "\n");
    }
    text_release(&list);
}

/* A number that is 0 is off; an item of an enumeration has its name. */
static bool is_named_value(const struct type *type, const struct seen *seen,
                           bool changed)
{
    if (!seen->now.sure || type->kind == TYPE_BOOL ||
        is_other(seen) != changed)
        return false;
    return type->kind == TYPE_ENUM || seen->now.value != 0 ||
           (changed && seen->before.sure);
}

static void say_values(struct text *out, const struct byhand_view *view,
                       const struct sheetsteps_at *at, bool changed)
{
    const struct model *model = view->sheet->model;

    for (uint32_t i = 0; i < model->n_actuators; i++) {
        struct seen seen = seen_of(at, i);
        struct text value = {0};

        if (!is_named_value(model->actuators[i].type, &seen, changed))
            continue;
        say_value(&value, model->actuators[i].type, seen.now.value);
        sheetphrases_put(out, view->words, "value", model->actuators[i].title,
                         text_str(&value));
        text_add(out, "\n");
        text_release(&value);
    }
}

/* Is the same not judged as in the step before? */
static bool is_same_open(const struct model *model,
                         const struct sheetsteps_at *at)
{
    bool same = at->step > 0;

    for (uint32_t i = 0; same && i < model->n_actuators; i++) {
        struct seen seen = seen_of(at, i);

        same = seen.now.sure == seen.before.sure;
    }
    return same;
}

static void say_open(struct text *out, const struct byhand_view *view,
                     const struct sheetsteps_at *at)
{
    const struct model *model = view->sheet->model;
    struct text list = {0};
    unsigned n = 0;

    for (uint32_t i = 0; i < model->n_actuators; i++) {
        if (seen_of(at, i).now.sure)
            continue;
        n++;
        add_title(&list, model->actuators[i].title);
    }
    if (n > 0) {
        sheetphrases_put(out, view->words,
                         n > 1 && is_same_open(model, at) ? "not_judged_same"
                                                          : "not_judged",
                         text_str(&list), NULL);
        text_add(out, "\n");
    }
    text_release(&list);
}

/* Everything is as at rest; any: something is so that is on; other: it was
 * not in the step before. */
static bool is_all_at_rest(const struct model *model,
                           const struct sheetsteps_at *at, bool *any,
                           bool *other)
{
    *any = *other = false;
    for (uint32_t i = 0; i < model->n_actuators; i++) {
        struct seen seen = seen_of(at, i);

        if (model->actuators[i].type->kind == TYPE_ENUM || !seen.now.sure ||
            (seen.now.value != 0) != seen.rest)
            return false;
        *any = *any || seen.rest;
        *other = *other || is_other(&seen);
    }
    return true;
}

void sheetsteps_must(struct text *changed, struct text *still,
                     const struct byhand_view *view,
                     const struct sheetsteps_at *at)
{
    bool any, other;

    if (is_all_at_rest(view->sheet->model, at, &any, &other)) {
        sheetphrases_put(other ? changed : still, view->words,
                         any ? "as_at_rest" : "all_off", NULL, NULL);
        text_add(other ? changed : still, "\n");
        return;
    }
    say_those(changed, view, at, true, true);
    say_those(changed, view, at, false, true);
    say_values(changed, view, at, true);
    say_those(still, view, at, true, false);
    say_those(still, view, at, false, false);
    say_values(still, view, at, false);
    say_open(still, view, at);
}

/* ---- what it is for ---- */

void sheetsteps_for(struct text *out, const struct testsheet *sheet,
                    const struct hand_step *step)
{
    for (uint32_t i = 0; i < step->n_reached; i++) {
        const struct obligation *what =
            &sheet->obligations.at[step->reached[i]];

        if (what->kind != OBLIGATION_TRIGGER ||
            byhandwords_is_named(sheet, step, i))
            continue;
        text_printf(out, "%s%s", out->n > 0 ? " " : "",
                    sheet->model->requirements[what->index].name->spelling);
    }
}
