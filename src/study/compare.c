#include "study/compare.h"

#include <string.h>

#include "base/arena.h"
#include "base/vec.h"
#include "check/model.h"
#include "engine/sequence.h"
#include "lower/lower.h"
#include "reference/machine.h"
#include "study/apart.h"
#include "study/became.h"
#include "study/complete.h"
#include "study/dead_end.h"

/* About what outputs do before another one differs. */
enum { MOST_QUESTIONS = 10 };

/* A comparison under way. */
struct comparing {
    struct arena *arena;
    struct comparison *out;
    struct twins *pair;
    enum sameness *output;
    enum sameness *unbroken; /* the same with nothing broken */
    bool *open;              /* per output: not everything was looked at */
    struct perhaps *perhaps; /* as findings have it */
    struct apart_bound bound;
    VEC(struct difference) found;
    VEC(const uint32_t *) rows; /* per difference: its choices, or NULL */
};

/* A difference that was found, and the answer that shows it. */
struct shown {
    struct answer *answer;
    uint32_t watch;   /* counted from the first of the differences */
    uint32_t level, faults;
};

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

static bool is_intended(const struct comparing *c, uint32_t watch)
{
    return watch >= 2 * c->pair->n_outputs;
}

/* Was it found with fewer faults? */
static bool is_known(const struct comparing *c, uint32_t watch)
{
    return is_intended(c, watch)
               ? has_occurred(c, watch - 2 * c->pair->n_outputs)
               : is_found(c, watch / 2, watch % 2 == 0);
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
                                 const struct shown *shown,
                                 const struct replay_asked *asked,
                                 bool of_new, int64_t *intended)
{
    const struct model *model = c->pair->was.model;
    const struct code_expr **conditions = arena_array(
        c->arena, (size_t)model->n_intended + 1, sizeof *conditions);
    const struct step_question question = {conditions, model->n_intended,
                                           intended};
    struct step_setting setting =
        complete_setting(&c->pair->study, shown->answer);

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

/* Plays it on both; where they do not show it, why. */
static const char *play_both(const struct comparing *c,
                             const struct shown *shown, const uint32_t *rows,
                             struct difference *found)
{
    int64_t *intended = arena_array(
        c->arena, (size_t)c->pair->was.model->n_intended + 1,
        sizeof *intended);
    struct replay_asked asked = {.length = found->level,
                                 .claim = REPLAY_ALLOWED};
    uint32_t last = found->level - 1;

    asked.choices = rows_of(c, rows, found->level, false);
    found->was = play(c, shown, &asked, false, intended);
    asked.choices = rows_of(c, rows, found->level, true);
    found->is = play(c, shown, &asked, true, intended);
    if (found->intended != MODEL_NONE && found->was->accepted &&
        found->is->accepted)
        found->new_ahead =
            compare_value(c->out, found, false, found->output, last) <
            compare_value(c->out, found, true, found->output, last);
    return doubt(c, found, intended);
}

static struct difference difference_at(const struct comparing *c,
                                       const struct shown *shown)
{
    const struct twins *pair = c->pair;
    uint32_t at = shown->watch, n = 2 * pair->n_outputs;

    return (struct difference){
        .output = at < n ? at / 2
                         : pair->was.model->intended[at - n].actuator,
        .intended = at < n ? MODEL_NONE : at - n,
        .new_ahead = at % 2 == 0, .faults = shown->faults,
        .level = shown->level};
}

/* Nobody need look behind the scan in which it holds. */
static const struct sequence *sequence_to(const struct comparing *c,
                                          const struct shown *shown)
{
    struct answer *answer = shown->answer;
    uint32_t watch =
        answer_watch(answer, c->pair->difference + shown->watch);
    const bool *all = answer->setting.until;
    bool *until = arena_array(answer->arena,
                              (size_t)answer->slice->n_watches + 1,
                              sizeof *until);
    const struct sequence *found;

    until[watch] = true;
    answer->setting.until = until;
    found = answer_sequence(&c->pair->study, answer, GOAL_WATCH, watch);
    answer->setting.until = all;
    return found;
}

static void record(struct comparing *c, const struct shown *shown)
{
    struct difference found = difference_at(c, shown);
    struct study *study = &c->pair->study;
    const struct sequence *sequence = sequence_to(c, shown);
    const uint32_t *rows =
        sequence == NULL ? NULL
                         : complete_rows(study, shown->answer, sequence);

    if (rows != NULL) {
        const char *why;

        found.leans = leans(c, sequence);
        why = play_both(c, shown, rows, &found);
        if (why != NULL)
            study_internal(study, arena_printf(
                c->arena, "a difference of %u scans was not found by the "
                "reference interpreter: %s", (unsigned)found.level, why));
    }
    found.like = first_like(c, rows, found.level);
    vec_push(&c->found, found);
    vec_push(&c->rows, rows);
}

/* Of one that can only occur behind the first difference of another output:
 * does it before? */
static void look_before(struct comparing *c, struct apart *apart,
                        uint32_t watch)
{
    struct answer answer = {0};
    enum stop_reason stop;
    const struct shown shown = {
        .answer = &answer, .watch = watch, .faults = apart->faults,
        .level = apart_before(apart, watch, &answer, &stop)};

    if (shown.level != 0)
        record(c, &shown);
    else if (stop != STOP_NONE)
        c->perhaps[watch] = (struct perhaps){apart->level[watch],
                                             apart->faults};
    answer_release(&answer);
}

/* Those of a number of faults that were not found with fewer. */
static void record_all(struct comparing *c, struct apart *apart)
{
    uint32_t first = apart_first(apart);

    for (uint32_t i = 0; i < apart->n; i++) {
        struct shown shown = {.watch = i, .level = apart->level[i],
                              .faults = apart->faults};

        if (shown.level == 0 || is_known(c, i))
            continue;
        c->perhaps[i].level = 0;
        shown.answer =
            &apart->at[apart->of[apart_output(apart, i)]].answer;
        if (shown.level <= first)
            record(c, &shown);
        else
            look_before(c, apart, i);
    }
}

/* ---- the strengths ---- */

/* True when nothing differs but what is intended and everything was looked
 * at. */
static void look_at(struct comparing *c, uint32_t faults,
                    struct compared *compared)
{
    const struct apart_asked asked = {.faults = faults,
                                      .bound = c->bound};
    struct apart apart;

    memset(c->open, 0, c->out->n_outputs * sizeof *c->open);
    apart_find(&apart, c->arena, c->pair, &asked);
    c->out->up_to_error |= apart.up_to_error;
    compared->asked = true;
    for (uint32_t i = 0; i < apart.n_answers; i++) {
        if (apart.at[i].stop == STOP_NONE || compared->stop != STOP_NONE)
            continue;
        compared->stop = apart.at[i].stop;
        compared->coverage = answer_coverage(&apart.at[i].answer);
    }
    for (uint32_t i = 0; i < apart.n; i++)
        if (apart_stop(&apart, i) != STOP_NONE)
            c->open[apart_output(&apart, i)] = true;
    record_all(c, &apart);
    c->bound = apart.bound;
    apart_release(&apart);
}

/* What is open of an output, not every way was looked at. */
static bool is_open(const struct comparing *c, uint32_t output)
{
    return c->open[output] || c->perhaps[2 * output].level != 0 ||
           c->perhaps[2 * output + 1].level != 0;
}

/* What each output is with so many faults; open: where it is not known. */
static void give(struct comparing *c, enum sameness sameness,
                 enum sameness open)
{
    for (uint32_t i = 0; i < c->out->n_outputs; i++)
        if (is_found(c, i, true) || is_found(c, i, false))
            c->output[i] = SAME_DIFFERENT;
        else
            c->output[i] = is_open(c, i) ? open : sameness;
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
    static const struct apart_asked any = {.free_times = true,
                                           .first_only = true};
    struct twins_asked free_one = *asked;
    struct twins pair;
    struct apart apart;
    const char *why;
    bool same = false;

    free_one.way = TWINS_READ_FREE;
    why = twins_open(&pair, c->arena, &free_one, diags);
    if (why == NULL && !pair.rough) {
        apart_find(&apart, c->arena, &pair, &any);
        same = !apart.up_to_error;
        for (uint32_t i = 0; i < apart.n; i++)
            same = same && apart.level[i] == 0 &&
                   apart_stop(&apart, i) == STOP_NONE;
        apart_release(&apart);
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
    look_at(c, 0, &out->unbroken);
    give(c, out->faults == 0 ? SAME_REVIEW : SAME_UNBROKEN, SAME_NOT_KNOWN);
    if (out->faults == 0 || out->unbroken.stop == STOP_SIGNAL ||
        (c->pair->study.setting.quick && c->found.n > 0))
        return;
    memcpy(c->unbroken, c->output, out->n_outputs * sizeof *c->unbroken);
    look_at(c, out->faults, &out->review);
    give(c, SAME_REVIEW, SAME_NOT_KNOWN);
    for (uint32_t i = 0; i < out->n_outputs; i++)
        if (c->output[i] == SAME_NOT_KNOWN)
            c->output[i] = c->unbroken[i];
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
    c->unbroken = arena_array(c->arena, (size_t)out->n_outputs + 1,
                              sizeof *c->unbroken);
    c->open = arena_array(c->arena, (size_t)out->n_outputs + 1,
                          sizeof *c->open);
    c->perhaps = arena_array(c->arena, (size_t)2 * out->n_outputs +
                                           out->was.model->n_intended + 1,
                             sizeof *c->perhaps);
    out->perhaps = c->perhaps;
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

/* With as many faults as the first difference needs. */
static void ask_what_became(struct comparing *c,
                            const struct study_setting *setting)
{
    const struct comparison *out = c->out;
    bool *differs = arena_array(c->arena, (size_t)out->n_outputs + 1,
                                sizeof *differs);
    struct became_asked asked = {
        .was = out->was.model, .is = out->is.model, .slots = out->slots,
        .outputs = out->outputs, .n_outputs = out->n_outputs,
        .differs = differs, .faults = UINT32_MAX, .setting = setting};

    for (uint32_t i = 0; i < out->n_differences; i++) {
        differs[out->differences[i].output] = true;
        if (out->differences[i].faults < asked.faults)
            asked.faults = out->differences[i].faults;
    }
    c->out->became = became_find(c->arena, &asked);
}

const struct comparison *compare_versions(struct arena *arena,
                                          const struct twins_asked *asked,
                                          struct diags *diags)
{
    struct comparison *out = ARENA_NEW(arena, struct comparison);
    struct comparing c = {.arena = arena, .out = out,
                          .bound = {UINT32_MAX, MOST_QUESTIONS}};
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
        give(&c, SAME_READ, SAME_NOT_KNOWN);
    else
        look_under_review(&c);
    hand_out(&c);
    if (out->n_differences > 0 && !asked->setting->quick)
        ask_what_became(&c, asked->setting);
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
