/* stoplasts.h - words for how long motion outlasts a stop
 * (study/stoplasting.h). */
#ifndef KEEPCLEAR_PRESENT_STOPLASTS_H
#define KEEPCLEAR_PRESENT_STOPLASTS_H

#include <stdbool.h>
#include <stdint.h>

struct stopmap;
struct text;

/* Of a cell where motion is possible: "ends at once", "lasts 0.2 s", "no end
 * found"; of another one nothing. */
void stoplasts_cell(struct text *out, const struct stopmap *map,
                    uint32_t line, uint32_t column);

/* Do both cells say the same? */
bool stoplasts_same(const struct stopmap *map, uint32_t a, uint32_t b);

/* "What was on when the stop was pressed is off in the same scan.": of a cell
 * where motion is possible, with scans and seconds. */
void stoplasts_sentence(struct text *out, const struct stopmap *map,
                        uint32_t line, uint32_t column);

/* What the words mean, those alone that stand in the map; how many. */
struct stoplasts_row {
    const char *word, *meaning;
};
enum { STOPLASTS_WORDS = 4 };
unsigned stoplasts_meanings(const struct stopmap *map,
                            struct stoplasts_row *rows);

#endif
