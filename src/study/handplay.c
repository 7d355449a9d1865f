#include "study/handplay.h"

#include <string.h>

#include "base/arena.h"
#include "base/vec.h"
#include "check/decision.h"
#include "check/pace.h"
#include "reference/machine.h"

enum {
    MOST_TRIES = 64,    /* of choices that the assumptions may not allow */
    MOST_WAIT = 3000,   /* scans until something is seen */
    MOST_IDLE = 40      /* further scans of a step, when they are picked */
};

struct play {
    struct arena *arena;
    struct machine *machine;
    const struct model *model;
    const struct hand_sequence *sequence;
    const struct obligations *obligations;
    const struct handplay_answers *answers;
    uint32_t *choices;
    uint32_t *position;  /* per control */
    int64_t *state, *before;
    uint64_t scans;
    bool free_hands;     /* the prelude */
    bool dark;           /* power is off */
    const uint32_t *held; /* per place of the sequence: its slot */
    uint32_t slot;       /* that a step waits for, or MODEL_NONE */
    int64_t seen;
    enum handplay_end end;
    /* the step being played */
    bool *met;
    VEC(struct handplay_move) moves;
    uint32_t step_scans, dark_scans, wrong;
    const struct hand_expected *expected; /* NULL: not looked at yet */
};

static uint32_t pick(struct play *p, uint32_t count)
{
    return p->answers->pick == NULL
               ? 0 : p->answers->pick(p->answers->context, count);
}

/* Of a variable that is named by one of its movements: slots are numbered
 * otherwise under another control text. */
static uint32_t slot_of(const struct model *model, uint32_t movement)
{
    return movement == MODEL_NONE ? MODEL_NONE
                                  : model->movements[movement].slot;
}

static int64_t slot_value(const struct play *p, uint32_t slot)
{
    return machine_place(p->machine, p->state,
                         (struct place_id){PLACE_SLOT, slot}, INT64_MAX);
}

/* ---- choices ---- */

/* The movement that is next on the shortest way of a variable; MODEL_NONE:
 * there is none. */
static uint32_t next_movement(const struct play *p, uint32_t slot, int64_t to)
{
    const struct model *model = p->model;
    uint32_t *via = arena_array(p->arena, model->n_movements + 1,
                                sizeof *via);
    uint32_t n = 0;
    int64_t now = slot_value(p, slot);

    /* backwards from the goal, breadth first: via lists movements */
    for (uint32_t done = 0; done <= n; done++) {
        int64_t want = done == 0 ? to : model->movements[via[done - 1]].from;

        for (uint32_t i = 0; i < model->n_movements; i++) {
            bool known = false;

            if (model->movements[i].slot != slot ||
                model->movements[i].to != want)
                continue;
            if (model->movements[i].from == now)
                return i;
            for (uint32_t k = 0; k < n; k++)
                known = known || model->movements[via[k]].from ==
                                     model->movements[i].from;
            if (!known)
                via[n++] = i;
        }
    }
    return MODEL_NONE;
}

/* All movements from where a variable is, in turn. */
static uint32_t any_movement(const struct play *p, const struct choice *choice)
{
    int64_t now = slot_value(p, choice->of);
    uint32_t n = 0, turn;

    for (uint32_t i = 0; i < p->model->n_movements; i++)
        n += p->model->movements[i].slot == choice->of &&
             p->model->movements[i].from == now;
    turn = n == 0 ? 0 : (uint32_t)(p->scans % n);
    for (uint32_t i = 0; i < p->model->n_movements; i++)
        if (p->model->movements[i].slot == choice->of &&
            p->model->movements[i].from == now && turn-- == 0)
            return p->model->movements[i].number;
    return 0;
}

/* Usual answers: towards what is waited for. */
static uint32_t usual_movement(const struct play *p,
                               const struct choice *choice)
{
    uint32_t movement;

    if (p->slot == MODEL_NONE || p->scans == 0 ||
        choice->of == MODEL_NONE || slot_value(p, p->slot) == p->seen)
        return 0;
    if (choice->of != p->slot)
        return p->answers->lively ? any_movement(p, choice) : 0;
    movement = next_movement(p, p->slot, p->seen);
    return movement == MODEL_NONE ? 0 : p->model->movements[movement].number;
}

/* The place of the sequence that tells where a slot is, or MODEL_NONE. */
static uint32_t place_of(const struct play *p, uint32_t slot)
{
    for (uint32_t i = 0; i < p->sequence->n_places; i++)
        if (p->held[i] == slot)
            return i;
    return MODEL_NONE;
}

/* Is this part of the machine held where it is? */
static bool is_held(const struct play *p, const struct choice *choice)
{
    return p->sequence->round == ROUND_STANDING &&
           p->sequence->n_places > 0 &&
           (choice->of == MODEL_NONE ||
            place_of(p, choice->of) != MODEL_NONE);
}

static uint32_t start_index(struct play *p, const struct choice *choice)
{
    uint32_t place = place_of(p, choice->of);

    if (place != MODEL_NONE)
        for (uint32_t i = 0; i < choice->count; i++)
            if (choice->values[i] == p->sequence->places[place].at)
                return i;
    if (p->answers->pick != NULL)
        return pick(p, choice->count);
    return p->answers->start < choice->count ? p->answers->start
                                             : choice->count - 1;
}

static uint32_t choose(struct play *p, uint32_t row)
{
    const struct choice *choice = &p->model->choices[row];

    switch (choice->kind) {
    case CHOICE_FAULT: return 0;
    case CHOICE_POWER: return p->dark ? 1 - choice->rest : choice->rest;
    case CHOICE_OPERATOR:
        return p->free_hands ? pick(p, choice->count)
                             : p->position[choice->of];
    case CHOICE_START:
        return p->scans == 0 ? start_index(p, choice) : p->choices[row];
    case CHOICE_MACHINE:
        if (is_held(p, choice))
            return 0;
        return p->answers->pick == NULL ? usual_movement(p, choice)
                                        : pick(p, choice->count);
    default:
        return p->answers->pick == NULL ? choice->rest
                                        : pick(p, choice->count);
    }
}

static void choose_all(struct play *p)
{
    uint32_t pace = pace_row(p->model);

    for (uint32_t row = 0; row < p->model->n_choices; row++)
        p->choices[row] = choose(p, row);
    if (p->answers->pick == NULL && pace != MODEL_NONE)
        p->choices[pace] = p->model->choices[pace].count - 1;
}

/* ---- a scan ---- */

/* Only of the text for which the decisions were found. */
static bool vector(const struct play *p, const struct step_result *result,
                   const struct obligation *what)
{
    const struct decisions *all = p->model->decisions;

    return all != NULL &&
           result->vector[all->at[what->index].first_vector + what->part];
}

static void count(struct play *p, const struct step_result *result)
{
    for (uint32_t i = 0; p->met != NULL && i < p->obligations->n_watched;
         i++) {
        const struct obligation *what = &p->obligations->at[i];

        if (what->kind == OBLIGATION_TRIGGER)
            p->met[i] |= result->trigger[what->index][what->part];
        else if (what->kind == OBLIGATION_VECTOR)
            p->met[i] |= vector(p, result, what);
        else if (what->index < p->model->n_branches)
            p->met[i] |= result->branch[what->index];
    }
}

static void look(struct play *p)
{
    for (uint32_t i = 0; p->expected != NULL && i < p->model->n_actuators;
         i++)
        if (p->expected[i].sure && p->wrong == MODEL_NONE &&
            slot_value(p, p->model->actuators[i].slot) !=
                p->expected[i].value)
            p->wrong = i;
}

static void note_moves(struct play *p)
{
    for (uint32_t i = 0; i < p->model->n_movements; i++) {
        uint32_t slot = p->model->movements[i].slot;
        int64_t was = machine_place(p->machine, p->before,
                                    (struct place_id){PLACE_SLOT, slot},
                                    INT64_MAX);
        bool noted = p->moves.n > 0 &&
                     p->moves.at[p->moves.n - 1].slot == slot &&
                     p->moves.at[p->moves.n - 1].scan == p->step_scans;

        if (slot_value(p, slot) != was && !noted)
            vec_push(&p->moves, ((struct handplay_move){
                                    p->step_scans, slot,
                                    slot_value(p, slot)}));
    }
}

/* Once more, if the assumptions do not allow it; false: it ends here. */
static bool scan(struct play *p)
{
    struct step_setting setting = {
        .first = p->scans == 0,
        .free_times = p->sequence->round == ROUND_STANDING, .whole = true};
    uint32_t words = machine_words(p->machine);

    for (int tries = 0; tries < MOST_TRIES; tries++) {
        const struct step_result *result;

        choose_all(p);
        if (p->scans == 0)
            machine_start(p->machine, p->choices, p->state);
        memcpy(p->before, p->state, words * sizeof *p->before);
        result = machine_step(p->machine, &setting, p->choices, p->state);
        p->end = result->end == STEP_ERROR ? HANDPLAY_ERROR
                                           : HANDPLAY_NOT_ALLOWED;
        if (result->end == STEP_ERROR)
            return false;
        if (result->end != STEP_JUDGED)
            continue;
        p->end = HANDPLAY_DONE;
        count(p, result);
        if (p->scans > 0)
            note_moves(p);
        p->scans++;
        p->step_scans++;
        look(p);
        return true;
    }
    return false;
}

static bool scans(struct play *p, uint64_t n)
{
    for (uint64_t i = 0; i < n; i++)
        if (!scan(p))
            return false;
    return true;
}

/* ---- time ---- */

/* Runs scans for at least so long. */
static bool run_for(struct play *p, int64_t ms)
{
    for (int64_t run = 0; run < ms;) {
        if (!scan(p))
            return false;
        run += pace_of(p->model, p->choices);
    }
    return true;
}

/* A hand is late, or somebody writes something down. */
static bool linger(struct play *p)
{
    return p->answers->pick == NULL || scans(p, pick(p, MOST_IDLE));
}

static bool linger_shortly(struct play *p)
{
    int64_t ms = p->answers->pick == NULL
                     ? 0 : pick(p, HAND_REACTION_MS - 1);

    for (; ms > 0; ms -= pace_of(p->model, p->choices))
        if (!scan(p))
            return false;
    return true;
}

static bool until_seen(struct play *p)
{
    for (int i = 0; i < MOST_WAIT && slot_value(p, p->slot) != p->seen; i++)
        if (!scan(p))
            return false;
    p->end = slot_value(p, p->slot) == p->seen ? HANDPLAY_DONE
                                               : HANDPLAY_NOT_SEEN;
    return p->end == HANDPLAY_DONE;
}

/* ---- a step ---- */

/* One hand first, if there are two. */
static bool change(struct play *p, const struct hand_step *step)
{
    uint32_t first = step->n_changes == 2 ? pick(p, 2) : 0;
    uint32_t apart = (uint32_t)(HAND_APART_MS / pace_shortest(p->model));

    for (uint32_t i = 0; i < step->n_changes; i++) {
        const struct hand_change *c =
            &step->changes[i == 0 ? first : 1 - first];

        p->position[c->control] = c->to;
        if (i == 0 && step->n_changes == 2 && p->answers->pick != NULL &&
            !scans(p, pick(p, apart + 1)))
            return false;
    }
    return true;
}

/* The supply goes, the hands move, and it returns. */
static bool power_gone(struct play *p, const struct hand_step *step)
{
    bool picked = p->answers->pick != NULL;

    p->dark = true;
    if ((picked && !scans(p, pick(p, MOST_IDLE))) || !change(p, step) ||
        !run_for(p, picked ? HAND_DARK_MS : HAND_DARK_S * 1000) ||
        !linger(p))
        return false;
    p->dark_scans = p->step_scans;
    p->dark = false;
    return true;
}

static bool perform(struct play *p, const struct hand_step *step)
{
    if (!(step->power ? power_gone(p, step) : change(p, step)))
        return false;
    p->slot = slot_of(p->model, step->movement);
    p->seen = step->seen;
    if (step->seconds == 0 && !until_seen(p))
        return false;
    if (step->seconds > 0 &&
        !run_for(p, (int64_t)step->seconds * 1000 -
                        (p->answers->pick == NULL ? 0 : HAND_EARLY_MS)))
        return false;
    p->expected = step->expected;
    look(p);
    return step->seconds == 0 ? linger_shortly(p) : linger(p);
}

static void keep_step(struct play *p, struct handplay_step *kept)
{
    struct handplay_move *moves = arena_array(p->arena, p->moves.n + 1,
                                              sizeof *moves);

    if (p->moves.n > 0)
        memcpy(moves, p->moves.at, p->moves.n * sizeof *moves);
    *kept = (struct handplay_step){p->step_scans, p->dark_scans, moves,
                                   (uint32_t)p->moves.n, p->met, p->wrong};
}

static void begin_step(struct play *p)
{
    vec_clear(&p->moves);
    p->met = arena_array(p->arena, p->obligations->n + 1, sizeof *p->met);
    p->step_scans = p->dark_scans = 0;
    p->wrong = MODEL_NONE;
    p->expected = NULL;
    p->slot = MODEL_NONE;
}

/* ---- the whole ---- */

static bool switch_off(struct play *p)
{
    bool done;

    p->dark = true;
    done = scans(p, p->answers->off);
    p->dark = false;
    return done;
}

/* Anything may have gone before. */
static bool rest(struct play *p)
{
    p->free_hands = p->answers->pick != NULL;
    if (p->free_hands && !scans(p, p->answers->prelude))
        return false;
    p->free_hands = false;
    if (p->scans > 0 && !switch_off(p))
        return false;
    if (!run_for(p, HAND_REST_S * 1000) || !linger(p))
        return false;
    for (uint32_t i = 0; i < p->sequence->n_places; i++)
        if (slot_value(p, p->held[i]) != p->sequence->places[i].at)
            p->end = HANDPLAY_NOT_SEEN;
    return p->end == HANDPLAY_DONE;
}

static void open_play(struct play *p, const struct handplay_answers *answers)
{
    uint32_t n = p->model->n_choices;
    uint32_t *held = arena_array(p->arena, p->sequence->n_places + 1,
                                 sizeof *held);

    p->answers = answers;
    for (uint32_t i = 0; i < p->sequence->n_places; i++)
        held[i] = slot_of(p->model, p->sequence->places[i].movement);
    p->held = held;
    p->choices = arena_array(p->arena, n + 1, sizeof *p->choices);
    p->state = arena_array(p->arena, machine_words(p->machine) + 1,
                           sizeof *p->state);
    p->before = arena_array(p->arena, machine_words(p->machine) + 1,
                            sizeof *p->before);
    p->position = arena_array(p->arena, p->model->n_controls + 1,
                              sizeof *p->position);
    for (uint32_t i = 0; i < p->model->n_controls; i++)
        p->position[i] = p->model->choices[p->model->controls[i].choice].rest;
}

struct handplay handplay_run(struct arena *arena, struct machine *machine,
                             const struct hand_sequence *sequence,
                             const struct obligations *obligations,
                             const struct handplay_answers *answers)
{
    struct play p = {.arena = arena, .machine = machine,
                     .model = machine_model(machine), .sequence = sequence,
                     .obligations = obligations};
    struct handplay_step *steps = arena_array(arena, sequence->n_steps + 1,
                                              sizeof *steps);
    struct handplay played = {.steps = steps};

    open_play(&p, answers);
    begin_step(&p);
    if (rest(&p)) {
        played.rest_scans = p.step_scans;
        while (played.n_steps < sequence->n_steps) {
            begin_step(&p);
            if (!perform(&p, &sequence->steps[played.n_steps]))
                break;
            keep_step(&p, &steps[played.n_steps++]);
        }
    }
    played.end = p.end;
    vec_release(&p.moves);
    return played;
}
