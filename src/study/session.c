#include "study/session.h"

#include <string.h>

#include "base/arena.h"
#include "base/ensure.h"
#include "reference/odometer.h"
#include "reference/record.h"
#include "study/why.h"

/* Combinations of movements that are tried for one scan. */
enum { MOST_TRIES = 4096 };

static void *copy(struct session *session, const void *from, size_t n,
                  size_t size)
{
    void *to = arena_array(session->arena, n + 1, size);

    if (n > 0)
        memcpy(to, from, n * size);
    return to;
}

/* ---- moments ---- */

static void keep_moment(struct session *session, const bool *breach,
                        bool loaded)
{
    const struct session_moment moment = {
        .set = copy(session, session->set, session->model.n_choices,
                    sizeof *session->set),
        .moves = copy(session, session->moves.at, session->moves.n,
                      sizeof *session->moves.at),
        .n_moves = (uint32_t)session->moves.n,
        .breach = breach,
        .loaded = loaded,
    };

    vec_push(&session->moments, moment);
}

static void show_scans(struct session *session)
{
    session->replay.scans = session->scans.at;
    session->replay.n_scans = (uint32_t)session->scans.n;
}

static void begin(struct session *session)
{
    machine_start(session->machine, session->set, session->state);
}

void session_open(struct session *session, struct arena *arena,
                  const struct model *model)
{
    *session = (struct session){.arena = arena, .model = *model};
    session->choices = copy(session, model->choices, model->n_choices,
                            sizeof *session->choices);
    session->model.choices = session->choices;
    session->machine = machine_new(arena, &session->model);
    session->findings.model = &session->model;
    session->findings.machine = session->machine;
    session->replay.accepted = true;
    session->odometer = odometer_new(arena, session->machine);
    session->state = arena_array(arena, machine_words(session->machine) + 1,
                                 sizeof *session->state);
    session->set = arena_array(arena, model->n_choices + 1,
                               sizeof *session->set);
    for (uint32_t i = 0; i < model->n_choices; i++)
        session->set[i] = machine_rest(&model->choices[i]);
    begin(session);
    keep_moment(session, NULL, true);
}

void session_close(struct session *session)
{
    vec_release(&session->scans);
    vec_release(&session->moments);
    vec_release(&session->moves);
}

/* ---- what is set ---- */

/* A value inside a cell becomes one of the choice's own. */
static void add_value(struct session *session, struct choice *choice,
                      int64_t value)
{
    uint32_t n = choice->count;
    int64_t *values = copy(session, choice->values, n, sizeof *values);
    int64_t *low = copy(session, choice->cell_low, n, sizeof *low);
    int64_t *high = copy(session, choice->cell_high, n, sizeof *high);

    values[n] = low[n] = high[n] = value;
    choice->values = values;
    choice->cell_low = low;
    choice->cell_high = high;
    choice->count = n + 1;
}

bool session_set(struct session *session, uint32_t row, int64_t value)
{
    struct choice *choice = &session->choices[row];

    for (uint32_t i = 0; i < choice->count; i++)
        if (choice->values[i] == value) {
            session->set[row] = i;
            if (session->scans.n == 0)
                begin(session);
            return true;
        }
    for (uint32_t i = 0; choice->cell_low != NULL && i < choice->count; i++)
        if (value >= choice->cell_low[i] && value <= choice->cell_high[i]) {
            add_value(session, choice, value);
            session->set[row] = choice->count - 1;
            return true;
        }
    return false;
}

void session_fault(struct session *session, uint32_t fault)
{
    session->set[session->model.faults[fault].choice] = 1;
}

void session_power(struct session *session, bool off)
{
    for (uint32_t i = 0; i < session->model.n_choices; i++)
        if (session->model.choices[i].kind == CHOICE_POWER)
            session->set[i] = off;
}

static void drop_move(struct session *session, uint32_t index)
{
    struct session_move *at = session->moves.at;

    session->moves.n--;
    memmove(&at[index], &at[index + 1],
            (session->moves.n - index) * sizeof *at);
}

bool session_move(struct session *session, uint32_t slot, int64_t to)
{
    for (uint32_t i = 0; i < session->moves.n; i++)
        if (session->moves.at[i].slot == slot)
            drop_move(session, i--);
    if (session->scans.n > 0 && session_slot(session, slot) == to)
        return false;
    vec_push(&session->moves, ((struct session_move){slot, to}));
    return true;
}

/* ---- the machine's movements ---- */

static int64_t slot_of(const struct session *session, const int64_t *state,
                       uint32_t slot)
{
    return machine_place(session->machine, state,
                         (struct place_id){PLACE_SLOT, slot}, INT64_MAX);
}

static uint32_t not_made(const struct session *session, const int64_t *state)
{
    uint32_t n = 0;

    for (uint32_t i = 0; i < session->moves.n; i++)
        n += slot_of(session, state, session->moves.at[i].slot) !=
             session->moves.at[i].to;
    return n;
}

/* Of all movements that may be made now: those that make most of what is
 * wanted, and nothing else besides; the first of several. */
static void choose_moves(struct session *session,
                         const struct step_setting *setting,
                         uint32_t *choices)
{
    uint32_t n = session->model.n_choices, tries = 0;
    struct odometer *odometer = session->odometer;
    bool *fixed = arena_array(session->arena, n + 1, sizeof *fixed);
    uint64_t best = UINT64_MAX;
    const struct step_result *step;
    uint32_t *found = copy(session, choices, n, sizeof *found);

    for (uint32_t i = 0; i < n; i++)
        fixed[i] = session->model.choices[i].kind != CHOICE_MACHINE;
    odometer_begin(odometer, setting, session->state);
    odometer_fix(odometer, fixed, choices);
    while (tries++ < MOST_TRIES && (step = odometer_next(odometer))) {
        uint64_t cost = (uint64_t)step->movement_cost +
                        step->other_movement_cost;

        if (step->end == STEP_NOT_ALLOWED)
            continue;
        if (step->end == STEP_JUDGED)
            cost += (uint64_t)not_made(session, odometer->after) << 32;
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

static struct replay_scan record(struct session *session,
                                 const uint32_t *choices,
                                 const struct step_result *step)
{
    const struct model *model = &session->model;

    return (struct replay_scan){
        .choices = copy(session, choices, model->n_choices,
                        sizeof *choices),
        .read = copy(session, machine_read_rows(session->machine),
                     model->n_choices, sizeof(bool)),
        .state = copy(session, session->state,
                      machine_words(session->machine), sizeof(int64_t)),
        .command = copy(session, step->command, model->n_actuators,
                        sizeof(int64_t)),
        .contact = copy(session, step->contact, model->n_contacts,
                        sizeof(bool)),
        .sensor = copy(session, step->sensor, model->n_sensors,
                       sizeof(int64_t)),
        .dark = step->dark,
        .returned = step->returned,
    };
}

/* Faults have appeared, movements are made: both are set no longer. */
static void settle(struct session *session)
{
    for (uint32_t i = 0; i < session->model.n_choices; i++)
        if (session->model.choices[i].kind == CHOICE_FAULT ||
            session->model.choices[i].kind == CHOICE_MACHINE)
            session->set[i] = 0;
    for (uint32_t i = 0; i < session->moves.n; i++)
        if (slot_of(session, session->state, session->moves.at[i].slot) ==
            session->moves.at[i].to)
            drop_move(session, i--);
}

static struct step_setting setting_of(const struct session *session)
{
    return (struct step_setting){.first = session->scans.n == 0,
                                 .fault_limit = session->model.n_faults};
}

static enum session_end run(struct session *session, const uint32_t *choices,
                            const struct step_setting *setting,
                            uint32_t *which)
{
    const struct step_result *step =
        machine_step(session->machine, setting, choices, session->state);
    bool loaded = session->sequence != NULL &&
                  session->moments.at[session->moments.n - 1].loaded &&
                  session->scans.n < session->sequence->n_scans &&
                  choices == session->sequence->scans[session->scans.n]
                                 .choices;

    *which = step->end == STEP_ERROR ? step->error : step->assumption;
    if (step->end != STEP_JUDGED)
        return step->end == STEP_ERROR ? SESSION_ERROR
                                       : SESSION_NOT_ALLOWED;
    vec_push(&session->scans, record(session, choices, step));
    show_scans(session);
    settle(session);
    keep_moment(session,
                copy(session, step->breach, session->model.n_requirements,
                     sizeof(bool)), loaded);
    return SESSION_RAN;
}

enum session_end session_run(struct session *session,
                             const struct step_question *question,
                             uint32_t *which)
{
    struct step_setting setting = setting_of(session);
    uint32_t *choices = copy(session, session->set, session->model.n_choices,
                             sizeof *choices);

    if (session->moves.n > 0 && session->scans.n > 0)
        choose_moves(session, &setting, choices);
    setting.question = question;
    return run(session, choices, &setting, which);
}

/* ---- back and forth ---- */

void session_back(struct session *session, uint32_t scans)
{
    const struct session_moment *moment;

    ENSURE(scans <= session->scans.n);
    session->scans.n = scans;
    session->moments.n = (size_t)scans + 1;
    show_scans(session);
    moment = &session->moments.at[scans];
    memcpy(session->set, moment->set,
           session->model.n_choices * sizeof *session->set);
    vec_clear(&session->moves);
    for (uint32_t i = 0; i < moment->n_moves; i++)
        vec_push(&session->moves, moment->moves[i]);
    if (scans == 0)
        begin(session);
    else
        memcpy(session->state, session->scans.at[scans - 1].state,
               machine_words(session->machine) * sizeof *session->state);
}

void session_load(struct session *session, const struct replay *sequence)
{
    session_back(session, 0);
    session->sequence = sequence;
}

bool session_next(struct session *session)
{
    struct step_setting setting = setting_of(session);
    size_t at = session->scans.n;
    const uint32_t *choices;
    uint32_t which;

    if (session->sequence == NULL || at >= session->sequence->n_scans ||
        !session->moments.at[at].loaded)
        return false;
    choices = session->sequence->scans[at].choices;
    memcpy(session->set, choices,
           session->model.n_choices * sizeof *session->set);
    vec_clear(&session->moves);
    if (at == 0)
        begin(session);
    return run(session, choices, &setting, &which) == SESSION_RAN;
}

/* ---- looking at it ---- */

int64_t session_slot(const struct session *session, uint32_t slot)
{
    return slot_of(session, session->state, slot);
}

const struct why *session_why(const struct session *session, uint32_t slot)
{
    const struct step_setting setting = setting_of(session);
    const struct trace *trace;

    if (session->replay.n_scans == 0)
        return NULL;
    trace = record_run(session->arena, &session->model, &setting,
                       &session->replay, MODEL_NONE);
    return why_value(session->arena, trace, THING_SLOT, slot,
                     session->replay.n_scans);
}

bool session_fault_present(const struct session *session, uint32_t scan,
                           uint32_t fault)
{
    return machine_place(session->machine, session->scans.at[scan].state,
                         (struct place_id){PLACE_FAULT, fault},
                         INT64_MAX) != 0;
}

static bool is_asked(const struct session *session, uint32_t scan,
                     const struct requirement *requirement)
{
    uint32_t n = 0;

    for (uint32_t f = 0; f < session->model.n_faults; f++) {
        if (!session_fault_present(session, scan, f))
            continue;
        if (++n > requirement->despite || !requirement->despite_of[f])
            return false;
    }
    return true;
}

bool session_breaks(const struct session *session, uint32_t scan,
                    uint32_t requirement, bool asked)
{
    const struct requirement *what =
        &session->model.requirements[requirement];

    return session->moments.at[scan + 1].breach[requirement] &&
           what->form < FORM_POSSIBLE &&
           (!asked || is_asked(session, scan, what));
}
