/* record.h - a sequence played once more, with an observer. */
#ifndef KEEPCLEAR_REFERENCE_RECORD_H
#define KEEPCLEAR_REFERENCE_RECORD_H

#include <stdint.h>

#include "reference/setting.h"
#include "reference/trace.h"

struct arena;
struct replay;

/* Longer sequences are recorded from so many scans before their end. */
enum { RECORD_MOST = 400 };

/* Plays a replay that was accepted, under the setting it was accepted with
 * (`first` is ignored), and records what decided each value and how the
 * requirement (or MODEL_NONE) was judged.  Lies in the arena. */
const struct trace *record_run(struct arena *arena,
                               const struct model *model,
                               const struct step_setting *setting,
                               const struct replay *replay,
                               uint32_t requirement);

#endif
