/* The flat logic and the reference interpreter, both written from
 * docs/notes/step.md, run the same texts with the same random choices: every
 * stored place, breach, trigger, branch, vector, error and cost has to be equal in
 * every scan. */
#include "lower/lower.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/arena.h"
#include "base/text.h"
#include "check/decision.h"
#include "reference/machine.h"
#include "tests/support/random_review.h"
#include "tests/support/text_model.h"
#include "tests/support/agreement_texts.h"

enum { SCANS = 600, RANDOM_TEXTS = 150, RANDOM_SCANS = 60 };

struct pair {
    struct text_model text;
    struct machine *machine;
    struct arena *arena;
    int64_t *state;
    uint64_t seed;
    const char *name;
    bool *read;      /* per cell: a later scan reads it */
    struct step_setting setting;
    unsigned judged; /* scans that went to their judging */
};

static uint32_t any(struct pair *pair, uint32_t below)
{
    pair->seed = pair->seed * UINT64_C(6364136223846793005) +
                 UINT64_C(1442695040888963407);
    return (uint32_t)(pair->seed >> 33) % below;
}

/* Hands mostly stay, faults and power loss are rare. */
static void choose(struct pair *pair)
{
    const struct model *model = pair->text.model;
    uint32_t *choice = pair->text.run->choice;
    bool first = pair->text.run->scans == 0;
    for (uint32_t i = 0; i < model->n_choices; i++) {
        enum choice_kind kind = model->choices[i].kind;
        bool rare = kind == CHOICE_FAULT || kind == CHOICE_POWER;
        if (rare)
            choice[i] = any(pair, 12) == 0;
        else if (first || any(pair, 3) == 0)
            choice[i] = any(pair, model->choices[i].count);
    }
}

static void restart(struct pair *pair)
{
    flat_run_restart(pair->text.run);
    pair->setting.first = true;
    pair->setting.fault_limit = any(pair, 9);
    pair->setting.free_times = any(pair, 4) == 0;
    pair->text.run->fault_limit = pair->setting.fault_limit;
    pair->text.run->free_times = pair->setting.free_times;
    choose(pair);
    machine_start(pair->machine, pair->text.run->choice, pair->state);
}

#define SAME(pair, what, index, flat_value, reference_value)               \
    do {                                                                   \
        int64_t one = (flat_value), other = (reference_value);             \
        if (one != other)                                                  \
            fail_msg("%s, scan %u: %s %s: %lld in the flat logic, %lld in " \
                     "the reference", (pair)->name,                        \
                     (pair)->text.run->scans, what, index,                 \
                     (long long)one, (long long)other);                    \
    } while (0)

static int64_t node(const struct pair *pair, flat_expr expr)
{
    return pair->text.run->node[expr];
}

static int64_t watch(const struct pair *pair, uint32_t number)
{
    return node(pair, pair->text.lowered->flat->watches[number].condition);
}

static void read_from(struct pair *pair, bool *reached, flat_expr root)
{
    const struct flat *flat = pair->text.lowered->flat;
    memset(reached, 0, flat->n_nodes);
    reached[root] = true;
    for (flat_expr i = root + 1; i-- > 0;) {
        const struct flat_node *n = &flat->nodes[i];
        if (!reached[i])
            continue;
        if (n->op == FLAT_CELL)
            pair->read[n->a] = true;
        if (n->op < FLAT_NOT)
            continue;
        reached[n->a] = true;
        if (n->b != FLAT_NONE)
            reached[n->b] = true;
        if (n->c != FLAT_NONE)
            reached[n->c] = true;
    }
}

/* What nothing reads need not be equal: either side may forget it. */
static void find_read(struct pair *pair)
{
    const struct flat *flat = pair->text.lowered->flat;
    bool *reached = arena_array(pair->arena, flat->n_nodes, 1);
    pair->read = arena_array(pair->arena, flat->n_cells, 1);
    for (uint32_t i = 0; i < flat->n_cells; i++)
        read_from(pair, reached, flat->cells[i].next);
    for (uint32_t i = 0; i < flat->n_watches; i++)
        read_from(pair, reached, flat->watches[i].condition);
    for (uint32_t i = 0; i < flat->n_assumptions; i++)
        read_from(pair, reached, flat->assumptions[i].condition);
}

/* Places that nothing reads under this setting. */
static bool is_moot(const struct pair *pair, enum place_kind kind)
{
    if (kind == PLACE_MOVE_TOTAL || kind == PLACE_MOVE_UNBROKEN)
        return pair->setting.free_times;
    if (kind == PLACE_CONTACT_LAST || kind == PLACE_SENSOR_LAST)
        return pair->setting.fault_limit == 0;
    return false;
}

/* Waiting beyond the bound is all the same; the flat logic rounds it up to
 * whole scans. */
static int64_t bound_of(const struct pair *pair, const struct flat_cell *cell)
{
    const struct movement *movements = pair->text.model->movements;
    if (cell->kind == PLACE_MOVE_TOTAL)
        return movements[cell->index].lower;
    return cell->kind == PLACE_MOVE_UNBROKEN ? movements[cell->index].upper
                                             : cell->high;
}

static int64_t at_most(int64_t value, int64_t most)
{
    return value < most ? value : most;
}

static void same_places(struct pair *pair)
{
    const struct flat *flat = pair->text.lowered->flat;
    const struct model *model = pair->text.model;
    for (uint32_t i = 0; i < flat->n_cells; i++) {
        const struct flat_cell *cell = &flat->cells[i];
        struct place_id place = {(enum place_kind)cell->kind, cell->index};
        if (!pair->read[i] || is_moot(pair, place.kind))
            continue;
        int64_t most = bound_of(pair, cell);
        SAME(pair, "place", cell->name,
             at_most(node(pair, cell->next), most),
             at_most(machine_place(pair->machine, pair->state, place,
                                   cell->high), most));
    }
    for (uint32_t i = 0; i < model->n_slots; i++) {
        struct place_id place = {PLACE_SLOT, i};
        if (!model->slots[i].clock && model->slots[i].driver == DRIVER_NONE)
            SAME(pair, "variable", model->slots[i].path,
                 node(pair, pair->text.lowered->slot_value[i]),
                 machine_place(pair->machine, pair->state, place,
                               INT64_MAX));
    }
}

/* How often a vector was not there, and was. */
static unsigned vectors[2];

static void same_verdicts(struct pair *pair, const struct step_result *step)
{
    const struct model *model = pair->text.model;
    const struct lowered *lowered = pair->text.lowered;
    for (uint32_t i = 0; i < model->n_requirements; i++) {
        const struct requirement *asked = &model->requirements[i];
        SAME(pair, "breach", asked->name->spelling,
             watch(pair, lowered->breach[i]), step->breach[i]);
        for (uint32_t k = 0; k < asked->n_triggers; k++)
            SAME(pair, "trigger", asked->name->spelling,
                 watch(pair, lowered->trigger[i] + k), step->trigger[i][k]);
    }
    for (uint32_t i = 0; i < model->n_branches; i++)
        SAME(pair, "branch", model->branches[i].pou,
             watch(pair, lowered->branch[i]), step->branch[i]);
    for (uint32_t i = 0; i < model->decisions->n_vectors; i++) {
        vectors[step->vector[i]]++;
        SAME(pair, "vector", "of a decision",
             watch(pair, lowered->vector + i), step->vector[i]);
    }
    for (uint32_t i = 0; i < model->n_stretches; i++)
        SAME(pair, "stretch", model->stretches[i].pou,
             watch(pair, lowered->stretch[i]), step->stretch[i]);
}

static void same_views(struct pair *pair, const struct step_result *step)
{
    const struct model *model = pair->text.model;
    const struct lowered *lowered = pair->text.lowered;
    for (uint32_t i = 0; i < model->n_actuators; i++)
        SAME(pair, "command", model->actuators[i].name->spelling,
             node(pair, lowered->command[i]), step->command[i]);
    for (uint32_t i = 0; i < model->n_contacts; i++)
        if (model->contacts[i].kind != CONTACT_VALUE)
            SAME(pair, "contact", model->contacts[i].name->spelling,
                 node(pair, lowered->contact[i]), step->contact[i]);
    for (uint32_t i = 0; i < model->n_sensors; i++)
        SAME(pair, "sensor", model->sensors[i].name->spelling,
             node(pair, lowered->sensor[i]), step->sensor[i]);
    SAME(pair, "dark", "", node(pair, *lowered->dark), step->dark);
    SAME(pair, "cost", "movements", flat_run_moved(pair->text.run),
         step->movement_cost);
}

static enum step_end flat_end(const struct pair *pair, uint32_t *site)
{
    const struct flat *flat = pair->text.lowered->flat;
    uint32_t error = flat_run_error(pair->text.run);
    if (!flat_run_allowed(pair->text.run))
        return STEP_NOT_ALLOWED;
    if (error == FLAT_NONE)
        return STEP_JUDGED;
    *site = flat->watches[error].index;
    return STEP_ERROR;
}

static void step_both(struct pair *pair)
{
    uint32_t site = 0;
    bool fits = flat_run_scan(pair->text.run, false);
    pair->setting.first = pair->text.run->scans == 0;
    const struct step_result *step = machine_step(
        pair->machine, &pair->setting, pair->text.run->choice, pair->state);
    enum step_end end = flat_end(pair, &site);
    SAME(pair, "end", "", end, step->end);
    if (end == STEP_ERROR) {
        SAME(pair, "site", "", site, step->error);
        restart(pair);
    } else if (end == STEP_JUDGED) {
        assert_true(fits);
        same_places(pair);
        same_verdicts(pair, step);
        same_views(pair, step);
        flat_run_scan(pair->text.run, true);
        pair->judged++;
    } else {
        pair->setting.first = pair->text.run->scans == 0;
    }
}

static unsigned agree(const char *name, const char *control,
                      const char *review, uint64_t seed, unsigned scans)
{
    struct pair pair = {.seed = seed, .name = name};
    text_model_init(&pair.text, control, review, false);
    if (!pair.text.run)
        fail_msg("%s: is refused", name);
    pair.arena = arena_new();
    pair.machine = machine_new(pair.arena, pair.text.model);
    pair.state = arena_array(pair.arena, machine_words(pair.machine),
                             sizeof *pair.state);
    find_read(&pair);
    restart(&pair);
    for (unsigned i = 0; i < scans; i++) {
        if (pair.text.run->scans > 0 && any(&pair, 40) == 0)
            restart(&pair);
        else if (pair.text.run->scans > 0)
            choose(&pair);
        step_both(&pair);
        if (pair.text.run->scans == 0)
            restart(&pair);
    }
    arena_free(pair.arena);
    text_model_release(&pair.text);
    return pair.judged;
}

static void hand_written(void **state)
{
    (void)state;
    const struct agreement_text *text;
    for (size_t i = 0; (text = agreement_text(i)); i++) {
        unsigned judged = agree(text->name, text->control, text->review,
                                i + 1, SCANS);
        if (judged < SCANS / 4)
            fail_msg("%s: only %u scans were judged", text->name, judged);
    }
}

static void random_of(const struct random_parts *like)
{
    struct text control = {0}, review = {0};
    unsigned judged = 0;
    for (uint64_t seed = 1; seed <= RANDOM_TEXTS; seed++) {
        struct random_parts parts = *like;
        char name[32];
        text_clear(&control);
        text_clear(&review);
        random_review(seed, &control, &review, &parts);
        snprintf(name, sizeof name, "random %u", (unsigned)seed);
        judged += agree(name, text_str(&control), text_str(&review), seed,
                        RANDOM_SCANS);
    }
    assert_true(judged > RANDOM_TEXTS * RANDOM_SCANS / 2);
    assert_true(vectors[0] > judged && vectors[1] > judged);
    text_release(&control);
    text_release(&review);
}

static void random_machines(void **state)
{
    (void)state;
    random_of(&(struct random_parts){0});
}

static void scans_of_any_length(void **state)
{
    (void)state;
    random_of(&(struct random_parts){.range = true});
}

static void programs_every_few_scans(void **state)
{
    (void)state;
    random_of(&(struct random_parts){.every = true});
    random_of(&(struct random_parts){.range = true, .every = true});
}

static void with_loops(void **state)
{
    (void)state;
    random_of(&(struct random_parts){.loops = true});
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(hand_written),
        cmocka_unit_test(random_machines),
        cmocka_unit_test(scans_of_any_length),
        cmocka_unit_test(programs_every_few_scans),
        cmocka_unit_test(with_loops),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
