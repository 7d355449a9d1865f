/* played.h - what became of a SCENARIO. */
#ifndef KEEPCLEAR_PRESENT_PLAYED_H
#define KEEPCLEAR_PRESENT_PLAYED_H

struct scenario_result;
struct sources;
struct text;

/* Its title and outcome, the log sheet, and every expectation with what was
 * seen where it was not met. */
void played_add(struct text *out, const struct sources *sources,
                const struct scenario_result *result);

#endif
