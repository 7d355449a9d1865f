/* chartlist.h - the lines and columns of a cause-and-effect chart. */
#ifndef KEEPCLEAR_STUDY_CHARTLIST_H
#define KEEPCLEAR_STUDY_CHARTLIST_H

#include "study/chart.h"

struct arena;
struct loaded;

/* Controls, free inputs, what others write, in the order of their choices;
 * then sensors.  name: NULL, all; else the lines of that one control (named by
 * itself or one of its contacts), sensor or input alone; none is found: a
 * sentence is the result, else NULL.  Lies in the arena. */
const char *chartlist_inputs(struct arena *arena, struct chart *chart,
                             const char *name);

/* Actuators, then outputs that command none; likewise. */
const char *chartlist_outputs(struct arena *arena, struct chart *chart,
                              const struct loaded *loaded, const char *name);

/* Name of a line's input as the texts spell it, and of a column's output;
 * valid as long as the model. */
const char *chartlist_input_name(const struct chart *chart,
                                 const struct chart_input *input);
const char *chartlist_output_name(const struct chart *chart,
                                  const struct chart_output *output);

#endif
