#include "study/branches.h"

#include <stdlib.h>

#include "base/arena.h"
#include "check/model.h"
#include "study/dead_end.h"
#include "study/reads.h"

/* No question may use up more than this part of what all have.  A situation
 * costs as many steps as its slice has nodes; so many it has usually.  A
 * slice is built in so many steps a node of the flat logic.  Slices are
 * joined that have so many cells more than the smallest of them. */
enum { SHARE = 4, USUAL_NODES = 1450, BUILD = 100, MORE_CELLS = 2 };

/* How branches are looked for. */
struct manner {
    uint32_t faults;
    bool free_times;
};

/* A branch that is looked for. */
struct sought {
    uint32_t site, watch;
    struct reads reads;
    bool open;           /* not known yet */
    bool grouped;
};

/* Work under way. */
struct hunt {
    struct study *study;
    struct arena *arena;
    enum branch_state *states;
    uint64_t steps, share;  /* left of all, situations of one question */
    struct sought *sought;  /* those that lean on little first */
    uint32_t n;
    uint32_t *group;        /* numbers of those that are asked for at once, */
    uint32_t n_group;       /* behind the first n_wanted such as were asked */
    uint32_t n_wanted;      /* before and are watched by the way */
    uint32_t n_nodes;       /* of its slice, about */
};

/* What a question came to. */
enum came { CAME_NOWHERE, CAME_TO_END, CAME_TO_DEAD_END };

static bool is_interrupted(const struct study *study)
{
    return study->setting.interrupted && study->setting.interrupted();
}

/* ---- one question ---- */

/* What is open of the group; 0 when none of it is wanted. */
static uint32_t list_open(const struct hunt *h, uint32_t *watches,
                          bool *until)
{
    uint32_t n = 0;

    for (uint32_t i = 0; i < h->n_group && (i < h->n_wanted || n > 0); i++) {
        if (!h->sought[h->group[i]].open)
            continue;
        until[n] = i < h->n_wanted;
        watches[n++] = h->sought[h->group[i]].watch;
    }
    return n;
}

static void settle(struct hunt *h, struct sought *sought,
                   enum branch_state state)
{
    sought->open = false;
    h->states[sought->site] = state;
}

static void pay(struct hunt *h, uint64_t steps)
{
    h->steps -= steps < h->steps ? steps : h->steps;
}

/* A run that met a limit has worked up to it, whatever it has complete. */
static void pay_for(struct hunt *h, const struct question *question,
                    const struct answer *answer)
{
    bool exact = answer->reach->end == EXPLORE_COMPLETE ||
                 answer->reach->end == EXPLORE_SEEN;
    uint64_t situations = question->most_situations;

    if (exact && answer->reach->situations < situations)
        situations = answer->reach->situations;
    pay(h, situations * (answer->slice->n_nodes + 1) +
               (uint64_t)h->study->lowered->flat->n_nodes * BUILD);
}

/* A run of the joint slice is one of the slice of each branch, and the other
 * way round unless assumptions of the others end it. */
static enum came note(struct hunt *h, const struct answer *answer)
{
    for (uint32_t i = 0; i < h->n_group; i++) {
        struct sought *sought = &h->sought[h->group[i]];

        if (sought->open && answer_level(answer, sought->watch) != 0)
            settle(h, sought, BRANCH_TAKEN);
    }
    if (!answer_complete(answer))
        return CAME_NOWHERE;
    return answer_dead_end(answer) && answer->slice->n_watches > 1
               ? CAME_TO_DEAD_END : CAME_TO_END;
}

static uint64_t affordable(const struct hunt *h)
{
    uint64_t most = h->steps / (h->n_nodes + 1);

    return most < h->share ? most : h->share;
}

/* Asks for all that is open of the group in one run.  same: would a run
 * without movement times be the same one? */
static enum came look(struct hunt *h, const struct manner *manner, bool *same)
{
    struct arena *scratch = arena_new();
    uint32_t *watches = arena_array(scratch, (size_t)h->n_group + 1,
                                    sizeof *watches);
    bool *until = arena_array(scratch, (size_t)h->n_group + 1, sizeof *until);
    struct question question = {
        .watches = watches,
        .faults = manner->faults,
        .free_times = manner->free_times,
        .until = until,
        .most_situations = affordable(h),
        .sliced = true,
    };
    enum came came = CAME_NOWHERE;
    struct answer answer;

    question.n_watches = list_open(h, watches, until);
    if (question.n_watches > 0 && question.most_situations > 0 &&
        !is_interrupted(h->study)) {
        answer_find(h->study, &question, &answer);
        pay_for(h, &question, &answer);
        came = note(h, &answer);
        *same = !answer.slice->has_times;
        answer_release(&answer);
    }
    arena_free(scratch);
    return came;
}

/* ---- a group ---- */

/* The paths that were looked at end before a scan with a run-time error. */
static void settle_open(struct hunt *h)
{
    enum branch_state state = h->study->ends.n > 0 ? BRANCH_NEVER_JUDGED
                                                   : BRANCH_NEVER;

    for (uint32_t i = 0; i < h->n_group; i++)
        if (h->sought[h->group[i]].open)
            settle(h, &h->sought[h->group[i]], state);
}

static bool is_open(const struct hunt *h)
{
    bool open = false;

    for (uint32_t i = 0; i < h->n_wanted; i++)
        open = open || h->sought[h->group[i]].open;
    return open;
}

/* The likely thing first: it is taken without any fault.  Then a superset,
 * to show that nothing takes it; then all that can happen. */
static enum came look_for(struct hunt *h)
{
    const struct manner plain = {0, false};
    const struct manner wide = {h->study->most_faults, true};
    const struct manner whole = {h->study->most_faults, false};
    bool is_whole = h->study->most_faults == 0, same = false;
    enum came came = look(h, &plain, &same);

    if (!is_open(h) || (is_whole && (came != CAME_NOWHERE || same)))
        return came;
    came = look(h, &wide, &same);
    if (came == CAME_TO_END || !is_open(h) || is_whole)
        return came;
    return look(h, &whole, &same);
}

/* What nothing took in a run that looked at everything, nothing takes. */
static void ask_group(struct hunt *h)
{
    enum came came = look_for(h);
    uint32_t n = h->n_wanted;

    if (came == CAME_TO_END)
        settle_open(h);
    if (came != CAME_TO_DEAD_END)
        return;
    h->n_group = h->n_wanted = 1;
    for (uint32_t i = 0; i < n; i++) {
        h->group[0] = h->group[i];
        if (is_open(h) && look_for(h) == CAME_TO_END)
            settle_open(h);
    }
}

/* ---- grouping ---- */

static void add_to_group(struct hunt *h, uint32_t number)
{
    h->sought[number].grouped = true;
    h->group[h->n_group++] = number;
}

/* Those from there on whose slices are as good as the same, then what is
 * open of those before it and lies within. */
static void gather_group(struct hunt *h, uint32_t from)
{
    struct reads all = h->sought[from].reads;
    uint32_t most = all.n + MORE_CELLS;

    h->n_group = 0;
    for (uint32_t i = from; i < h->n && h->sought[i].reads.n <= most; i++) {
        const struct sought *sought = &h->sought[i];

        if (sought->grouped || reads_together(&all, &sought->reads) > most)
            continue;
        all = reads_join(h->arena, &all, &sought->reads);
        add_to_group(h, i);
    }
    h->n_wanted = h->n_group;
    h->n_nodes = all.n_nodes;
    for (uint32_t i = 0; i < from; i++)
        if (h->sought[i].open && reads_within(&h->sought[i].reads, &all))
            add_to_group(h, i);
}

static int by_reads(const void *a, const void *b)
{
    const struct sought *x = a, *y = b;

    if (x->reads.n != y->reads.n)
        return x->reads.n < y->reads.n ? -1 : 1;
    return x->site < y->site ? -1 : x->site > y->site;
}

/* ---- all ---- */

static bool is_false(const struct flat *flat, uint32_t watch)
{
    const struct flat_node *node =
        &flat->nodes[flat->watches[watch].condition];

    return node->op == FLAT_CONST && node->value == 0;
}

/* What is neither seen nor excluded as it stands. */
static void list_sought(struct hunt *h, const bool *seen)
{
    const struct lowered *lowered = h->study->lowered;

    for (uint32_t i = 0; i < h->study->model->n_branches; i++) {
        uint32_t watch = lowered->branch[i];

        h->states[i] = seen[i] ? BRANCH_TAKEN : BRANCH_NOT_KNOWN;
        if (seen[i])
            continue;
        if (is_false(lowered->flat, watch)) {
            h->states[i] = BRANCH_NEVER;
            continue;
        }
        h->sought[h->n++] = (struct sought){
            .site = i, .watch = watch, .open = true,
            .reads = reads_of(h->arena, lowered->flat, watch)};
    }
    qsort(h->sought, h->n, sizeof *h->sought, by_reads);
}

const enum branch_state *branches_judge(struct study *study,
                                        const struct rehearsal *rehearsal,
                                        uint64_t most_situations)
{
    size_t n = (size_t)study->model->n_branches + 1;
    struct hunt h = {
        .study = study,
        .arena = arena_new(),
        .states = arena_array(study->arena, n, sizeof *h.states),
        .steps = most_situations * USUAL_NODES,
        .share = most_situations / SHARE + 1,
    };

    h.sought = arena_array(h.arena, n, sizeof *h.sought);
    h.group = arena_array(h.arena, n, sizeof *h.group);
    list_sought(&h, rehearsal->branch);
    for (uint32_t i = 0; i < h.n; i++) {
        if (h.sought[i].grouped)
            continue;
        gather_group(&h, i);
        ask_group(&h);
    }
    arena_free(h.arena);
    return h.states;
}
