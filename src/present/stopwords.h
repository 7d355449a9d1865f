/* stopwords.h - the words of a stop map (study/stopmap.h). */
#ifndef KEEPCLEAR_PRESENT_STOPWORDS_H
#define KEEPCLEAR_PRESENT_STOPWORDS_H

#include <stdbool.h>
#include <stdint.h>

struct arena;
struct sources;
struct stopmap;
struct text;

/* Conditions told below the table, each once, numbered from 1; and stops (or
 * rescue controls) with the same words and notes all the way down, which
 * share a column. */
struct stopnotes {
    const char **at;
    const uint32_t *of; /* per cell: number of its note, 0: none */
    uint32_t n;
    const uint32_t *columns;  /* of the map: the first of each group */
    const uint32_t *group;    /* per column of the map: its group */
    uint32_t n_columns;
};

/* All of a map; lies in the arena.  brief: of controls that must be at rest
 * only how many there are. */
struct stopnotes stopwords_notes(struct arena *arena,
                                 const struct stopmap *map, bool brief);

/* What the whole is, one line, without its end. */
void stopwords_title(struct text *out, const struct stopmap *map);

/* What is told, and what is left away: sentences of a paragraph. */
void stopwords_scope(struct text *out, const struct stopmap *map);

/* "left rear stop, right rear stop, pressed", "every stop pressed", "left
 * rescue button, held": one of the groups. */
void stopwords_column(struct text *out, const struct stopmap *map,
                      const struct stopnotes *notes, uint32_t group);

/* "tailgate lowers", "gap moves". */
void stopwords_line(struct text *out, const struct stopmap *map,
                    uint32_t line);

/* "off: wiring", "can be on (2)"; number of its note or 0. */
void stopwords_cell(struct text *out, const struct stopmap *map,
                    uint32_t line, uint32_t column, uint32_t note);

/* Is motion possible there, or not known to be impossible? */
bool stopwords_motion(const struct stopmap *map, uint32_t line,
                      uint32_t column);

/* What the words mean, those alone that stand in the map; how many. */
struct stopwords_row {
    const char *word, *meaning;
};
enum { STOPWORDS_WORDS = 15 };
unsigned stopwords_meanings(const struct stopmap *map,
                            struct stopwords_row *rows);

/* What cuts it short, one sentence a line; nothing where it is whole. */
void stopwords_limits(struct text *out, const struct stopmap *map);

/* Under which conditions it stands, and what it does not show. */
void stopwords_conditions(struct text *out, const struct stopmap *map,
                          const struct sources *sources);

#endif
