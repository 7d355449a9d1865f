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

/* A branch or a stretch of statements that is looked for. */
struct sought {
    uint32_t site, watch; /* stretches are numbered behind the branches */
    struct reads reads;
    bool open;            /* not known yet */
    bool grouped;
};

/* Work under way. */
struct hunt {
    struct study *study;
    struct arena *arena;
    uint32_t faults;        /* so many may appear */
    enum branch_state *states; /* per site */
    struct cause_set *by;
    uint32_t *twin;         /* per site: the one that is asked instead, for it
                               is the same; or itself */
    uint64_t steps, share;  /* left of all, situations of one question */
    struct sought *sought;  /* those that lean on little first */
    uint32_t n;
    uint32_t *group;        /* numbers of those that are asked for at once, */
    uint32_t n_group;       /* behind the first n_wanted such as were asked */
    uint32_t n_wanted;      /* before and are watched by the way */
    uint32_t n_nodes;       /* of its slice, about */
    bool has_times;         /* movement times count in the last question,
                               left away there or not */
    bool plain_known;       /* what is open of it is not reached without
                               faults */
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

static uint64_t affordable(const struct hunt *h)
{
    uint64_t most = h->steps / (h->n_nodes + 1);

    return most < h->share ? most : h->share;
}

/* The causes that occur in a sequence. */
static struct cause_set causes_in(struct hunt *h,
                                  const struct sequence *sequence)
{
    const struct model *model = h->study->model;
    uint32_t *causes = arena_array(h->study->arena, model->n_causes + 1,
                                   sizeof *causes);
    struct cause_set set = {causes, 0};

    for (uint32_t c = 0; c < model->n_causes; c++) {
        uint32_t row = model->causes[c].choice;
        bool occurs = false;

        for (uint32_t i = 0; i < sequence->length; i++)
            occurs = occurs ||
                     sequence->choices[(size_t)i * sequence->n_choices + row];
        if (occurs)
            causes[set.n++] = c;
    }
    return set;
}

/* By which faults, in the shortest sequence; it costs as much again, and is
 * left out where that is not there. */
static void settle_fault(struct hunt *h, struct sought *sought,
                         struct answer *answer)
{
    const struct sequence *sequence;
    uint64_t cost = answer->reach->situations;

    settle(h, sought, h->plain_known ? BRANCH_WITH_FAULT : BRANCH_TAKEN_OPEN);
    if (cost > affordable(h))
        return;
    pay(h, cost * (answer->slice->n_nodes + 1));
    sequence = answer_sequence(h->study, answer, GOAL_WATCH,
                               answer_watch(answer, sought->watch));
    if (sequence != NULL)
        h->by[sought->site] = causes_in(h, sequence);
}

/* What was seen is settled where it can occur as it was seen there. */
static void note_seen(struct hunt *h, struct answer *answer,
                      const struct manner *manner)
{
    if (manner->free_times && h->has_times)
        return;
    for (uint32_t i = 0; i < h->n_group; i++) {
        struct sought *sought = &h->sought[h->group[i]];

        if (!sought->open || answer_level(answer, sought->watch) == 0)
            continue;
        if (manner->faults == 0)
            settle(h, sought, BRANCH_TAKEN);
        else
            settle_fault(h, sought, answer);
    }
}

/* What is open and was not seen in a run that looked at everything. */
static void note_unseen(struct hunt *h, const struct answer *answer,
                        const struct manner *manner)
{
    if (manner->faults < h->faults)
        h->plain_known = true;
    else
        for (uint32_t i = 0; i < h->n_group; i++) {
            struct sought *sought = &h->sought[h->group[i]];

            if (sought->open && answer_level(answer, sought->watch) == 0)
                settle(h, sought, BRANCH_NEVER);
        }
}

/* A run of the joint slice is one of the slice of each branch, and the other
 * way round unless assumptions of the others end it. */
static enum came note(struct hunt *h, struct answer *answer,
                      const struct manner *manner)
{
    note_seen(h, answer, manner);
    if (!answer_complete(answer))
        return CAME_NOWHERE;
    if (answer_dead_end(answer) && answer->slice->n_watches > 1)
        return CAME_TO_DEAD_END;
    note_unseen(h, answer, manner);
    return CAME_TO_END;
}

/* Asks for all that is open of the group in one run. */
static enum came look(struct hunt *h, const struct manner *manner)
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
        h->has_times = question_has_times(h->study, &question);
        answer_find(h->study, &question, &answer);
        pay_for(h, &question, &answer);
        came = note(h, &answer, manner);
        answer_release(&answer);
    }
    arena_free(scratch);
    return came;
}

/* ---- a group ---- */

static bool is_open(const struct hunt *h)
{
    bool open = false;

    for (uint32_t i = 0; i < h->n_wanted; i++)
        open = open || h->sought[h->group[i]].open;
    return open;
}

/* The likely thing first: it is reached without any fault.  Then a superset,
 * to show that nothing reaches it; then all that can happen. */
static enum came look_for(struct hunt *h)
{
    const struct manner manners[] = {
        {0, false}, {h->faults, true}, {h->faults, false}};
    uint32_t n = h->faults == 0 ? 2 : 3;
    enum came came = CAME_NOWHERE;

    h->plain_known = false;
    for (uint32_t i = 0; i < n && is_open(h); i++) {
        if (i > 0 && manners[i].faults == manners[i - 1].faults &&
            !h->has_times)
            continue; /* it would be the same run again */
        came = look(h, &manners[i]);
        if (came == CAME_TO_DEAD_END)
            return came;
    }
    return came;
}

/* In a run that met a dead end each may have one of its own. */
static void ask_group(struct hunt *h)
{
    uint32_t n = h->n_wanted;

    if (look_for(h) != CAME_TO_DEAD_END)
        return;
    h->n_group = h->n_wanted = 1;
    for (uint32_t i = 0; i < n; i++) {
        h->group[0] = h->group[i];
        if (is_open(h))
            look_for(h);
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

static bool is_constant(const struct flat *flat, uint32_t watch,
                        int64_t value)
{
    const struct flat_node *node =
        &flat->nodes[flat->watches[watch].condition];

    return node->op == FLAT_CONST && node->value == value;
}

static uint32_t watch_of(const struct hunt *h, uint32_t site)
{
    uint32_t n = h->study->model->n_branches;

    return site < n ? h->study->lowered->branch[site]
                    : h->study->lowered->stretch[site - n];
}

/* A stretch that is the body of a branch is reached as the branch is. */
static bool has_twin(struct hunt *h, uint32_t site)
{
    const struct flat_watch *watches = h->study->lowered->flat->watches;

    for (uint32_t i = 0; i < h->n; i++)
        if (watches[h->sought[i].watch].condition ==
            watches[watch_of(h, site)].condition) {
            h->twin[site] = h->sought[i].site;
            return true;
        }
    return false;
}

/* What is neither seen nor known as it stands. */
static void list_site(struct hunt *h, uint32_t site, bool seen)
{
    const struct flat *flat = h->study->lowered->flat;
    uint32_t watch = watch_of(h, site);

    h->twin[site] = site;
    h->states[site] = BRANCH_NOT_KNOWN;
    if (seen || is_constant(flat, watch, 1))
        h->states[site] = BRANCH_TAKEN;
    else if (is_constant(flat, watch, 0))
        h->states[site] = BRANCH_NEVER;
    else if (!has_twin(h, site))
        h->sought[h->n++] = (struct sought){
            .site = site, .watch = watch, .open = true,
            .reads = reads_of(h->arena, flat, watch)};
}

static void list_sought(struct hunt *h, const struct rehearsal *rehearsal)
{
    const struct model *model = h->study->model;

    for (uint32_t i = 0; i < model->n_branches; i++)
        list_site(h, i, rehearsal->branch[i]);
    for (uint32_t i = 0; i < model->n_stretches; i++)
        list_site(h, model->n_branches + i, rehearsal->stretch[i]);
    qsort(h->sought, h->n, sizeof *h->sought, by_reads);
}

static const struct taken *conclude(struct hunt *h, uint32_t n)
{
    struct taken *taken = ARENA_NEW(h->study->arena, struct taken);
    uint32_t n_branches = h->study->model->n_branches;

    for (uint32_t i = 0; i < n; i++) {
        h->states[i] = h->states[h->twin[i]];
        h->by[i] = h->by[h->twin[i]];
    }
    for (uint32_t i = 0; i < n && h->study->passes_cut; i++)
        if (h->states[i] == BRANCH_NEVER)
            h->states[i] = BRANCH_NOT_KNOWN;
    *taken = (struct taken){
        .faults = h->faults,
        .ends = h->study->ends.n > 0,
        .branch = h->states, .stretch = h->states + n_branches,
        .branch_by = h->by, .stretch_by = h->by + n_branches};
    return taken;
}

/* As many faults as any requirement names, one at least. */
static uint32_t faults_of(const struct study *study)
{
    return study->most_faults > 0 ? study->most_faults
                                  : study->model->n_causes > 0;
}

const struct taken *branches_judge(struct study *study,
                                   const struct rehearsal *rehearsal,
                                   uint64_t most_situations)
{
    uint32_t n = study->model->n_branches + study->model->n_stretches;
    struct hunt h = {
        .study = study,
        .arena = arena_new(),
        .faults = faults_of(study),
        .states = arena_array(study->arena, (size_t)n + 1, sizeof *h.states),
        .by = arena_array(study->arena, (size_t)n + 1, sizeof *h.by),
        .steps = most_situations * USUAL_NODES,
        .share = most_situations / SHARE + 1,
    };
    const struct taken *taken;

    h.twin = arena_array(h.arena, (size_t)n + 1, sizeof *h.twin);
    h.sought = arena_array(h.arena, (size_t)n + 1, sizeof *h.sought);
    h.group = arena_array(h.arena, (size_t)n + 1, sizeof *h.group);
    list_sought(&h, rehearsal);
    for (uint32_t i = 0; i < h.n; i++) {
        if (h.sought[i].grouped)
            continue;
        gather_group(&h, i);
        ask_group(&h);
    }
    taken = conclude(&h, n);
    arena_free(h.arena);
    return taken;
}
