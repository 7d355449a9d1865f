#include "tests/support/flat_run.h"

#include "base/arena.h"
#include "logic/build.h"

struct flat_run *flat_run_new(struct arena *arena, const struct flat *flat)
{
    struct flat_run *run = ARENA_NEW(arena, struct flat_run);
    run->flat = flat;
    run->cell = arena_array(arena, flat->n_cells, sizeof *run->cell);
    run->choice = arena_array(arena, flat->n_choices, sizeof *run->choice);
    run->node = arena_array(arena, flat->n_nodes, sizeof *run->node);
    run->hole = arena_array(arena, flat->n_holes, sizeof *run->hole);
    run->present = arena_array(arena, flat->n_faults, sizeof *run->present);
    run->occurred = arena_array(arena, flat->n_causes, sizeof(int64_t));
    run->fault_limit = flat->n_causes;
    for (uint32_t i = 0; i < flat->n_choices; i++)
        run->choice[i] = flat->choices[i].rest;
    return run;
}

void flat_run_restart(struct flat_run *run)
{
    run->scans = 0;
}

static int64_t chosen(const struct flat_run *run, uint32_t row)
{
    return run->flat->choices[row].values[run->choice[row]];
}

static int64_t leaf(const struct flat_run *run, const struct flat_node *node,
                    const int64_t *hole)
{
    if (node->op == FLAT_CONST)
        return node->value;
    if (node->op == FLAT_CELL)
        return run->cell[node->a];
    return node->op == FLAT_CHOICE ? chosen(run, node->a) : hole[node->a];
}

static void compute(struct flat_run *run, const int64_t *hole)
{
    for (uint32_t i = 0; i < run->flat->n_nodes; i++) {
        const struct flat_node *node = &run->flat->nodes[i];
        if (node->op < FLAT_NOT) {
            run->node[i] = leaf(run, node, hole);
            continue;
        }
        int64_t a = run->node[node->a];
        int64_t b = node->b == FLAT_NONE ? 0 : run->node[node->b];
        int64_t c = node->c == FLAT_NONE ? 0 : run->node[node->c];
        run->node[i] = flat_apply(node->op, a, b, c);
    }
}

static void begin(struct flat_run *run, const int64_t *hole)
{
    compute(run, hole);
    for (uint32_t i = 0; i < run->flat->n_cells; i++)
        run->cell[i] = run->node[run->flat->cells[i].initial];
}

static void occur(struct flat_run *run)
{
    uint32_t occurred = 0;
    const struct flat *flat = run->flat;
    for (uint32_t i = 0; i < flat->n_causes; i++) {
        run->occurred[i] = run->cell[flat->causes[i].cell];
        occurred += (uint32_t)run->occurred[i];
    }
    for (uint32_t i = 0; i < flat->n_causes; i++) {
        const struct flat_cause *cause = &flat->causes[i];
        if (run->occurred[i] || occurred >= run->fault_limit ||
            (cause->first_only && run->scans > 0) ||
            !chosen(run, cause->choice))
            continue;
        run->occurred[i] = 1;
        occurred++;
    }
}

static int64_t appears(const struct flat_run *run,
                       const struct flat_fault *fault)
{
    int64_t before, enabled = 0;
    for (uint32_t i = 0; i < fault->n_causes; i++)
        enabled = enabled || run->occurred[fault->causes[i]];
    if (fault->choice == FLAT_NONE)
        return enabled;
    before = run->cell[fault->cell];
    if (!enabled || !chosen(run, fault->choice) ||
        (fault->first_only && run->scans > 0))
        return before;
    return fault->goes ? !before : 1;
}

static void fill_holes(struct flat_run *run, int64_t *hole, bool first)
{
    const struct flat *flat = run->flat;
    int64_t *present = run->present;
    occur(run);
    for (uint32_t i = 0; i < flat->n_faults; i++)
        present[i] = appears(run, &flat->faults[i]);
    for (uint32_t i = 0; i < flat->n_holes; i++) {
        uint32_t index = flat->hole_index[i];
        switch (flat->hole_kind[i]) {
        case HOLE_FIRST: hole[i] = first; break;
        case HOLE_FAULT: hole[i] = present[index]; break;
        case HOLE_STUDIED: hole[i] = 0; break;
        case HOLE_CAUSE: hole[i] = run->occurred[index]; break;
        case HOLE_MAY:
            hole[i] = run->free_times || run->node[flat->timed_may[index]];
            break;
        case HOLE_MUST:
            hole[i] = !run->free_times && run->node[flat->timed_must[index]];
            break;
        }
    }
}

static bool store(struct flat_run *run, bool commit)
{
    const struct flat *flat = run->flat;
    bool fits = true;
    for (uint32_t i = 0; i < flat->n_cells; i++) {
        const struct flat_cell *cell = &flat->cells[i];
        int64_t value = run->node[cell->next];
        fits &= value >= cell->low && value <= cell->high &&
                value % cell->unit == 0;
        if (commit)
            run->cell[i] = value;
    }
    return fits;
}

bool flat_run_scan(struct flat_run *run, bool commit)
{
    int64_t *hole = run->hole;
    bool first = run->scans == 0;
    for (uint32_t i = 0; i < run->flat->n_holes; i++)
        hole[i] = 0;
    if (first)
        begin(run, hole);
    compute(run, hole); /* times depend on cells only */
    fill_holes(run, hole, first);
    compute(run, hole);
    run->scans += commit;
    return store(run, commit);
}

bool flat_run_allowed(const struct flat_run *run)
{
    for (uint32_t i = 0; i < run->flat->n_assumptions; i++)
        if (!run->node[run->flat->assumptions[i].condition])
            return false;
    return true;
}

uint32_t flat_run_error(const struct flat_run *run)
{
    for (uint32_t i = 0; i < run->flat->n_watches; i++)
        if (run->flat->watches[i].kind == WATCH_ERROR &&
            run->node[run->flat->watches[i].condition])
            return i;
    return FLAT_NONE;
}

uint32_t flat_run_moved(const struct flat_run *run)
{
    uint32_t n = 0;
    for (uint32_t i = 0; i < run->flat->n_motions; i++)
        n += run->node[run->flat->motions[i].moved] != 0;
    return n;
}
