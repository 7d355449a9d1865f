#include "study/signalway.h"

#include <stdlib.h>
#include <string.h>

#include "base/arena.h"
#include "base/vec.h"
#include "check/model.h"
#include "logic/graft.h"
#include "lower/lower.h"
#include "study/dependence.h"
#include "study/signalname.h"

/* A way being found: nodes are those of the dependence. */
struct finding {
    struct arena *arena;
    const struct model *model;
    const struct dependence *d;
    struct signal_way *way;
    uint32_t start, goal; /* goal MODEL_NONE: any end */
    uint32_t *point;      /* per node: the node that stands for it */
    bool *forward, *backward; /* per node that stands for itself */
    bool *drawn;
    bool *remembered;     /* per slot */
};

/* ---- what is one signal ---- */

static bool is_slot(const struct finding *f, uint32_t node)
{
    return node < f->model->n_slots;
}

/* A program input follows its contact or sensor, a command without wiring is
 * its actuator, a contact of a control without CONTACTS is the control. */
static uint32_t one_with(const struct finding *f, uint32_t node)
{
    const struct model *model = f->model;
    uint32_t contact = node - dependence_contact(model, 0);

    if (is_slot(f, node) && model->slots[node].driver == DRIVER_CONTACT)
        return one_with(f, dependence_contact(
                               model, model->slots[node].driver_index));
    if (is_slot(f, node) && model->slots[node].driver == DRIVER_SENSOR)
        return dependence_sensor(model, model->slots[node].driver_index);
    if (node >= dependence_contact(model, 0) && contact < model->n_contacts &&
        strcmp(model->contacts[contact].name->spelling,
               model->controls[model->contacts[contact].control]
                   .name->spelling) == 0)
        return dependence_control(model, model->contacts[contact].control);
    for (uint32_t i = 0; is_slot(f, node) && i < model->n_actuators; i++)
        if (model->actuators[i].command == node && !model->actuators[i].wired)
            return model->actuators[i].slot;
    return node;
}

/* The program whose own variable it is, MODEL_NONE of none. */
static uint32_t program_of(const struct finding *f, uint32_t slot)
{
    for (uint32_t i = 0; i < f->model->n_programs + f->model->n_called; i++)
        if (slot - f->model->programs[i].frame <
            f->model->programs[i].pou->size)
            return i;
    return MODEL_NONE;
}

static bool is_command(const struct finding *f, uint32_t slot)
{
    for (uint32_t i = 0; i < f->model->n_actuators; i++)
        if (f->model->actuators[i].command == slot)
            return true;
    return false;
}

static uint32_t stands_for(const struct finding *f, uint32_t node,
                           enum way_grain grain)
{
    uint32_t one = one_with(f, node), program;

    if (one != node || !is_slot(f, node))
        return one;
    node = f->d->array[node];
    if (grain >= WAY_BLOCKS && f->d->block[node] != MODEL_NONE)
        return f->d->block[node];
    if (f->d->standard[node] != MODEL_NONE && grain < WAY_PROGRAMS)
        return f->d->standard[node];
    program = grain < WAY_PROGRAMS || is_command(f, node)
                  ? MODEL_NONE : program_of(f, node);
    if (program != MODEL_NONE && f->model->slots[node].driver == DRIVER_NONE)
        return f->model->programs[program].frame;
    return node;
}

/* ---- which nodes lie on the way ---- */

static bool is_actuator(const struct finding *f, uint32_t node)
{
    return is_slot(f, node) && f->model->slots[node].home == SLOT_ACTUATOR;
}

static bool is_part(const struct finding *f, uint32_t node)
{
    return is_slot(f, node) && f->model->slots[node].home == SLOT_MACHINE;
}

static bool is_sensor(const struct finding *f, uint32_t node)
{
    return node >= dependence_sensor(f->model, 0);
}

/* From actuators only on to the machine, from there nowhere. */
static bool leads_on(const struct finding *f, const struct dependence_arrow *a)
{
    if (is_actuator(f, a->from))
        return is_part(f, a->to);
    return !is_part(f, a->from) && !is_sensor(f, a->to);
}

/* One pass after the other until nothing is added: arrows are few. */
static void spread(struct finding *f, bool *reached, bool forward)
{
    bool more = true;

    while (more) {
        more = false;
        for (uint32_t i = 0; i < f->d->n_arrows; i++) {
            const struct dependence_arrow *a = &f->d->arrows[i];
            uint32_t from = forward ? a->from : a->to;
            uint32_t to = forward ? a->to : a->from;

            if (!reached[from] || reached[to] || !leads_on(f, a))
                continue;
            reached[to] = more = true;
        }
    }
}

/* Is it where a way may begin or end? */
static bool is_end(const struct finding *f, uint32_t node)
{
    return f->goal != MODEL_NONE ? node == f->goal
                                 : is_actuator(f, node);
}

static void mark(struct finding *f)
{
    for (uint32_t i = 0; i < f->d->n_nodes; i++) {
        f->forward[i] = i == f->start;
        f->backward[i] = f->way->forward ? is_end(f, i) : i == f->start;
    }
    if (!f->way->forward)
        memset(f->forward, 1, f->d->n_nodes);
    else
        spread(f, f->forward, true);
    spread(f, f->backward, false);
    if (f->way->forward && f->goal == MODEL_NONE)
        for (uint32_t i = 0; i < f->d->n_arrows; i++)
            if (is_actuator(f, f->d->arrows[i].from) &&
                is_part(f, f->d->arrows[i].to))
                f->backward[f->d->arrows[i].to] = true;
    for (uint32_t i = 0; i < f->d->n_nodes; i++)
        f->drawn[i] = f->forward[i] && f->backward[i];
}

/* Of a variable in the middle both ways are drawn. */
static void mark_both(struct finding *f)
{
    bool *to_it = arena_array(f->arena, (size_t)f->d->n_nodes + 1,
                              sizeof *to_it);

    f->way->forward = true;
    mark(f);
    to_it[f->start] = true;
    spread(f, to_it, false);
    for (uint32_t i = 0; i < f->d->n_nodes; i++)
        f->drawn[i] |= to_it[i];
}

/* ---- the picture ---- */

static enum waypoint_kind kind_of(const struct finding *f, uint32_t node,
                                  enum way_grain grain)
{
    const struct slot *slot = &f->model->slots[node];

    switch (slot->home) {
    case SLOT_ACTUATOR: return WAYPOINT_ACTUATOR;
    case SLOT_MACHINE: return WAYPOINT_PART;
    case SLOT_WIRING_IN: case SLOT_WIRING_OUT: return WAYPOINT_RELAY;
    default: break;
    }
    if (is_command(f, node))
        return WAYPOINT_COMMAND;
    if (slot->driver == DRIVER_WIRING ||
        (slot->driver == DRIVER_CHOICE && f->d->place[node].file == 0))
        return WAYPOINT_INPUT;
    if (grain == WAY_PROGRAMS && program_of(f, node) != MODEL_NONE &&
        f->model->programs[program_of(f, node)].frame == node)
        return WAYPOINT_PROGRAM;
    return WAYPOINT_VARIABLE;
}

static uint32_t actuator_of(const struct finding *f, uint32_t slot)
{
    for (uint32_t i = 0; i < f->model->n_actuators; i++)
        if (f->model->actuators[i].slot == slot ||
            f->model->actuators[i].command == slot)
            return i;
    return MODEL_NONE;
}

static void name_slot(const struct finding *f, uint32_t node,
                      enum way_grain grain, struct waypoint *point)
{
    const struct dependence *d = f->d;

    point->kind = kind_of(f, node, grain);
    point->of = node;
    if (point->kind == WAYPOINT_ACTUATOR || point->kind == WAYPOINT_COMMAND)
        point->of = actuator_of(f, node);
    if (point->kind == WAYPOINT_PROGRAM)
        point->of = program_of(f, node);
    if (grain >= WAY_BLOCKS && d->block[node] == node) {
        point->kind = WAYPOINT_BLOCK;
        point->pou = d->block_pou[node];
    } else if (d->standard[node] == node && grain < WAY_PROGRAMS) {
        point->kind = WAYPOINT_BLOCK;
        point->pou = d->standard_pou[node];
    }
}

static struct waypoint point_of(const struct finding *f, uint32_t node,
                                enum way_grain grain)
{
    const struct model *model = f->model;
    struct waypoint point = {.distance = UINT32_MAX};

    if (is_slot(f, node)) {
        name_slot(f, node, grain, &point);
        point.place = f->d->place[node];
        if (point.kind == WAYPOINT_ACTUATOR && point.place.file == 0 &&
            model->actuators[point.of].command != MODEL_NONE)
            point.place = f->d->place[model->actuators[point.of].command];
    } else if (node < dependence_contact(model, 0)) {
        point.kind = WAYPOINT_CONTROL;
        point.of = node - dependence_control(model, 0);
    } else if (node < dependence_sensor(model, 0)) {
        point.kind = WAYPOINT_CONTACT;
        point.of = node - dependence_contact(model, 0);
    } else {
        point.kind = WAYPOINT_SENSOR;
        point.of = node - dependence_sensor(model, 0);
    }
    return point;
}

static int by_to(const void *left, const void *right)
{
    const struct way_arrow *a = left, *b = right;

    if (a->to != b->to)
        return a->to < b->to ? -1 : 1;
    return a->from < b->from ? -1 : a->from > b->from;
}

/* Arrows between what stands for their ends, each once; by node. */
static uint32_t join_arrows(const struct finding *f, struct way_arrow *arrows)
{
    uint32_t n = 0, kept = 0;

    for (uint32_t i = 0; i < f->d->n_arrows; i++) {
        const struct dependence_arrow *a = &f->d->arrows[i];
        uint32_t from = f->point[a->from], to = f->point[a->to];

        if (f->drawn[a->from] && f->drawn[a->to] && from != to &&
            leads_on(f, a))
            arrows[n++] = (struct way_arrow){from, to};
    }
    if (n > 1)
        qsort(arrows, n, sizeof *arrows, by_to);
    for (uint32_t i = 0; i < n; i++)
        if (i == 0 || by_to(&arrows[i - 1], &arrows[i]) != 0)
            arrows[kept++] = arrows[i];
    return kept;
}

/* Distances from what no arrow leads to, or from the signal itself. */
static void measure(const struct finding *f, const struct way_arrow *arrows,
                    uint32_t n, uint32_t *distance)
{
    bool more = true;

    for (uint32_t i = 0; i < f->d->n_nodes; i++)
        distance[i] = 0;
    for (uint32_t i = 0; i < n; i++)
        distance[arrows[i].to] = UINT32_MAX - 1;
    if (f->way->forward && !f->way->backward)
        distance[f->point[f->start]] = 0;
    while (more) {
        more = false;
        for (uint32_t i = 0; i < n; i++)
            if (distance[arrows[i].to] > distance[arrows[i].from] + 1) {
                distance[arrows[i].to] = distance[arrows[i].from] + 1;
                more = true;
            }
    }
}

/* A node that is drawn, for sorting. */
struct placed {
    uint32_t node, distance;
};

static int by_distance(const void *left, const void *right)
{
    const struct placed *a = left, *b = right;

    if (a->distance != b->distance)
        return a->distance < b->distance ? -1 : 1;
    return a->node < b->node ? -1 : a->node > b->node;
}

static void gather_points(struct finding *f, const uint32_t *distance,
                          struct placed *placed)
{
    struct signal_way *way = f->way;
    bool *there = arena_array(f->arena, (size_t)f->d->n_nodes + 1,
                              sizeof *there);

    way->n_points = 0;
    for (uint32_t i = 0; i < f->d->n_nodes; i++)
        if (f->drawn[i] && !there[f->point[i]]) {
            there[f->point[i]] = true;
            placed[way->n_points++] =
                (struct placed){f->point[i], distance[f->point[i]]};
        }
    if (way->n_points > 1)
        qsort(placed, way->n_points, sizeof *placed, by_distance);
}

static void note_remembered(struct finding *f, struct waypoint *points,
                            const uint32_t *number)
{
    for (uint32_t i = 0; i < f->model->n_slots; i++) {
        struct waypoint *point = &points[number[f->point[i]]];

        if (f->drawn[i] && f->remembered[i] &&
            point->kind >= WAYPOINT_RELAY && point->kind <= WAYPOINT_COMMAND)
            point->remembered = true;
    }
}

static void draw(struct finding *f, enum way_grain grain)
{
    struct signal_way *way = f->way;
    size_t n = (size_t)f->d->n_nodes + 1;
    struct way_arrow *arrows = arena_array(
        f->arena, (size_t)f->d->n_arrows + 1, sizeof *arrows);
    uint32_t *distance = arena_array(f->arena, n, sizeof *distance);
    uint32_t *number = arena_array(f->arena, n, sizeof *number);
    struct placed *placed = arena_array(f->arena, n, sizeof *placed);
    struct waypoint *points;

    for (uint32_t i = 0; i < f->d->n_nodes; i++)
        f->point[i] = stands_for(f, i, grain);
    way->grain = grain;
    way->n_arrows = join_arrows(f, arrows);
    measure(f, arrows, way->n_arrows, distance);
    gather_points(f, distance, placed);
    points = arena_array(f->arena, (size_t)way->n_points + 1, sizeof *points);
    for (uint32_t i = 0; i < way->n_points; i++) {
        points[i] = point_of(f, placed[i].node, grain);
        points[i].distance = placed[i].distance;
        points[i].ends = placed[i].node == f->point[f->start] ||
                         (f->goal != MODEL_NONE &&
                          placed[i].node == f->point[f->goal]);
        number[placed[i].node] = i;
    }
    note_remembered(f, points, number);
    for (uint32_t i = 0; i < way->n_arrows; i++)
        arrows[i] = (struct way_arrow){number[arrows[i].from],
                                       number[arrows[i].to]};
    if (way->n_arrows > 1)
        qsort(arrows, way->n_arrows, sizeof *arrows, by_to);
    way->points = points;
    way->arrows = arrows;
}

/* ---- what is asked ---- */

static bool find_names(struct finding *f, const char *name)
{
    const char *comma = strchr(name, ',');
    struct signal_name found;

    f->way->from = comma == NULL
                       ? name
                       : arena_copy(f->arena, name, (size_t)(comma - name));
    f->way->to = comma == NULL ? NULL : comma + 1;
    found = signalname_find(f->arena, f->model, f->way->from);
    f->start = found.node;
    f->goal = MODEL_NONE;
    if (found.failure == NULL && comma != NULL) {
        found = signalname_find(f->arena, f->model, f->way->to);
        f->goal = found.node;
    }
    f->way->failure = found.failure;
    return found.failure == NULL;
}

static bool is_beginning(const struct finding *f, uint32_t node)
{
    if (!is_slot(f, node))
        return true;
    return f->model->slots[node].driver != DRIVER_NONE;
}

static void choose_direction(struct finding *f)
{
    if (f->goal != MODEL_NONE || is_beginning(f, f->start)) {
        f->way->forward = true;
        mark(f);
    } else if (is_actuator(f, f->start) || is_part(f, f->start)) {
        f->way->backward = true;
        mark(f);
    } else {
        mark_both(f);
        f->way->backward = true;
    }
}

/* Remembered is what another variable, or a command, reads as it was. */
static void note_memory(struct finding *f, const struct lowered *lowered)
{
    const struct flat *flat = lowered->flat;
    bool *marked;

    for (uint32_t i = 0; i < flat->n_cells + f->model->n_actuators; i++) {
        flat_expr expr = i < flat->n_cells
                             ? flat->cells[i].next
                             : lowered->command[i - flat->n_cells];
        struct arena *scratch = arena_new();

        marked = arena_array(scratch, flat->n_nodes + (size_t)1,
                             sizeof *marked);
        graft_mark(lowered->builder, expr, marked);
        for (flat_expr e = 0; e <= expr; e++) {
            const struct flat_node *node = flat_node(lowered->builder, e);

            if (marked[e] && node->op == FLAT_CELL && node->a != i &&
                flat->cells[node->a].kind == PLACE_SLOT)
                f->remembered[flat->cells[node->a].index] = true;
        }
        arena_free(scratch);
    }
}

static void find(struct finding *f, const struct lowered *lowered,
                 uint32_t most)
{
    size_t n = (size_t)f->d->n_nodes + 1;

    f->point = arena_array(f->arena, n, sizeof *f->point);
    f->forward = arena_array(f->arena, n, sizeof *f->forward);
    f->backward = arena_array(f->arena, n, sizeof *f->backward);
    f->drawn = arena_array(f->arena, n, sizeof *f->drawn);
    f->remembered = arena_array(f->arena, n, sizeof *f->remembered);
    note_memory(f, lowered);
    choose_direction(f);
    for (unsigned grain = WAY_VARIABLES; grain <= WAY_PROGRAMS; grain++) {
        draw(f, (enum way_grain)grain);
        if (grain == WAY_VARIABLES)
            f->way->n_finest = f->way->n_points;
        if (f->way->n_points <= most)
            break;
    }
}

const struct signal_way *signalway_find(struct arena *arena,
                                        const struct model *model,
                                        const struct lowered *lowered,
                                        const char *name, uint32_t most)
{
    struct signal_way *way = ARENA_NEW(arena, struct signal_way);
    struct finding f = {.arena = arena, .model = model, .way = way};

    way->model = model;
    if (!find_names(&f, name))
        return way;
    f.d = dependence_of(arena, model);
    if (f.d->cut)
        way->failure = "the texts are too large for the way of a signal to be "
                       "followed";
    else
        find(&f, lowered, most);
    return way;
}
