#include "study/turned.h"

#include <string.h>

#include "base/arena.h"
#include "base/ensure.h"
#include "check/model.h"
#include "lower/lower.h"
#include "study/more.h"

/* Values of the row by which a sensor is held (lower/way.h). */
enum { AS_SEEN = 0, HELD = 1 };

/* Until turned_close the flat logic has the rows of the sensors behind those
 * of the model. */
static uint32_t row_of(const struct study *study, const struct turn *turn)
{
    return turn->sensor ? study->model->n_choices + turn->of : turn->of;
}

static flat_expr value_of(const struct study *study, const struct turn *turn)
{
    const struct flat *flat = study->lowered->flat;
    int64_t value = turn->sensor
                        ? HELD + (int64_t)turn->to
                        : flat->choices[turn->of].values[turn->to];

    return flat_const(study->lowered->builder, value);
}

/* All sensors but the one that is turned show what they see. */
void turned_expressions(const struct study *study, const struct turn *turn,
                        flat_expr *at, uint32_t n)
{
    struct flat_builder *b = study->lowered->builder;
    uint32_t n_nodes = flat_builder_count(b);
    struct arena *scratch = arena_new();
    flat_expr *replace = arena_array(scratch, (size_t)n_nodes + 1,
                                     sizeof *replace);

    for (uint32_t i = 0; i < n_nodes; i++) {
        const struct flat_node *node = flat_node(b, i);

        replace[i] = FLAT_NONE;
        if (node->op != FLAT_CHOICE)
            continue;
        if (turn != NULL && node->a == row_of(study, turn))
            replace[i] = value_of(study, turn);
        else if (node->a >= study->model->n_choices)
            replace[i] = flat_const(b, AS_SEEN);
    }
    flat_substitute(b, replace, n_nodes, at, n);
    arena_free(scratch);
}

/* ---- the logic as it is ---- */

struct roots {
    flat_expr *at;
    uint32_t n;
};

static void push(struct roots *roots, flat_expr expr)
{
    roots->at[roots->n++] = expr;
}

static void pull(struct roots *roots, flat_expr *to)
{
    *to = roots->at[roots->n++];
}

static void *copy(struct arena *arena, const void *at, size_t n, size_t size)
{
    void *to = arena_array(arena, n + 1, size);

    if (n > 0)
        memcpy(to, at, n * size);
    return to;
}

static void gather(const struct flat *flat, struct roots *roots)
{
    for (uint32_t i = 0; i < flat->n_cells; i++) {
        push(roots, flat->cells[i].initial);
        push(roots, flat->cells[i].next);
    }
    for (uint32_t i = 0; i < flat->n_assumptions; i++)
        push(roots, flat->assumptions[i].condition);
    for (uint32_t i = 0; i < flat->n_watches; i++)
        push(roots, flat->watches[i].condition);
    for (uint32_t i = 0; i < flat->n_motions; i++)
        push(roots, flat->motions[i].moved);
    for (uint32_t i = 0; i < flat->n_movements; i++) {
        push(roots, flat->timed_may[i]);
        push(roots, flat->timed_must[i]);
    }
}

static void scatter(struct arena *arena, struct flat *flat,
                    struct roots *roots)
{
    struct flat_cell *cells =
        copy(arena, flat->cells, flat->n_cells, sizeof *cells);
    struct flat_assumption *assumptions = copy(
        arena, flat->assumptions, flat->n_assumptions, sizeof *assumptions);
    struct flat_watch *watches =
        copy(arena, flat->watches, flat->n_watches, sizeof *watches);
    struct flat_motion *motions =
        copy(arena, flat->motions, flat->n_motions, sizeof *motions);
    flat_expr *may = arena_array(arena, (size_t)flat->n_movements + 1,
                                 sizeof *may);
    flat_expr *must = arena_array(arena, (size_t)flat->n_movements + 1,
                                  sizeof *must);

    for (uint32_t i = 0; i < flat->n_cells; i++) {
        pull(roots, &cells[i].initial);
        pull(roots, &cells[i].next);
    }
    for (uint32_t i = 0; i < flat->n_assumptions; i++)
        pull(roots, &assumptions[i].condition);
    for (uint32_t i = 0; i < flat->n_watches; i++)
        pull(roots, &watches[i].condition);
    for (uint32_t i = 0; i < flat->n_motions; i++)
        pull(roots, &motions[i].moved);
    for (uint32_t i = 0; i < flat->n_movements; i++) {
        pull(roots, &may[i]);
        pull(roots, &must[i]);
    }
    flat->cells = cells;
    flat->assumptions = assumptions;
    flat->watches = watches;
    flat->motions = motions;
    flat->timed_may = may;
    flat->timed_must = must;
}

/* Whoever is asked nothing else meets no row of a sensor. */
static void show_what_is_seen(struct study *study, struct flat *flat)
{
    size_t most = 2 * (size_t)flat->n_cells + flat->n_assumptions +
                  flat->n_watches + flat->n_motions +
                  2 * (size_t)flat->n_movements;
    struct roots roots = {
        arena_array(study->arena, most + 1, sizeof *roots.at), 0};

    gather(flat, &roots);
    ENSURE(roots.n == most);
    turned_expressions(study, NULL, roots.at, roots.n);
    roots.n = 0;
    scatter(study->arena, flat, &roots);
}

void turned_close(struct study *study, const struct study_more *more)
{
    struct lowered *lowered = ARENA_NEW(study->arena, struct lowered);
    struct flat *flat = ARENA_NEW(study->arena, struct flat);

    *lowered = *study->lowered;
    *flat = *lowered->flat;
    show_what_is_seen(study, flat);
    flat->n_choices = study->model->n_choices;
    lowered->flat = flat;
    study->lowered = lowered;
    study_add(study, more);
}

bool turned_open(struct study *study, struct diags *diags)
{
    struct lowered *turned = lower_free(study->arena, study->model,
                                        LOWER_SENSORS_HELD, study->lowered,
                                        diags);

    if (turned == NULL)
        return false;
    lowered_free(study->lowered);
    study->lowered = turned;
    return true;
}
