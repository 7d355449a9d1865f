#include "study/outing.h"

#include <string.h>

#include "base/arena.h"
#include "base/ensure.h"
#include "check/pace.h"
#include "reference/odometer.h"
#include "reference/record.h"
#include "study/why.h"

/* Combinations of movements that are tried for one scan. */
enum { MOST_TRIES = 4096 };

static void *copy(struct outing *outing, const void *from, size_t n,
                  size_t size)
{
    void *to = arena_array(outing->arena, n + 1, size);

    if (n > 0)
        memcpy(to, from, n * size);
    return to;
}

/* ---- moments ---- */

static void keep_moment(struct outing *outing, const bool *breach,
                        bool loaded)
{
    const struct outing_moment moment = {
        .set = copy(outing, outing->set, outing->model.n_choices,
                    sizeof *outing->set),
        .moves = copy(outing, outing->moves.at, outing->moves.n,
                      sizeof *outing->moves.at),
        .n_moves = (uint32_t)outing->moves.n,
        .breach = breach,
        .loaded = loaded,
    };

    vec_push(&outing->moments, moment);
}

static void show_scans(struct outing *outing)
{
    outing->replay.scans = outing->scans.at;
    outing->replay.n_scans = (uint32_t)outing->scans.n;
}

static void begin(struct outing *outing)
{
    machine_start(outing->machine, outing->set, outing->state);
}

static void rest_at_first(struct outing *outing);

void outing_open(struct outing *outing, struct arena *arena,
                  const struct model *model)
{
    *outing = (struct outing){.arena = arena, .model = *model};
    outing->choices = copy(outing, model->choices, model->n_choices,
                            sizeof *outing->choices);
    outing->model.choices = outing->choices;
    outing->machine = machine_new(arena, &outing->model);
    outing->findings.model = &outing->model;
    outing->findings.machine = outing->machine;
    outing->replay.accepted = true;
    outing->odometer = odometer_new(arena, outing->machine);
    outing->state = arena_array(arena, machine_words(outing->machine) + 1,
                                 sizeof *outing->state);
    outing->set = arena_array(arena, model->n_choices + 1,
                               sizeof *outing->set);
    for (uint32_t i = 0; i < model->n_choices; i++)
        outing->set[i] = machine_rest(&model->choices[i]);
    outing_pace(outing, model->scan);
    rest_at_first(outing);
    begin(outing);
    keep_moment(outing, NULL, true);
}

void outing_close(struct outing *outing)
{
    vec_release(&outing->scans);
    vec_release(&outing->moments);
    vec_release(&outing->moves);
}

/* ---- what is set ---- */

/* A value that another stands for becomes one of the choice's own. */
static void add_value(struct outing *outing, struct choice *choice,
                      int64_t value)
{
    uint32_t n = choice->count;
    int64_t *values = copy(outing, choice->values, n, sizeof *values);
    int64_t *low, *high;

    values[n] = value;
    choice->values = values;
    choice->count = n + 1;
    if (choice->cell_low == NULL)
        return;
    low = copy(outing, choice->cell_low, n, sizeof *low);
    high = copy(outing, choice->cell_high, n, sizeof *high);
    low[n] = high[n] = value;
    choice->cell_low = low;
    choice->cell_high = high;
}

/* Does the choice's i-th value stand for this one as well? */
static bool stands_for(const struct choice *choice, uint32_t i,
                       int64_t value)
{
    if (choice->bits != 0)
        return value >= choice->type->low && value <= choice->type->high &&
               (value & choice->bits) == choice->values[i];
    return choice->cell_low != NULL && value >= choice->cell_low[i] &&
           value <= choice->cell_high[i];
}

bool outing_set(struct outing *outing, uint32_t row, int64_t value)
{
    struct choice *choice = &outing->choices[row];

    for (uint32_t i = 0; i < choice->count; i++)
        if (choice->values[i] == value) {
            outing->set[row] = i;
            if (outing->scans.n == 0)
                begin(outing);
            return true;
        }
    for (uint32_t i = 0; i < choice->count; i++)
        if (stands_for(choice, i, value)) {
            add_value(outing, choice, value);
            outing->set[row] = choice->count - 1;
            return true;
        }
    return false;
}

/* A variable that no text writes begins with the value it was declared with,
 * if it was, and stays there until it is set. */
static void rest_at_first(struct outing *outing)
{
    for (uint32_t i = 0; i < outing->model.n_choices; i++) {
        struct choice *choice = &outing->choices[i];
        const struct slot *slot;

        if (choice->kind != CHOICE_INPUT)
            continue;
        slot = &outing->model.slots[choice->of];
        if (slot->initial != slot->type->initial &&
            outing_set(outing, i, slot->initial))
            choice->rest = outing->set[i];
    }
}

static bool is_there(const struct outing *outing, uint32_t scan,
                     struct place_id place)
{
    return machine_place(outing->machine, outing->scans.at[scan].state,
                         place, INT64_MAX) != 0;
}

bool outing_fault_present(const struct outing *outing, uint32_t scan,
                           uint32_t fault)
{
    return is_there(outing, scan, (struct place_id){PLACE_FAULT, fault});
}

/* Has one of its causes occurred, or will it with the next scan? */
static bool is_enabled(const struct outing *outing, const struct fault *fault)
{
    for (uint32_t i = 0; i < fault->n_causes; i++) {
        uint32_t cause = fault->causes[i];

        if (outing->set[outing->model.causes[cause].choice] != 0 ||
            (outing->scans.n > 0 &&
             is_there(outing, outing->scans.n - 1,
                      (struct place_id){PLACE_CAUSE, cause})))
            return true;
    }
    return false;
}

bool outing_fault(struct outing *outing, uint32_t number)
{
    const struct fault *fault = &outing->model.faults[number];
    const struct cause *cause = &outing->model.causes[fault->cause];
    bool enabled = is_enabled(outing, fault), later = outing->scans.n > 0;

    if (later && (fault->timing == TIMING_FROM_POWER_UP ||
                  (!enabled && cause->first_only)))
        return false;
    if (!enabled)
        outing->set[cause->choice] = 1;
    outing->set[fault->choice] = 1;
    return true;
}

bool outing_pace(struct outing *outing, int64_t ms)
{
    uint32_t row = pace_row(&outing->model);

    return row == MODEL_NONE ? ms == outing->model.scan
                             : outing_set(outing, row, ms);
}

void outing_power(struct outing *outing, bool off)
{
    for (uint32_t i = 0; i < outing->model.n_choices; i++)
        if (outing->model.choices[i].kind == CHOICE_POWER)
            outing->set[i] = off;
}

static void drop_move(struct outing *outing, uint32_t index)
{
    struct outing_move *at = outing->moves.at;

    outing->moves.n--;
    memmove(&at[index], &at[index + 1],
            (outing->moves.n - index) * sizeof *at);
}

bool outing_move(struct outing *outing, uint32_t slot, int64_t to)
{
    for (uint32_t i = 0; i < outing->moves.n; i++)
        if (outing->moves.at[i].slot == slot)
            drop_move(outing, i--);
    if (outing->scans.n > 0 && outing_slot(outing, slot) == to)
        return false;
    vec_push(&outing->moves, ((struct outing_move){slot, to}));
    return true;
}

/* ---- the machine's movements ---- */

static int64_t slot_of(const struct outing *outing, const int64_t *state,
                       uint32_t slot)
{
    return machine_place(outing->machine, state,
                         (struct place_id){PLACE_SLOT, slot}, INT64_MAX);
}

static uint32_t not_made(const struct outing *outing, const int64_t *state)
{
    uint32_t n = 0;

    for (uint32_t i = 0; i < outing->moves.n; i++)
        n += slot_of(outing, state, outing->moves.at[i].slot) !=
             outing->moves.at[i].to;
    return n;
}

/* Of all movements that may be made now: those that make most of what is
 * wanted, and nothing else besides; the first of several. */
static void choose_moves(struct outing *outing,
                         const struct step_setting *setting,
                         uint32_t *choices)
{
    uint32_t n = outing->model.n_choices, tries = 0;
    struct odometer *odometer = outing->odometer;
    bool *fixed = arena_array(outing->arena, n + 1, sizeof *fixed);
    uint64_t best = UINT64_MAX;
    const struct step_result *step;
    uint32_t *found = copy(outing, choices, n, sizeof *found);

    for (uint32_t i = 0; i < n; i++)
        fixed[i] = outing->model.choices[i].kind != CHOICE_MACHINE;
    odometer_begin(odometer, setting, outing->state);
    odometer_fix(odometer, fixed, choices);
    while (tries++ < MOST_TRIES && (step = odometer_next(odometer))) {
        uint64_t cost = (uint64_t)step->movement_cost +
                        step->other_movement_cost;

        if (step->end == STEP_NOT_ALLOWED)
            continue;
        if (step->end == STEP_JUDGED)
            cost += (uint64_t)not_made(outing, odometer->after) << 32;
        else
            cost += UINT64_MAX >> 1; /* an error, if nothing else goes */
        if (cost >= best)
            continue;
        best = cost;
        memcpy(found, odometer->choices, n * sizeof *found);
    }
    for (uint32_t i = 0; i < n; i++)
        if (!fixed[i])
            choices[i] = found[i];
}

/* ---- one scan ---- */

static struct replay_scan record(struct outing *outing,
                                 const uint32_t *choices,
                                 const struct step_result *step)
{
    const struct model *model = &outing->model;
    size_t n = outing->scans.n;

    return (struct replay_scan){
        .choices = copy(outing, choices, model->n_choices,
                        sizeof *choices),
        .read = copy(outing, machine_read_rows(outing->machine),
                     model->n_choices, sizeof(bool)),
        .state = copy(outing, outing->state,
                      machine_words(outing->machine), sizeof(int64_t)),
        .command = copy(outing, step->command, model->n_actuators,
                        sizeof(int64_t)),
        .contact = copy(outing, step->contact, model->n_contacts,
                        sizeof(bool)),
        .sensor = copy(outing, step->sensor, model->n_sensors,
                       sizeof(int64_t)),
        .time = n == 0 ? 0 : outing->scans.at[n - 1].time +
                                 pace_of(model, choices),
        .dark = step->dark,
        .returned = step->returned,
    };
}

/* Faults have appeared, movements are made: both are set no longer. */
static void settle(struct outing *outing)
{
    for (uint32_t i = 0; i < outing->model.n_choices; i++)
        if (outing->model.choices[i].kind == CHOICE_FAULT ||
            outing->model.choices[i].kind == CHOICE_MACHINE)
            outing->set[i] = 0;
    for (uint32_t i = 0; i < outing->moves.n; i++)
        if (slot_of(outing, outing->state, outing->moves.at[i].slot) ==
            outing->moves.at[i].to)
            drop_move(outing, i--);
}

static struct step_setting setting_of(const struct outing *outing)
{
    return (struct step_setting){.first = outing->scans.n == 0,
                                 .fault_limit = outing->model.n_causes,
                                 .whole = true};
}

static enum outing_end run(struct outing *outing, const uint32_t *choices,
                            const struct step_setting *setting,
                            uint32_t *which)
{
    const struct step_result *step =
        machine_step(outing->machine, setting, choices, outing->state);
    bool loaded = outing->sequence != NULL &&
                  outing->moments.at[outing->moments.n - 1].loaded &&
                  outing->scans.n < outing->sequence->n_scans &&
                  choices == outing->sequence->scans[outing->scans.n]
                                 .choices;
    struct replay_scan scan;

    *which = step->end == STEP_ERROR ? step->error : step->assumption;
    if (step->end != STEP_JUDGED)
        return step->end == STEP_ERROR ? OUTING_ERROR
                                       : OUTING_NOT_ALLOWED;
    scan = record(outing, choices, step); /* reads those before */
    vec_push(&outing->scans, scan);
    show_scans(outing);
    settle(outing);
    keep_moment(outing,
                copy(outing, step->breach, outing->model.n_requirements,
                     sizeof(bool)), loaded);
    return OUTING_RAN;
}

enum outing_end outing_run(struct outing *outing,
                             const struct step_question *question,
                             uint32_t *which)
{
    struct step_setting setting = setting_of(outing);
    uint32_t *choices = copy(outing, outing->set, outing->model.n_choices,
                             sizeof *choices);

    if (outing->moves.n > 0 && outing->scans.n > 0)
        choose_moves(outing, &setting, choices);
    setting.question = question;
    return run(outing, choices, &setting, which);
}

/* ---- back and forth ---- */

void outing_back(struct outing *outing, uint32_t scans)
{
    const struct outing_moment *moment;

    ENSURE(scans <= outing->scans.n);
    outing->scans.n = scans;
    outing->moments.n = (size_t)scans + 1;
    show_scans(outing);
    moment = &outing->moments.at[scans];
    memcpy(outing->set, moment->set,
           outing->model.n_choices * sizeof *outing->set);
    vec_clear(&outing->moves);
    for (uint32_t i = 0; i < moment->n_moves; i++)
        vec_push(&outing->moves, moment->moves[i]);
    if (scans == 0)
        begin(outing);
    else
        memcpy(outing->state, outing->scans.at[scans - 1].state,
               machine_words(outing->machine) * sizeof *outing->state);
}

void outing_load(struct outing *outing, const struct replay *sequence)
{
    outing_back(outing, 0);
    outing->sequence = sequence;
}

bool outing_next(struct outing *outing)
{
    struct step_setting setting = setting_of(outing);
    size_t at = outing->scans.n;
    const uint32_t *choices;
    uint32_t which;

    if (outing->sequence == NULL || at >= outing->sequence->n_scans ||
        !outing->moments.at[at].loaded)
        return false;
    choices = outing->sequence->scans[at].choices;
    memcpy(outing->set, choices,
           outing->model.n_choices * sizeof *outing->set);
    vec_clear(&outing->moves);
    if (at == 0)
        begin(outing);
    return run(outing, choices, &setting, &which) == OUTING_RAN;
}

/* ---- looking at it ---- */

int64_t outing_slot(const struct outing *outing, uint32_t slot)
{
    return slot_of(outing, outing->state, slot);
}

const struct why *outing_why(const struct outing *outing, uint32_t slot)
{
    const struct step_setting setting = setting_of(outing);
    const struct trace *trace;

    if (outing->replay.n_scans == 0)
        return NULL;
    trace = record_run(outing->arena, &outing->model, &setting,
                       &outing->replay, MODEL_NONE);
    return why_value(outing->arena, trace, THING_SLOT, slot,
                     outing->replay.n_scans);
}

static bool was_present(const struct outing *outing, uint32_t scan,
                        uint32_t fault)
{
    for (uint32_t i = 0; i <= scan; i++)
        if (outing_fault_present(outing, i, fault))
            return true;
    return false;
}

/* What is being explained by causes that a requirement allows. */
struct explaining {
    const struct outing *outing;
    const struct requirement *requirement;
    uint32_t scan;
    bool *chosen; /* per cause */
};

/* Can all faults from `from` on that were present come from the causes chosen
 * and `left` more?  Depth is bounded by the number of faults. */
static bool explains(struct explaining *e, uint32_t from, uint32_t left)
{
    const struct model *model = &e->outing->model;

    for (uint32_t f = from; f < model->n_faults; f++) {
        const struct fault *fault = &model->faults[f];
        bool covered = !was_present(e->outing, e->scan, f);

        for (uint32_t i = 0; i < fault->n_causes; i++)
            covered = covered || e->chosen[fault->causes[i]];
        if (covered)
            continue;
        for (uint32_t i = 0; left > 0 && i < fault->n_causes; i++) {
            uint32_t cause = fault->causes[i];

            e->chosen[cause] = e->requirement->despite_of[cause];
            if (e->chosen[cause] && explains(e, f + 1, left - 1))
                return true;
            e->chosen[cause] = false;
        }
        return false;
    }
    return true;
}

/* By hand nobody says which cause a fault comes from. */
static bool is_asked(const struct outing *outing, uint32_t scan,
                     const struct requirement *requirement)
{
    uint32_t n = outing->model.n_causes;
    struct explaining e = {outing, requirement, scan,
                           arena_array(outing->arena, n + 1, sizeof(bool))};

    return explains(&e, 0, requirement->despite);
}

bool outing_breaks(const struct outing *outing, uint32_t scan,
                    uint32_t requirement, bool asked)
{
    const struct requirement *what =
        &outing->model.requirements[requirement];

    return outing->moments.at[scan + 1].breach[requirement] &&
           what->form < FORM_POSSIBLE &&
           (!asked || is_asked(outing, scan, what));
}
