#include "reference/replay.h"

#include <string.h>

#include "base/arena.h"
#include "base/ensure.h"
#include "check/pace.h"
#include "reference/odometer.h"
#include "reference/trap.h"

struct player {
    struct arena *arena;
    struct machine *machine;
    const struct model *model;
    struct step_setting setting;
    const struct replay_asked *asked;
    int64_t *state;
    struct replay *replay;
    struct replay_scan *scans;
};

static const uint32_t *row_of(const struct player *player, uint32_t scan)
{
    return player->asked->choices +
           (size_t)(scan - 1) * player->model->n_choices;
}

static bool refuse(struct player *player, const char *why)
{
    player->replay->why_not = why;
    return false;
}

/* ---- the record ---- */

static void *copy(struct arena *arena, const void *from, size_t n,
                  size_t size)
{
    void *to = arena_array(arena, n, size);

    if (n > 0)
        memcpy(to, from, n * size);
    return to;
}

static void record(struct player *player, uint32_t scan,
                   const struct step_result *step)
{
    const struct model *model = player->model;
    struct arena *arena = player->arena;
    struct replay_scan *to = &player->scans[scan - 1];

    to->choices = copy(arena, row_of(player, scan), model->n_choices,
                       sizeof(uint32_t));
    to->read = copy(arena, machine_read_rows(player->machine),
                    model->n_choices, sizeof(bool));
    to->state = copy(arena, player->state, machine_words(player->machine),
                     sizeof(int64_t));
    to->command = copy(arena, step->command, model->n_actuators,
                       sizeof(int64_t));
    to->contact = copy(arena, step->contact, model->n_contacts, sizeof(bool));
    to->sensor = copy(arena, step->sensor, model->n_sensors, sizeof(int64_t));
    to->time = scan == 1 ? 0
                         : player->scans[scan - 2].time +
                               pace_of(model, to->choices);
    to->dark = step->dark;
    to->returned = step->returned;
    player->replay->n_scans = scan;
}

/* ---- what is claimed ---- */

static bool check_index(struct player *player)
{
    const struct model *model = player->model;
    enum replay_claim claim = player->asked->claim;
    uint32_t index = player->asked->index;
    bool known = true;

    if (claim == REPLAY_BREACH || claim == REPLAY_POSSIBLE)
        known = index < model->n_requirements;
    else if (claim == REPLAY_TRAP)
        known = index < model->n_requirements &&
                model->requirements[index].form == FORM_POSSIBLE_AGAIN;
    else if (claim == REPLAY_ERROR)
        known = index < model->n_errors;
    else if (claim == REPLAY_NOTICE)
        known = model->noticing.demand != NULL && index < NOTICE_PARTS;
    else if (claim == REPLAY_TRIGGER)
        known = index >> 16 < model->n_requirements &&
                (index & 0xffff) <
                    model->requirements[index >> 16].n_triggers;
    return known || refuse(player, "what is claimed does not exist");
}

static bool check_rows(struct player *player)
{
    const struct model *model = player->model;
    const struct replay_asked *asked = player->asked;
    uint32_t rows = asked->length + (asked->claim == REPLAY_DEAD_END);

    for (uint32_t scan = 1; scan <= rows; scan++)
        for (uint32_t i = 0; i < model->n_choices; i++)
            if (row_of(player, scan)[i] >= model->choices[i].count)
                return refuse(
                    player,
                    arena_printf(player->arena,
                                 "scan %u gives \"%s\" a value that it "
                                 "does not have",
                                 (unsigned)scan, model->choices[i].name));
    return true;
}

static bool check_error(struct player *player, uint32_t scan,
                        const struct step_result *step)
{
    player->replay->sooner = player->asked->claim == REPLAY_ERROR &&
                             step->error == player->asked->index;
    if (scan < player->asked->length || player->asked->claim != REPLAY_ERROR)
        return refuse(player,
                      arena_printf(player->arena,
                                   "a run-time error ends scan %u",
                                   (unsigned)scan));
    player->replay->branch = copy(player->arena, step->branch,
                                  player->model->n_branches, sizeof(bool));
    player->replay->stretch = copy(player->arena, step->stretch,
                                   player->model->n_stretches, sizeof(bool));
    return step->error == player->asked->index ||
           refuse(player, "another run-time error comes first");
}

static bool check_breach(struct player *player, uint32_t scan,
                         const struct step_result *step)
{
    bool broken = step->breach[player->asked->index];

    player->replay->sooner = scan < player->asked->length && broken;
    if (player->replay->sooner)
        return refuse(player,
                      arena_printf(player->arena,
                                   "the requirement breaks already in scan "
                                   "%u", (unsigned)scan));
    return scan < player->asked->length || broken ||
           refuse(player, "the requirement does not break in the last scan");
}

static bool check_judged(struct player *player, uint32_t scan,
                         const struct step_result *step)
{
    uint32_t index = player->asked->index;
    bool last = scan == player->asked->length;

    switch (player->asked->claim) {
    case REPLAY_BREACH:
        return check_breach(player, scan, step);
    case REPLAY_POSSIBLE:
        return !last || step->breach[index] ||
               refuse(player, "what is looked for is not there at the end");
    case REPLAY_TRAP:
        return !last || step->trigger[index][0] ||
               refuse(player, "nothing is asked in the last scan");
    case REPLAY_ERROR:
        return !last || refuse(player, "no run-time error happens");
    case REPLAY_TRIGGER:
        return !last || step->trigger[index >> 16][index & 0xffff] ||
               refuse(player, "the trigger does not occur in the last scan");
    case REPLAY_NOTICE:
        return !last || step->notice[index] ||
               refuse(player, "the last scan does not show how the faults "
                              "are noticed");
    default:
        return true;
    }
}

static bool play_scan(struct player *player, uint32_t scan)
{
    const struct step_result *step;

    player->setting.first = scan == 1;
    if (scan == 1)
        machine_start(player->machine, row_of(player, 1), player->state);
    step = machine_step(player->machine, &player->setting,
                        row_of(player, scan), player->state);
    record(player, scan, step);
    if (step->end == STEP_NOT_ALLOWED)
        return refuse(player,
                      arena_printf(player->arena,
                                   "assumption number %u does not hold in "
                                   "scan %u",
                                   (unsigned)step->assumption + 1,
                                   (unsigned)scan));
    if (step->end == STEP_ERROR)
        return check_error(player, scan, step);
    return check_judged(player, scan, step);
}

/* ---- dead ends ---- */

static bool no_input_fits(struct player *player)
{
    const struct model *model = player->model;
    struct odometer *odometer = odometer_new(player->arena, player->machine);
    bool *fixed = arena_array(player->arena, model->n_choices, sizeof *fixed);
    const struct step_result *step;

    for (uint32_t i = 0; i < model->n_choices; i++)
        fixed[i] = model->choices[i].kind < CHOICE_OPERATOR;
    odometer_begin(odometer, &player->setting,
                   player->asked->length > 0 ? player->state : NULL);
    odometer_fix(odometer, fixed, row_of(player, player->asked->length + 1));
    while ((step = odometer_next(odometer)))
        if (step->end != STEP_NOT_ALLOWED)
            return refuse(player, "after the last scan some input fits");
    return true;
}

/* ---- traps ---- */

static bool is_trap(struct player *player)
{
    const struct trap *trap =
        trap_walk(player->arena, player->machine, &player->setting,
                  player->asked->index, player->state);

    player->replay->trap = trap;
    return trap->end != TRAP_OPEN ||
           refuse(player, "after the last scan what is looked for can still "
                          "be brought about");
}

static bool play(struct player *player)
{
    if (!check_index(player) || !check_rows(player))
        return false;
    if (player->asked->length == 0 && player->asked->claim != REPLAY_DEAD_END &&
        player->asked->claim != REPLAY_ALLOWED)
        return refuse(player, "a sequence without scans shows nothing");
    for (uint32_t scan = 1; scan <= player->asked->length; scan++)
        if (!play_scan(player, scan))
            return false;
    if (player->asked->claim == REPLAY_TRAP)
        return is_trap(player);
    return player->asked->claim != REPLAY_DEAD_END || no_input_fits(player);
}

const struct replay *replay_run(struct arena *arena, struct machine *machine,
                                const struct step_setting *setting,
                                const struct replay_asked *asked)
{
    struct replay *replay = ARENA_NEW(arena, struct replay);
    struct player player = {
        .arena = arena,
        .machine = machine,
        .model = machine_model(machine),
        .setting = *setting,
        .asked = asked,
        .replay = replay,
    };

    ENSURE(asked->choices);
    /* A trap is walked until nothing new comes. */
    player.setting.whole = asked->claim != REPLAY_TRAP;
    player.state = arena_array(arena, machine_words(machine),
                               sizeof *player.state);
    player.scans = arena_array(arena, asked->length, sizeof *player.scans);
    replay->scans = player.scans;
    replay->accepted = play(&player);
    return replay;
}

int64_t replay_time(const struct model *model, const struct replay *replay,
                    uint32_t scan)
{
    if (pace_row(model) == MODEL_NONE)
        return scan * model->scan;
    if (scan < replay->n_scans)
        return replay->scans[scan].time;
    return scan == 0 ? 0 : replay->scans[scan - 1].time + model->scan;
}
