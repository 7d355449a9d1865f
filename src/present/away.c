#include "present/away.h"

#include "base/text.h"
#include "check/model.h"
#include "check/pace.h"
#include "present/amount.h"
#include "study/away.h"
#include "study/findings.h"

static void add_time(struct text *out, const struct model *model,
                     uint64_t scans)
{
    uint64_t scan = (uint64_t)pace_shortest(model);

    amount_long(out, scans > UINT64_MAX / scan ? UINT64_MAX : scans * scan);
}

void away_scans(struct text *out, const struct model *model, uint64_t scans)
{
    amount_of(out, scans, "scan");
    text_add(out, " (");
    add_time(out, model, scans);
    text_add(out, " at ");
    amount_seconds(out, pace_shortest(model));
    text_add(out, " a scan) from power-up");
}

void away_condition(struct text *out, const struct findings *findings)
{
    uint32_t nearest = findings_nearest_away(findings);

    if (nearest == findings->n_errors)
        return;
    text_printf(out, "· up to error E%u, not before ", nearest + 1);
    add_time(out, findings->model, findings->errors[nearest].away);
    text_add(out, "   ");
}

/* A counter that would get there. */
static void add_advice(struct text *out, const struct model *model,
                       const struct error_finding *finding, int indent)
{
    enum error_kind kind = model->errors[finding->site].kind;

    if (kind != ERROR_OVERFLOW && kind != ERROR_SUBRANGE &&
        kind != ERROR_INDEX && kind != ERROR_CONVERSION)
        return;
    text_pad(out, ' ', indent);
    text_add(out, "to exclude it, let it count no further than is needed: "
                  "IF n < 30000 THEN n := n + 1; END_IF\n");
    if (kind != ERROR_OVERFLOW)
        return;
    text_pad(out, ' ', indent);
    text_add(out, "or, if the controller does not stop there, say in the "
                  "review text what it does: CONTROLLER OVERFLOW\n");
}

void away_error(struct text *out, const struct model *model,
                const struct error_finding *finding, int indent)
{
    text_pad(out, ' ', indent);
    text_add(out, "cannot occur before ");
    away_scans(out, model, finding->away);
    text_add(out, "\n");
    text_pad(out, ' ', indent);
    text_add(out, "so far away nothing is looked for: more than ");
    amount_of(out, away_walked(model), "scan");
    text_add(out, "\n");
    add_advice(out, model, finding, indent);
}
