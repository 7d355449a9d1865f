#include "present/faultnotice.h"

#include "base/text.h"
#include "check/model.h"
#include "present/amount.h"
#include "present/caption.h"
#include "present/sheet.h"
#include "reference/replay.h"
#include "study/faultclass.h"
#include "study/noticed.h"

enum { INDENT = 6, COLUMNS = 100, HANGING = 6 };

static const struct model *model_of(const struct fault_findings *found)
{
    return found->findings->model;
}

static const char *name_of(const struct fault_findings *found, uint32_t cause)
{
    return model_of(found)->causes[cause].name->spelling;
}

/* ---- a cell ---- */

static void add_demand(struct text *out, const struct fault_findings *found,
                       const struct noticed_finding *noticed)
{
    const struct replay *way = noticed->sequence;

    amount_seconds(out, replay_time(model_of(found), way, way->n_scans - 1));
}

static bool is_in_time(const struct noticed_finding *noticed)
{
    return noticed != NULL && noticed->noticed == NOTICED_BEFORE_DEMAND;
}

/* Those of several that are not always noticed before the next demand when
 * they are alone. */
static void add_second(struct text *out, const struct fault_findings *found,
                       const uint32_t *causes, uint32_t n)
{
    bool any = false;

    for (uint32_t i = 0; i < n; i++) {
        if (is_in_time(found->noticed[causes[i]]))
            continue;
        text_printf(out, "%s%s", any ? ", " : "; second fault after an "
                                              "unnoticed ",
                    name_of(found, causes[i]));
        any = true;
    }
}

void faultnotice_cell(struct text *out, const struct fault_findings *found,
                      const uint32_t *causes, uint32_t n)
{
    const struct noticed_finding *noticed = fault_notice(found, causes, n);

    if (noticed == NULL)
        return;
    text_add(out, noticed_words(noticed->noticed));
    if (noticed->sequence != NULL) {
        text_add(out, "; a demand passes unnoticed after ");
        add_demand(out, found, noticed);
    }
    if (n > 1)
        add_second(out, found, causes, n);
}

/* ---- all of them ---- */

static uint32_t count_studied(const struct fault_findings *found)
{
    uint32_t n = 0;

    for (uint32_t c = 0; c < model_of(found)->n_causes; c++)
        n += found->of[c];
    return n;
}

static uint32_t count_in_time(const struct fault_findings *found)
{
    uint32_t n = 0;

    for (uint32_t c = 0; c < model_of(found)->n_causes; c++)
        n += found->of[c] && is_in_time(found->noticed[c]);
    return n;
}

static uint32_t count_unknown(const struct fault_findings *found)
{
    uint32_t n = 0;

    for (uint32_t c = 0; c < model_of(found)->n_causes; c++)
        n += found->of[c] &&
             (found->noticed[c]->noticed == NOTICED_NOT_FINISHED ||
              found->noticed[c]->noticed == NOTICED_NOT_DECIDED);
    return n;
}

static bool any_comes_and_goes(const struct fault_findings *found)
{
    for (uint32_t f = 0; f < model_of(found)->n_faults; f++) {
        const struct fault *fault = &model_of(found)->faults[f];

        if (!fault->excluded && fault->timing == TIMING_INTERMITTENT &&
            found->of[fault->cause])
            return true;
    }
    return false;
}

static void add_count(struct text *out, const struct fault_findings *found)
{
    uint32_t all = count_studied(found);

    if (found->noticed == NULL) {
        text_add(out, "No NOTICING is declared: whether the machine notices "
                      "a fault was not asked.\n");
        return;
    }
    text_printf(out, "%u of %u fault%s %s always noticed before the next "
                     "demand", count_in_time(found), all,
                all == 1 ? "" : "s", all == 1 ? "is" : "are");
    if (count_unknown(found) > 0)
        text_printf(out, ", of %u it is not known", count_unknown(found));
    text_add(out, "; this is no diagnostic coverage.\n");
    if (any_comes_and_goes(found))
        text_add(out, "Faults that come and go are taken as staying where it "
                      "is asked whether they are noticed.\n");
}

/* What the words for a class mean here. */
static const char *meaning(enum fault_class class)
{
    switch (class) {
    case FAULT_SAFE:
        return " (lost is only what should be possible, against no "
               "hazard)";
    case FAULT_NOTICED:
        return " (before the next demand or within a work cycle)";
    case FAULT_NO_EFFECT: return " (that is not the same as safe)";
    case FAULT_OPEN: return " (not all of it was looked at)";
    default: return "";
    }
}

static void add_class(struct text *out, const struct fault_findings *found,
                      enum fault_class class)
{
    struct text line = {0}, names = {0};
    uint32_t n = 0;

    for (uint32_t c = 0; c < model_of(found)->n_causes; c++)
        if (found->of[c] && fault_class_of(found, &c, 1) == class)
            text_printf(&names, "%s%s", n++ > 0 ? ", " : "",
                        name_of(found, c));
    if (n > 0)
        text_printf(&line, "  %s%s: %s\n", fault_class_words(class),
                    meaning(class), text_str(&names));
    caption_wrap(out, text_str(&line), COLUMNS, HANGING);
    text_release(&line);
    text_release(&names);
}

void faultnotice_summary(struct text *out,
                         const struct fault_findings *found)
{
    static const enum fault_class order[] = {
        FAULT_UNNOTICED, FAULT_NOTICE_OPEN, FAULT_NOTICED, FAULT_SAFE,
        FAULT_NO_EFFECT, FAULT_OPEN};

    text_add(out, "Single faults by what they do to all that was asked here\n"
                  "\n");
    for (size_t i = 0; i < sizeof order / sizeof *order; i++)
        add_class(out, found, order[i]);
    text_add(out, "\n");
    add_count(out, found);
    text_add(out, "\n");
}

/* ---- sequences ---- */

static void add_way(struct text *out, const struct fault_findings *found,
                    const uint32_t *causes, uint32_t n)
{
    const struct noticed_finding *noticed = fault_notice(found, causes, n);

    if (noticed == NULL || noticed->sequence == NULL)
        return;
    for (uint32_t i = 0; i < n; i++)
        text_printf(out, "%s%s", i == 0 ? "" : " + ",
                    name_of(found, causes[i]));
    text_add(out, " not noticed at a demand after ");
    add_demand(out, found, noticed);
    text_add(out, "\n\n");
    sheet_add(out, found->findings, noticed->sequence, INDENT);
    text_add(out, "\n");
}

/* Is it the first requirement that this set breaks? */
static bool is_first(const struct fault_findings *found, uint32_t asked,
                     const struct noticed_finding *noticed)
{
    for (uint32_t r = 0; r < asked; r++)
        for (uint32_t i = 0; i < found->requirements[r].n_sets; i++)
            if (found->requirements[r].sets[i].noticed == noticed)
                return false;
    return true;
}

void faultnotice_sequences(struct text *out,
                           const struct fault_findings *found)
{
    if (found->noticed == NULL)
        return;
    for (uint32_t c = 0; c < model_of(found)->n_causes; c++)
        if (found->of[c])
            add_way(out, found, &c, 1);
    for (uint32_t r = 0; r < found->n_requirements; r++)
        for (uint32_t i = 0; i < found->requirements[r].n_sets; i++) {
            const struct fault_set *set = &found->requirements[r].sets[i];

            if (set->n > 1 && is_first(found, r, set->noticed))
                add_way(out, found, set->causes, set->n);
        }
}
