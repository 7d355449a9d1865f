#include "cli/moment.h"

#include <stdlib.h>

#include "base/text.h"
#include "check/model.h"
#include "check/pace.h"
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

/* Halfway from a scan to the next one, ms. */
static double between(const struct model *model,
                      const struct replay *sequence, uint32_t scan)
{
    return (double)(replay_time(model, sequence, scan) +
                    replay_time(model, sequence, scan + 1)) / 2;
}

/* The scan that is judged nearest to that time, from 1; 0 after a complaint. */
static uint32_t scan_at(const struct moment *moment,
                        const struct replay *sequence)
{
    const struct model *model = moment->loaded->model;
    uint32_t last = sequence->n_scans - 1, scan = 0;
    double room = (double)pace_shortest(model) / 2;
    double ends = (double)replay_time(model, sequence, last);
    char *end;
    double ms = strtod(moment->options->at, &end) * 1000;

    if (end != moment->options->at && *end == '\0' && ms > -room &&
        ms < ends + room) {
        while (scan < last && between(model, sequence, scan) <= ms)
            scan++;
        return scan + 1;
    }
    out_complain("--at takes seconds from 0 to %.1f, where this sequence "
                 "ends, not '%s'", ends / 1000, moment->options->at);
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
