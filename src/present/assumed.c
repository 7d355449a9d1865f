#include "present/assumed.h"

#include "base/text.h"
#include "check/model.h"
#include "present/amount.h"
#include "study/findings.h"

/* More names than these make the line of the verdict hard to read. */
enum { MOST_NAMES = 4 };

static bool is_needed(const struct requirement_finding *finding, uint32_t a)
{
    return finding->need[a] != NEED_NO;
}

/* Taken in, and not needed. */
static bool is_spare(const struct requirement_finding *finding, uint32_t a)
{
    return finding->assumption_used[a] && finding->need[a] == NEED_NO;
}

static uint32_t count(const struct model *model,
                      const struct requirement_finding *finding,
                      bool (*is)(const struct requirement_finding *,
                                 uint32_t))
{
    uint32_t n = 0;

    for (uint32_t a = 0; a < model->n_assumptions; a++)
        n += model->assumptions[a].name != NULL && is(finding, a);
    return n;
}

/* Is each of the set needed in every set that is enough? */
static bool only_set(const struct model *model,
                     const struct requirement_finding *finding)
{
    for (uint32_t a = 0; a < model->n_assumptions; a++)
        if (finding->need[a] == NEED_IN_SET)
            return false;
    return true;
}

static void add_needed(struct text *out, const struct model *model,
                       const struct requirement_finding *finding)
{
    bool only = only_set(model, finding);
    const char *before = only ? "needs " : "enough are ";

    for (uint32_t a = 0; a < model->n_assumptions; a++) {
        const struct assumption *assumption = &model->assumptions[a];

        if (assumption->name == NULL || !is_needed(finding, a))
            continue;
        text_printf(out, "%s%s (%s%s)", before, assumption->name->spelling,
                    assumption->confirmed_by == NULL ? "not confirmed"
                                                     : "confirmed",
                    !only && finding->need[a] == NEED_EVERY
                        ? ", needed in any case" : "");
        before = ", ";
    }
}

static void add_spare(struct text *out, const struct model *model,
                      const struct requirement_finding *finding)
{
    const char *before = "";

    for (uint32_t a = 0; a < model->n_assumptions; a++) {
        if (model->assumptions[a].name == NULL || !is_spare(finding, a))
            continue;
        text_printf(out, "%s%s", before,
                    model->assumptions[a].name->spelling);
        before = ", ";
    }
    text_add(out, " not needed");
}

static void add_names(struct text *out, const struct model *model,
                      const struct requirement_finding *finding)
{
    uint32_t needed = count(model, finding, is_needed);

    if (needed > 0)
        add_needed(out, model, finding);
    if (count(model, finding, is_spare) == 0)
        return;
    text_add(out, needed > 0 ? "; " : "");
    add_spare(out, model, finding);
    if (!only_set(model, finding))
        text_add(out, " beside them");
}

/* Those taken in, or where it is known those needed. */
static void add_count(struct text *out, const struct model *model,
                      const struct requirement_finding *finding)
{
    bool known = finding->need_state == NEED_KNOWN;
    uint32_t n = 0, unconfirmed = 0;

    for (uint32_t a = 0; a < model->n_assumptions; a++) {
        bool taken = known ? is_needed(finding, a)
                           : finding->assumption_used != NULL &&
                                 finding->assumption_used[a];

        n += taken;
        unconfirmed += taken && model->assumptions[a].confirmed_by == NULL;
    }
    text_add(out, known && n > 0 ? "needs " : "");
    amount_of(out, n, "assumption");
    if (unconfirmed > 0)
        text_printf(out, ", %u unconfirmed", unconfirmed);
}

static uint32_t names(const struct model *model,
                      const struct requirement_finding *finding)
{
    if (finding->need_state != NEED_KNOWN)
        return 0;
    return count(model, finding, is_needed) +
           count(model, finding, is_spare);
}

void assumed_add(struct text *out, const struct model *model,
                 const struct requirement_finding *finding)
{
    uint32_t n = names(model, finding);

    text_add(out, " · ");
    if (n > 0 && n <= MOST_NAMES)
        add_names(out, model, finding);
    else
        add_count(out, model, finding);
}

static const char *part_words(enum part part)
{
    switch (part) {
    case PART_NONE:
        return "the logic has no part in it: it stays kept when the "
               "actuators are commanded at will";
    case PART_NOT_KNOWN:
        return "not known whether the logic has a part in it";
    case PART_NOT_KNOWN_WIRING:
        return "not known whether it is kept by the wiring alone";
    case PART_WIRING:
        return "it stays kept whatever the programs command";
    case PART_NOT_ASKED:
    case PART_LOGIC: break;
    }
    return NULL;
}

void assumed_lines(struct text *out, const struct model *model,
                   const struct requirement_finding *finding,
                   unsigned indent)
{
    const char *part = part_words(finding->part);

    if (part != NULL) {
        text_pad(out, ' ', indent);
        text_printf(out, "%s\n", part);
    }
    if (names(model, finding) > MOST_NAMES) {
        text_pad(out, ' ', indent);
        add_names(out, model, finding);
        text_add(out, "\n");
    }
    if (finding->need_state == NEED_NOT_KNOWN) {
        text_pad(out, ' ', indent);
        text_add(out, "need not known: a limit was reached before it was "
                      "clear which assumptions it needs\n");
    }
}
