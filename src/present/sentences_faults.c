#include "present/sentence_parts.h"

#include "check/model.h"
#include "present/causewords.h"
#include "present/faultwords.h"
#include "present/naming.h"

/* ---- what it does ---- */

static const char *place_kind(enum fault_target target)
{
    static const char *const words[] = {
        [AT_CONTACTS] = "contact", [AT_SENSOR] = "sensor",
        [AT_ACTUATOR] = "output", [AT_RELAY] = "relay",
        [AT_PROGRAM] = "program"};

    return words[target];
}

static void add_displaced(struct sentence_writer *w,
                          const struct effect *effect)
{
    text_printf(&w->words, " sees the machine as if ");
    naming_slot(&w->words, w->model, effect->along);
    text_printf(&w->words, " stood %lld position%s %s",
                (long long)(effect->by < 0 ? -effect->by : effect->by),
                effect->by == 1 || effect->by == -1 ? "" : "s",
                effect->by < 0 ? "back" : "further");
}

/* Behind the name of the place. */
static void add_doing(struct sentence_writer *w, const struct effect *effect)
{
    const struct effect other = {.target = effect->other_target,
                                 .first = effect->other, .count = 1};

    switch (effect->kind) {
    case FAULT_DOES_NOT_OPEN:
        text_add(&w->words, " stays conducting once it conducts");
        break;
    case FAULT_DOES_NOT_CLOSE:
        text_add(&w->words, " stays open once it is open");
        break;
    case FAULT_STAYS: text_add(&w->words, " stays as it is"); break;
    case FAULT_WIRE_OFF:
        text_add(&w->words, " has its wire off: it is FALSE");
        break;
    case FAULT_SHORT_TO_SUPPLY:
        text_add(&w->words, " touches the supply: it is TRUE");
        break;
    case FAULT_SHORT_TO:
        text_printf(&w->words, " touches %s: both conduct if one does",
                    faultwords_place(w->model, &other));
        break;
    case FAULT_UNCOMMANDED:
        text_add(&w->words, " may be anything, whatever is asked of it");
        break;
    case FAULT_DISPLACED: add_displaced(w, effect); break;
    case FAULT_STOPS:
        text_add(&w->words, " does not run: what it gives stays as it is");
        break;
    case FAULT_IN_MECHANISM: break;
    }
}

static void add_effects(struct sentence_writer *w, uint32_t fault)
{
    unsigned n = 0;

    for (uint32_t e = 0; e < w->model->n_effects; e++) {
        const struct effect *effect = &w->model->effects[e];

        if (effect->fault != fault)
            continue;
        text_printf(&w->words, "%s%s %s", n++ > 0 ? "; " : "",
                    place_kind(effect->target),
                    faultwords_place(w->model, effect));
        add_doing(w, effect);
    }
    if (n == 0)
        text_add(&w->words, "what it does is said where the machine reads its "
                            "name");
}

/* ---- when ---- */

static const char *timing_words(enum fault_timing timing)
{
    return timing == TIMING_PERMANENT
               ? "The fault may appear at any moment and stays"
           : timing == TIMING_INTERMITTENT
               ? "The fault may come and go at any moment"
               : "The fault is there from power-up on or never";
}

/* Causes that bring it about beside its own. */
static void add_follows(struct sentence_writer *w, const struct fault *fault)
{
    unsigned n = 0;

    for (uint32_t i = 0; i < fault->n_causes; i++)
        if (fault->causes[i] != fault->cause)
            text_printf(&w->words, "%s%s",
                        n++ == 0 ? "; it may follow from " : " or from ",
                        w->model->causes[fault->causes[i]].name->spelling);
    if (n > 0)
        text_add(&w->words, ", and is not counted then");
}

static void add_fault(struct sentence_writer *w, uint32_t f)
{
    const struct fault *fault = &w->model->faults[f];

    text_printf(&w->words, "%s: ", fault->title);
    add_effects(w, f);
    text_add(&w->words, ". ");
    if (fault->excluded) {
        text_add(&w->words, "The fault is excluded, never looked at");
        sentence_reason(w, fault->because, fault->confirmed_by);
    } else {
        text_add(&w->words, timing_words(fault->timing));
        add_follows(w, fault);
        text_add(&w->words, ".");
    }
    sentence_end(w, fault->name);
}

static void add_cause(struct sentence_writer *w, const struct cause *cause)
{
    if (!cause->group)
        return;
    text_printf(&w->words, "%s: ", cause->title);
    for (uint32_t i = 0; i < cause->n_members; i++)
        text_printf(&w->words, "%s%s", i > 0 ? ", " : "",
                    w->model->faults[cause->members[i]].name->spelling);
    text_add(&w->words, " have one cause: together they count as one fault, "
                        "and each may appear or not.");
    sentence_end(w, cause->name);
}

/* ---- how it is noticed ---- */

/* One sentence for each of several that do: such a list is often long. */
static void notice(struct sentence_writer *w, const char *before,
                   const struct code_expr *condition)
{
    if (condition == NULL)
        return;
    if (condition->op == CODE_OR) {
        notice(w, before, condition->left);
        notice(w, before, condition->right);
        return;
    }
    text_add(&w->words, before);
    plainly_condition(&w->plainly, condition, true);
    text_add(&w->words, ".");
    sentence_end(w, NULL);
}

void sentences_of_faults(struct sentence_writer *w)
{
    const struct noticing *noticing = &w->model->noticing;

    for (uint32_t f = 0; f < w->model->n_faults; f++)
        add_fault(w, f);
    for (uint32_t c = 0; c < w->model->n_causes; c++)
        add_cause(w, &w->model->causes[c]);
    sentence_group_end(w, "What may break");
    notice(w, "The machine shows a fault while ", noticing->diagnostic);
    notice(w, "The safety function is needed again at the moment at which ",
           noticing->demand);
    notice(w, "A work cycle ends, and the next begins, at the moment at "
              "which ", noticing->cycle);
    notice(w, "A fault that was shown has been put right at the moment at "
              "which ", noticing->repair);
    sentence_group_end(w, "How a fault is noticed, and by when");
}
