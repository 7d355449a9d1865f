#include "tests/support/sheet_play.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdio.h>

#include <cmocka.h>

#include "base/arena.h"
#include "check/model.h"
#include "check/pace.h"
#include "reference/machine.h"

/* A generator of its own, so that plays are the same everywhere. */
static uint32_t pick(void *context, uint32_t count)
{
    uint64_t *state = context;

    *state = *state * 6364136223846793005u + 1442695040888963407u;
    return (uint32_t)((*state >> 33) % count);
}

static bool as_said(const struct testsheet *sheet,
                    const struct hand_step *step,
                    const struct handplay_step *played)
{
    bool right = played->wrong == MODEL_NONE;

    for (uint32_t i = 0; i < step->n_reached; i++)
        if (step->reached[i] < sheet->obligations.n_watched)
            right = right && played->met[step->reached[i]];
    return right;
}

static void note(const struct testsheet *sheet, uint32_t sequence,
                 const struct handplay *played, struct sheet_played *all)
{
    const struct hand_step *steps = sheet->sequences[sequence].steps;

    for (uint32_t i = 0; i < played->n_steps; i++) {
        if (as_said(sheet, &steps[i], &played->steps[i]))
            continue;
        if (all->wrong++ == 0)
            print_message("sequence %u, step %u: %s\n",
                          (unsigned)sequence + 1, (unsigned)i + 1,
                          played->steps[i].wrong == MODEL_NONE
                              ? "not reached"
                              : sheet->model
                                    ->actuators[played->steps[i].wrong]
                                    .name->spelling);
    }
    all->steps += played->n_steps;
    all->ended += played->end == HANDPLAY_DONE;
    all->errors += played->end == HANDPLAY_ERROR;
}

struct sheet_played sheet_play(const struct testsheet *sheet,
                               uint32_t sequence,
                               const struct sheet_plays *plays)
{
    uint32_t second = (uint32_t)(1000 / pace_shortest(sheet->model)) + 1;
    uint64_t state = plays->seed;
    struct sheet_played all = {0};

    for (unsigned k = 0; k < plays->times; k++) {
        struct arena *arena = arena_new();
        const struct handplay_answers answers = {
            .pick = pick, .context = &state,
            .prelude = k == 0 ? 0 : pick(&state, plays->most_prelude),
            .off = sheet->from_power_up ? second + pick(&state, second) : 0};
        const struct handplay played = handplay_run(
            arena, machine_new(arena, sheet->model),
            &sheet->sequences[sequence], &sheet->obligations, &answers);

        note(sheet, sequence, &played, &all);
        arena_free(arena);
    }
    return all;
}
