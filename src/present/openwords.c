#include "present/openwords.h"

#include "base/text.h"
#include "check/model.h"
#include "present/amount.h"
#include "present/quote.h"
#include "source/source.h"
#include "study/findings.h"

/* Two places in the same words on one line are said once. */
static bool said_before(const struct model *model, const bool *read,
                        uint32_t place)
{
    const struct open_place *places = model->open_places;

    for (uint32_t i = 0; i < place; i++)
        if (read[i] && places[i].span.file == places[place].span.file &&
            places[i].span.from == places[place].span.from)
            return true;
    return false;
}

static uint32_t count(const struct model *model, const bool *read, bool values)
{
    uint32_t n = 0;

    for (uint32_t i = 0; i < model->n_open_places; i++)
        n += read[i] && !said_before(model, read, i) &&
             (model->open_places[i].kind >= OPEN_VALUE) == values;
    return n;
}

void openwords_count(struct text *out, const struct model *model,
                     const struct requirement_finding *finding)
{
    uint32_t compared, values;

    if (finding->open_read == NULL)
        return;
    compared = count(model, finding->open_read, false);
    values = count(model, finding->open_read, true);
    if (compared + values == 0)
        return;
    text_add(out, " · ");
    if (compared > 0)
        amount_of(out, compared, "comparison");
    if (compared > 0 && values > 0)
        text_add(out, " and ");
    if (values > 0)
        amount_of(out, values, "value");
    text_add(out, " left open");
}

/* "the value of '+' on line 40 of a.st: a + b" */
static void add_place(struct text *out, const struct model *model,
                      const struct sources *sources, uint32_t number)
{
    const struct open_place *place = &model->open_places[number];

    if (place->unknown != NULL)
        text_printf(out, "what the unknown %s gives as ",
                    place->unknown->name->spelling);
    else
        text_add(out, place->kind >= OPEN_VALUE ? "the value "
                                                : "the comparison ");
    quote_span(out, sources, place->span);
    text_add(out, ", ");
    quote_place(out, sources, place->span);
}

void openwords_leaning(struct text *out, const struct model *model,
                       const struct sources *sources,
                       const struct leaning *leaning, unsigned indent)
{
    for (uint32_t i = 0; i < leaning->n; i++) {
        text_pad(out, ' ', indent);
        text_add(out, i == 0 ? "leans on " : "     and ");
        add_place(out, model, sources, leaning->places[i]);
        text_add(out, "\n");
    }
}

static bool any_reads(const struct findings *findings, uint32_t place)
{
    if (findings->n_requirements == 0)
        return true; /* run-time errors are asked of all texts */
    for (uint32_t i = 0; i < findings->n_requirements; i++)
        if (findings->requirements[i].open_read != NULL &&
            findings->requirements[i].open_read[place])
            return true;
    return false;
}

static bool listed_before(const struct findings *findings, uint32_t place)
{
    const struct open_place *places = findings->model->open_places;

    for (uint32_t i = 0; i < place; i++)
        if (places[i].span.file == places[place].span.file &&
            places[i].span.from == places[place].span.from &&
            any_reads(findings, i))
            return true;
    return false;
}

static void add_unknown(struct text *out, const struct model *model)
{
    for (uint32_t i = 0; i < model->n_unknown; i++) {
        const struct unknown *unknown = &model->unknown[i];

        text_printf(out, "  unknown: %s may give anything at each call",
                    unknown->name->spelling);
        if (unknown->because != NULL)
            text_printf(out, ", because %s", unknown->because);
        if (unknown->confirmed_by != NULL)
            text_printf(out, ", confirmed by %s\n", unknown->confirmed_by);
        else
            text_add(out, ", not confirmed by anybody\n");
    }
}

void openwords_list(struct text *out, const struct findings *findings,
                    const struct sources *sources)
{
    const struct model *model = findings->model;

    add_unknown(out, model);
    for (uint32_t i = 0; i < model->n_open_places; i++) {
        if (!any_reads(findings, i) || listed_before(findings, i))
            continue;
        text_add(out, "  left open: ");
        add_place(out, model, sources, i);
        text_add(out, "\n");
    }
}
