#include "study/pair.h"

#include <string.h>

#include "base/arena.h"
#include "check/model.h"
#include "logic/carry.h"
#include "study/answer.h"
#include "study/memo.h"

/* Enough for what one copy brings to show in the others, one after another. */
enum { ROUNDS = 64 };

/* Of the engine for one question, so that one change does not hold up all
 * others: some twenty seconds. */
enum { MOST_EFFORT = 200000000 };

/* A question about outputs that have the same situations. */
struct asking {
    struct study *study; /* of both */
    uint32_t faults;
    uint64_t most_effort;
    uint32_t *watches;
    bool *until;
    uint32_t n_watches;
};

struct pair {
    struct arena *arena;
    const struct model *model;
    const struct lowered *before, *after;
    struct flat_builder *builder;
    struct pair_outputs outputs;
    flat_expr *old_image;
    flat_expr *same_image; /* of the second, cells as they are */
    flat_expr *new_image;  /* of the second, with copies */
    /* Per cell of the second: */
    uint32_t *partner;     /* the same place in the first, or FLAT_NONE */
    bool *differs;         /* in same_image */
    bool begins_otherwise; /* one of them has another initial value */
    uint32_t *stands;      /* number where it stands in new_image: of its
                              partner, or of its copy */
    uint32_t *copied;      /* per copy: cell of the second; copies stand
                              behind the cells of the first */
    uint32_t n_copies;
};

/* ---- can they be held against each other? ---- */

static bool same_values(const int64_t *a, const int64_t *b, uint32_t n)
{
    if (a == NULL || b == NULL)
        return a == b;
    return memcmp(a, b, n * sizeof *a) == 0;
}

static bool same_choices(const struct model *a, const struct model *b)
{
    if (a->n_choices != b->n_choices)
        return false;
    for (uint32_t i = 0; i < a->n_choices; i++) {
        const struct choice *x = &a->choices[i], *y = &b->choices[i];

        if (x->kind != y->kind || x->count != y->count || x->of != y->of ||
            x->bits != y->bits ||
            !same_values(x->values, y->values, x->count) ||
            !same_values(x->cell_low, y->cell_low, x->count) ||
            !same_values(x->cell_high, y->cell_high, x->count))
            return false;
    }
    return true;
}

static bool same_rest(const struct flat *a, const struct flat *b)
{
    return a->n_choices == b->n_choices && a->n_holes == b->n_holes &&
           memcmp(a->hole_kind, b->hole_kind,
                  a->n_holes * sizeof *a->hole_kind) == 0 &&
           memcmp(a->hole_index, b->hole_index,
                  a->n_holes * sizeof *a->hole_index) == 0 &&
           a->n_assumptions == b->n_assumptions &&
           a->n_movements == b->n_movements && a->n_motions == b->n_motions &&
           a->n_causes == b->n_causes && a->n_faults == b->n_faults;
}

static const char *obstacle(const struct study *before,
                            const struct study *after)
{
    const struct flat *a = before->lowered->flat, *b = after->lowered->flat;

    if (!same_choices(before->model, after->model))
        return "with it an input would be told apart otherwise";
    if (before->model->n_slots != after->model->n_slots)
        return "with it other variables would be remembered";
    if (!same_rest(a, b))
        return "with it the machine would be another";
    return NULL;
}

/* ---- holding against each other ---- */

/* A cell of the second, and its partner. */
static bool cell_like(const struct pair *pair, uint32_t cell,
                      const flat_expr *image)
{
    uint32_t partner = pair->partner[cell];
    const struct flat_cell *b = &pair->after->flat->cells[cell], *a;

    if (partner == FLAT_NONE)
        return false;
    a = &pair->before->flat->cells[partner];
    return a->low == b->low && a->high == b->high && a->unit == b->unit &&
           pair->old_image[a->initial] == image[b->initial] &&
           pair->old_image[a->next] == image[b->next];
}

/* Assumptions, movements and their times, which follow no output of this
 * scan. */
static bool same_frame(const struct pair *pair, const flat_expr *image)
{
    const struct flat *a = pair->before->flat, *b = pair->after->flat;
    const flat_expr *old = pair->old_image;

    for (uint32_t i = 0; i < a->n_assumptions; i++)
        if (old[a->assumptions[i].condition] !=
            image[b->assumptions[i].condition])
            return false;
    for (uint32_t i = 0; i < a->n_motions; i++)
        if (old[a->motions[i].moved] != image[b->motions[i].moved])
            return false;
    for (uint32_t i = 0; i < a->n_movements; i++)
        if (old[a->timed_may[i]] != image[b->timed_may[i]] ||
            old[a->timed_must[i]] != image[b->timed_must[i]])
            return false;
    return true;
}

/* A variable of the control text: the only ones that there are twice. */
static bool is_program(const struct pair *pair, uint32_t cell)
{
    const struct flat_cell *at = &pair->after->flat->cells[cell];
    enum slot_home home;

    if (at->kind != PLACE_SLOT)
        return false;
    home = pair->model->slots[at->index].home;
    return home == SLOT_PROGRAM || home == SLOT_GLOBAL ||
           home == SLOT_FUNCTION;
}

static void add_copy(struct pair *pair, uint32_t cell)
{
    pair->stands[cell] = pair->before->flat->n_cells + pair->n_copies;
    pair->copied[pair->n_copies++] = cell;
}

static bool is_copied(const struct pair *pair, uint32_t cell)
{
    return pair->stands[cell] >= pair->before->flat->n_cells;
}

/* A copy of each program variable that does not become the same; false when
 * there is no end of it. */
static bool make_copies(struct pair *pair)
{
    const struct flat_builder *from = pair->after->builder;
    uint32_t n = pair->after->flat->n_cells;

    for (int round = 0; round < ROUNDS; round++) {
        uint32_t before = pair->n_copies;

        carry(pair->builder, from, pair->stands, pair->new_image);
        for (uint32_t i = 0; i < n; i++)
            if (!is_copied(pair, i) && is_program(pair, i) &&
                !cell_like(pair, i, pair->new_image))
                add_copy(pair, i);
        if (pair->n_copies == before)
            return true;
    }
    return false;
}

static flat_expr *images(struct arena *arena, const struct lowered *lowered)
{
    return arena_array(arena, (size_t)flat_builder_count(lowered->builder) +
                                  1, sizeof(flat_expr));
}

static bool same_place(const struct flat_cell *a, const struct flat_cell *b)
{
    return a->kind == b->kind && a->index == b->index;
}

/* What remembers several values has a cell for each, in the same order. */
static uint32_t partner_of(const struct flat *first,
                           const struct flat *second, uint32_t cell)
{
    uint32_t before = 0;

    for (uint32_t i = 0; i < cell; i++)
        before += same_place(&second->cells[i], &second->cells[cell]);
    for (uint32_t i = 0; i < first->n_cells; i++)
        if (same_place(&first->cells[i], &second->cells[cell]) &&
            before-- == 0)
            return i;
    return FLAT_NONE;
}

/* Pairs the cells.  What only the second version remembers is a copy from the
 * beginning. */
static void pair_cells(struct pair *pair)
{
    const struct flat *a = pair->before->flat, *b = pair->after->flat;
    size_t n = (size_t)b->n_cells + 1;

    pair->partner = arena_array(pair->arena, n, sizeof *pair->partner);
    pair->stands = arena_array(pair->arena, n, sizeof *pair->stands);
    pair->copied = arena_array(pair->arena, n, sizeof *pair->copied);
    for (uint32_t i = 0; i < b->n_cells; i++) {
        pair->partner[i] = partner_of(a, b, i);
        pair->stands[i] = pair->partner[i];
        if (pair->partner[i] == FLAT_NONE)
            add_copy(pair, i);
    }
}

static bool initial_differs(const struct pair *pair, uint32_t cell)
{
    uint32_t partner = pair->partner[cell];

    return partner != FLAT_NONE &&
           pair->old_image[pair->before->flat->cells[partner].initial] !=
               pair->same_image[pair->after->flat->cells[cell].initial];
}

static void note_cells(struct pair *pair)
{
    uint32_t n = pair->after->flat->n_cells;

    pair->differs = arena_array(pair->arena, (size_t)n + 1,
                                sizeof *pair->differs);
    for (uint32_t i = 0; i < n; i++) {
        pair->differs[i] = !cell_like(pair, i, pair->same_image);
        pair->begins_otherwise |= initial_differs(pair, i);
    }
}

struct pair *pair_new(struct arena *arena, struct study *before,
                      struct study *after, struct pair_outputs outputs,
                      const char **reason)
{
    struct pair *pair = ARENA_NEW(arena, struct pair);

    *reason = obstacle(before, after);
    if (*reason != NULL)
        return NULL;
    *pair = (struct pair){
        .arena = arena, .model = before->model, .outputs = outputs,
        .before = before->lowered, .after = after->lowered,
        .builder = flat_builder_new(arena),
        .old_image = images(arena, before->lowered),
        .same_image = images(arena, after->lowered),
        .new_image = images(arena, after->lowered)};
    carry(pair->builder, pair->before->builder, NULL, pair->old_image);
    pair_cells(pair);
    carry(pair->builder, pair->after->builder, pair->stands,
          pair->same_image);
    note_cells(pair);
    if (!make_copies(pair))
        *reason = "too much of what the programs remember would differ";
    else if (!same_frame(pair, pair->new_image))
        *reason = "an assumption speaks of what it changes";
    if (*reason == NULL)
        return pair;
    pair_free(pair);
    return NULL;
}

void pair_free(struct pair *pair)
{
    if (pair != NULL)
        flat_builder_free(pair->builder);
}

static bool same_watch(const struct pair *pair, uint32_t watch)
{
    const struct flat *a = pair->before->flat, *b = pair->after->flat;

    return watch < a->n_watches &&
           a->watches[watch].kind == b->watches[watch].kind &&
           a->watches[watch].index == b->watches[watch].index &&
           pair->old_image[a->watches[watch].condition] ==
               pair->same_image[b->watches[watch].condition];
}

bool pair_same_slice(const struct pair *pair, const struct answer *answer)
{
    const struct slice *slice = answer->slice;

    /* What only the first scan reads is no cell of a slice. */
    if (!same_frame(pair, pair->same_image) || pair->begins_otherwise)
        return false;
    for (uint32_t i = 0; i < slice->n_cells; i++)
        if (pair->differs[slice->cells[i].cell])
            return false;
    for (uint32_t i = 0; i < slice->n_watches; i++)
        if (!same_watch(pair, slice->watches[i].number))
            return false;
    return true;
}

/* ---- can an output differ? ---- */

static flat_expr value_of(const struct lowered *lowered,
                          const flat_expr *image,
                          const struct pair_output *output)
{
    if (output->actuator != MODEL_NONE)
        return image[lowered->command[output->actuator]];
    return image[lowered->slot_value[output->slot]];
}

static flat_expr old_value(const struct pair *pair, uint32_t output)
{
    return value_of(pair->before, pair->old_image,
                    &pair->outputs.at[output]);
}

static flat_expr new_value(const struct pair *pair, uint32_t output)
{
    return value_of(pair->after, pair->new_image,
                    &pair->outputs.at[output]);
}

bool pair_same_outputs(const struct pair *pair)
{
    for (uint32_t i = 0; i < pair->outputs.n; i++)
        if (old_value(pair, i) != new_value(pair, i))
            return false;
    return true;
}

static flat_expr *all(struct pair *pair, const flat_expr *from, uint32_t n)
{
    flat_expr *image = arena_array(pair->arena, (size_t)n + 1,
                                   sizeof *image);

    for (uint32_t i = 0; i < n; i++)
        image[i] = pair->old_image[from[i]];
    return image;
}

/* The cells of the first version, then the copies. */
static struct flat_cell *both_cells(struct pair *pair)
{
    const struct flat *a = pair->before->flat, *b = pair->after->flat;
    struct flat_cell *cells = arena_array(
        pair->arena, (size_t)a->n_cells + pair->n_copies + 1, sizeof *cells);

    for (uint32_t i = 0; i < a->n_cells; i++) {
        cells[i] = a->cells[i];
        cells[i].initial = pair->old_image[a->cells[i].initial];
        cells[i].next = pair->old_image[a->cells[i].next];
    }
    for (uint32_t i = 0; i < pair->n_copies; i++) {
        const struct flat_cell *from = &b->cells[pair->copied[i]];
        struct flat_cell *copy = &cells[a->n_cells + i];

        *copy = *from;
        copy->initial = pair->new_image[from->initial];
        copy->next = pair->new_image[from->next];
    }
    return cells;
}

static struct flat_assumption *both_assumptions(struct pair *pair)
{
    const struct flat *a = pair->before->flat;
    struct flat_assumption *made = arena_array(
        pair->arena, (size_t)a->n_assumptions + 1, sizeof *made);

    for (uint32_t i = 0; i < a->n_assumptions; i++) {
        made[i] = a->assumptions[i];
        made[i].condition = pair->old_image[a->assumptions[i].condition];
    }
    return made;
}

static struct flat_motion *both_motions(struct pair *pair)
{
    const struct flat *a = pair->before->flat;
    struct flat_motion *made = arena_array(
        pair->arena, (size_t)a->n_motions + 1, sizeof *made);

    for (uint32_t i = 0; i < a->n_motions; i++) {
        made[i] = a->motions[i];
        made[i].moved = pair->old_image[a->motions[i].moved];
    }
    return made;
}

/* Behind the watches of the first version, per output: less, more. */
static struct flat_watch *both_watches(struct pair *pair)
{
    const struct flat *a = pair->before->flat;
    struct flat_builder *b = pair->builder;
    uint32_t n = pair->outputs.n, at = a->n_watches;
    struct flat_watch *made = arena_array(
        pair->arena, (size_t)at + 2 * (size_t)n + 1, sizeof *made);

    for (uint32_t i = 0; i < at; i++) {
        made[i] = a->watches[i];
        made[i].condition = pair->old_image[a->watches[i].condition];
    }
    for (uint32_t i = 0; i < n; i++) {
        flat_expr less = flat_binary(b, FLAT_LT, new_value(pair, i),
                                     old_value(pair, i));
        flat_expr more = flat_binary(b, FLAT_LT, old_value(pair, i),
                                     new_value(pair, i));

        made[at + 2 * i] = (struct flat_watch){WATCH_BRANCH, i, 0, less};
        made[at + 1 + 2 * i] = (struct flat_watch){WATCH_BRANCH, i, 1, more};
    }
    return made;
}

static const struct flat *both(struct pair *pair)
{
    const struct flat *a = pair->before->flat;
    struct flat *flat = ARENA_NEW(pair->arena, struct flat);

    *flat = *a;
    flat->cells = both_cells(pair);
    flat->n_cells = a->n_cells + pair->n_copies;
    flat->assumptions = both_assumptions(pair);
    flat->motions = both_motions(pair);
    flat->watches = both_watches(pair);
    flat->n_watches = a->n_watches + 2 * pair->outputs.n;
    flat->timed_may = all(pair, a->timed_may, a->n_movements);
    flat->timed_must = all(pair, a->timed_must, a->n_movements);
    flat->value = all(pair, a->value, a->n_values);
    flat->nodes = flat_nodes(pair->builder);
    flat->n_nodes = flat_builder_count(pair->builder);
    return flat;
}

/* The first of what both_watches put behind. */
static uint32_t first_watch(const struct pair *pair)
{
    return pair->before->flat->n_watches;
}

bool pair_boolean(const struct model *model, const struct pair_output *output)
{
    const struct type *type =
        output->actuator != MODEL_NONE
            ? model->actuators[output->actuator].type
            : model->slots[output->slot].type;

    return type->kind == TYPE_BOOL;
}

/* The least level of an output, unless an earlier one is known. */
static void describe(const struct pair *pair, const struct asking *asking,
                     const struct answer *answer, struct pair_found *found)
{
    for (uint32_t i = 0; i < asking->n_watches; i++) {
        uint32_t output = (asking->watches[i] - first_watch(pair)) / 2;
        uint32_t level = answer_level(answer, asking->watches[i]);

        if (level == 0 ||
            (found->state == PAIR_DIFFERS &&
             (level > found->level ||
              (level == found->level && output >= found->output))))
            continue;
        *found = (struct pair_found){
            .state = PAIR_DIFFERS, .output = output, .level = level,
            .more = (asking->watches[i] - first_watch(pair)) % 2 == 1};
    }
}

/* What remembers something that programs do, without an output between: it
 * would have to be there twice. */
static bool is_watcher(const struct pair *pair, const struct flat_cell *cell)
{
    switch ((enum place_kind)cell->kind) {
    case PLACE_SLOT:
        return pair->model->slots[cell->index].home == SLOT_RECORDER;
    case PLACE_CLOCK_WAS:
    case PLACE_CLOCK_AGE:
    case PLACE_MONITOR_FLAG:
    case PLACE_MONITOR_AGE:
    case PLACE_NOTICE:
    case PLACE_EXCEPT_AGE:
        return true;
    default:
        return false;
    }
}

/* Is a cell of the first the same in the second? */
static bool first_like(const struct pair *pair, uint32_t cell)
{
    for (uint32_t i = 0; i < pair->after->flat->n_cells; i++)
        if (pair->partner[i] == cell)
            return cell_like(pair, i, pair->new_image);
    return false;
}

static bool watched(const struct pair *pair, const struct slice *slice)
{
    const struct flat *flat = pair->before->flat;

    for (uint32_t i = 0; i < slice->n_cells; i++) {
        uint32_t cell = slice->cells[i].cell;

        if (cell < flat->n_cells && is_watcher(pair, &flat->cells[cell]) &&
            !first_like(pair, cell))
            return true;
    }
    return false;
}

static bool differs_in(const struct asking *asking,
                       const struct answer *answer)
{
    for (uint32_t i = 0; i < asking->n_watches; i++)
        if (answer_level(answer, asking->watches[i]) != 0)
            return true;
    return false;
}

/* A difference counts more than what is not known of another output. */
static void conclude(const struct pair *pair, const struct asking *asking,
                     const struct answer *answer, struct pair_found *found)
{
    const char *reason = NULL;

    if (watched(pair, answer->slice))
        reason = "an assumption speaks of what it changes";
    else if (differs_in(asking, answer))
        describe(pair, asking, answer, found);
    else if (answer_dead_end(answer))
        reason = "the assumptions leave no way to go on";
    else if (!answer_complete(answer))
        reason = "a limit was met before everything was looked at";
    if (reason != NULL && found->state == PAIR_SAME)
        *found = (struct pair_found){.state = PAIR_NOT_KNOWN,
                                     .reason = reason};
}

/* ---- asking, output by output ---- */

static void question_of(const struct asking *asking,
                        struct question *question)
{
    *question = (struct question){
        .watches = asking->watches, .n_watches = asking->n_watches,
        .faults = asking->faults, .until = asking->until,
        .most_effort = asking->most_effort, .sliced = true};
}

static void watch_output(const struct pair *pair, struct asking *asking,
                         uint32_t output)
{
    for (uint32_t more = 0; more < 2; more++) {
        asking->until[asking->n_watches] = true;
        asking->watches[asking->n_watches++] =
            first_watch(pair) + 2 * output + more;
    }
}

/* The outputs that have the situations of this one, from it on. */
static void watch_like(struct pair *pair, struct asking *asking,
                       const struct memo_core *cores, uint32_t output)
{
    asking->n_watches = 0;
    for (uint32_t i = output; i < pair->outputs.n; i++)
        if (old_value(pair, i) != new_value(pair, i) &&
            memo_same(&cores[i], &cores[output]))
            watch_output(pair, asking, i);
}

static bool is_like_earlier(const struct pair *pair,
                            const struct memo_core *cores, uint32_t output)
{
    for (uint32_t i = 0; i < output; i++)
        if (old_value(pair, i) != new_value(pair, i) &&
            memo_same(&cores[i], &cores[output]))
            return true;
    return false;
}

/* One run; false where it shows nothing but what is the same. */
static bool ask(const struct pair *pair, struct asking *asking,
                bool free_times, struct pair_found *found)
{
    struct question question;
    struct answer answer;

    question_of(asking, &question);
    question.free_times = free_times;
    answer_find(asking->study, &question, &answer);
    conclude(pair, asking, &answer, found);
    answer_release(&answer);
    return found->state != PAIR_SAME;
}

/* First with movements that take any time, which is a proof or nothing. */
static void ask_like(const struct pair *pair, struct asking *asking,
                     struct pair_found *found)
{
    struct pair_found freed = {.state = PAIR_SAME};

    if (pair->model->n_movements == 0 || ask(pair, asking, true, &freed))
        ask(pair, asking, false, found);
}

static struct memo_core core_of(const struct pair *pair,
                                struct asking *asking, uint32_t output)
{
    struct question question;
    struct answer answer;
    struct memo_core core;

    asking->n_watches = 0;
    watch_output(pair, asking, output);
    question_of(asking, &question);
    answer_slice(asking->study, &question, &answer);
    core = memo_core(asking->study, &answer);
    answer_release(&answer);
    return core;
}

static void ask_all(struct pair *pair, struct asking *asking,
                    struct pair_found *found)
{
    uint32_t n = pair->outputs.n;
    struct memo_core *cores = arena_array(pair->arena, (size_t)n + 1,
                                          sizeof *cores);

    for (uint32_t i = 0; i < n; i++)
        if (old_value(pair, i) != new_value(pair, i))
            cores[i] = core_of(pair, asking, i);
    for (uint32_t i = 0; i < n; i++) {
        if (old_value(pair, i) == new_value(pair, i) ||
            is_like_earlier(pair, cores, i))
            continue;
        watch_like(pair, asking, cores, i);
        ask_like(pair, asking, found);
    }
}

struct pair_found pair_ask(struct pair *pair, struct study *before,
                           uint32_t faults)
{
    struct pair_found found = {.state = PAIR_SAME};
    struct lowered lowered = *pair->before;
    struct study both_study = *before;
    size_t n = (size_t)2 * pair->outputs.n + 1;
    struct asking asking = {
        .study = &both_study, .faults = faults, .most_effort = MOST_EFFORT,
        .watches = arena_array(pair->arena, n, sizeof(uint32_t)),
        .until = arena_array(pair->arena, n, sizeof(bool))};

    lowered.flat = both(pair);
    lowered.builder = pair->builder;
    both_study.lowered = &lowered;
    both_study.memo = NULL;
    both_study.share = NULL;
    both_study.arena = pair->arena;
    both_study.setting.alone = true;
    both_study.errors_judged = false;
    ask_all(pair, &asking, &found);
    return found;
}
