#include "study/question.h"

#include <string.h>

#include "base/arena.h"
#include "base/ensure.h"
#include "check/model.h"
#include "logic/saturate.h"

uint32_t answer_watch(const struct answer *answer, uint32_t watch)
{
    uint32_t i = 0;

    while (answer->slice->watches[i].number != watch) {
        i++;
        ENSURE(i < answer->slice->n_watches);
    }
    return i;
}

/* `until` in the order of the slice's watches. */
static const bool *order_until(const struct answer *answer,
                               const struct question *question)
{
    bool *until;

    if (question->until == NULL)
        return NULL;
    until = arena_array(answer->arena, question->n_watches, sizeof *until);
    for (uint32_t i = 0; i < question->n_watches; i++)
        until[answer_watch(answer, question->watches[i])] =
            question->until[i];
    return until;
}

static bool is_interrupted(void *context)
{
    const struct study_setting *setting = context;

    return setting->interrupted != NULL && setting->interrupted();
}

/* A walk over situations for a question of a control text alone, in nodes that
 * are looked at: about a second. */
enum { ALONE_WORK = 100000000 };

static struct explore_setting setting_of(const struct study *study,
                                         const struct question *question,
                                         const struct answer *answer)
{
    const struct study_setting *limits = &study->setting;
    struct explore_setting setting = {
        .most_situations = limits->most_situations,
        .most_bytes = limits->most_bytes,
        .interrupted = is_interrupted,
        .interrupted_context = (void *)limits,
        .threads = limits->threads,
        .progress = limits->progress,
        .progress_context = limits->progress_context,
        .fixed_first = question->fixed_first,
        .fixed_next = question->fixed_next,
        .most_effort = question->most_effort,
        .most_work = study->effort != 0 ? ALONE_WORK : 0,
    };

    if (question->most_situations != 0 &&
        (setting.most_situations == 0 ||
         question->most_situations < setting.most_situations))
        setting.most_situations = question->most_situations;
    setting.until = order_until(answer, question);
    return setting;
}

/* Fewer values than these are as quickly walked as cut. */
enum { COUNTER_VALUES = 4096 };

/* Variables of the texts that can hold many values, per cell. */
static const bool *counters(const struct study *study, struct arena *arena)
{
    const struct flat *flat = study->lowered->flat;
    bool *may = arena_array(arena, flat->n_cells + 1, sizeof *may);

    for (uint32_t i = 0; i < flat->n_cells; i++) {
        const struct flat_cell *cell = &flat->cells[i];

        may[i] = cell->kind == PLACE_SLOT &&
                 ((uint64_t)cell->high - (uint64_t)cell->low) /
                         (uint64_t)cell->unit > COUNTER_VALUES;
    }
    return may;
}

/* Cells that the machine has whatever is asked: variables of the texts, and
 * what is broken or dark.  Clocks, earlier values and what a requirement
 * remembers are there for those that read them. */
static bool is_always(const struct flat_cell *cell)
{
    return cell->kind == PLACE_SLOT || cell->kind == PLACE_PHASE ||
           cell->kind == PLACE_FAULT || cell->kind == PLACE_CAUSE ||
           cell->kind == PLACE_WAS_DARK;
}

/* All programs, all wiring, the mechanism, all assumptions. */
static void take_all(const struct study *study, struct answer *answer)
{
    const struct flat *flat = study->lowered->flat;
    struct slice_request *request = &answer->request;
    uint32_t *cells = arena_array(answer->arena, flat->n_cells + 1,
                                  sizeof *cells);
    uint32_t *assumptions = arena_array(answer->arena,
                                        flat->n_assumptions + 1,
                                        sizeof *assumptions);

    request->with_cells = cells;
    for (uint32_t i = 0; i < flat->n_cells; i++)
        if (is_always(&flat->cells[i]))
            cells[request->n_with_cells++] = i;
    request->with_assumptions = assumptions;
    request->n_with_assumptions = 0;
    for (uint32_t i = 0; i < flat->n_assumptions; i++)
        if (request->dropped == NULL || !request->dropped[i])
            assumptions[request->n_with_assumptions++] = i;
}

void answer_slice(struct study *study, const struct question *question,
                  struct answer *answer)
{
    memset(answer, 0, sizeof *answer);
    answer->arena = arena_new();
    answer->request = (struct slice_request){
        .watches = question->watches,
        .n_watches = question->n_watches,
        .ends = study->ends.at,
        .n_ends = (uint32_t)study->ends.n,
        .values = question->values,
        .n_values = question->n_values,
        .with_assumptions = question->with_assumptions,
        .n_with_assumptions = question->n_with_assumptions,
        .faults = question->faults,
        .allowed = question->allowed,
        .studied = question->studied,
        .n_studied = question->n_studied,
        .forbidden = question->forbidden,
        .n_forbidden = question->n_forbidden,
        .dropped = study->dropped,
        .free_times = question->free_times,
        .keep = study->keep,
    };
    if (study->setting.entire && !question->sliced)
        take_all(study, answer);
    answer->slice = slice_build(answer->arena, study->lowered->builder,
                                study->lowered->flat, &answer->request);
    if (!study->setting.whole)
        answer->slice = saturate(answer->arena, answer->slice,
                                 counters(study, answer->arena));
    answer->setting = setting_of(study, question, answer);
}

void answer_release(struct answer *answer)
{
    if (answer->exploration != NULL)
        exploration_free(answer->exploration);
    if (answer->arena != NULL)
        arena_free(answer->arena);
    memset(answer, 0, sizeof *answer);
}

bool question_has_times(struct study *study, const struct question *question)
{
    struct question timed = *question;
    struct answer answer;
    bool times;

    timed.free_times = false;
    answer_slice(study, &timed, &answer);
    times = answer.slice->has_times;
    answer_release(&answer);
    return times;
}
