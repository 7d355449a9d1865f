#include "present/stopwords.h"

#include <string.h>

#include "base/arena.h"
#include "base/text.h"
#include "check/model.h"
#include "present/chartwords.h"
#include "present/naming.h"
#include "present/say.h"
#include "present/stoplasts.h"
#include "study/stopmap.h"

static const char OFF[] = "off", OFF_BOTH[] = "off: both",
                  OFF_WIRING[] = "off: wiring", OFF_PROGRAM[] = "off: program",
                  NEVER_ON[] = "never on", STANDS[] = "stands still",
                  CAN_ON[] = "CAN BE ON", CAN_MOVE[] = "CAN MOVE",
                  NOT_KNOWN[] = "not known", CANNOT[] = "cannot be so",
                  AT_REST[] = "at rest";

enum { WORDS = STOPWORDS_WORDS - STOPLASTS_WORDS };

/* ---- lines and columns ---- */

void stopwords_title(struct text *out, const struct stopmap *map)
{
    text_add(out, "What each stop stops, and motion that remains possible "
                  "while it is latched");
    if (map->faults == 1)
        text_add(out, "; any one declared fault may appear");
    else if (map->faults > 1)
        text_printf(out, "; any %u declared faults may appear",
                    (unsigned)map->faults);
}

void stopwords_scope(struct text *out, const struct stopmap *map)
{
    text_add(out, "Over every reachable situation");
    if (map->faults == 0)
        text_add(out, ", without any fault");
    text_add(out, ". Shown are the actuators that can move something, the "
                  "parts that they move, the stops and the rescue controls. "
                  "All else - other controls, variables of the programs, "
                  "timers, the moment - is projected away, and named only "
                  "where motion needs it. A latched stop counts as long as "
                  "it is pressed; what happens once it is let go is not in "
                  "this map. Off counts from the scan on that sees the stop "
                  "pressed; one scan at most lies between pressing it and "
                  "that.");
}

void stopwords_column(struct text *out, const struct stopmap *map,
                      const struct stopnotes *notes, uint32_t group)
{
    const struct stopmap_column *of = &map->columns[notes->columns[group]];

    if (of->kind == STOPMAP_EVERY) {
        text_add(out, "every stop pressed");
        return;
    }
    for (uint32_t c = 0; c < map->n_columns; c++)
        if (notes->group[c] == group)
            text_printf(out, "%s, ",
                        map->model->controls[map->columns[c].of].title);
    text_add(out, of->kind == STOPMAP_STOP ? "pressed" : "held");
}

void stopwords_line(struct text *out, const struct stopmap *map, uint32_t line)
{
    const struct stopmap_line *of = &map->lines[line];
    const struct actuator *actuator;

    if (of->part) {
        naming_slot(out, map->model, of->of);
        text_add(out, " moves");
        return;
    }
    actuator = &map->model->actuators[of->of];
    text_add(out, actuator->title != NULL ? actuator->title
                                          : actuator->name->spelling);
}

/* ---- cells ---- */

static const char *word_of(const struct stopmap *map, uint32_t line,
                           uint32_t column)
{
    const struct stopmap_cell *cell = stopmap_cell(map, line, column);
    bool part = map->lines[line].part;

    if (map->columns[column].occurs == CHART_NEVER)
        return CANNOT;
    if (map->lines[line].occurs == CHART_NEVER)
        return part ? STANDS : NEVER_ON;
    if (cell->on == CHART_SEEN)
        return part ? CAN_MOVE : CAN_ON;
    if (cell->on == CHART_NOT_KNOWN)
        return NOT_KNOWN;
    if (part)
        return STANDS;
    if (cell->wired == CHART_NEVER)
        return cell->commanded == CHART_NEVER ? OFF_BOTH : OFF_WIRING;
    return cell->commanded == CHART_NEVER ? OFF_PROGRAM : OFF;
}

void stopwords_cell(struct text *out, const struct stopmap *map,
                    uint32_t line, uint32_t column, uint32_t note)
{
    text_add(out, word_of(map, line, column));
    if (note > 0)
        text_printf(out, " (%u)", (unsigned)note);
}

bool stopwords_motion(const struct stopmap *map, uint32_t line,
                      uint32_t column)
{
    const char *word = word_of(map, line, column);

    return word == CAN_ON || word == CAN_MOVE || word == NOT_KNOWN;
}

/* Stands it other than it does when nobody touches it? */
static bool is_active(const struct stopmap *map,
                      const struct stopmap_need *need)
{
    return need->sensor || need->other ||
           need->value != map->model->choices[need->of].rest;
}

static bool has_resting(const struct stopmap *map)
{
    for (uint32_t c = 0; c < map->n_lines * map->n_columns; c++)
        for (uint32_t i = 0; i < map->cells[c].n_needs; i++)
            if (!is_active(map, &map->cells[c].needs[i]))
                return true;
    return false;
}

unsigned stopwords_meanings(const struct stopmap *map,
                            struct stopwords_row *rows)
{
    static const struct stopwords_row all[WORDS] = {
        {CAN_ON, "on in some reachable situation in which the stop is pressed; "
                 "the note has what is so in every one of these"},
        {CAN_MOVE, "it changes in some machine step behind a judging at which "
                   "the stop was pressed; the note names the changes"},
        {OFF_BOTH, "always off while pressed: by the wiring alone, and the "
                   "programs do not ask for it either"},
        {OFF_WIRING, "always off while pressed, by the wiring alone, whatever "
                     "the programs ask for; and at times they do"},
        {OFF_PROGRAM, "always off while pressed, since the programs never ask "
                      "for it then; the wiring would let it through"},
        {OFF, "always off while pressed: wiring and programs together"},
        {NEVER_ON, "it is on in no reachable situation at all"},
        {STANDS, "it does not move while the stop is pressed"},
        {NOT_KNOWN, "a limit came first: take it for possible"},
        {CANNOT, "the assumptions leave no situation in which it is pressed"},
        {AT_REST, "not pressed, not held, off, or in its first position"},
    };
    struct stoplasts_row ends[STOPLASTS_WORDS];
    unsigned n = 0, lasts;

    if (has_resting(map))
        rows[n++] = all[WORDS - 1];
    for (unsigned i = 0; i < WORDS - 1; i++)
        for (uint32_t c = 0; c < map->n_lines * map->n_columns; c++)
            if (word_of(map, c / map->n_columns, c % map->n_columns) ==
                all[i].word) {
                rows[n++] = all[i];
                break;
            }
    lasts = stoplasts_meanings(map, ends);
    for (unsigned i = 0; i < lasts; i++)
        rows[n++] = (struct stopwords_row){ends[i].word, ends[i].meaning};
    return n;
}

/* ---- notes ---- */

/* A note under way; `n` parts are said. */
struct note {
    struct text text;
    unsigned n;
    bool brief;
};

static void join(struct note *note, const char *with)
{
    if (note->n++ > 0)
        text_add(&note->text, with);
}

static struct chart_input input_of(const struct stopmap *map,
                                   const struct stopmap_need *need)
{
    const struct choice *choice;

    if (need->sensor)
        return (struct chart_input){.kind = CHART_SENSOR, .of = need->of,
                                    .row = MODEL_NONE};
    choice = &map->model->choices[need->of];
    return (struct chart_input){
        .kind = choice->kind == CHOICE_OPERATOR ? CHART_CONTROL
                : choice->kind == CHOICE_INPUT  ? CHART_FREE
                                                : CHART_SHARED,
        .of = choice->of, .row = need->of};
}

static void add_need(struct note *note, const struct stopmap *map,
                     const struct stopmap_need *need)
{
    const struct chart chart = {.model = map->model};
    const struct chart_input input = input_of(map, need);

    join(note, "; ");
    chartwords_input(&note->text, &chart, &input);
    text_add(&note->text, need->other ? " not " : " ");
    chartwords_at(&note->text, &chart, &input, need->value);
}

static void add_hands(struct note *note, const struct stopmap *map,
                      const struct stopmap_cell *cell)
{
    bool buttons = true;

    if (cell->n_hands == 0)
        return;
    join(note, "; ");
    for (uint32_t i = 0; i < cell->n_hands; i++) {
        const struct choice *choice = &map->model->choices[cell->hands[i]];
        const struct control *control = &map->model->controls[choice->of];

        text_printf(&note->text, "%s%s",
                    i == 0 ? "" : i + 1 < cell->n_hands ? ", " : " or ",
                    control->title);
        buttons = buttons && control->kind == SIGNAL_BUTTON;
    }
    text_add(&note->text, buttons ? " held" : " off its rest");
}

/* Controls that must not be touched: their titles are enough. */
static void add_resting(struct note *note, const struct stopmap *map,
                        const struct stopmap_cell *cell)
{
    const struct chart chart = {.model = map->model};
    unsigned n = 0;
    bool first = true;

    for (uint32_t i = 0; i < cell->n_needs; i++) {
        const struct chart_input input = input_of(map, &cell->needs[i]);

        if (is_active(map, &cell->needs[i]))
            continue;
        n++;
        if (note->brief)
            continue;
        if (first)
            join(note, "; ");
        text_add(&note->text, first ? "at rest: " : ", ");
        chartwords_input(&note->text, &chart, &input);
        first = false;
    }
    if (note->brief && n > 0) {
        join(note, "; ");
        text_printf(&note->text, "%u control%s at rest", n,
                    n == 1 ? "" : "s");
    }
}

static void add_needs(struct note *note, const struct stopmap *map,
                      uint32_t line, uint32_t column)
{
    const struct stopmap_cell *cell = stopmap_cell(map, line, column);

    add_hands(note, map, cell);
    for (uint32_t i = 0; i < cell->n_needs; i++)
        if (is_active(map, &cell->needs[i]))
            add_need(note, map, &cell->needs[i]);
    add_resting(note, map, cell);
}

static void tell_on(struct note *note, const struct stopmap *map,
                    uint32_t line, uint32_t column)
{
    text_add(&note->text, "only while ");
    add_needs(note, map, line, column);
    if (note->n == 0) {
        text_clear(&note->text);
        text_add(&note->text, "no single input, and no choice among hands, is "
                              "the same in all of these situations");
    }
    if (stopmap_cell(map, line, column)->needs_open)
        text_add(&note->text, "; whether more is needed is not known, a limit "
                              "came first");
}

/* Was the same change named before, by another MOVES? */
static bool named_before(const struct stopmap *map,
                         const struct stopmap_line *line, uint32_t number)
{
    const struct movement *all = map->model->movements;
    const struct movement *of = &all[line->movements[number]];

    for (uint32_t i = 0; i < number; i++)
        if (all[line->movements[i]].from == of->from &&
            all[line->movements[i]].to == of->to)
            return true;
    return false;
}

static void tell_moves(struct note *note, const struct stopmap *map,
                       uint32_t line, uint32_t column)
{
    const struct stopmap_line *of = &map->lines[line];
    const struct stopmap_cell *cell = stopmap_cell(map, line, column);

    for (uint32_t i = 0; i < of->n_movements; i++) {
        const struct movement *movement =
            &map->model->movements[of->movements[i]];
        const struct type *type = map->model->slots[movement->slot].type;

        if (cell->moves[i] != CHART_SEEN || named_before(map, of, i))
            continue;
        join(note, ", ");
        say_value(&note->text, type, movement->from);
        text_add(&note->text, " to ");
        say_value(&note->text, type, movement->to);
    }
    if (cell->moves[of->n_movements] == CHART_SEEN) {
        join(note, ", and ");
        text_add(&note->text, "changes that no MOVES names");
    }
}

static uint32_t number_of(struct arena *arena, struct stopnotes *notes,
                          const struct text *text)
{
    for (uint32_t i = 0; i < notes->n; i++)
        if (strcmp(notes->at[i], text_str(text)) == 0)
            return i + 1;
    notes->at[notes->n++] = arena_copy(arena, text_str(text), text->n);
    return notes->n;
}

static bool same_column(const struct stopmap *map, const uint32_t *of,
                        uint32_t a, uint32_t b)
{
    if (map->columns[a].kind != map->columns[b].kind)
        return false;
    for (uint32_t i = 0; i < map->n_lines; i++)
        if (word_of(map, i, a) != word_of(map, i, b) ||
            of[i * map->n_columns + a] != of[i * map->n_columns + b] ||
            !stoplasts_same(map, i * map->n_columns + a,
                            i * map->n_columns + b))
            return false;
    return true;
}

static void group_columns(struct arena *arena, struct stopnotes *notes,
                          const struct stopmap *map)
{
    uint32_t *columns = arena_array(arena, (size_t)map->n_columns + 1,
                                    sizeof *columns);
    uint32_t *group = arena_array(arena, (size_t)map->n_columns + 1,
                                  sizeof *group);

    for (uint32_t c = 0; c < map->n_columns; c++) {
        uint32_t g = 0;

        while (g < notes->n_columns &&
               !same_column(map, notes->of, columns[g], c))
            g++;
        group[c] = g;
        if (g == notes->n_columns)
            columns[notes->n_columns++] = c;
    }
    notes->columns = columns;
    notes->group = group;
}

struct stopnotes stopwords_notes(struct arena *arena,
                                 const struct stopmap *map, bool brief)
{
    size_t most = (size_t)map->n_lines * map->n_columns + 1;
    struct stopnotes notes = {.at = arena_array(arena, most,
                                                sizeof *notes.at)};
    uint32_t *of = arena_array(arena, most, sizeof *of);

    for (uint32_t c = 0; c < map->n_lines * map->n_columns; c++) {
        uint32_t line = c / map->n_columns, column = c % map->n_columns;
        struct note note = {.brief = brief};

        if (map->cells[c].on == CHART_SEEN) {
            if (map->lines[line].part)
                tell_moves(&note, map, line, column);
            else
                tell_on(&note, map, line, column);
            of[c] = number_of(arena, &notes, &note.text);
        }
        text_release(&note.text);
    }
    notes.of = of;
    group_columns(arena, &notes, map);
    return notes;
}

/* ---- around it ---- */

static struct chart as_chart(const struct stopmap *map)
{
    return (struct chart){.model = map->model, .faults = map->faults,
                          .situations = map->situations,
                          .errors = map->errors,
                          .errors_open = map->errors_open,
                          .dead_end = map->dead_end, .stop = map->stop};
}

void stopwords_limits(struct text *out, const struct stopmap *map)
{
    const struct chart chart = as_chart(map);

    chartwords_limits(out, &chart);
}

void stopwords_conditions(struct text *out, const struct stopmap *map,
                          const struct sources *sources)
{
    const struct chart chart = as_chart(map);

    chartwords_stands(out, &chart, sources);
}
