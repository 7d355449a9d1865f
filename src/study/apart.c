#include "study/apart.h"

#include "base/arena.h"
#include "check/model.h"
#include "study/dead_end.h"
#include "study/memo.h"

/* Of the engine, for the question about what several outputs do together: a
 * second or two. */
enum { MOST_EFFORT = 5000000 };

uint32_t apart_output(const struct apart *apart, uint32_t watch)
{
    uint32_t n = 2 * apart->pair->n_outputs;

    return watch < n
               ? watch / 2
               : apart->pair->was.model->intended[watch - n].actuator;
}

/* ---- which are asked together ---- */

/* The question about the outputs of an answer. */
static void lay_out(const struct apart *apart, uint32_t answer,
                    struct question *question)
{
    uint32_t *watches = arena_array(apart->arena, apart->n + 1,
                                    sizeof *watches);
    bool *until = arena_array(apart->arena, apart->n + 1, sizeof *until);

    *question = (struct question){.watches = watches, .until = until,
                                  .faults = apart->faults, .apart = true};
    for (uint32_t i = 0; i < apart->n; i++) {
        if (apart->of[apart_output(apart, i)] != answer)
            continue;
        until[question->n_watches] = true;
        watches[question->n_watches++] = apart->pair->difference + i;
    }
}

static struct memo_core core_of(const struct apart *apart, uint32_t answer)
{
    struct question question;
    struct answer slice;
    struct memo_core core;

    lay_out(apart, answer, &question);
    answer_slice(&apart->pair->study, &question, &slice);
    core = memo_core(&apart->pair->study, &slice);
    answer_release(&slice);
    return core;
}

static void group(struct apart *apart)
{
    uint32_t n = apart->pair->n_outputs;
    uint32_t *of = arena_array(apart->arena, (size_t)n + 1, sizeof *of);
    struct memo_core *cores = arena_array(apart->arena, (size_t)n + 1,
                                          sizeof *cores);

    apart->of = of;
    for (uint32_t i = 0; i < n; i++)
        of[i] = MODEL_NONE;
    for (uint32_t i = 0; i < n; i++) {
        uint32_t k = 0;

        if (apart->pair->outputs[i].identical)
            continue;
        of[i] = apart->n_answers;
        cores[apart->n_answers] = core_of(apart, apart->n_answers);
        while (!memo_same(&cores[k], &cores[apart->n_answers]))
            k++;
        of[i] = k;
        apart->n_answers += k == apart->n_answers;
    }
    apart->at = arena_array(apart->arena, (size_t)apart->n_answers + 1,
                            sizeof *apart->at);
}

/* ---- asking ---- */

static enum stop_reason stop_of(const struct answer *answer)
{
    enum stop_reason stop = answer_stop(answer);

    if (stop == STOP_NONE && answer_dead_end(answer))
        return STOP_DEAD_END;
    return stop;
}

/* With movements that take any time: what is never seen then need not be
 * asked for again.  False when nothing is left. */
static bool leave_out(const struct apart *apart, struct question *question)
{
    struct question free_one = *question;
    uint32_t *watches = (uint32_t *)question->watches, n = 0;
    struct answer answer;

    free_one.free_times = true;
    answer_find(&apart->pair->study, &free_one, &answer);
    for (uint32_t i = 0; i < question->n_watches; i++)
        if (answer_level(&answer, watches[i]) != 0 ||
            stop_of(&answer) != STOP_NONE)
            watches[n++] = watches[i];
    question->n_watches = n;
    answer_release(&answer);
    return n > 0;
}

/* True when something differs, or it is not known. */
static bool ask(struct apart *apart, uint32_t answer, bool free_times)
{
    struct apart_answer *at = &apart->at[answer];
    struct question question;
    bool seen = false;

    lay_out(apart, answer, &question);
    question.free_times = free_times;
    if (!free_times && !apart->pair->study.setting.timed &&
        question_has_times(&apart->pair->study, &question) &&
        !leave_out(apart, &question))
        return false;
    answer_find(&apart->pair->study, &question, &at->answer);
    at->stop = stop_of(&at->answer);
    for (uint32_t i = 0; i < question.n_watches; i++) {
        uint32_t level = answer_level(&at->answer, question.watches[i]);

        apart->level[question.watches[i] - apart->pair->difference] = level;
        seen = seen || level != 0;
    }
    return seen || at->stop != STOP_NONE;
}

/* ---- run-time errors ---- */

static bool is_end(const struct study *study, uint32_t watch)
{
    for (size_t i = 0; i < study->ends.n; i++)
        if (study->ends.at[i] == watch)
            return true;
    return false;
}

/* Can it be reached, or is that not known?  A path ends there in any case. */
static bool error_met(const struct apart *apart, uint32_t watch)
{
    const bool until = true;
    struct question question = {.watches = &watch, .n_watches = 1,
                                .until = &until, .faults = apart->faults,
                                .free_times = true, .apart = true};
    bool met = true;

    for (int i = 0; i < 2 && met; i++) {
        struct answer answer;

        answer_find(&apart->pair->study, &question, &answer);
        met = answer_level(&answer, watch) != 0 ||
              answer_stop(&answer) != STOP_NONE;
        answer_release(&answer);
        question.free_times = false;
    }
    return met;
}

static void end_at(struct apart *apart, uint32_t watch)
{
    if (is_end(&apart->pair->study, watch) || !error_met(apart, watch))
        return;
    vec_push(&apart->pair->study.ends, watch);
    apart->up_to_error = true;
}

/* Paths end at errors of either version. */
static void end_at_errors(struct apart *apart)
{
    const struct twins *pair = apart->pair;

    for (uint32_t i = 0; i < pair->was.model->n_errors; i++)
        if (pair->study.lowered->error[i] != FLAT_NONE)
            end_at(apart, pair->study.lowered->error[i]);
    for (uint32_t i = 0; i < pair->n_errors; i++)
        end_at(apart, pair->error + i);
}

/* ---- the whole ---- */

void apart_find(struct apart *apart, struct arena *arena, struct twins *pair,
                const struct apart_asked *asked)
{
    *apart = (struct apart){
        .pair = pair, .arena = arena, .faults = asked->faults,
        .bound = asked->bound,
        .n = 2 * pair->n_outputs + pair->was.model->n_intended};
    apart->level = arena_array(arena, (size_t)apart->n + 1,
                               sizeof *apart->level);
    end_at_errors(apart);
    group(apart);
    for (uint32_t i = 0; i < apart->n_answers; i++)
        if (ask(apart, i, asked->free_times) && asked->first_only)
            return;
}

void apart_release(struct apart *apart)
{
    for (uint32_t i = 0; i < apart->n_answers; i++)
        answer_release(&apart->at[i].answer);
    apart->n_answers = 0;
}

enum stop_reason apart_stop(const struct apart *apart, uint32_t watch)
{
    uint32_t answer = apart->of[apart_output(apart, watch)];

    return answer == MODEL_NONE ? STOP_NONE : apart->at[answer].stop;
}

/* ---- before others ---- */

/* No difference of an output in this or any earlier scan is known of, and
 * none was overlooked. */
static uint32_t differs_at(const struct apart *apart, uint32_t output)
{
    uint32_t least = UINT32_MAX, answer = apart->of[output];

    if (answer == MODEL_NONE || !apart->pair->outputs[output].drives)
        return least;
    if (apart->at[answer].stop != STOP_NONE)
        least = apart->at[answer].answer.reach->levels + 1;
    for (uint32_t i = 0; i < apart->n; i++)
        if (apart_output(apart, i) == output && apart->level[i] != 0 &&
            apart->level[i] < least)
            least = apart->level[i];
    return least;
}

uint32_t apart_first(const struct apart *apart)
{
    uint32_t least = UINT32_MAX;

    for (uint32_t i = 0; i < apart->pair->n_outputs; i++)
        if (differs_at(apart, i) < least)
            least = differs_at(apart, i);
    return least;
}

/* Outputs that may differ before a scan. */
static uint32_t count_before(const struct apart *apart, uint32_t before)
{
    uint32_t n = 0;

    for (uint32_t i = 0; i < apart->pair->n_outputs; i++)
        n += differs_at(apart, i) < before;
    return n;
}

/* The ends of the study, and behind the difference of each of those. */
static uint32_t *ends_before(const struct apart *apart, uint32_t before)
{
    const struct study *study = &apart->pair->study;
    size_t n = study->ends.n;
    uint32_t *ends = arena_array(
        apart->arena, n + count_before(apart, before) + 1, sizeof *ends);

    for (size_t i = 0; i < n; i++)
        ends[i] = study->ends.at[i];
    for (uint32_t i = 0; i < apart->pair->n_outputs; i++)
        if (differs_at(apart, i) < before)
            ends[n++] = apart->pair->parted[i];
    return ends;
}

/* One question with those ends; the first scan or 0.  The answer reads what it
 * was asked as long as it lives. */
static uint32_t ask_before(const struct apart *apart, uint32_t watch,
                           uint32_t before, struct answer *answer)
{
    const bool until = true;
    uint32_t *number = arena_array(apart->arena, 1, sizeof *number);
    const struct question question = {
        .watches = number, .n_watches = 1, .until = &until,
        .faults = apart->faults, .most_effort = MOST_EFFORT, .apart = true};
    struct study *study = &apart->pair->study;
    uint32_t *kept = study->ends.at;
    size_t n_kept = study->ends.n;
    uint32_t n = count_before(apart, before);

    *number = apart->pair->difference + watch;
    study->ends.at = ends_before(apart, before);
    study->ends.n = n_kept + n;
    answer_find(study, &question, answer);
    study->ends.at = kept;
    study->ends.n = n_kept;
    return answer_level(answer, *number);
}

uint32_t apart_before(struct apart *apart, uint32_t watch,
                      struct answer *answer, enum stop_reason *stop)
{
    uint32_t level = apart->level[watch];
    uint32_t n = count_before(apart, level), more;

    *stop = STOP_SITUATIONS;
    while (n < apart->bound.too_many && apart->bound.left > 0) {
        apart->bound.left--;
        level = ask_before(apart, watch, level, answer);
        *stop = level != 0 ? STOP_NONE : stop_of(answer);
        if (*stop != STOP_NONE)
            apart->bound.too_many = n;
        more = level == 0 ? n : count_before(apart, level);
        if (more == n)
            return level;
        answer_release(answer);
        n = more;
        *stop = STOP_SITUATIONS;
    }
    return 0;
}
