/* stopshownwords.h - the sequence behind a cell of a stop map. */
#ifndef KEEPCLEAR_PRESENT_STOPSHOWNWORDS_H
#define KEEPCLEAR_PRESENT_STOPSHOWNWORDS_H

#include <stdint.h>

struct stopmap;
struct stopnotes;
struct text;

/* "carrier rises, while left rear stop is pressed" */
void stopshownwords_heading(struct text *out, const struct stopmap *map,
                       uint32_t line, uint32_t column);

/* A cell with its sequence as a log sheet, as text. */
void stopshownwords_add(struct text *out, const struct stopmap *map,
                     const struct stopnotes *notes, uint32_t line,
                     uint32_t column);

#endif
