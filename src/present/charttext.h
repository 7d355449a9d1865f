/* charttext.h - a cause-and-effect chart as text, as a file for spreadsheets,
 * and what stands in a cell told with its sequence. */
#ifndef KEEPCLEAR_PRESENT_CHARTTEXT_H
#define KEEPCLEAR_PRESENT_CHARTTEXT_H

#include <stdint.h>

#include "study/chart.h"

struct chartshown;
struct sources;
struct text;

/* Inputs down, outputs across, in blocks of as many columns as 100 letters
 * hold; then what the words mean and under which conditions. */
void charttext_add(struct text *out, const struct chart *chart,
                   const struct sources *sources);

/* A line for each cell. */
void charttext_csv(struct text *out, const struct chart *chart);

/* What stands before and behind cells that are told one by one. */
void charttext_begin(struct text *out, const struct chart *chart);
void charttext_end(struct text *out, const struct chart *chart,
                   const struct sources *sources);

/* "left rear stop, pressed: turns tailgate lowers off", the sequence, and what
 * would be otherwise. */
void charttext_act(struct text *out, const struct chart *chart, uint32_t cell,
                   enum chart_act act, const struct chartshown *shown);

/* The same where a limit came before its sequence was found. */
void charttext_lost(struct text *out, const struct chart *chart,
                    uint32_t cell, enum chart_act act);

/* A cell without a sequence: whether it always stops, or nothing. */
void charttext_always(struct text *out, const struct chart *chart,
                      uint32_t cell);

#endif
