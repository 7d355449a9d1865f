#include "present/sheetreach.h"

#include "base/text.h"
#include "check/decision.h"
#include "check/model.h"
#include "present/byhandwords.h"
#include "present/naming.h"
#include "present/pairwords.h"
#include "present/sheetform.h"
#include "present/sheetphrases.h"
#include "present/wordtable.h"
#include "source/source.h"
#include "study/testsheet.h"

struct ending {
    const struct sheetform *form;
    const struct byhand_view *view;
};

static void paragraph(const struct ending *r, const char *key,
                      const char *first, const char *second)
{
    struct text line = {0};

    sheetphrases_put(&line, r->view->words, key, first, second);
    sheetform_paragraph(r->form, text_str(&line));
    text_release(&line);
}

/* ---- how much ---- */

/* Duties of a kind, and those that are reached, as words. */
static void count_by_hand(const struct obligations *all,
                          enum obligation_kind kind, struct text *reached,
                          struct text *of)
{
    uint32_t n = 0, met = 0;

    for (uint32_t i = 0; i < all->n; i++) {
        if (all->at[i].kind != kind)
            continue;
        n++;
        met += all->at[i].state == OBLIGATION_BY_HAND;
    }
    text_printf(reached, "%u", met);
    text_printf(of, "%u", n);
}

static void add_figures(const struct ending *r)
{
    const struct testsheet *sheet = r->view->sheet;
    struct text n[7] = {{0}}, line = {0};

    count_by_hand(&sheet->obligations, OBLIGATION_TRIGGER, &n[0], &n[1]);
    count_by_hand(&sheet->obligations, OBLIGATION_BRANCH, &n[2], &n[3]);
    count_by_hand(&sheet->obligations, OBLIGATION_EFFECT, &n[4], &n[6]);
    text_printf(&n[5], "%u", sheet->n_pairs);
    wordtable_put(&line, r->view->words, "reached",
                  (const char *const[]){
                      text_str(&n[0]), text_str(&n[1]), text_str(&n[2]),
                      text_str(&n[3]), text_str(&n[4]), text_str(&n[5]),
                      NULL});
    sheetform_paragraph(r->form, text_str(&line));
    for (int i = 0; i < 7; i++)
        text_release(&n[i]);
    text_release(&line);
}

static void add_pairs(const struct ending *r)
{
    struct text line = {0};

    pairwords_reach(&line, r->view);
    if (line.n > 0)
        sheetform_paragraph(r->form, text_str(&line));
    text_release(&line);
}

/* Is there something that hands might bring about, by more steps? */
static bool is_open(const struct obligations *all)
{
    for (uint32_t i = 0; i < all->n_watched; i++)
        if (all->at[i].state == OBLIGATION_TIMING ||
            all->at[i].state == OBLIGATION_ELSEWHERE)
            return true;
    return false;
}

static void add_end_of_search(const struct ending *r)
{
    const struct testsheet *sheet = r->view->sheet;
    struct text figure = {0};

    if (sheet->gave_up && is_open(&sheet->obligations)) {
        text_printf(&figure, "%u", sheet->tried);
        paragraph(r, "gave_up", text_str(&figure), NULL);
    }
    text_clear(&figure);
    text_printf(&figure, "%u", sheet->n_dropped);
    if (sheet->n_dropped == 1)
        paragraph(r, "dropped_one", NULL, NULL);
    else if (sheet->n_dropped > 1)
        paragraph(r, "dropped", text_str(&figure), NULL);
    text_release(&figure);
}

/* ---- in which step ---- */

/* Is that what the step is the first to reach, and is it named by it? */
static bool reaches(const struct ending *r, const struct hand_step *step,
                    enum obligation_kind kind, uint32_t index)
{
    for (uint32_t i = 0; i < step->n_reached; i++) {
        const struct obligation *what =
            &r->view->sheet->obligations.at[step->reached[i]];

        if (what->kind == kind && what->index == index)
            return true;
    }
    return false;
}

/* "12.3", or nothing. */
static void say_first(struct text *out, const struct ending *r,
                      enum obligation_kind kind, uint32_t index)
{
    const struct testsheet *sheet = r->view->sheet;

    for (uint32_t s = 0; s < sheet->n_sequences; s++)
        for (uint32_t k = 0; k < sheet->sequences[s].n_steps; k++)
            if (reaches(r, &sheet->sequences[s].steps[k], kind, index)) {
                text_printf(out, "%u.%u", s + 1, k + 1);
                return;
            }
}

static void add_entry(struct text *list, const char *name,
                      const struct text *step)
{
    if (step->n > 0)
        text_printf(list, "%s%s %s", list->n > 0 ? ", " : "", name,
                    text_str(step));
}

static void add_requirements(const struct ending *r)
{
    const struct model *model = r->view->sheet->model;
    struct text list = {0};

    for (uint32_t i = 0; i < model->n_requirements; i++) {
        struct text step = {0};

        say_first(&step, r, OBLIGATION_TRIGGER, i);
        add_entry(&list, model->requirements[i].name->spelling, &step);
        text_release(&step);
    }
    if (list.n > 0)
        paragraph(r, "reached_by", text_str(&list), NULL);
    text_release(&list);
}

/* Branches of one control text. */
static void add_branches_of(const struct ending *r, uint32_t file)
{
    const struct model *model = r->view->sheet->model;
    struct text list = {0};

    for (uint32_t i = 0; i < model->n_branches; i++) {
        struct text step = {0}, line = {0};

        if (model->branches[i].span.file != file)
            continue;
        text_printf(&line, "%u", byhandwords_line(r->view, i));
        say_first(&step, r, OBLIGATION_BRANCH, i);
        add_entry(&list, text_str(&line), &step);
        text_release(&step);
        text_release(&line);
    }
    if (list.n > 0)
        paragraph(r, "taken_in", naming_file(r->view->sources, file),
                  text_str(&list));
    text_release(&list);
}

/* ---- what is not on it ---- */

static const struct {
    enum obligation_state state;
    const char *why;
} reasons[] = {
    {OBLIGATION_TIMING, "why_timing"},
    {OBLIGATION_ELSEWHERE, "why_elsewhere"},
    {OBLIGATION_POWER, "why_power"},
    {OBLIGATION_FAULT, "why_fault"},
    {OBLIGATION_NEVER, "why_never"},
    {OBLIGATION_NOT_KNOWN, "why_not_known"},
};

static void add_left(const struct ending *r, uint32_t number)
{
    uint32_t scans = r->view->sheet->obligations.at[number].scans;
    struct text what = {0}, figure = {0}, line = {0};

    byhandwords_obligation(&what, r->view, number);
    text_printf(&figure, "%u", scans);
    if (scans == 0)
        text_add(&line, text_str(&what));
    else
        sheetphrases_put(&line, r->view->words,
                         scans == 1 ? "from_scan" : "from_scans",
                         text_str(&what), text_str(&figure));
    sheetform_item(r->form, text_str(&line));
    text_release(&what);
    text_release(&figure);
    text_release(&line);
}

/* Conditions of decisions; why: NULL where it has been said.  Was there any? */
static bool add_conditions(const struct ending *r, enum obligation_state state,
                           const char *why)
{
    bool any = false;

    for (uint32_t i = 0; i < r->view->sheet->model->decisions->n_conditions;
         i++) {
        struct text line = {0};

        if (pairwords_condition(&line, r->view, i, state)) {
            if (!any && why != NULL)
                paragraph(r, why, NULL, NULL);
            any = true;
            sheetform_item(r->form, text_str(&line));
        }
        text_release(&line);
    }
    return any;
}

static void add_reason(const struct ending *r, enum obligation_state state,
                       const char *why)
{
    const struct obligations *all = &r->view->sheet->obligations;
    bool any = false;

    for (uint32_t i = 0; i < all->n_watched; i++) {
        if (all->at[i].state != state ||
            all->at[i].kind == OBLIGATION_VECTOR)
            continue;
        if (!any)
            paragraph(r, why, NULL, NULL);
        any = true;
        add_left(r, i);
    }
    any = add_conditions(r, state, any ? NULL : why) || any;
    if (any)
        sheetform_gap(r->form);
}

static void add_not_by_hand(const struct ending *r)
{
    const struct obligations *all = &r->view->sheet->obligations;
    bool any = false;

    for (uint32_t i = 0; i < all->n_watched; i++)
        any = any || all->at[i].state != OBLIGATION_BY_HAND;
    if (!any)
        return;
    sheetform_heading(r->form, wordtable_of(r->view->words, "not_tested"));
    for (size_t i = 0; i < sizeof reasons / sizeof *reasons; i++)
        add_reason(r, reasons[i].state, reasons[i].why);
}

void sheetreach_add(const struct sheetform *form,
                    const struct byhand_view *view)
{
    const struct ending r = {form, view};

    sheetform_heading(form, wordtable_of(view->words, "reach"));
    add_figures(&r);
    add_pairs(&r);
    add_end_of_search(&r);
    add_requirements(&r);
    for (uint32_t f = 1; f <= sources_count(view->sources); f++)
        add_branches_of(&r, f);
    sheetform_gap(form);
    add_not_by_hand(&r);
}
