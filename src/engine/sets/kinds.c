#include "engine/sets/kinds.h"

#include "engine/sets/levels.h"
#include "engine/sets/scheme.h"
#include "logic/slice.h"

enum {
    TRIAL = 48000, /* effort: runs that need less are not worth a trial */
    PATIENCE = 2   /* times TRIAL: then a level is left in the middle */
};

/* What a run of some levels cost. */
struct record {
    VEC(uint64_t) effort; /* after each level */
    uint32_t reported;
};

static struct sets *begin(const struct slice *slice,
                          const struct explore_setting *setting,
                          enum scheme_kind kind, const struct record *record)
{
    struct sets *s = levels_begin(slice, setting, kind);

    s->reported = record->reported;
    return s;
}

/* True: it has neither ended nor been given up. */
static bool tried(struct sets *s, uint32_t levels)
{
    bool goes_on;

    s->guard.most_effort = TRIAL * PATIENCE;
    goes_on = levels_go_on(s, levels, TRIAL);
    s->guard.most_effort = s->setting.most_effort;
    return goes_on;
}

/* The most values of a cell: levels that a count from end to end takes. */
static uint64_t levels_to_come(const struct slice *slice)
{
    uint64_t most = 0;

    for (uint32_t i = 0; i < slice->n_cells; i++) {
        const struct slice_cell *cell = &slice->cells[i];
        uint64_t units = ((uint64_t)cell->high - (uint64_t)cell->low) /
                         (uint64_t)cell->unit;

        most = units > most ? units : most;
    }
    return most;
}

/* What `n` levels cost, if all go on as the second half of the first ones. */
static double forecast(const uint64_t *effort, uint32_t levels, double n)
{
    uint32_t half = levels / 2;
    double at = (double)effort[levels - 1];
    double step = (at - (double)effort[half - 1]) / (levels - half);

    return n > levels ? at + step * (n - levels) : at;
}

/* Is the run to cost less than what was recorded? */
static bool is_better(const struct sets *s, const struct record *record)
{
    size_t levels = s->effort.n;
    double n = (double)levels_to_come(s->slice);

    if (levels > record->effort.n)
        levels = record->effort.n;
    if (levels < 2)
        return s->effort.n >= record->effort.n;
    return forecast(s->effort.at, (uint32_t)levels, n) <
           forecast(record->effort.at, (uint32_t)levels, n);
}

static void take_record(struct record *record, const struct sets *s)
{
    for (size_t i = 0; i < s->effort.n; i++)
        vec_push(&record->effort, s->effort.at[i]);
    record->reported = s->reported;
}

/* The cells apart are tried as long as level ones were. */
static struct sets *try_apart(const struct slice *slice,
                              const struct explore_setting *setting,
                              struct record *record)
{
    struct sets *s = begin(slice, setting, SCHEME_APART, record);
    bool goes_on = tried(s, (uint32_t)record->effort.n), better;

    if (!goes_on && !s->guard.spent)
        return s;
    better = is_better(s, record);
    record->reported = s->reported;
    if (better && goes_on)
        return s;
    levels_free(s);
    return begin(slice, setting, better ? SCHEME_APART : SCHEME_LEVEL,
                 record);
}

struct sets *kinds_begin(const struct slice *slice,
                         const struct explore_setting *setting)
{
    struct record record = {0};
    struct sets *s;

    if (!scheme_has_long(slice))
        return levels_begin(slice, setting, SCHEME_APART);
    s = begin(slice, setting, SCHEME_LEVEL, &record);
    if (!tried(s, UINT32_MAX) && !s->guard.spent)
        return s;
    take_record(&record, s);
    levels_free(s);
    s = try_apart(slice, setting, &record);
    vec_release(&record.effort);
    return s;
}
