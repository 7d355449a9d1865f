#include "present/stoplasts.h"

#include "base/text.h"
#include "check/model.h"
#include "present/amount.h"
#include "study/stopmap.h"

/* What the answer is in one word; NONE: the cell leaves no motion. */
enum word { AT_ONCE, LASTS, NO_END, NOT_KNOWN, NONE };

static enum word word_of(const struct stopmap_cell *cell)
{
    if (cell->on != CHART_SEEN)
        return NONE;
    switch (cell->lasts) {
    case STOPMAP_LASTS: return cell->lasting == 0 ? AT_ONCE : LASTS;
    case STOPMAP_LASTS_LONGER: return NO_END;
    case STOPMAP_LASTS_NOT_KNOWN: break;
    }
    return NOT_KNOWN;
}

static int64_t longest(const struct stopmap *map, uint32_t scans)
{
    return (int64_t)scans * map->model->scan;
}

void stoplasts_cell(struct text *out, const struct stopmap *map,
                    uint32_t line, uint32_t column)
{
    const struct stopmap_cell *cell = stopmap_cell(map, line, column);

    switch (word_of(cell)) {
    case AT_ONCE: text_add(out, "ends at once"); break;
    case LASTS:
        text_add(out, "lasts ");
        amount_seconds(out, longest(map, cell->lasting));
        break;
    case NO_END: text_add(out, "no end found"); break;
    case NOT_KNOWN: text_add(out, "end unknown"); break;
    case NONE: break;
    }
}

bool stoplasts_same(const struct stopmap *map, uint32_t a, uint32_t b)
{
    const struct stopmap_cell *one = &map->cells[a], *other = &map->cells[b];

    return word_of(one) == word_of(other) &&
           (word_of(one) != LASTS || one->lasting == other->lasting);
}

/* ---- at length ---- */

static void add_time(struct text *out, const struct stopmap *map,
                     uint32_t scans)
{
    amount_of(out, scans, "scan");
    text_add(out, " (");
    amount_seconds(out, longest(map, scans));
    text_add(out, ")");
}

void stoplasts_sentence(struct text *out, const struct stopmap *map,
                        uint32_t line, uint32_t column)
{
    const struct stopmap_cell *cell = stopmap_cell(map, line, column);
    bool part = map->lines[line].part;

    text_add(out, part ? "What moved when it was pressed "
                       : "What was on when it was pressed ");
    switch (word_of(cell)) {
    case AT_ONCE:
        text_add(out, part ? "stands from the same scan on; what moves then "
                             "was begun anew."
                           : "is off in the same scan; what is on then came "
                             "on anew.");
        break;
    case LASTS:
        text_add(out, part ? "moves for " : "stays on for ");
        add_time(out, map, cell->lasting);
        text_add(out, " at most.");
        break;
    case NO_END:
        text_add(out, part ? "may still move after "
                           : "may still be on after ");
        add_time(out, map, STOPMAP_LONGEST);
        text_add(out, ", and was followed no further.");
        break;
    default:
        text_add(out, "ends at a moment that is not known: a limit came "
                      "first.");
        break;
    }
}

_Static_assert(STOPMAP_LONGEST == 64, "a meaning below names it");

unsigned stoplasts_meanings(const struct stopmap *map,
                            struct stoplasts_row *rows)
{
    static const struct stoplasts_row all[STOPLASTS_WORDS] = {
        [AT_ONCE] = {"ends at once",
                     "what moved when the stop was pressed ends in the same "
                     "scan; what can be on then came on anew, with the stop "
                     "pressed: the note says by what"},
        [LASTS] = {"lasts",
                   "what moved when the stop was pressed goes on for so long "
                   "at most, in whole scans of the longest time, from the "
                   "first scan that sees it pressed"},
        [NO_END] = {"no end found",
                    "what moved when the stop was pressed may go on: after "
                    "64 scans it was followed no further"},
        [NOT_KNOWN] = {"end unknown", "a limit came first: take it for no "
                                      "end"}};
    unsigned n = 0;

    for (int word = AT_ONCE; word < NONE; word++)
        for (uint32_t c = 0; c < map->n_lines * map->n_columns; c++)
            if (word_of(&map->cells[c]) == (enum word)word) {
                rows[n++] = all[word];
                break;
            }
    return n;
}
