#include "present/needwords.h"

#include "base/text.h"
#include "check/model.h"
#include "present/caption.h"
#include "present/naming.h"
#include "present/quote.h"
#include "present/say.h"
#include "source/source.h"
#include "study/needs.h"

enum { COLUMNS = 96, HANGING = 7 };

struct wording {
    struct text *out;
    const struct model *model;
    const struct sources *sources;
};

static void say_thing(const struct wording *w, const struct need_row *need)
{
    const struct slot *slot = &w->model->slots[need->index];

    if (need->kind == NEED_SENSOR) {
        text_printf(w->out, "%s %s",
                    w->model->sensors[need->index].name->spelling,
                    need->value != 0 ? "on" : "off");
        return;
    }
    naming_slot(w->out, w->model, need->index);
    text_add(w->out, " ");
    if (slot->type->kind == TYPE_BOOL)
        text_add(w->out, need->value != 0 ? "on" : "off");
    else
        say_value(w->out, slot->type, need->value);
}

static void say_guards(const struct wording *w, const struct need_site *site)
{
    for (uint32_t i = 0; i < site->n_guards; i++) {
        text_add(w->out, i > 0 ? ", " : site->value.file != 0 ? ", under "
                                                              : "");
        text_add(w->out, site->negated[i] ? "not `" : "`");
        quote_span(w->out, w->sources, site->guards[i]);
        text_add(w->out, "`");
    }
}

static void say_site(const struct wording *w, const struct need_site *site)
{
    if (site->value.file != 0) {
        text_add(w->out, "`");
        quote_span(w->out, w->sources, site->value);
        text_add(w->out, "`");
    }
    say_guards(w, site);
    if (site->value.file == 0 && site->n_guards == 0)
        text_add(w->out, "each call, which sets it so");
    text_add(w->out, " [");
    naming_place(w->out, w->sources, site->place);
    text_add(w->out, "]");
}

/* An expression that is to be FALSE is not what it needs. */
static bool is_off(const struct wording *w, const struct need_row *need)
{
    return need->kind == NEED_SLOT && need->value == 0 &&
           w->model->slots[need->index].type->kind == TYPE_BOOL;
}

static void say_need(const struct wording *w, const struct need_row *need)
{
    say_thing(w, need);
    if (need->n_sites == 0) {
        text_add(w->out, " comes from no statement");
        return;
    }
    text_add(w->out, is_off(w, need) ? " goes by " : " needs ");
    for (uint32_t i = 0; i < need->n_sites; i++) {
        if (i > 0)
            text_add(w->out, "; or ");
        say_site(w, &need->sites[i]);
    }
    if (need->more)
        text_add(w->out, "; and more places");
    for (uint32_t i = 0; i < need->n_lost; i++) {
        text_add(w->out, i > 0 ? "; or by " : "; it is ended by ");
        say_site(w, &need->lost[i]);
    }
}

void needwords_add(struct text *out, const struct model *model,
                   const struct need_list *needs,
                   const struct sources *sources)
{
    struct text one = {0};
    const struct wording w = {&one, model, sources};

    for (uint32_t i = 0; i < needs->n; i++) {
        text_clear(&one);
        text_printf(&one, "%4u.  ", (unsigned)i + 1);
        say_need(&w, &needs->at[i]);
        text_add(&one, "\n");
        caption_wrap(out, text_str(&one), COLUMNS, HANGING);
    }
    text_add(out, needs->more ? "       It goes on from there.\n" : "");
    text_release(&one);
}
