#include "tests/support/left_out.h"

#include <string.h>

#include "base/arena.h"
#include "check/model.h"
#include "reference/naive.h"
#include "study/findings.h"
#include "tests/support/subject.h"

static const uint64_t MOST_STATES = 300;

/* A model being changed, with the statements that stand in for a text. */
struct change {
    struct arena *arena;
    struct model *model;
    struct choice *choices;
    struct slot *slots;
    struct code_stmt *stmts;
    uint32_t n_stmts;
};

static const int64_t no_or_yes[] = {0, 1};

static void *copy(struct arena *arena, const void *at, size_t n, size_t more,
                  size_t size)
{
    void *made = arena_array(arena, n + more + 1, size);

    if (n > 0)
        memcpy(made, at, n * size);
    return made;
}

static struct code_stmt *assign(struct change *c, uint32_t slot,
                                int64_t value)
{
    struct code_stmt *stmt = ARENA_NEW(c->arena, struct code_stmt);
    struct code_expr *expr = ARENA_NEW(c->arena, struct code_expr);

    expr->op = CODE_CONST;
    expr->value = value;
    expr->type = c->slots[slot].type;
    expr->site = CODE_NO_SITE;
    stmt->kind = CODE_ASSIGN;
    stmt->target.base = CODE_GLOBAL;
    stmt->target.index = slot;
    stmt->target_type = expr->type;
    stmt->value = expr;
    stmt->site = CODE_NO_SITE;
    return stmt;
}

static uint32_t new_row(struct change *c, uint32_t slot)
{
    uint32_t row = c->model->n_choices++;

    c->choices[row] = (struct choice){
        .kind = CHOICE_MACHINE, .name = "free", .count = 2,
        .values = no_or_yes, .of = MODEL_NONE, .type = c->slots[slot].type};
    return row;
}

/* slot := FALSE; MAY slot := TRUE; END_MAY; */
static void set_free(struct change *c, uint32_t slot)
{
    struct code_branch *branch = ARENA_NEW(c->arena, struct code_branch);
    struct code_stmt *may = &c->stmts[c->n_stmts + 1];

    branch->body = assign(c, slot, 1);
    branch->n_body = 1;
    branch->branch = CODE_NO_SITE;
    c->slots[slot].input = false; /* it is assigned from now on */
    c->slots[slot].driver = DRIVER_NONE;
    c->stmts[c->n_stmts] = *assign(c, slot, 0);
    memset(may, 0, sizeof *may);
    may->kind = CODE_MAY;
    may->branches = branch;
    may->n_branches = 1;
    may->choice = new_row(c, slot);
    c->n_stmts += 2;
}

static uint32_t slot_named(const struct model *model, const char *path)
{
    uint32_t i = 0;

    while (strcmp(model->slots[i].path, path) != 0)
        i++;
    return i;
}

/* An actuator that takes any value is not bound by its faults, which appear
 * all the same. */
static void unbind_faults(struct change *c)
{
    const struct model *model = c->model;
    struct effect *effects = copy(c->arena, model->effects, model->n_effects,
                                  0, sizeof *effects);
    uint32_t kept = 0;

    for (uint32_t i = 0; i < model->n_effects; i++)
        if (effects[i].target != AT_ACTUATOR)
            effects[kept++] = effects[i];
    c->model->effects = effects;
    c->model->n_effects = kept;
}

static void free_actuators(struct change *c)
{
    const struct model *model = c->model;
    struct actuator *actuators = copy(c->arena, model->actuators,
                                      model->n_actuators, 0,
                                      sizeof *actuators);
    uint32_t m1 = slot_named(model, "Main.m1");

    for (uint32_t i = 0; i < model->n_actuators; i++) {
        actuators[i].wired = true;
        set_free(c, actuators[i].slot);
    }
    c->model->actuators = actuators;
    c->slots[m1].home = SLOT_WIRING_OUT; /* so that the dark leaves it */
    set_free(c, m1);
    unbind_faults(c);
    c->model->n_programs = 0;
    c->model->wiring_out.stmts = c->stmts;
    c->model->wiring_out.n_stmts = c->n_stmts;
}

static void free_program(struct change *c)
{
    struct code_pou *pou = ARENA_NEW(c->arena, struct code_pou);
    struct program *program = ARENA_NEW(c->arena, struct program);

    set_free(c, slot_named(c->model, "Main.y"));
    set_free(c, slot_named(c->model, "Main.z"));
    set_free(c, slot_named(c->model, "Main.m1"));
    pou->kind = POU_PROGRAM;
    pou->name = c->model->programs[0].pou->name;
    pou->body = c->stmts;
    pou->n_body = c->n_stmts;
    program->pou = pou;
    c->model->programs = program;
    c->model->n_programs = 1;
}

const struct model *left_out(struct arena *arena, const struct model *model,
                             bool at_will)
{
    struct change c = {.arena = arena};

    c.model = copy(arena, model, 1, 0, sizeof *model);
    c.choices = copy(arena, model->choices, model->n_choices, 16,
                     sizeof *c.choices);
    c.slots = copy(arena, model->slots, model->n_slots, 0, sizeof *c.slots);
    c.stmts = arena_array(arena, 32, sizeof *c.stmts);
    c.model->choices = c.choices;
    c.model->slots = c.slots;
    if (at_will)
        free_actuators(&c);
    else
        free_program(&c);
    return c.model;
}

/* 1 yes, 0 no, -1 too large to tell. */
static int broken_without(const struct subject *s, uint32_t requirement,
                          bool at_will)
{
    const struct requirement *r = &s->model->requirements[requirement];
    const struct naive_setting setting = {
        .step = {.fault_limit = r->despite, .allowed = r->despite_of},
        .requirement = requirement,
        .most_states = MOST_STATES,
    };
    const struct model *model = left_out(s->arena, s->model, at_will);
    const struct naive_result *naive = naive_explore(
        s->arena, machine_new(s->arena, model), &setting);

    if (naive->breach_level != 0)
        return 1;
    return naive->complete ? 0 : -1;
}

static bool same(const struct subject *s, bool holds, const char *what)
{
    if (!holds)
        subject_complain(s, what);
    return holds;
}

bool left_out_agrees(const struct subject *subject,
                     const struct requirement_finding *finding,
                     unsigned parts[6])
{
    uint32_t r = finding->requirement;
    bool none = finding->part == PART_NONE;
    int at_will = broken_without(subject, r, true), commanded;

    if (at_will < 0)
        return true;
    parts[finding->part]++;
    if (!same(subject, none == (at_will == 0) &&
                           none == (finding->verdict == VERDICT_NOT_TESTED),
              "actuators at will differ"))
        return false;
    if (none)
        return true;
    commanded = broken_without(subject, r, false);
    return commanded < 0 ||
           same(subject, finding->part == (commanded ? PART_LOGIC
                                                     : PART_WIRING),
                "what the wiring alone keeps differs");
}
