/* chartwords.h - the words of a cause-and-effect chart. */
#ifndef KEEPCLEAR_PRESENT_CHARTWORDS_H
#define KEEPCLEAR_PRESENT_CHARTWORDS_H

#include <stdbool.h>
#include <stdint.h>

struct chart;
struct chart_cell;
struct chart_input;
struct chart_output;
struct sources;
struct text;

/* "left closing button": the input of a line, and the output of a column, its
 * value behind it where it is no BOOL. */
void chartwords_input(struct text *out, const struct chart *chart,
                      const struct chart_input *input);
void chartwords_output(struct text *out, const struct chart *chart,
                       const struct chart_output *output);

/* "held", "at Rescue", "shows TRUE": the input in the position of its line;
 * and in position `index` of its row (sensor: 0, 1). */
void chartwords_position(struct text *out, const struct chart *chart,
                         const struct chart_input *input);
void chartwords_at(struct text *out, const struct chart *chart,
                   const struct chart_input *input, uint32_t index);

/* What stands in a cell, a word or two each: words gets the first of them,
 * n at most CHARTWORDS_MOST. */
enum { CHARTWORDS_MOST = 5 };
unsigned chartwords_cell(const struct chart_cell *cell, const char **words);

/* What the whole is, one line, without its end. */
void chartwords_title(struct text *out, const struct chart *chart);

/* What the words mean, those alone that stand in the chart; how many. */
struct chartwords_row {
    const char *word, *meaning;
};
enum { CHARTWORDS_WORDS = 7 };
unsigned chartwords_meanings(const struct chart *chart,
                             struct chartwords_row *rows);

/* What cuts it short and which outputs are not in it, one sentence a line;
 * nothing where it is whole. */
void chartwords_limits(struct text *out, const struct chart *chart);

/* Under which conditions it stands, how much was looked at, and what it is
 * not; of the chart no more is read than the model and what ended it. */
void chartwords_stands(struct text *out, const struct chart *chart,
                       const struct sources *sources);

/* Under which conditions it stands, what cuts it short, and what it does not
 * show. */
void chartwords_conditions(struct text *out, const struct chart *chart,
                           const struct sources *sources);

#endif
