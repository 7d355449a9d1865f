#include "reference/record.h"

#include "base/arena.h"
#include "base/ensure.h"
#include "reference/replay.h"
#include "reference/tracing.h"

static uint32_t first_recorded(const struct replay *replay)
{
    return replay->n_scans > RECORD_MOST ? replay->n_scans - RECORD_MOST : 0;
}

static void play(struct machine *machine, const struct step_setting *setting,
                 const struct replay *replay, uint32_t scan, int64_t *state)
{
    struct step_setting one = *setting;
    const struct step_result *step;

    one.first = scan == 0;
    step = machine_step(machine, &one, replay->scans[scan].choices, state);
    ENSURE(step->end == STEP_JUDGED || scan + 1 == replay->n_scans);
}

const struct trace *record_run(struct arena *arena,
                               const struct model *model,
                               const struct step_setting *setting,
                               const struct replay *replay,
                               uint32_t requirement)
{
    uint32_t first = first_recorded(replay);
    struct machine *machine = machine_new(arena, model);
    struct tracing *tracing = tracing_new(arena, model, requirement,
                                          first + 1);
    int64_t *state = arena_array(arena, machine_words(machine),
                                 sizeof *state);

    ENSURE(replay->n_scans > 0);
    machine_start(machine, replay->scans[0].choices, state);
    for (uint32_t scan = 0; scan < replay->n_scans; scan++) {
        if (scan == first) {
            tracing_start(tracing, machine_layout(machine), state,
                          scan > 0 ? replay->scans[scan - 1].choices : NULL,
                          scan > 0 ? replay_time(model, replay, scan - 1)
                                   : 0);
            machine_watch(machine, tracing);
        }
        play(machine, setting, replay, scan, state);
    }
    return tracing_end(tracing);
}
