#include "study/match.h"

#include <string.h>

#include "base/arena.h"
#include "base/ensure.h"
#include "check/model.h"
#include "check/pace.h"
#include "check/type.h"
#include "engine/sets/follow.h"
#include "logic/slice.h"

enum { MOST_ASKED = 64 /* values of a column, each asked for */ };

static const uint64_t USUAL_BYTES = (uint64_t)1 << 30;

/* One reading of the log. */
struct reading {
    struct arena *arena; /* of this reading */
    struct study *study;
    const struct match_setting *setting;
    struct recording *recording;
    struct flat wide;    /* with a cell for each column */
    const struct slice *slice;
    struct follow *follow;
    struct observed seen, before;
    int64_t *value_before;
    bool *given_before;
    uint64_t least, most; /* scans since the row before */
};

/* ---- the logic with what the columns show ---- */

/* What a column shows is kept as a cell, so that it is known of situations
 * whatever the row says. */
static void add_cells(struct reading *r, uint32_t *with, flat_expr *leaves)
{
    struct flat_builder *builder = r->study->lowered->builder;
    const struct flat *flat = r->study->lowered->flat;
    const struct recording *rec = r->recording;
    struct flat_cell *cells =
        arena_array(r->arena, flat->n_cells + rec->n_meant, sizeof *cells);

    memcpy(cells, flat->cells, flat->n_cells * sizeof *cells);
    r->wide = *flat;
    r->wide.cells = cells;
    for (uint32_t i = 0; i < rec->n_meant; i++) {
        const struct recorded_column *c = &rec->columns[rec->meant[i]];
        const struct flat_node *node = flat_node(builder, c->meaning.value);
        struct flat_cell *cell = &cells[r->wide.n_cells];

        *cell = (struct flat_cell){
            .name = c->meaning.name, .kind = PLACE_KINDS, .index = i,
            .low = node->low, .high = node->high, .unit = 1,
            .next = c->meaning.value};
        cell->initial = flat_const(builder, cell->low);
        leaves[i] = flat_leaf(builder, FLAT_CELL, r->wide.n_cells, cell->low,
                              cell->high);
        with[i] = r->wide.n_cells++;
    }
}

/* The watches of all errors, each once: a path ends there. */
static uint32_t all_errors(const struct study *study, uint32_t *ends)
{
    const struct flat *flat = study->lowered->flat;
    uint32_t n = 0;

    for (uint32_t i = 0; i < flat->n_watches; i++)
        if (flat->watches[i].kind == WATCH_ERROR)
            ends[n++] = i;
    return n;
}

static uint32_t slice_cell(const struct slice *slice, uint32_t cell)
{
    for (uint32_t i = 0; i < slice->n_cells; i++)
        if (slice->cells[i].cell == cell)
            return i;
    return FLAT_NONE;
}

/* The value of a column that has only one. */
static int64_t only_value(const struct slice *slice, uint32_t value)
{
    uint32_t i = 0;

    while (i < slice->n_values && slice->values[i].number != value)
        i++;
    ENSURE(i < slice->n_values);
    ENSURE(slice->nodes[slice->values[i].next].op == FLAT_CONST);
    return slice->nodes[slice->values[i].next].value;
}

/* What is seen of the slice, now and in the row before. */
static void make_seen(struct reading *r, const uint32_t *with)
{
    uint32_t n = r->recording->n_meant;
    uint32_t *cell = arena_array(r->arena, n, sizeof *cell);
    int64_t *fixed = arena_array(r->arena, n, sizeof *fixed);

    for (uint32_t i = 0; i < n; i++) {
        cell[i] = slice_cell(r->slice, with[i]);
        if (cell[i] == FLAT_NONE)
            fixed[i] = only_value(r->slice, i);
    }
    r->value_before = arena_array(r->arena, n, sizeof *r->value_before);
    r->given_before = arena_array(r->arena, n, sizeof *r->given_before);
    r->seen = (struct observed){n, cell, fixed, r->recording->value,
                                   r->recording->given};
    r->before = (struct observed){n, cell, fixed, r->value_before,
                                     r->given_before};
}

static void make_slice(struct reading *r, uint32_t faults)
{
    const struct flat *flat = r->study->lowered->flat;
    uint32_t n = r->recording->n_meant;
    uint32_t *with = arena_array(r->arena, n, sizeof *with);
    flat_expr *leaves = arena_array(r->arena, n, sizeof *leaves);
    uint32_t *ends = arena_array(r->arena, flat->n_watches + 1, sizeof *ends);
    struct slice_request request = {.values = leaves, .n_values = n,
                                    .ends = ends, .faults = faults};

    add_cells(r, with, leaves);
    request.n_ends = all_errors(r->study, ends);
    r->slice = slice_build(r->arena, r->study->lowered->builder, &r->wide,
                           &request);
    make_seen(r, with);
}

/* ---- one reading ---- */

static bool is_interrupted(void *context)
{
    const struct match_setting *setting = context;

    return setting->study.interrupted != NULL &&
           setting->study.interrupted();
}

static uint64_t most_bytes(const struct match_setting *setting)
{
    return setting->study.most_bytes != 0 ? setting->study.most_bytes
                                          : USUAL_BYTES;
}

/* Opens the log and a run with so many tracks beside the first; false: the
 * log cannot be read. */
static bool reading_open(struct reading *r, struct study *study,
                         const struct match_setting *setting)
{
    memset(r, 0, sizeof *r);
    r->arena = arena_new();
    r->study = study;
    r->setting = setting;
    r->recording = recording_open(study->arena, study->model, study->lowered,
                                  &setting->recording);
    return r->recording->failure == NULL;
}

static void reading_start(struct reading *r, uint32_t faults,
                          uint32_t n_tracks)
{
    struct explore_setting limits = {
        .most_bytes = most_bytes(r->setting),
        .interrupted = is_interrupted,
        .interrupted_context = (void *)r->setting,
    };

    make_slice(r, faults);
    r->follow = follow_open(r->slice, &limits, n_tracks,
                            r->setting->anywhere);
}

static void reading_close(struct reading *r)
{
    follow_close(r->follow);
    recording_close(r->recording);
    arena_free(r->arena);
}

/* How many scans can lie between this row and the one before. */
static void count_scans(struct reading *r)
{
    const struct model *model = r->study->model;
    int64_t shortest = pace_shortest(model), longest = model->scan;
    int64_t jitter = r->setting->jitter, wait;

    r->least = r->most = 1;
    if (!r->recording->has_time)
        return;
    wait = r->recording->time - r->recording->last_time;
    r->least = wait > jitter ? (uint64_t)((wait - jitter) / longest) : 0;
    r->most = (uint64_t)((wait + jitter + shortest - 1) / shortest);
    if (!r->setting->recording.changes)
        return;
    if (r->least == 0)
        r->least = 1;
    if (r->most == 0)
        r->most = 1;
}

/* Can what is followed still be relied on? */
static bool is_sound(const struct reading *r)
{
    return follow_end(r->follow) == EXPLORE_COMPLETE;
}

/* The next row, with the scans before it counted. */
static enum recording_step reading_next(struct reading *r)
{
    struct recording *rec = r->recording;
    enum recording_step step;
    size_t n = rec->n_meant;

    memcpy(r->value_before, rec->value, n * sizeof *r->value_before);
    memcpy(r->given_before, rec->given, n * sizeof *r->given_before);
    step = recording_next(rec);
    if (step == RECORDING_ROW && rec->rows > 1)
        count_scans(r);
    return step;
}

/* Brings a track to where this row is looked at; but: a column that may
 * have been otherwise. */
static void go(struct reading *r, uint32_t track, uint32_t but)
{
    struct observed held = r->before;
    bool given = but != FLAT_NONE && r->given_before[but];

    if (r->recording->rows == 1)
        return;
    if (given)
        r->given_before[but] = false;
    follow_scans(r->follow, track, r->least, r->most,
                 r->setting->recording.changes ? &held : NULL);
    if (given)
        r->given_before[but] = true;
}

/* ---- the first reading ---- */

static void look_at_column(struct reading *r, uint32_t i,
                           struct match_column *column)
{
    if (!r->seen.given[i])
        return;
    column->given++;
    if (column->shown == 0 &&
        !follow_could(r->follow, 0, &r->seen, i, FOLLOW_OTHER) &&
        is_sound(r))
        column->shown = r->recording->line;
}

static void find_possible(struct reading *r, uint32_t i, struct arena *arena,
                          struct match_column *column)
{
    uint32_t cell = r->seen.cell[i];
    int64_t low = cell == FLAT_NONE ? r->seen.fixed[i]
                                    : r->slice->cells[cell].low;
    int64_t high = cell == FLAT_NONE ? low : r->slice->cells[cell].high;
    int64_t *possible;

    column->alone = r->seen.given[i] &&
                    follow_could(r->follow, 0, &r->seen, i, FOLLOW_ANY);
    if ((uint64_t)high - (uint64_t)low >= MOST_ASKED)
        return;
    column->n_asked = (uint32_t)(high - low) + 1;
    possible = arena_array(arena, column->n_asked, sizeof *possible);
    column->possible = possible;
    for (int64_t value = low; value <= high; value++)
        if (follow_comes(r->follow, 0, &r->seen, i, value))
            possible[column->n_possible++] = value;
}

/* No run reaches this row. */
static void note_difference(struct reading *r, struct match_findings *found,
                            struct match_column *columns)
{
    const struct observed nothing = {0};

    found->end = MATCH_DIFFERS;
    found->least = r->least;
    found->most = r->most;
    found->goes_on = follow_could(r->follow, 0, &nothing, FLAT_NONE,
                                  FOLLOW_ANY);
    for (uint32_t i = 0; i < r->seen.n; i++)
        find_possible(r, i, r->study->arena, &columns[i]);
}

/* False: the reading is over. */
static bool take_row(struct reading *r, struct match_findings *found,
                     struct match_column *columns)
{
    bool fits;

    found->line = r->recording->line;
    found->rows = r->recording->rows;
    if (!is_sound(r))
        return false;
    go(r, 0, FLAT_NONE);
    fits = follow_could(r->follow, 0, &r->seen, FLAT_NONE, FOLLOW_ANY);
    if (!is_sound(r))
        return false;
    if (!fits) {
        note_difference(r, found, columns);
        return false;
    }
    for (uint32_t i = 0; i < r->seen.n; i++)
        look_at_column(r, i, &columns[i]);
    return follow_keep(r->follow, 0, &r->seen, FLAT_NONE);
}

static void read_first(struct study *study, struct match_findings *found)
{
    const struct match_setting *setting = found->setting;
    struct reading r;
    struct match_column *columns;
    enum recording_step step = RECORDING_WRONG;

    found->end = MATCH_WRONG;
    if (reading_open(&r, study, setting)) {
        columns = arena_array(study->arena, r.recording->n_meant,
                              sizeof *columns);
        found->columns = columns;
        reading_start(&r, setting->faults, 1);
        while ((step = reading_next(&r)) == RECORDING_ROW &&
               take_row(&r, found, columns))
            ;
        found->explore = follow_end(r.follow);
        if (step != RECORDING_WRONG &&
            found->explore != EXPLORE_COMPLETE)
            found->end = MATCH_NOT_FINISHED;
        else if (step == RECORDING_END)
            found->end = MATCH_FITS;
    }
    found->recording = r.recording;
    reading_close(&r);
}

/* ---- what would explain it ---- */

/* One more fault: to which line does the log then fit? */
static bool read_with_fault(struct study *study,
                            struct match_findings *found)
{
    struct reading r;
    uint32_t *causes = arena_array(study->arena, study->model->n_causes + 1,
                                   sizeof *causes);
    bool stands = true, sure = reading_open(&r, study, found->setting);

    if (sure) {
        reading_start(&r, found->setting->faults + 1, 1);
        while (stands && is_sound(&r) &&
               reading_next(&r) == RECORDING_ROW) {
            go(&r, 0, FLAT_NONE);
            stands = follow_keep(r.follow, 0, &r.seen, FLAT_NONE);
        }
        found->fault_line = stands ? 0 : r.recording->line;
        sure = is_sound(&r) && r.recording->failure == NULL;
        for (uint32_t i = 0; sure && stands && i < study->model->n_causes;
             i++) {
            uint32_t cell = slice_cell(r.slice, r.wide.causes[i].cell);

            if (cell != FLAT_NONE && follow_stands(r.follow, 0, cell, 1))
                causes[found->n_causes++] = i;
        }
        sure = sure && is_sound(&r);
    }
    found->causes = causes;
    reading_close(&r);
    return sure;
}

/* One row of one column differs: each column has a track, beside that of the
 * log as it stands.  False: none stands any more. */
static bool take_row_each(struct reading *r, bool *stands)
{
    bool any = false, main = stands[0];

    for (uint32_t i = 0; i <= r->seen.n; i++)
        if (stands[i])
            go(r, i, i == 0 ? FLAT_NONE : i - 1);
    for (uint32_t i = 1; i <= r->seen.n; i++) {
        stands[i] = stands[i] &&
                    follow_keep(r->follow, i, &r->seen, FLAT_NONE);
        if (main)
            stands[i] = follow_join(r->follow, i, 0, &r->seen, i - 1);
    }
    stands[0] = main && follow_keep(r->follow, 0, &r->seen, FLAT_NONE);
    for (uint32_t i = 0; i <= r->seen.n; i++)
        any |= stands[i];
    return any;
}

static bool read_with_change(struct study *study,
                             struct match_findings *found,
                             struct match_column *columns)
{
    struct reading r;
    bool any = true, sure = reading_open(&r, study, found->setting);

    if (sure) {
        uint32_t n = r.recording->n_meant;
        bool *stands = arena_array(r.arena, n + 1, sizeof *stands);

        memset(stands, true, (n + 1) * sizeof *stands);
        reading_start(&r, found->setting->faults, n + 1);
        while (any && is_sound(&r) && reading_next(&r) == RECORDING_ROW)
            any = take_row_each(&r, stands);
        for (uint32_t i = 0; i < n; i++)
            columns[i].once = stands[i + 1];
        sure = is_sound(&r) && r.recording->failure == NULL;
    }
    reading_close(&r);
    return sure;
}

const struct match_findings *match_study(struct arena *arena,
                                         const struct model *model,
                                         const struct match_setting *setting,
                                         struct diags *diags)
{
    struct match_findings *found = ARENA_NEW(arena, struct match_findings);
    struct study study;

    if (!study_open(&study, arena, model, &setting->study, diags)) {
        study_close(&study);
        return NULL;
    }
    found->model = model;
    found->setting = setting;
    found->most_bytes = most_bytes(setting);
    read_first(&study, found);
    if (found->end == MATCH_DIFFERS) {
        found->explained =
            read_with_change(&study, found,
                             (struct match_column *)found->columns);
        if (found->explained && model->n_causes > 0)
            found->explained = read_with_fault(&study, found);
    }
    study_close(&study);
    return found;
}
