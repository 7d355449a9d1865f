#include "tests/bench/contest.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "tests/bench/engines.h"
#include "tests/bench/found.h"
#include "tests/bench/native.h"

static const double PROBE_SECONDS = 1;

double contest_rate(const struct found *found)
{
    double n = found->complete ? found->situations : found->expanded;

    return n / (found->seconds > 1e-7 ? found->seconds : 1e-7);
}

void contest_gate(struct contest *contest, const char *by,
                  const struct found *found)
{
    if (found->failed)
        return;
    if (contest->known_by && !contest->different &&
        !found_agree(contest->known_by, contest->known, by, found)) {
        contest->different = true;
        report_different(contest->report, contest->model);
    }
    if (contest->known_by && (contest->known->complete ||
                              contest->known->levels >= found->levels))
        return;
    contest->known_by = by;
    *contest->known = *found;
}

/* A run that came to its end is better than any that did not. */
static bool is_better(const struct found *a, const struct found *b,
                      bool until)
{
    bool a_ended = a->complete || (until && a->watch_level);
    bool b_ended = b->complete || (until && b->watch_level);

    if (a_ended != b_ended)
        return a_ended;
    if (a_ended)
        return a->seconds < b->seconds;
    return contest_rate(a) > contest_rate(b);
}

static bool takes_part(const struct engine *engine, enum contest_whom whom)
{
    return whom == ANY_ENGINE || engine->is_set == (whom == SETS_ALONE);
}

static void probe(struct contest *contest, double most_seconds)
{
    const struct engine_task task = {.slice = contest->question.slice,
                                     .most_seconds = most_seconds,
                                     .until = contest->until};
    struct found *best = calloc(3, sizeof *best);
    struct found *found = calloc(1, sizeof *found);
    const struct engine *engine;

    for (uint32_t i = 0; (engine = engine_at(i)) != NULL; i++) {
        engine->run(&task, found);
        contest_gate(contest, engine->name, found);
        for (int w = ANY_ENGINE; w <= SETS_ALONE; w++) {
            if (!takes_part(engine, (enum contest_whom)w) ||
                (contest->best[w] &&
                 !is_better(found, &best[w], contest->until)))
                continue;
            contest->best[w] = engine;
            best[w] = *found;
        }
    }
    free(best);
    free(found);
}

void contest_open(struct contest *contest, struct report *report,
                  const char *model, double most_seconds)
{
    contest->report = report;
    contest->model = model;
    contest->known = calloc(1, sizeof *contest->known);
    probe(contest, most_seconds);
}

void contest_open_text(struct contest *contest, struct report *report,
                       const char *model, const char *requirement)
{
    struct text path = {0};

    text_printf(&path, "tests/bench/models/%s.review", model);
    contest->question = question_open(text_str(&path), requirement);
    text_release(&path);
    contest_open(contest, report, model, PROBE_SECONDS);
}

void contest_close(struct contest *contest)
{
    native_free(contest->native);
    free(contest->known);
    if (contest->question.texts)
        question_close(&contest->question);
}
