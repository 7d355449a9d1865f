#include "study/map.h"

#include <stdlib.h>
#include <string.h>

#include "base/arena.h"
#include "base/ensure.h"
#include "check/model.h"
#include "engine/edges.h"
#include "study/dead_end.h"
#include "study/errors.h"
#include "study/safety.h"
#include "study/tuples.h"

/* Changes of one machine variable that are told apart; the last bit stands
 * for all others. */
enum { MOST_CHANGES = 63 };

/* A condition, and where an edge of the exploration shows it. */
struct source {
    uint32_t cell;   /* MAP_MOVE, MAP_STOOD: cell of the slice */
    uint32_t value;  /* MAP_MOVE: value of the slice */
    int64_t *from, *to;
    struct tuples changes;
};

struct builder {
    struct study *study;
    struct map *map;
    struct answer answer;
    VEC(flat_expr) values;             /* chosen, then machine variables */
    VEC(struct map_condition) conditions;
    VEC(struct source) sources;
    VEC(uint64_t) full;
    struct tuples nodes;               /* values */
    VEC(bool) first;                   /* per node */
    struct tuples seen;                /* situation, node */
    size_t *begin;                     /* per situation: its nodes in `of` */
    uint32_t *of;
    struct tuples edges;               /* from, to */
    VEC(struct gathering) gatherings;  /* per edge */
    struct tuples boxes;
    struct tuples gathered;            /* edge, box */
    struct gathering all;              /* boxes of all scans */
    VEC(uint64_t) box;                 /* of the scan looked at */
    VEC(uint64_t) words;
};

/* ---- what is asked ---- */

static flat_expr hand_expr(struct builder *b, uint32_t control)
{
    uint32_t row = b->study->model->controls[control].choice;
    const struct choice *choice = &b->study->model->choices[row];
    int64_t low = choice->values[0], high = low;

    for (uint32_t i = 1; i < choice->count; i++) {
        low = choice->values[i] < low ? choice->values[i] : low;
        high = choice->values[i] > high ? choice->values[i] : high;
    }
    return flat_leaf(b->study->lowered->builder, FLAT_CHOICE, row, low,
                     high);
}

static flat_expr contact_expr(struct builder *b, uint32_t number)
{
    struct flat_builder *logic = b->study->lowered->builder;
    const struct contact *contact = &b->study->model->contacts[number];
    flat_expr hand = hand_expr(b, contact->control);

    if (contact->kind == CONTACT_OPENING)
        return flat_not(logic, hand);
    if (contact->kind == CONTACT_ON)
        return flat_binary(logic, FLAT_EQ, hand,
                           flat_const(logic, contact->position));
    return hand;
}

static flat_expr shown_expr(struct builder *b, const struct shown *shown)
{
    switch (shown->kind) {
    case SHOWN_SLOT:
        return b->study->lowered->slot_value[shown->index];
    case SHOWN_HAND:
        return hand_expr(b, shown->index);
    case SHOWN_CONTACT:
        return contact_expr(b, shown->index);
    }
    ENSURE(!"a kind of shown variable");
    return FLAT_NONE;
}

static struct question question_of(const struct builder *b)
{
    return (struct question){
        .values = b->values.at,
        .n_values = (uint32_t)b->values.n,
        .faults = b->map->faults,
        .walk = true,
    };
}

/* Is chosen variable number i one of the machine? */
static bool is_machine(const struct builder *b, uint32_t i)
{
    const struct shown *shown = &b->map->shown[i];

    return shown->kind == SHOWN_SLOT &&
           b->study->model->slots[shown->index].home == SLOT_MACHINE;
}

/* ---- conditions that labels may name ---- */

static void add_condition(struct builder *b, struct map_condition condition,
                          struct source source)
{
    vec_push(&b->conditions, condition);
    vec_push(&b->sources, source);
    vec_push(&b->full, condition.full);
    vec_push(&b->box, 0);
}

/* What a chosen variable shows needs no label. */
static bool is_shown(const struct builder *b, enum shown_kind kind,
                     uint32_t index)
{
    for (uint32_t i = 0; i < b->map->n_shown; i++)
        if (b->map->shown[i].kind == kind && b->map->shown[i].index == index)
            return true;
    return false;
}

static bool hand_is_shown(const struct builder *b, uint32_t control)
{
    const struct model *model = b->study->model;

    for (uint32_t c = 0; c < model->n_contacts; c++)
        if (model->contacts[c].control == control &&
            model->contacts[c].kind != CONTACT_ON &&
            is_shown(b, SHOWN_CONTACT, c))
            return true;
    return is_shown(b, SHOWN_HAND, control);
}

static void choice_condition(struct builder *b, uint32_t row)
{
    const struct choice *choice = &b->study->model->choices[row];
    bool silent = choice->kind == CHOICE_POWER ||
                  choice->kind == CHOICE_FAULT;

    if (!b->answer.slice->used[row] || choice->count < 2 ||
        choice->count > 64 || (!silent && choice->kind < CHOICE_OPERATOR) ||
        (choice->kind == CHOICE_OPERATOR && hand_is_shown(b, choice->of)))
        return;
    add_condition(b, (struct map_condition){
        .kind = MAP_CHOICE, .index = row,
        .full = UINT64_MAX >> (64 - choice->count),
        .rest_is_silent = silent}, (struct source){0});
}

static void move_condition(struct builder *b, uint32_t cell, uint32_t slot)
{
    struct arena *arena = b->study->arena;
    struct source source = {.cell = cell, .value = (uint32_t)b->values.n,
                            .changes = {.width = 2}};

    source.from = arena_array(arena, 64, sizeof *source.from);
    source.to = arena_array(arena, 64, sizeof *source.to);
    add_condition(b, (struct map_condition){
        .kind = MAP_MOVE, .index = slot, .full = UINT64_MAX,
        .from = source.from, .to = source.to, .rest_is_silent = true},
        source);
    vec_push(&b->values, b->study->lowered->slot_value[slot]);
}

static bool machine_is_shown(const struct builder *b)
{
    for (uint32_t i = 0; i < b->map->n_shown; i++)
        if (is_machine(b, i))
            return true;
    return false;
}

/* What is remembered of machine and actuators. */
static void cell_condition(struct builder *b, uint32_t cell)
{
    const struct flat_cell *place = &b->study->lowered->flat->cells[
        b->answer.slice->cells[cell].cell];
    const struct slot *slot;

    if (place->kind != PLACE_SLOT ||
        is_shown(b, SHOWN_SLOT, place->index))
        return;
    slot = &b->study->model->slots[place->index];
    if (slot->home == SLOT_MACHINE)
        move_condition(b, cell, place->index);
    else if (slot->home == SLOT_ACTUATOR && slot->type->kind == TYPE_BOOL &&
             machine_is_shown(b))
        add_condition(b, (struct map_condition){
            .kind = MAP_STOOD, .index = place->index, .full = 3,
            .rest_is_silent = true}, (struct source){.cell = cell});
}

/* The slice of the chosen variables says what has a part in them; the
 * machine variables among that are asked for, too, and add nothing to it. */
static void prepare(struct builder *b)
{
    struct question question;

    for (uint32_t i = 0; i < b->map->n_shown; i++)
        vec_push(&b->values, shown_expr(b, &b->map->shown[i]));
    question = question_of(b);
    answer_slice(b->study, &question, &b->answer);
    for (uint32_t c = 0; c < b->study->model->n_choices; c++)
        choice_condition(b, c);
    for (uint32_t c = 0; c < b->answer.slice->n_cells; c++)
        cell_condition(b, c);
    answer_release(&b->answer);
}

static void ask(struct builder *b)
{
    struct question question;
    uint32_t cells;

    prepare(b);
    question = question_of(b);
    answer_find(b->study, &question, &b->answer);
    answer_walk(&b->answer);
    cells = b->answer.slice->n_cells;
    for (size_t i = 0; i < b->sources.n; i++)
        ENSURE(b->conditions.at[i].kind == MAP_CHOICE ||
               (b->sources.at[i].cell < cells &&
                b->study->lowered->flat->cells[b->answer.slice->cells[
                    b->sources.at[i].cell].cell].index ==
                    b->conditions.at[i].index));
}

/* ---- nodes ---- */

static bool interrupted(struct builder *b)
{
    const struct study_setting *setting = &b->study->setting;

    if (setting->interrupted == NULL || !setting->interrupted())
        return false;
    b->map->stop = STOP_SIGNAL;
    return true;
}

static uint32_t node_of(struct builder *b, const struct edge *edge)
{
    uint32_t node;

    vec_clear(&b->words);
    for (uint32_t i = 0; i < b->map->n_shown; i++)
        vec_push(&b->words, (uint64_t)edge->value[i]);
    node = tuples_number(&b->nodes, b->words.at);
    if (node == b->first.n)
        vec_push(&b->first, edge->from == UINT64_MAX);
    return node;
}

static bool note_node(void *context, const struct edge *edge)
{
    struct builder *b = context;
    uint64_t pair[2] = {edge->to};

    if (interrupted(b))
        return false;
    if (edge->to == UINT64_MAX)
        return true; /* a run-time error: no judging */
    pair[1] = node_of(b, edge);
    if (edge->to < b->answer.reach->situations)
        tuples_number(&b->seen, pair);
    b->map->too_many = b->nodes.n > MAP_MOST_NODES;
    return !b->map->too_many;
}

/* Lays the nodes of each situation side by side. */
static void sort_seen(struct builder *b)
{
    uint64_t n = b->answer.reach->situations;

    b->begin = arena_array(b->answer.arena, n + 2, sizeof *b->begin);
    b->of = arena_array(b->answer.arena, (size_t)b->seen.n + 1,
                        sizeof *b->of);
    for (uint32_t i = 0; i < b->seen.n; i++)
        b->begin[tuples_at(&b->seen, i)[0] + 2]++;
    for (uint64_t s = 1; s <= n; s++)
        b->begin[s + 1] += b->begin[s];
    for (uint32_t i = 0; i < b->seen.n; i++) {
        const uint64_t *pair = tuples_at(&b->seen, i);

        b->of[b->begin[pair[0] + 1]++] = (uint32_t)pair[1];
    }
}

/* ---- edges ---- */

static uint64_t change_bit(struct builder *b, size_t i,
                           const struct edge *edge)
{
    struct source *source = &b->sources.at[i];
    int64_t before = exploration_value(b->answer.exploration, edge->from,
                                       source->cell);
    int64_t now = edge->value[source->value];
    const uint64_t pair[2] = {(uint64_t)before, (uint64_t)now};
    uint32_t number;

    if (before == now)
        return UINT64_MAX;
    number = tuples_number(&source->changes, pair) + 1;
    if (number >= MOST_CHANGES)
        return 1ull << MOST_CHANGES;
    source->from[number] = before;
    source->to[number] = now;
    return 1ull << number;
}

static void fill_box(struct builder *b, const struct edge *edge)
{
    for (size_t i = 0; i < b->conditions.n; i++) {
        const struct map_condition *c = &b->conditions.at[i];
        uint64_t word = c->full;

        if (c->kind == MAP_MOVE)
            word = change_bit(b, i, edge);
        else if (c->kind == MAP_STOOD)
            word = 1ull << (exploration_value(b->answer.exploration,
                                              edge->from,
                                              b->sources.at[i].cell) != 0);
        else if (edge->choice[c->index] != FLAT_NONE)
            word = 1ull << edge->choice[c->index];
        b->box.at[i] = word == 1 && c->rest_is_silent ? c->full : word;
    }
}

static bool machine_differs(const struct builder *b, uint32_t from,
                            uint32_t to)
{
    const uint64_t *before = tuples_at(&b->nodes, from);
    const uint64_t *now = tuples_at(&b->nodes, to);

    for (uint32_t i = 0; i < b->map->n_shown; i++)
        if (is_machine(b, i) && before[i] != now[i])
            return true;
    return false;
}

/* The box that an edge from `from` to `to` gets, in words: without what
 * actuators were, where nothing shown of the machine changes. */
static const uint64_t *box_for(struct builder *b, uint32_t from, uint32_t to)
{
    bool stood = machine_differs(b, from, to);

    vec_clear(&b->words);
    for (size_t i = 0; i < b->conditions.n; i++)
        vec_push(&b->words,
                 stood || b->conditions.at[i].kind != MAP_STOOD
                     ? b->box.at[i] : b->conditions.at[i].full);
    return b->words.at;
}

/* A way from one node to another; the same way of many situations counts
 * once. */
static void add_way(struct builder *b, uint32_t from, uint32_t to,
                    uint32_t box)
{
    const uint64_t ends[2] = {from, to};
    uint32_t edge = tuples_number(&b->edges, ends), before = b->gathered.n;
    const uint64_t pair[2] = {edge, box};

    if (edge == b->gatherings.n) {
        struct gathering fresh;

        gathering_init(&fresh, b->full.at, (uint32_t)b->full.n);
        vec_push(&b->gatherings, fresh);
    }
    tuples_number(&b->gathered, pair);
    if (b->gathered.n > before)
        gathering_add(&b->gatherings.at[edge], box_for(b, from, to));
}

static bool note_edge(void *context, const struct edge *edge)
{
    struct builder *b = context;
    uint32_t to, box, before = b->boxes.n;

    if (interrupted(b))
        return false;
    if (edge->to == UINT64_MAX)
        return true;
    to = node_of(b, edge);
    fill_box(b, edge);
    box = tuples_number(&b->boxes, b->box.at);
    if (b->boxes.n > before)
        gathering_add(&b->all, b->box.at);
    for (size_t i = b->begin[edge->from]; i < b->begin[edge->from + 1]; i++)
        if (b->of[i] != to)
            add_way(b, b->of[i], to, box);
    b->map->too_many = b->edges.n > MAP_MOST_EDGES;
    return !b->map->too_many;
}

static void find_edges(struct builder *b)
{
    uint64_t n = b->answer.reach->situations;

    sort_seen(b);
    b->boxes.width = (uint32_t)b->conditions.n;
    gathering_init(&b->all, b->full.at, (uint32_t)b->full.n);
    for (uint64_t s = 0; s < n; s++)
        if (!edges_from(b->answer.exploration, s, note_edge, b))
            return;
}

/* ---- the result ---- */

static void keep_nodes(struct builder *b)
{
    struct arena *arena = b->study->arena;
    struct map_node *nodes = arena_array(arena, b->nodes.n + 1,
                                         sizeof *nodes);

    for (uint32_t i = 0; i < b->nodes.n; i++) {
        int64_t *value = arena_array(arena, b->map->n_shown + 1,
                                     sizeof *value);

        memcpy(value, tuples_at(&b->nodes, i),
               b->map->n_shown * sizeof *value);
        nodes[i] = (struct map_node){.value = value,
                                     .first = b->first.at[i]};
    }
    for (uint32_t i = 0; i < b->seen.n; i++)
        nodes[tuples_at(&b->seen, i)[1]].situations++;
    b->map->nodes = nodes;
    b->map->n_nodes = b->nodes.n;
}

static int by_ends(const void *left, const void *right)
{
    const struct map_edge *a = left, *b = right;

    if (a->from != b->from)
        return a->from < b->from ? -1 : 1;
    return a->to < b->to ? -1 : a->to > b->to;
}

static void keep_edges(struct builder *b)
{
    struct arena *arena = b->study->arena;
    struct map_edge *edges = arena_array(arena, b->edges.n + 1,
                                         sizeof *edges);
    struct never never = gathering_never(&b->all, arena);

    for (uint32_t i = 0; i < b->edges.n; i++) {
        const uint64_t *ends = tuples_at(&b->edges, i);

        edges[i] = (struct map_edge){
            (uint32_t)ends[0], (uint32_t)ends[1],
            gathering_label(&b->gatherings.at[i], &never, arena)};
    }
    qsort(edges, b->edges.n, sizeof *edges, by_ends);
    b->map->edges = edges;
    b->map->n_edges = b->edges.n;
}

static void keep_conditions(struct builder *b)
{
    struct map_condition *all = arena_array(
        b->study->arena, b->conditions.n + 1, sizeof *all);

    if (b->conditions.n > 0)
        memcpy(all, b->conditions.at, b->conditions.n * sizeof *all);
    b->map->conditions = all;
    b->map->n_conditions = (uint32_t)b->conditions.n;
}

static void release(struct builder *b)
{
    for (size_t i = 0; i < b->gatherings.n; i++)
        gathering_release(&b->gatherings.at[i]);
    for (size_t i = 0; i < b->sources.n; i++)
        tuples_release(&b->sources.at[i].changes);
    gathering_release(&b->all);
    vec_release(&b->gatherings);
    vec_release(&b->sources);
    vec_release(&b->conditions);
    vec_release(&b->values);
    vec_release(&b->full);
    vec_release(&b->first);
    vec_release(&b->box);
    vec_release(&b->words);
    tuples_release(&b->nodes);
    tuples_release(&b->seen);
    tuples_release(&b->edges);
    tuples_release(&b->boxes);
    tuples_release(&b->gathered);
    answer_release(&b->answer);
}

static void note_stop(struct builder *b)
{
    struct map *map = b->map;

    map->coverage = answer_coverage(&b->answer);
    map->stop = answer_stop(&b->answer);
    if (map->stop == STOP_NONE && b->study->errors_open)
        map->stop = STOP_ERROR_OPEN;
    map->errors = b->study->ends.n > 0;
    map->errors_away = b->study->errors_away;
    map->dead_end = answer_dead_end(&b->answer);
}

static void find_errors(struct study *study)
{
    struct errors errors = {0};

    errors_judge(study, &errors);
    errors_release(&errors);
}

const struct map *map_build(struct study *study,
                            const struct shown_list *shown, uint32_t faults)
{
    struct map *map = ARENA_NEW(study->arena, struct map);
    struct builder b = {.study = study, .map = map,
                        .nodes = {.width = shown->n}, .seen = {.width = 2},
                        .edges = {.width = 2}, .gathered = {.width = 2}};

    map->model = study->model;
    map->shown = shown->at;
    map->n_shown = shown->n;
    map->faults = faults;
    ENSURE(shown->n <= SHOWN_MOST);
    find_errors(study);
    ask(&b);
    note_stop(&b);
    edges_all(b.answer.exploration, note_node, &b);
    if (!map->too_many)
        find_edges(&b);
    keep_nodes(&b);
    if (!map->too_many)
        keep_edges(&b);
    keep_conditions(&b);
    release(&b);
    return map;
}

/* ---- a coarser one ---- */

struct size {
    uint32_t nodes, edges;
};

static uint32_t project(const struct map *map, const bool *kept,
                        uint32_t node, struct tuples *nodes)
{
    uint64_t words[SHOWN_MOST] = {0};

    for (uint32_t v = 0; v < map->n_shown; v++)
        words[v] = kept[v] ? (uint64_t)map->nodes[node].value[v] : 0;
    return tuples_number(nodes, words);
}

/* Nodes and edges that are left when only some variables are kept. */
static struct size size_of(const struct map *map, const bool *kept)
{
    struct tuples nodes = {.width = map->n_shown}, edges = {.width = 2};
    struct size size;

    for (uint32_t i = 0; i < map->n_nodes; i++)
        project(map, kept, i, &nodes);
    for (uint32_t i = 0; i < map->n_edges; i++) {
        const uint64_t ends[2] = {
            project(map, kept, map->edges[i].from, &nodes),
            project(map, kept, map->edges[i].to, &nodes)};

        if (ends[0] != ends[1])
            tuples_number(&edges, ends);
    }
    size = (struct size){nodes.n, edges.n};
    tuples_release(&nodes);
    tuples_release(&edges);
    return size;
}

static bool is_smaller(struct size a, struct size b)
{
    return a.nodes != b.nodes ? a.nodes < b.nodes : a.edges <= b.edges;
}

/* Leaves out the variable that saves most, the last of equals. */
static struct size leave_out(const struct map *map, bool *kept)
{
    struct size best = {UINT32_MAX, UINT32_MAX};
    uint32_t which = 0;

    for (uint32_t v = 0; v < map->n_shown; v++) {
        struct size size;

        if (!kept[v])
            continue;
        kept[v] = false;
        size = size_of(map, kept);
        kept[v] = true;
        if (is_smaller(size, best)) {
            best = size;
            which = v;
        }
    }
    kept[which] = false;
    return best;
}

const bool *map_coarser(const struct map *map, uint32_t nodes,
                        uint32_t edges, struct arena *arena)
{
    bool *kept = arena_array(arena, map->n_shown + 1, sizeof *kept);
    struct size size = {map->n_nodes, map->n_edges};

    memset(kept, true, map->n_shown * sizeof *kept);
    for (uint32_t left = map->n_shown;
         left > 1 && (size.nodes > nodes || size.edges > edges); left--)
        size = leave_out(map, kept);
    return kept;
}
