#include "reference/trap.h"

#include <string.h>

#include "base/arena.h"
#include "base/vec.h"
#include "reference/odometer.h"
#include "reference/part.h"
#include "reference/stock.h"

/* What may be spent before it is too large: states kept, scans run on whole
 * states and on the part, choices of ways kept, ways compared with choices of
 * ours. */
enum {
    MOST_STATES = 20000, MOST_WHOLE_SCANS = 100000, MOST_PART_SCANS = 100000,
    FEW_WHOLE_SCANS = 10000,
    MOST_CHOICES = 16000000, MOST_TESTS = 100000000
};

/* Nobody looked at this choice. */
static const uint32_t UNREAD = UINT32_MAX;

enum outcome { FOUND, LEADS_ON, LEFT, ERROR };

/* One way through one scan. */
struct way {
    enum outcome outcome;
    uint32_t to;    /* LEADS_ON: number of a state */
    size_t choices; /* where its row begins */
};

struct walker {
    struct arena *arena; /* scratch */
    struct machine *machine;
    const struct model *model;
    const struct step_setting *setting;
    uint32_t requirement;
    struct odometer *odometer; /* of whole states */
    struct part *part;         /* or NULL */
    bool *still;             /* per choice row: faults and power */
    uint32_t *zero;          /* per choice row */
    bool *forgotten;         /* per word: memory of requirements */
    const int64_t *first;    /* the state it begins with */
    int64_t *from;           /* the one that is expanded */
    struct stock *states;
    uint32_t most_whole;
    bool *possible;          /* per state, in the second part */
    uint32_t scans, tests;
    bool *own;               /* per choice row: ours, and read here */
    uint32_t *mine;          /* per choice row: what we try */
    const struct way *way;   /* of the state that is expanded */
    size_t n_ways;
    VEC(struct way) ways;    /* on the part: of all states so far */
    VEC(uint32_t) choices;
    VEC(size_t) begin;       /* on the part, per state: first of its ways */
    bool first_part;         /* states are added */
};

/* ---- whose choices ---- */

static bool hand(const struct choice *choice)
{
    return choice->kind == CHOICE_OPERATOR || choice->kind == CHOICE_INPUT;
}

static bool with_us(const struct walker *w, uint32_t row)
{
    const struct choice *choice = &w->model->choices[row];
    const struct requirement *asked = &w->model->requirements[w->requirement];
    bool named = asked->n_by == 0;

    for (uint32_t i = 0; i < asked->n_by; i++)
        named = named || (asked->by[i].kind == choice->kind &&
                          asked->by[i].of == choice->of);
    return choice->kind == CHOICE_MACHINE || (hand(choice) && named);
}

static bool anybody_against(const struct walker *w)
{
    for (uint32_t i = 0; i < w->model->n_choices; i++)
        if (w->model->choices[i].kind == CHOICE_SHARED ||
            w->model->choices[i].kind == CHOICE_UNCOMMANDED ||
            w->model->choices[i].kind == CHOICE_ANY ||
            w->model->choices[i].kind == CHOICE_TIME ||
            (hand(&w->model->choices[i]) && !with_us(w, i)))
            return true;
    return false;
}

/* ---- ways out of a state ---- */

static void forget(const struct walker *w, int64_t *state)
{
    if (w->part) {
        part_hold(w->part, state);
        return;
    }
    for (uint32_t i = 0; i < machine_words(w->machine); i++)
        if (w->forgotten[i])
            state[i] = 0;
}

static void add_way(struct walker *w, enum outcome outcome, uint32_t to)
{
    const bool *read = w->part ? w->part->decided
                               : machine_read_rows(w->machine);
    const uint32_t *choices = w->part ? w->part->choices
                                      : w->odometer->choices;
    struct way way = {outcome, to, w->choices.n};

    vec_push(&w->ways, way);
    for (uint32_t i = 0; i < w->model->n_choices; i++)
        vec_push(&w->choices, read[i] ? choices[i] : UNREAD);
}

static void take(struct walker *w, const struct step_result *step,
                 int64_t *after)
{
    uint32_t r = w->requirement;

    if (step->end == STEP_NOT_ALLOWED)
        return;
    if (step->end == STEP_ERROR) {
        add_way(w, ERROR, 0);
    } else if (step->breach[r]) {
        add_way(w, FOUND, 0);
    } else if (!step->trigger[r][0]) {
        add_way(w, LEFT, 0);
    } else {
        forget(w, after);
        add_way(w, LEADS_ON, w->first_part ? stock_add(w->states, after)
                                           : stock_find(w->states, after));
    }
}

/* False when there is too much to look at. */
static bool expand_whole(struct walker *w)
{
    const struct step_result *step;

    vec_clear(&w->ways);
    vec_clear(&w->choices);
    odometer_begin(w->odometer, w->setting, w->from);
    odometer_fix(w->odometer, w->still, w->zero);
    while ((step = odometer_next(w->odometer))) {
        if (++w->scans > w->most_whole)
            return false;
        take(w, step, w->odometer->after);
    }
    w->way = w->ways.at;
    w->n_ways = w->ways.n;
    return true;
}

/* States are expanded in order, each once. */
static bool expand_part(struct walker *w)
{
    const struct step_result *step;

    vec_push(&w->begin, w->ways.n);
    part_begin(w->part, w->from);
    while ((step = part_next(w->part))) {
        if (++w->scans > MOST_PART_SCANS || w->choices.n > MOST_CHOICES)
            return false;
        take(w, step, w->part->after);
    }
    return true;
}

static bool expand(struct walker *w, uint32_t state)
{
    size_t end;

    memcpy(w->from, stock_key(w->states, state),
           machine_words(w->machine) * sizeof *w->from);
    if (!w->part)
        return expand_whole(w);
    if (state == w->begin.n && !expand_part(w))
        return false;
    end = state + 1 < w->begin.n ? w->begin.at[state + 1] : w->ways.n;
    w->way = w->ways.at + w->begin.at[state];
    w->n_ways = end - w->begin.at[state];
    return true;
}

/* ---- somebody is against us ---- */

static bool good(const struct walker *w, const struct way *way)
{
    return way->outcome == FOUND ||
           (way->outcome == LEADS_ON && w->possible[way->to]);
}

static bool same_hands(const struct walker *w, const struct way *a,
                       const struct way *b)
{
    const uint32_t *x = w->choices.at + a->choices;
    const uint32_t *y = w->choices.at + b->choices;

    for (uint32_t i = 0; i < w->model->n_choices; i++)
        if (hand(&w->model->choices[i]) && !with_us(w, i) &&
            x[i] != UNREAD && y[i] != UNREAD && x[i] != y[i])
            return false;
    return true;
}

static bool open_to(const struct walker *w, const struct way *way,
                    const uint32_t *mine)
{
    const uint32_t *row = w->choices.at + way->choices;

    for (uint32_t i = 0; i < w->model->n_choices; i++)
        if (row[i] != UNREAD && with_us(w, i) && row[i] != mine[i])
            return false;
    return true;
}

/* A SHARED value alone makes the difference between this way, which leaves
 * what is asked about, and one that does not. */
static bool left_by_shared(const struct walker *w, const struct way *left,
                           const uint32_t *mine)
{
    for (size_t i = 0; i < w->n_ways; i++)
        if (good(w, &w->way[i]) && open_to(w, &w->way[i], mine) &&
            same_hands(w, &w->way[i], left))
            return true;
    return false;
}

static bool succeeds(const struct walker *w, const uint32_t *mine)
{
    bool any = false;

    for (size_t i = 0; i < w->n_ways; i++) {
        const struct way *way = &w->way[i];

        if (!open_to(w, way, mine))
            continue;
        if (good(w, way))
            any = true;
        else if (way->outcome != LEFT || left_by_shared(w, way, mine))
            return false;
    }
    return any;
}

/* The next combination of our choices, or false. */
static bool turn(const struct walker *w, uint32_t *mine)
{
    for (uint32_t i = 0; i < w->model->n_choices; i++) {
        if (w->own[i] && ++mine[i] < w->model->choices[i].count)
            return true;
        mine[i] = 0;
    }
    return false;
}

static void find_own(struct walker *w)
{
    for (uint32_t i = 0; i < w->model->n_choices; i++) {
        w->own[i] = false;
        w->mine[i] = 0;
        for (size_t k = 0; k < w->n_ways && with_us(w, i); k++)
            if (w->choices.at[w->way[k].choices + i] != UNREAD)
                w->own[i] = true;
    }
}

static bool any_good(const struct walker *w)
{
    for (size_t i = 0; i < w->n_ways; i++)
        if (good(w, &w->way[i]))
            return true;
    return false;
}

/* 1 yes, 0 no, -1 too much to try. */
static int can_make(struct walker *w)
{
    if (!any_good(w))
        return 0;
    find_own(w);
    do {
        if (succeeds(w, w->mine))
            return 1;
        if (w->n_ways >= MOST_TESTS - w->tests)
            return -1;
        w->tests += (uint32_t)w->n_ways;
    } while (turn(w, w->mine));
    return 0;
}

/* ---- the two parts ---- */

/* The state it begins with, and no other. */
static void begin(struct walker *w)
{
    uint32_t words = machine_words(w->machine);

    stock_free(w->states);
    w->states = stock_new(words);
    vec_clear(&w->ways);
    vec_clear(&w->choices);
    vec_clear(&w->begin);
    memcpy(w->from, w->first, words * sizeof *w->from);
    forget(w, w->from);
    stock_add(w->states, w->from);
}

/* Everything that can follow.  Where all choices are ours, what is looked
 * for must nowhere be found.  A part that grew in between told states too
 * little apart: it is begun again. */
static enum trap_end gather(struct walker *w, bool against)
{
    uint32_t s = 0;

    w->first_part = true;
    begin(w);
    while (s < stock_count(w->states)) {
        if (!expand(w, s) || stock_count(w->states) > MOST_STATES)
            return TRAP_TOO_LARGE;
        s++;
        if (w->part && part_grew(w->part)) {
            begin(w);
            s = 0;
            continue;
        }
        for (size_t i = 0; i < w->n_ways && !against; i++)
            if (w->way[i].outcome == FOUND)
                return TRAP_OPEN;
    }
    return TRAP_CLOSED;
}

/* From which of them can it be brought about, whatever the others do? */
static enum trap_end play_against(struct walker *w)
{
    uint32_t n = stock_count(w->states);
    bool added = true;

    w->first_part = false;
    w->possible = arena_array(w->arena, n + 1, sizeof *w->possible);
    while (added) {
        added = false;
        for (uint32_t s = 0; s < n; s++) {
            int can;

            if (w->possible[s])
                continue;
            if (!expand(w, s) || (can = can_make(w)) < 0)
                return TRAP_TOO_LARGE;
            if (can)
                w->possible[s] = added = true;
        }
    }
    return w->possible[0] ? TRAP_OPEN : TRAP_CLOSED;
}

/* ---- the record ---- */

static void note_value(struct trap_values *values, int64_t value)
{
    for (uint32_t i = 0; i < values->n && i < TRAP_VALUES; i++)
        if (values->at[i] == value)
            return;
    if (values->n < TRAP_VALUES)
        values->at[values->n] = value;
    if (values->n <= TRAP_VALUES)
        values->n++;
}

static void record(const struct walker *w, struct arena *arena,
                   struct trap *trap)
{
    uint32_t n = w->model->n_slots;
    struct trap_values *values = arena_array(arena, n + 1, sizeof *values);

    trap->states = 0;
    for (uint32_t s = 0; s < stock_count(w->states); s++) {
        if (w->possible && w->possible[s])
            continue;
        trap->states++;
        for (uint32_t i = 0; i < n; i++)
            note_value(&values[i],
                       machine_place(w->machine, stock_key(w->states, s),
                                     (struct place_id){PLACE_SLOT, i},
                                     INT64_MAX));
    }
    trap->values = values;
}

static const bool *what_matters(const struct walker *w, struct arena *arena)
{
    bool *matters = arena_array(arena, w->model->n_slots + 1,
                                sizeof *matters);

    for (uint32_t i = 0; i < w->model->n_slots; i++)
        matters[i] = part_has(w->part,
                              machine_word(w->machine,
                                           (struct place_id){PLACE_SLOT, i}));
    return matters;
}

static void prepare(struct walker *w)
{
    const struct model *model = w->model;
    uint32_t words = machine_words(w->machine);

    w->odometer = odometer_new(w->arena, w->machine);
    w->still = arena_array(w->arena, model->n_choices + 1, sizeof(bool));
    w->zero = arena_array(w->arena, model->n_choices + 1, sizeof(uint32_t));
    w->own = arena_array(w->arena, model->n_choices + 1, sizeof(bool));
    w->mine = arena_array(w->arena, model->n_choices + 1, sizeof(uint32_t));
    w->forgotten = arena_array(w->arena, words + 1, sizeof(bool));
    w->from = arena_array(w->arena, words + 1, sizeof(int64_t));
    for (uint32_t i = 0; i < model->n_choices; i++)
        w->still[i] = model->choices[i].kind == CHOICE_FAULT ||
                      model->choices[i].kind == CHOICE_POWER;
    for (uint32_t i = 0; i < model->n_requirements; i++) {
        struct place_id flag = {PLACE_MONITOR_FLAG, i};
        struct place_id age = {PLACE_MONITOR_AGE, i};
        struct place_id since = {PLACE_EXCEPT_AGE, i};

        w->forgotten[machine_word(w->machine, flag)] = true;
        w->forgotten[machine_word(w->machine, age)] = true;
        w->forgotten[machine_word(w->machine, since)] = true;
    }
}

static const struct trap *walk(struct walker *w, struct arena *arena)
{
    struct trap *trap = ARENA_NEW(arena, struct trap);

    trap->against = anybody_against(w);
    trap->end = gather(w, trap->against);
    if (trap->end == TRAP_CLOSED && trap->against)
        trap->end = play_against(w);
    trap->states = stock_count(w->states);
    if (trap->end == TRAP_CLOSED)
        record(w, arena, trap);
    if (w->part)
        trap->matters = what_matters(w, arena);
    return trap;
}

static void release(struct walker *w)
{
    if (w->part)
        part_release(w->part);
    stock_free(w->states);
    vec_release(&w->ways);
    vec_release(&w->choices);
    vec_release(&w->begin);
    arena_free(w->arena);
}

/* Where an answer is looked for. */
struct trap_asked {
    struct machine *machine;
    const struct step_setting *setting;
    uint32_t requirement;
    const int64_t *state;
};

static const struct trap *walk_whole(struct arena *arena,
                                     const struct trap_asked *asked,
                                     uint32_t most)
{
    struct walker w = {
        .arena = arena_new(), .machine = asked->machine,
        .model = machine_model(asked->machine), .setting = asked->setting,
        .requirement = asked->requirement, .first = asked->state,
        .most_whole = most,
    };
    const struct trap *trap;

    prepare(&w);
    trap = walk(&w, arena);
    release(&w);
    return trap;
}

const struct trap *trap_walk_whole(struct arena *arena,
                                   struct machine *machine,
                                   const struct step_setting *setting,
                                   uint32_t requirement,
                                   const int64_t *state)
{
    const struct trap_asked asked = {machine, setting, requirement, state};

    return walk_whole(arena, &asked, MOST_WHOLE_SCANS);
}

const struct trap *trap_walk_part(struct arena *arena,
                                  struct machine *machine,
                                  const struct step_setting *setting,
                                  uint32_t requirement, const int64_t *state)
{
    struct walker w = {
        .arena = arena_new(), .machine = machine,
        .model = machine_model(machine), .setting = setting,
        .requirement = requirement, .first = state,
    };
    struct trap *too_large = ARENA_NEW(arena, struct trap);
    const struct trap *trap = too_large;

    too_large->end = TRAP_TOO_LARGE;
    w.part = part_new(w.arena, machine, setting, requirement, state);
    if (w.part) {
        prepare(&w);
        trap = walk(&w, arena);
    }
    release(&w);
    return trap;
}

const struct trap *trap_walk(struct arena *arena, struct machine *machine,
                             const struct step_setting *setting,
                             uint32_t requirement, const int64_t *state)
{
    const struct trap_asked asked = {machine, setting, requirement, state};
    const struct trap *trap = walk_whole(arena, &asked, FEW_WHOLE_SCANS);

    if (trap->end == TRAP_TOO_LARGE)
        trap = trap_walk_part(arena, machine, setting, requirement, state);
    return trap->end == TRAP_TOO_LARGE
               ? walk_whole(arena, &asked, MOST_WHOLE_SCANS) : trap;
}
