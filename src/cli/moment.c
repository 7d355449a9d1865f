#include "cli/moment.h"

#include <math.h>
#include <stdlib.h>

#include "base/text.h"
#include "check/model.h"
#include "cli/exit.h"
#include "cli/options.h"
#include "cli/out.h"
#include "present/causes.h"
#include "present/needwords.h"
#include "reference/replay.h"
#include "study/findings.h"
#include "study/load.h"
#include "study/needs.h"
#include "study/shown.h"
#include "study/why.h"

static const struct requirement_finding *
with_sequence(const struct findings *findings)
{
    for (uint32_t i = 0; i < findings->n_requirements; i++)
        if (findings->requirements[i].sequence != NULL)
            return &findings->requirements[i];
    return NULL;
}

/* The scan that is judged at that time, from 1; 0 after a complaint. */
static uint32_t scan_at(const struct moment *moment,
                        const struct replay *sequence)
{
    char *end;
    double seconds = strtod(moment->options->at, &end);
    double scan = round(seconds * 1000 / (double)moment->loaded->model->scan);

    if (end != moment->options->at && *end == '\0' && scan >= 0 &&
        scan < sequence->n_scans)
        return (uint32_t)scan + 1;
    out_complain("--at takes seconds from 0 to %.1f, where this sequence "
                 "ends, not '%s'",
                 (sequence->n_scans - 1) *
                     (double)moment->loaded->model->scan / 1000,
                 moment->options->at);
    return 0;
}

static void thing_of(const struct model *model, const struct shown *shown,
                     enum trace_thing *thing, uint32_t *index)
{
    *thing = shown->kind == SHOWN_SLOT ? THING_SLOT : THING_HAND;
    *index = shown->kind == SHOWN_CONTACT
                 ? model->contacts[shown->index].control : shown->index;
}

/* BOOL variables only: there is one other value. */
static void otherwise(const struct moment *moment, const struct why *why)
{
    const struct fact *fact = &why->steps[0].fact;
    const struct model *model = moment->loaded->model;

    if (fact->thing != THING_SLOT ||
        model->slots[fact->index].type->kind != TYPE_BOOL)
        return;
    text_add(moment->out, "\n      To be otherwise:\n");
    needwords_add(moment->out, model,
                  needs_of_slot(moment->loaded->arena, model, fact->index,
                                !fact->value),
                  moment->loaded->sources);
}

static void explain(const struct moment *moment,
                    const struct requirement_finding *finding,
                    const struct shown *shown, uint32_t scan)
{
    const struct model *model = moment->loaded->model;
    const struct trace *trace =
        why_trace(moment->loaded->arena, model, finding->requirement,
                  finding->sequence);
    enum trace_thing thing;
    const struct why *why;
    uint32_t index;

    thing_of(model, shown, &thing, &index);
    if (scan < trace->first)
        scan = trace->first;
    why = why_value(moment->loaded->arena, trace, thing, index, scan);
    text_printf(moment->out, "%s, %s s into the sequence of %s\n\n",
                shown->name, moment->options->at,
                model->requirements[finding->requirement].name->spelling);
    causes_add(moment->out, why, moment->loaded->sources);
    otherwise(moment, why);
    text_add(moment->out, "\n");
}

int moment_explain(const struct moment *moment)
{
    const struct requirement_finding *finding =
        with_sequence(moment->findings);
    struct shown_list shown;
    uint32_t scan;

    if (finding == NULL) {
        out_complain("no requirement that is asked for has a sequence; "
                     "--only R1 names one that is broken, or a POSSIBLE");
        return CLI_INPUT;
    }
    shown = shown_read(moment->loaded->arena, moment->loaded->names,
                       moment->loaded->model, moment->options->of);
    if (shown.failure != NULL || shown.n != 1) {
        out_complain("--of: %s", shown.failure != NULL
                                     ? shown.failure
                                     : "name one variable or control");
        return CLI_INPUT;
    }
    scan = scan_at(moment, finding->sequence);
    if (scan == 0)
        return CLI_INPUT;
    explain(moment, finding, &shown.at[0], scan);
    return 0;
}
