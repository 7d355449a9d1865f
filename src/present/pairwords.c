#include "present/pairwords.h"

#include <stdio.h>

#include "base/text.h"
#include "check/model.h"
#include "present/byhandwords.h"
#include "present/naming.h"
#include "present/quote.h"
#include "present/sheetphrases.h"
#include "present/wordtable.h"
#include "source/source.h"
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
    const char *key;
} reasons[] = {
    {OBLIGATION_TIMING, "pairs_timing"},
    {OBLIGATION_ELSEWHERE, "pairs_elsewhere"},
    {OBLIGATION_POWER, "pairs_power"},
    {OBLIGATION_FAULT, "pairs_fault"},
    {OBLIGATION_NEVER, "pairs_never"},
    {OBLIGATION_NOT_KNOWN, "pairs_not_known"},
};

static void add_reasons(struct text *out, const struct words *words,
                        const struct counts *counts)
{
    struct text list = {0};

    for (size_t i = 0; i < sizeof reasons / sizeof *reasons; i++) {
        uint32_t n = counts->pairs[reasons[i].state];

        if (n == 0)
            continue;
        text_add(&list, list.n > 0 ? ", " : "");
        sheetphrases_number(&list, words, reasons[i].key, n);
    }
    if (list.n > 0) {
        text_add(out, " ");
        sheetphrases_put(out, words, "pairs_left", text_str(&list), NULL);
    }
    text_release(&list);
}

static void add_figures(struct text *out, const struct words *words,
                        const struct counts *counts)
{
    const uint32_t figures[] = {counts->decisions, counts->conditions,
                                counts->all,
                                counts->pairs[OBLIGATION_BY_HAND],
                                counts->shown};
    enum { FIGURES = sizeof figures / sizeof *figures };
    char as_words[FIGURES][16];
    const char *given[FIGURES];

    for (size_t i = 0; i < FIGURES; i++) {
        snprintf(as_words[i], sizeof as_words[i], "%u", figures[i]);
        given[i] = as_words[i];
    }
    wordtable_put(out, words, "pairs", given);
}

void pairwords_reach(struct text *out, const struct byhand_view *view)
{
    const struct decisions *all = view->sheet->model->decisions;
    struct counts counts = {.decisions = all->n};

    for (uint32_t i = 0; i < all->n; i++)
        for (uint32_t k = 0; k < all->at[i].n_conditions; k++)
            add_condition(&counts, view->sheet, &all->at[i], k);
    if (counts.conditions == 0)
        return;
    add_figures(out, view->words, &counts);
    add_reasons(out, view->words, &counts);
}

/* "tailgate.st, line 12, condition ready". */
static void add_place(struct text *out, const struct byhand_view *view,
                      struct span span)
{
    struct text quoted = {0};
    char line[16];

    snprintf(line, sizeof line, "%u",
             sources_place(view->sources, span).line);
    quote_span(&quoted, view->sources, span);
    wordtable_put(out, view->words, "pair_condition",
                  (const char *const[]){
                      naming_file(view->sources, span.file), line,
                      text_str(&quoted)});
    text_release(&quoted);
}

static void add_share(struct text *out, const struct byhand_view *view,
                      uint32_t n, uint32_t of)
{
    char some[16], all[16];

    snprintf(some, sizeof some, "%u", n);
    snprintf(all, sizeof all, "%u", of);
    sheetphrases_put(out, view->words, "pair_some", some, all);
}

bool pairwords_condition(struct text *out, const struct byhand_view *view,
                         uint32_t condition, enum obligation_state state)
{
    const struct decision *decision = view->sheet->model->decisions->at;
    bool too_many;
    uint32_t n, of;

    while (condition >= decision->first + decision->n_conditions)
        decision++;
    condition -= decision->first;
    too_many = decision->n_pairs == 0 && state == OBLIGATION_NOT_KNOWN;
    n = count(view->sheet, decision, condition, state, &of);
    if (n == 0 && !too_many)
        return false;
    add_place(out, view, decision->conditions[condition]->span);
    if (too_many)
        sheetphrases_put(out, view->words, "pair_too_many", NULL, NULL);
    else if (of > 1)
        add_share(out, view, n, of);
    return true;
}
