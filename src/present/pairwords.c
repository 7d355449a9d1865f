#include "present/pairwords.h"

#include "base/text.h"
#include "check/model.h"
#include "present/quote.h"
#include "study/testsheet.h"

/* Pairs of one condition of a decision in this state; *of gets the number of
 * them all. */
static uint32_t count(const struct testsheet *sheet,
                      const struct decision *decision, uint32_t condition,
                      enum obligation_state state, uint32_t *of)
{
    uint32_t n = 0;

    *of = 0;
    for (uint32_t i = 0; i < decision->n_pairs; i++) {
        const struct decision_pair *pair = &decision->pairs[i];

        if (pair->condition != condition)
            continue;
        ++*of;
        n += obligations_pair(&sheet->obligations, decision, pair) == state;
    }
    return n;
}

struct counts {
    uint32_t decisions, conditions, shown; /* shown: by one pair or more */
    uint32_t pairs[OBLIGATION_STATES], all;
};

static void add_condition(struct counts *counts,
                          const struct testsheet *sheet,
                          const struct decision *decision, uint32_t condition)
{
    uint32_t of = 0;

    for (int state = 0; state < OBLIGATION_STATES; state++) {
        uint32_t n = count(sheet, decision, condition,
                           (enum obligation_state)state, &of);

        counts->pairs[state] += n;
        counts->shown += state == OBLIGATION_BY_HAND && n > 0;
    }
    counts->conditions++;
    counts->all += of;
}

/* The order in which reasons are told. */
static const struct {
    enum obligation_state state;
    const char *why;
} reasons[] = {
    {OBLIGATION_TIMING, "need closer timing"},
    {OBLIGATION_ELSEWHERE, "come from the machine only"},
    {OBLIGATION_POWER, "need power to go"},
    {OBLIGATION_FAULT, "need a fault"},
    {OBLIGATION_NEVER, "occur in no reachable situation"},
    {OBLIGATION_NOT_KNOWN, "are not known"},
};

static void add_reasons(struct text *out, const struct counts *counts)
{
    const char *before = " Of the others ";

    for (size_t i = 0; i < sizeof reasons / sizeof *reasons; i++) {
        uint32_t n = counts->pairs[reasons[i].state];

        if (n == 0)
            continue;
        text_printf(out, "%s%u %s", before, n, reasons[i].why);
        before = ", ";
    }
    if (*before == ',')
        text_add(out, ".");
}

void pairwords_reach(struct text *out, const struct testsheet *sheet)
{
    const struct decisions *all = sheet->model->decisions;
    struct counts counts = {.decisions = all->n};

    for (uint32_t i = 0; i < all->n; i++)
        for (uint32_t k = 0; k < all->at[i].n_conditions; k++)
            add_condition(&counts, sheet, &all->at[i], k);
    if (counts.conditions == 0)
        return;
    text_printf(out,
                "What moves depends on %u decision%s of the control text with "
                "%u condition%s; in %u pair%s of cases one condition alone "
                "makes a decision come out otherwise (unique-cause MC/DC). "
                "%u of them are shown, and with them %u of the conditions; "
                "what the decision then does must be seen in the steps.",
                counts.decisions, counts.decisions == 1 ? "" : "s",
                counts.conditions, counts.conditions == 1 ? "" : "s",
                counts.all, counts.all == 1 ? "" : "s",
                counts.pairs[OBLIGATION_BY_HAND], counts.shown);
    add_reasons(out, &counts);
}

bool pairwords_condition(struct text *out, const struct testsheet *sheet,
                         const struct sources *sources, uint32_t condition,
                         enum obligation_state state)
{
    const struct decision *decision = sheet->model->decisions->at;
    bool too_many;
    uint32_t n, of;

    while (condition >= decision->first + decision->n_conditions)
        decision++;
    condition -= decision->first;
    too_many = decision->n_pairs == 0 && state == OBLIGATION_NOT_KNOWN;
    n = count(sheet, decision, condition, state, &of);
    if (n == 0 && !too_many)
        return false;
    text_add(out, "condition: ");
    quote_place(out, sources, decision->conditions[condition]->span);
    text_add(out, ": ");
    quote_span(out, sources, decision->conditions[condition]->span);
    if (too_many)
        text_add(out, " (of too many in one decision)");
    else if (of > 1)
        text_printf(out, " (%u of its %u pairs)", n, of);
    return true;
}
