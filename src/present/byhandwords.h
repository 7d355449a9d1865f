/* byhandwords.h - one step by hand in plain words. */
#ifndef KEEPCLEAR_PRESENT_BYHANDWORDS_H
#define KEEPCLEAR_PRESENT_BYHANDWORDS_H

#include <stdint.h>

struct hand_sequence;
struct hand_step;
struct sources;
struct testsheet;
struct text;

/* Stations, in the order of the controls: "rear panel, left"; those of both
 * controls with a + between. */
void byhandwords_station(struct text *out, const struct testsheet *sheet,
                         const struct hand_step *step);

/* "hold left closing button"; empty for a step that only waits. */
void byhandwords_do(struct text *out, const struct testsheet *sheet,
                    const struct hand_step *step);

/* "wait at least 2 s" */
void byhandwords_wait(struct text *out, const struct testsheet *sheet,
                      const struct hand_step *step);

/* "ON: ...", "OFF: ...", "not judged: ...", a line each. */
void byhandwords_expected(struct text *out, const struct testsheet *sheet,
                          const struct hand_step *step);

/* What it is the first step to reach: requirements, then lines of the control
 * text, with blanks between.  Decisions are named only where nothing else
 * is. */
void byhandwords_reached(struct text *out, const struct testsheet *sheet,
                         const struct sources *sources,
                         const struct hand_step *step);

/* "gap = Wide", or "wherever it stands". */
void byhandwords_stands(struct text *out, const struct testsheet *sheet,
                        const struct hand_sequence *sequence);

/* An obligation: "R3, for it to come to bear: ...", "branch on line 41 of
 * ...". */
void byhandwords_obligation(struct text *out, const struct testsheet *sheet,
                            const struct sources *sources, uint32_t number);

#endif
