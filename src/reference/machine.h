/* machine.h - the reference interpreter: one scan of a model, plainly.
 *
 * The second implementation of the meaning.  It walks the checked tree with
 * ordinary variables, one int64 each, and shares nothing with the flat logic
 * and its engine.  docs/notes/step.md is its specification.
 */
#ifndef KEEPCLEAR_REFERENCE_MACHINE_H
#define KEEPCLEAR_REFERENCE_MACHINE_H

#include <stdbool.h>
#include <stdint.h>

#include "check/model.h"
#include "reference/setting.h"

struct arena;
struct layout;
struct tracing;

/* A model made ready to run; lives in the arena. */
struct machine;

struct machine *machine_new(struct arena *arena, const struct model *model);

/* Everything remembered from one judging to the next, as machine_words
 * int64 words; copied and compared with memcpy and memcmp.  Values that can
 * never be read again (temp slots, functions) are kept at their initial
 * value, so equal futures of that kind compare equal. */
uint32_t machine_words(const struct machine *machine);

/* The state before the first scan.  START and PAST choices are taken from
 * `choices` (one value index per row of the model's choice table). */
void machine_start(struct machine *machine, const uint32_t *choices,
                   int64_t *state);

/* Runs one scan as the setting says.  state is changed to the state after
 * the judging, unless the end is not STEP_JUDGED: then it is as before.  In
 * the first scan `choices` are the same as those given to machine_start. */
const struct step_result *machine_step(struct machine *machine,
                                       const struct step_setting *setting,
                                       const uint32_t *choices,
                                       int64_t *state);

/* From now on steps are told to an observer; NULL: to none. */
void machine_watch(struct machine *machine, struct tracing *tracing);

/* The value of a place in a state, ages saturated at `most` (INT64_MAX: as
 * stored). */
int64_t machine_place(const struct machine *machine, const int64_t *state,
                      struct place_id place, int64_t most);

/* The word of a state in which a place lies. */
uint32_t machine_word(const struct machine *machine, struct place_id place);

/* How its states lie in words. */
const struct layout *machine_layout(const struct machine *machine);

/* The model it runs. */
const struct model *machine_model(const struct machine *machine);

/* For each choice row, did the last step read it?  A row that was not read
 * had no influence.  Owned by the machine. */
const bool *machine_read_rows(const struct machine *machine);

/* The same rows in the order in which they were first read; *n gets their
 * number.  Given the values of the rows before it, a row of this list is
 * read whatever the values of the rows behind it are. */
const uint32_t *machine_read_order(const struct machine *machine,
                                   uint32_t *n);

/* The value index at which a row stands that nobody reads, and the position
 * of a value index in the canonical order of its row. */
uint32_t machine_rest(const struct choice *choice);
uint32_t machine_rank(const struct choice *choice, uint32_t index);

#endif
