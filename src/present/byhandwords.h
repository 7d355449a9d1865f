/* byhandwords.h - one step by hand in plain words: those that say everything,
 * for a line that stands alone, and those of obligations and places.  The
 * words of a sheet that says once what repeats: sheetsteps.h.
 */
#ifndef KEEPCLEAR_PRESENT_BYHANDWORDS_H
#define KEEPCLEAR_PRESENT_BYHANDWORDS_H

#include <stdbool.h>
#include <stdint.h>

struct hand_change;
struct hand_sequence;
struct hand_step;
struct model;
struct sources;
struct testsheet;
struct text;
struct words;

/* What the words are made from; words: those of sheetphrases.h. */
struct byhand_view {
    const struct testsheet *sheet;
    const struct sources *sources;
    const struct words *words;
};

/* Stations, in the order of the controls: "rear panel, left"; those of both
 * controls with a + between. */
void byhandwords_station(struct text *out, const struct byhand_view *view,
                         const struct hand_step *step);

/* "hold left closing button"; empty for a step that only waits. */
void byhandwords_do(struct text *out, const struct byhand_view *view,
                    const struct hand_step *step);

/* "supply off, hold left closing button, after 5 s supply on": a step in
 * which the supply goes and returns. */
void byhandwords_return(struct text *out, const struct byhand_view *view,
                        const struct hand_step *step);

/* "wait at least 2 s, then look" */
void byhandwords_wait(struct text *out, const struct byhand_view *view,
                      const struct hand_step *step);

/* "ON: ...", "OFF: ...", "not judged: ...", a line each. */
void byhandwords_expected(struct text *out, const struct byhand_view *view,
                          const struct hand_step *step);

/* What it is the first step to reach: requirements, then lines of the control
 * text, with blanks between.  Decisions are named only where nothing else
 * is. */
void byhandwords_reached(struct text *out, const struct byhand_view *view,
                         const struct hand_step *step);

/* "gap = Wide", or "wherever it stands". */
void byhandwords_stands(struct text *out, const struct byhand_view *view,
                        const struct hand_sequence *sequence);

/* "gap = Wide": the variable of that movement at a value. */
void byhandwords_where(struct text *out, const struct model *model,
                       uint32_t movement, int64_t value);

/* The key of sheetphrases.h for what a hand does, which takes the title of the
 * control, and where a value is set, that: then `value` gets it. */
const char *byhandwords_action(const struct model *model,
                               const struct hand_change *change,
                               struct text *value);

/* Is that obligation of the step named by the one before it already, or no
 * duty? */
bool byhandwords_is_named(const struct testsheet *sheet,
                          const struct hand_step *step, uint32_t i);

/* The line of the control text where a branch stands. */
uint32_t byhandwords_line(const struct byhand_view *view, uint32_t branch);

/* An obligation: "R3: lower_valve AND gap = Wide", "branch: gate.st,
 * line 41". */
void byhandwords_obligation(struct text *out, const struct byhand_view *view,
                            uint32_t number);

#endif
