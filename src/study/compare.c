#include "study/compare.h"

#include <string.h>

#include "base/arena.h"
#include "base/vec.h"
#include "check/model.h"
#include "engine/sequence.h"
#include "lower/lower.h"
#include "reference/machine.h"
#include "study/answer.h"
#include "study/complete.h"
#include "study/dead_end.h"

/* A comparison under way. */
struct comparing {
    struct arena *arena;
    struct comparison *out;
    struct twins *pair;
    enum sameness *output;
    VEC(struct difference) found;
    VEC(const uint32_t *) rows; /* per difference: its choices, or NULL */
};

/* One run: all outputs that still count, with at most so many faults. */
struct look {
    uint32_t faults;
    bool free_times;
    uint32_t *watches;
    bool *until;
    uint32_t n, n_wanted; /* the differences come first */
    struct question question;
    struct answer answer;
};

/* ---- what is asked ---- */

static bool is_found(const struct comparing *c, uint32_t output, bool new)
{
    for (size_t i = 0; i < c->found.n; i++)
        if (c->found.at[i].intended == MODEL_NONE &&
            c->found.at[i].output == output &&
            c->found.at[i].new_ahead == new)
            return true;
    return false;
}

static bool has_occurred(const struct comparing *c, uint32_t intended)
{
    for (size_t i = 0; i < c->found.n; i++)
        if (c->found.at[i].intended == intended)
            return true;
    return false;
}

static bool is_end(const struct study *study, uint32_t watch)
{
    for (size_t i = 0; i < study->ends.n; i++)
        if (study->ends.at[i] == watch)
            return true;
    return false;
}

static void add(struct look *look, uint32_t watch, bool wanted)
{
    look->watches[look->n] = watch;
    look->until[look->n++] = wanted;
    look->n_wanted += wanted;
}

/* Run-time errors of either text that are not known to be reachable yet. */
static void add_errors(const struct comparing *c, struct look *look)
{
    const struct study *study = &c->pair->study;

    for (uint32_t i = 0; i < c->pair->was.model->n_errors; i++)
        if (study->lowered->error[i] != FLAT_NONE &&
            !is_end(study, study->lowered->error[i]))
            add(look, study->lowered->error[i], false);
    for (uint32_t i = 0; i < c->pair->n_errors; i++)
        if (!is_end(study, c->pair->error + i))
            add(look, c->pair->error + i, false);
}

static void lay_out(const struct comparing *c, struct look *look)
{
    const struct twins *pair = c->pair;
    size_t most = (size_t)2 * pair->n_outputs + pair->was.model->n_errors +
                  pair->was.model->n_intended + pair->n_errors + 1;

    look->n = look->n_wanted = 0;
    look->watches = arena_array(c->arena, most, sizeof *look->watches);
    look->until = arena_array(c->arena, most, sizeof *look->until);
    for (uint32_t i = 0; i < 2 * pair->n_outputs; i++)
        if (!pair->outputs[i / 2].identical &&
            !is_found(c, i / 2, i % 2 == 0))
            add(look, pair->difference + i, true);
    for (uint32_t i = 0; i < pair->was.model->n_intended; i++)
        if (!has_occurred(c, i))
            add(look, pair->difference + 2 * pair->n_outputs + i, true);
    add_errors(c, look);
    look->question = (struct question){
        .watches = look->watches, .n_watches = look->n,
        .faults = look->faults, .free_times = look->free_times,
        .until = look->until};
}

/* ---- one run ---- */

/* A path ends at an error that was met; true when there was one. */
static bool end_at_errors(struct comparing *c, struct look *look)
{
    bool more = false;

    for (uint32_t i = look->n_wanted; i < look->n; i++) {
        if (answer_level(&look->answer, look->watches[i]) == 0)
            continue;
        vec_push(&c->pair->study.ends, look->watches[i]);
        more = true;
    }
    return more;
}

/* Anything that is not intended? */
static bool any_seen(const struct comparing *c, const struct look *look)
{
    uint32_t intended = c->pair->difference + 2 * c->pair->n_outputs;

    for (uint32_t i = 0; i < look->n_wanted; i++)
        if (look->watches[i] < intended &&
            answer_level(&look->answer, look->watches[i]) != 0)
            return true;
    return false;
}

/* Asks until no new error is met. */
static void ask(struct comparing *c, struct look *look)
{
    for (;;) {
        lay_out(c, look);
        answer_find(&c->pair->study, &look->question, &look->answer);
        if (look->free_times || !end_at_errors(c, look))
            return;
        c->out->up_to_error = true;
        answer_release(&look->answer);
    }
}

/* Nothing at all that speaks against being the same. */
static bool is_clear(const struct look *look)
{
    for (uint32_t i = 0; i < look->n; i++)
        if (answer_level(&look->answer, look->watches[i]) != 0)
            return false;
    return answer_complete(&look->answer) && !answer_dead_end(&look->answer);
}

static enum stop_reason stop_of(const struct look *look)
{
    enum stop_reason stop = answer_stop(&look->answer);

    if (stop == STOP_NONE && answer_dead_end(&look->answer))
        return STOP_DEAD_END;
    return stop;
}

/* ---- sequences ---- */

/* The rows of one version out of those of both. */
static const uint32_t *rows_of(const struct comparing *c,
                               const uint32_t *rows, uint32_t length,
                               bool of_new)
{
    const struct twins *pair = c->pair;
    uint32_t all = pair->study.model->n_choices;
    uint32_t n = (of_new ? pair->is : pair->was).model->n_choices;
    uint32_t *own = arena_array(c->arena, (size_t)length * n + 1,
                                sizeof *own);

    for (uint32_t scan = 0; scan < length; scan++)
        for (uint32_t i = 0; i < n; i++)
            own[(size_t)scan * n + i] =
                rows[(size_t)scan * all + (of_new ? pair->row[i] : i)];
    return own;
}

/* What the old version has for each intended difference at the last judging
 * goes to intended. */
static const struct replay *play(const struct comparing *c,
                                 const struct look *look,
                                 const struct replay_asked *asked,
                                 bool of_new, int64_t *intended)
{
    const struct model *model = c->pair->was.model;
    const struct code_expr **conditions = arena_array(
        c->arena, (size_t)model->n_intended + 1, sizeof *conditions);
    const struct step_question question = {conditions, model->n_intended,
                                           intended};
    struct step_setting setting =
        complete_setting(&c->pair->study, &look->answer);

    for (uint32_t i = 0; i < model->n_intended; i++)
        conditions[i] = model->intended[i].condition;
    if (!of_new)
        setting.question = &question;
    return replay_run(c->arena,
                      of_new ? c->pair->new_machine : c->pair->old_machine,
                      &setting, asked);
}

int64_t compare_value(const struct comparison *comparison,
                      const struct difference *difference, bool of_new,
                      uint32_t output, uint32_t scan)
{
    const struct replay *replay = of_new ? difference->is : difference->was;
    const struct twins_output *out = &comparison->outputs[output];
    const struct replay_scan *at = &replay->scans[scan];

    if (out->actuator != MODEL_NONE)
        return at->command[out->actuator];
    return machine_place(
        of_new ? comparison->new_machine : comparison->old_machine, at->state,
        (struct place_id){PLACE_SLOT, of_new ? out->is : out->was},
        INT64_MAX);
}

/* Does the reference interpreter show the same: all that drives the machine
 * agrees before the last scan, where the output differs in that direction? */
static const char *doubt(const struct comparing *c,
                         const struct difference *difference,
                         const int64_t *intended)
{
    const struct model *model = c->pair->was.model;
    uint32_t last = difference->level - 1;
    int64_t was, is;

    if (!difference->was->accepted)
        return difference->was->why_not;
    if (!difference->is->accepted)
        return difference->is->why_not;
    for (uint32_t scan = 0; scan < last; scan++)
        for (uint32_t i = 0; i < c->out->n_outputs; i++)
            if (c->out->outputs[i].drives &&
                compare_value(c->out, difference, false, i, scan) !=
                    compare_value(c->out, difference, true, i, scan))
                return "outputs differ before";
    was = compare_value(c->out, difference, false, difference->output, last);
    is = compare_value(c->out, difference, true, difference->output, last);
    if (!(difference->new_ahead ? was < is : is < was))
        return "the output does not differ";
    for (uint32_t i = 0; i < model->n_intended; i++)
        if (difference->intended == MODEL_NONE
                ? intended[i] && model->intended[i].actuator ==
                                     c->out->outputs[difference->output]
                                         .actuator
                : i == difference->intended && !intended[i])
            return "what is intended is not judged alike";
    return NULL;
}

/* Is a value decided in it that is not followed? */
static bool leans(const struct comparing *c, const struct sequence *sequence)
{
    const struct flat *flat = c->pair->study.lowered->flat;

    for (size_t i = 0;
         i < (size_t)sequence->length * sequence->n_choices; i++)
        if (sequence->decided[i] &&
            flat->choices[i % sequence->n_choices].kind == FLAT_ANY)
            return true;
    return false;
}

/* The number of the first difference that the same choices bring about. */
static uint32_t first_like(const struct comparing *c, const uint32_t *rows,
                           uint32_t length)
{
    size_t n = (size_t)length * c->pair->study.model->n_choices;
    uint32_t i = 0;

    while (i < c->found.n &&
           (rows == NULL || c->rows.at[i] == NULL ||
            c->found.at[i].level != length ||
            memcmp(c->rows.at[i], rows, n * sizeof *rows) != 0))
        i++;
    return i;
}

/* Plays it on both; they must show it. */
static void confirm(struct comparing *c, const struct look *look,
                    const uint32_t *rows, struct difference *found)
{
    int64_t *intended = arena_array(
        c->arena, (size_t)c->pair->was.model->n_intended + 1,
        sizeof *intended);
    struct replay_asked asked = {.length = found->level,
                                 .claim = REPLAY_ALLOWED};
    const char *why;

    asked.choices = rows_of(c, rows, found->level, false);
    found->was = play(c, look, &asked, false, intended);
    asked.choices = rows_of(c, rows, found->level, true);
    found->is = play(c, look, &asked, true, intended);
    if (found->intended != MODEL_NONE && found->was->accepted &&
        found->is->accepted)
        found->new_ahead =
            compare_value(c->out, found, false, found->output,
                          found->level - 1) <
            compare_value(c->out, found, true, found->output,
                          found->level - 1);
    why = doubt(c, found, intended);
    if (why != NULL)
        study_internal(&c->pair->study,
                       arena_printf(c->arena, "a difference of %u scans was "
                                    "not found by the reference "
                                    "interpreter: %s",
                                    (unsigned)found->level, why));
}

static struct difference difference_at(const struct comparing *c,
                                       const struct look *look,
                                       uint32_t watch)
{
    const struct twins *pair = c->pair;
    uint32_t at = watch - pair->difference, n = 2 * pair->n_outputs;

    return (struct difference){
        .output = at < n ? at / 2
                         : pair->was.model->intended[at - n].actuator,
        .intended = at < n ? MODEL_NONE : at - n,
        .new_ahead = at % 2 == 0, .faults = look->faults,
        .level = answer_level(&look->answer, watch)};
}

static void record(struct comparing *c, struct look *look, uint32_t watch)
{
    struct difference found = difference_at(c, look, watch);
    const struct sequence *sequence =
        answer_sequence(&c->pair->study, &look->answer, GOAL_WATCH,
                        answer_watch(&look->answer, watch));
    const uint32_t *rows =
        sequence == NULL ? NULL
                         : complete_rows(&c->pair->study, &look->answer,
                                         sequence);

    if (rows != NULL) {
        found.leans = leans(c, sequence);
        confirm(c, look, rows, &found);
    }
    found.like = first_like(c, rows, found.level);
    vec_push(&c->found, found);
    vec_push(&c->rows, rows);
}

static void record_all(struct comparing *c, struct look *look)
{
    for (uint32_t i = 0; i < look->n_wanted; i++)
        if (answer_level(&look->answer, look->watches[i]) != 0)
            record(c, look, look->watches[i]);
}

/* ---- the strengths ---- */

/* True when nothing differs but what is intended and everything was looked
 * at. */
static bool look_at(struct comparing *c, uint32_t faults,
                    struct compared *compared)
{
    struct look look = {.faults = faults, .free_times = true};
    bool clear;

    compared->asked = true;
    ask(c, &look);
    if (!is_clear(&look)) {
        answer_release(&look.answer);
        look.free_times = false;
        ask(c, &look);
    }
    clear = !any_seen(c, &look) && stop_of(&look) == STOP_NONE;
    compared->stop = stop_of(&look);
    compared->coverage = answer_coverage(&look.answer);
    record_all(c, &look);
    answer_release(&look.answer);
    return clear;
}

static void give(struct comparing *c, enum sameness sameness)
{
    for (uint32_t i = 0; i < c->out->n_outputs; i++)
        if (!is_found(c, i, true) && !is_found(c, i, false))
            c->output[i] = sameness;
        else
            c->output[i] = SAME_DIFFERENT;
}

static enum sameness whole(const struct comparing *c)
{
    enum sameness least = SAME_READ;

    for (uint32_t i = 0; i < c->out->n_outputs; i++)
        if (c->output[i] == SAME_DIFFERENT)
            return SAME_DIFFERENT;
    for (uint32_t i = 0; i < c->out->n_outputs; i++)
        if (c->output[i] < least)
            least = c->output[i];
    return least;
}

/* Everything that can be read: a proof or nothing. */
static bool same_for_what_is_read(struct comparing *c,
                                  const struct twins_asked *asked,
                                  struct diags *diags)
{
    struct twins_asked free_one = *asked;
    struct twins pair;
    struct look look = {.free_times = true};
    const char *why;
    bool same = false;

    free_one.read_free = true;
    why = twins_open(&pair, c->arena, &free_one, diags);
    if (why == NULL && !pair.rough) {
        c->pair = &pair;
        lay_out(c, &look);
        answer_find(&pair.study, &look.question, &look.answer);
        same = is_clear(&look);
        c->out->read.asked = true;
        c->out->read.stop = answer_stop(&look.answer);
        c->out->read.coverage = answer_coverage(&look.answer);
        answer_release(&look.answer);
    }
    if (why == NULL)
        c->out->internal_error = pair.study.internal_error;
    twins_close(&pair);
    return same;
}

static uint32_t most_faults(const struct model *model)
{
    uint32_t most = model->n_causes > 0;

    for (uint32_t i = 0; i < model->n_requirements; i++)
        if (model->requirements[i].despite + model->requirements[i].another >
            most)
            most = model->requirements[i].despite +
                   model->requirements[i].another;
    return most < model->n_causes ? most : model->n_causes;
}

static void look_under_review(struct comparing *c)
{
    struct comparison *out = c->out;

    out->faults = most_faults(c->pair->is.model);
    if (look_at(c, 0, &out->unbroken))
        give(c, out->faults == 0 ? SAME_REVIEW : SAME_UNBROKEN);
    else
        give(c, out->unbroken.stop == STOP_NONE ? SAME_UNBROKEN
                                                : SAME_NOT_KNOWN);
    if (out->faults == 0 || out->unbroken.stop == STOP_SIGNAL ||
        (c->pair->study.setting.quick && c->found.n > 0))
        return;
    look_at(c, out->faults, &out->review);
    if (out->review.stop == STOP_NONE)
        give(c, SAME_REVIEW);
    else
        give(c, out->unbroken.stop == STOP_NONE ? SAME_UNBROKEN
                                                : SAME_NOT_KNOWN);
}

/* Declared outputs of control text that have no partner. */
static uint32_t count_alone(const struct twins *pair)
{
    const struct model *was = pair->was.model, *is = pair->is.model;
    uint32_t n = 0;

    for (uint32_t i = 0; i < was->n_slots; i++)
        n += was->slots[i].output;
    for (uint32_t i = 0; i < is->n_slots; i++) {
        uint32_t partner = pair->slots[i];

        if (!is->slots[i].output)
            continue;
        if (partner != MODEL_NONE && was->slots[partner].output)
            n--;
        else
            n++;
    }
    return n;
}

static void take_over(struct comparing *c)
{
    struct comparison *out = c->out;

    out->was = c->pair->was;
    out->is = c->pair->is;
    out->old_machine = c->pair->old_machine;
    out->new_machine = c->pair->new_machine;
    out->slots = c->pair->slots;
    out->n_alone = count_alone(c->pair);
    out->outputs = c->pair->outputs;
    out->n_outputs = c->pair->n_outputs;
    c->output = arena_array(c->arena, (size_t)out->n_outputs + 1,
                            sizeof *c->output);
    out->output = c->output;
}

static void hand_out(struct comparing *c)
{
    struct comparison *out = c->out;
    struct difference *all = arena_array(c->arena, c->found.n + 1,
                                         sizeof *all);

    if (c->found.n > 0)
        memcpy(all, c->found.at, c->found.n * sizeof *all);
    out->differences = all;
    out->n_differences = (uint32_t)c->found.n;
    out->sameness = whole(c);
    for (uint32_t i = 0; i < out->n_differences; i++)
        out->n_intended += all[i].intended != MODEL_NONE;
    if (out->internal_error == NULL)
        out->internal_error = c->pair->study.internal_error;
    vec_release(&c->found);
    vec_release(&c->rows);
}

const struct comparison *compare_versions(struct arena *arena,
                                          const struct twins_asked *asked,
                                          struct diags *diags)
{
    struct comparison *out = ARENA_NEW(arena, struct comparison);
    struct comparing c = {.arena = arena, .out = out};
    struct twins pair;
    const char *why = twins_open(&pair, arena, asked, diags);
    bool same;

    if (why != NULL) {
        out->refused = why;
        twins_close(&pair);
        return *why == '\0' ? NULL : out;
    }
    same = same_for_what_is_read(&c, asked, diags);
    c.pair = &pair;
    take_over(&c);
    if (same)
        give(&c, SAME_READ);
    else
        look_under_review(&c);
    hand_out(&c);
    twins_close(&pair);
    return out;
}

int compare_exit_code(const struct comparison *comparison)
{
    bool sure = false;

    if (comparison->internal_error != NULL)
        return 4;
    for (uint32_t i = 0; i < comparison->n_differences; i++)
        sure |= !comparison->differences[i].leans &&
                comparison->differences[i].intended == MODEL_NONE;
    if (comparison->sameness == SAME_DIFFERENT)
        return sure ? 1 : 3;
    if (comparison->sameness < SAME_REVIEW || comparison->up_to_error)
        return 3;
    return comparison->n_alone > 0 ||
           comparison->n_intended < comparison->was.model->n_intended;
}
