#include "study/scenario.h"

#include <string.h>

#include "base/arena.h"

struct player {
    struct arena *arena;
    const struct scenario *scenario;
    struct outing *outing;
    struct scenario_result *result;
    VEC(struct scenario_note) notes;
    VEC(const struct code_expr *) asked; /* of the EXPECTs behind a WAIT:
                                            each, then its names */
    VEC(size_t) ends; /* of each EXPECT's part of it */
    int64_t *values;
    bool *told; /* per requirement: its breach was noted */
    const struct play_step **moves; /* per slot: the MOVE not yet made */
};

static uint32_t last_scan(const struct player *p)
{
    return p->outing->scans.n == 0 ? 0
                                    : (uint32_t)p->outing->scans.n - 1;
}

static void note(struct player *p, enum scenario_event event,
                 const struct play_step *step, uint32_t index)
{
    vec_push(&p->notes, ((struct scenario_note){.event = event,
                                                .scan = last_scan(p),
                                                .index = index,
                                                .step = step}));
}

/* ---- what an expectation looks at ---- */

static bool is_leaf(const struct code_expr *expr)
{
    return expr->op < CODE_NOT && expr->op != CODE_CONST;
}

static void add_leaves(struct player *p, const struct code_expr *expr,
                       size_t from)
{
    if (expr == NULL)
        return;
    add_leaves(p, expr->left, from);
    add_leaves(p, expr->right, from);
    for (uint32_t i = 0; i < expr->n_args; i++)
        add_leaves(p, expr->args[i].value, from);
    if (!is_leaf(expr))
        return;
    for (size_t i = from; i < p->asked.n; i++)
        if (p->asked.at[i]->op == expr->op &&
            p->asked.at[i]->when == expr->when &&
            p->asked.at[i]->index == expr->index &&
            p->asked.at[i]->variable.index == expr->variable.index)
            return;
    vec_push(&p->asked, expr);
}

/* The expectations behind step `wait`. */
static void ask(struct player *p, uint32_t wait)
{
    const struct play_step *steps = p->scenario->steps;

    vec_clear(&p->asked);
    vec_clear(&p->ends);
    for (uint32_t i = wait + 1; i < p->scenario->n_steps; i++) {
        if (steps[i].kind != PLAY_EXPECT && steps[i].kind != PLAY_BROKEN)
            break;
        if (steps[i].kind != PLAY_EXPECT)
            continue;
        vec_push(&p->asked, steps[i].expected);
        add_leaves(p, steps[i].expected, p->asked.n);
        vec_push(&p->ends, p->asked.n);
    }
    p->values = arena_array(p->arena, p->asked.n + 1, sizeof *p->values);
}

/* The answer to expectation `number` behind the last WAIT. */
static void look(struct player *p, const struct play_step *step,
                 size_t number)
{
    size_t at = number == 0 ? 0 : p->ends.at[number - 1];
    size_t end = p->ends.at[number];
    struct scenario_sight *sights =
        arena_array(p->arena, end - at, sizeof *sights);
    struct scenario_note *made;

    note(p, SCENARIO_EXPECTED, step, 0);
    made = &p->notes.at[p->notes.n - 1];
    made->met = p->values[at] != 0;
    for (size_t i = at + 1; i < end; i++)
        sights[made->n_sights++] =
            (struct scenario_sight){p->asked.at[i], p->values[i]};
    made->sights = sights;
}

/* ---- steps ---- */

/* A requirement that breaks, and no EXPECT BROKEN anywhere speaks of it. */
static void note_breaches(struct player *p)
{
    for (uint32_t r = 0; r < p->outing->model.n_requirements; r++) {
        if (p->told[r] ||
            !outing_breaks(p->outing, last_scan(p), r, true))
            continue;
        p->told[r] = true;
        note(p, SCENARIO_BREACH, NULL, r);
    }
}

static void forget_moves(struct player *p)
{
    for (uint32_t s = 0; s < p->outing->model.n_slots; s++) {
        bool pending = false;

        for (size_t i = 0; i < p->outing->moves.n; i++)
            pending = pending || p->outing->moves.at[i].slot == s;
        if (!pending)
            p->moves[s] = NULL;
    }
}

/* False when the scenario ends here. */
static bool wait(struct player *p, uint32_t number)
{
    const struct play_step *step = &p->scenario->steps[number];
    struct step_question question;
    uint32_t which;

    ask(p, number);
    question = (struct step_question){p->asked.at, (uint32_t)p->asked.n,
                                      p->values};
    for (int64_t i = 1; i <= step->value; i++) {
        enum outing_end end = outing_run(
            p->outing, i == step->value ? &question : NULL, &which);

        if (end != OUTING_RAN) {
            note(p, end == OUTING_ERROR ? SCENARIO_ERROR
                                         : SCENARIO_NOT_ALLOWED,
                 step, which);
            p->notes.at[p->notes.n - 1].scan = (uint32_t)p->outing->scans.n;
            return false;
        }
        note_breaches(p);
        forget_moves(p);
    }
    return true;
}

static void move(struct player *p, const struct play_step *step)
{
    if (p->moves[step->row] != NULL)
        note(p, SCENARIO_NOT_MOVED, p->moves[step->row], 0);
    p->moves[step->row] = step;
    if (outing_move(p->outing, step->row, step->value))
        return;
    p->moves[step->row] = NULL;
    note(p, SCENARIO_STANDS, step, 0);
}

static void set(struct player *p, const struct play_step *step)
{
    switch (step->kind) {
    case PLAY_FAULT: outing_fault(p->outing, step->row); return;
    case PLAY_PACE: outing_pace(p->outing, step->value); return;
    case PLAY_POWER: outing_power(p->outing, step->value == 0); return;
    case PLAY_MOVE: move(p, step); return;
    default: outing_set(p->outing, step->row, step->value); return;
    }
}

static void broken(struct player *p, const struct play_step *step)
{
    note(p, SCENARIO_EXPECTED, step, step->row);
    p->notes.at[p->notes.n - 1].met =
        outing_breaks(p->outing, last_scan(p), step->row, false);
}

static void play(struct player *p)
{
    size_t expected = 0;

    for (uint32_t i = 0; i < p->scenario->n_steps; i++) {
        const struct play_step *step = &p->scenario->steps[i];

        if (step->kind == PLAY_WAIT) {
            expected = 0;
            if (!wait(p, i))
                return;
        } else if (step->kind == PLAY_EXPECT) {
            look(p, step, expected++);
        } else if (step->kind == PLAY_BROKEN) {
            broken(p, step);
        } else {
            set(p, step);
        }
    }
    for (uint32_t s = 0; s < p->outing->model.n_slots; s++)
        if (p->moves[s] != NULL)
            note(p, SCENARIO_NOT_MOVED, p->moves[s], 0);
}

/* ---- the whole ---- */

static void finish(struct player *p)
{
    struct scenario_result *result = p->result;
    struct scenario_note *notes =
        arena_array(p->arena, p->notes.n + 1, sizeof *notes);

    if (p->notes.n > 0)
        memcpy(notes, p->notes.at, p->notes.n * sizeof *notes);
    result->notes = notes;
    result->n_notes = (uint32_t)p->notes.n;
    result->as_expected = true;
    for (uint32_t i = 0; i < result->n_notes; i++) {
        bool expected = notes[i].event == SCENARIO_EXPECTED;

        result->n_expected += expected;
        if (!expected || !notes[i].met)
            result->as_expected = false;
    }
    vec_release(&p->notes);
    vec_release(&p->asked);
    vec_release(&p->ends);
}

struct scenario_result *scenario_play(struct arena *arena,
                                      const struct model *model,
                                      const struct scenario *scenario)
{
    struct player p = {
        .arena = arena,
        .scenario = scenario,
        .outing = ARENA_NEW(arena, struct outing),
        .result = ARENA_NEW(arena, struct scenario_result),
        .told = arena_array(arena, model->n_requirements + 1, sizeof(bool)),
        .moves = arena_array(arena, model->n_slots + 1,
                             sizeof(struct play_step *)),
    };

    outing_open(p.outing, arena, model);
    p.result->scenario = scenario;
    p.result->outing = p.outing;
    for (uint32_t i = 0; i < scenario->n_steps; i++)
        if (scenario->steps[i].kind == PLAY_BROKEN)
            p.told[scenario->steps[i].row] = true;
    play(&p);
    finish(&p);
    return p.result;
}

void scenario_release(struct scenario_result *result)
{
    outing_close(result->outing);
}
