#include "engine/tiles/tiles.h"

#include <stdlib.h>

#include "base/ensure.h"
#include "engine/tiles/choose.h"
#include "engine/tiles/places.h"
#include "engine/tiles/run.h"

/* Without tile bits a run goes so far; if it is still not at its end, what it
 * found is looked at for bits that are worth carrying in bitmaps. */
/* Threads are called in where that pays. */
enum {
    ALONE_EFFORT = 1000000,
    LOOK_EFFORT = 1000000,
    SAMPLE_SITUATIONS = 10000,
    SAMPLE_EFFORT = 8000000,
    MUCH_EFFORT = 16000000
};

struct tiles {
    struct run *run;
};

static const struct explore_setting no_limits = {0};

/* ---- a number of bits is given ---- */

static bool has_two_values(const struct slice_cell *cell)
{
    return (uint64_t)cell->high - (uint64_t)cell->low ==
           (uint64_t)cell->unit;
}

static struct run *with_first_bits(const struct slice *slice,
                                   const struct explore_setting *setting,
                                   uint32_t most)
{
    uint32_t cell[TILES_MOST_BITS], n = 0;

    if (most > TILES_MOST_BITS)
        most = TILES_MOST_BITS;
    for (uint32_t c = 0; c < slice->n_cells && n < most; c++)
        if (has_two_values(&slice->cells[c]))
            cell[n++] = c;
    return run_new(slice, setting, cell, n, COURSE_GOOD);
}

/* ---- bits are chosen ---- */

/* The effort of the levels of the sample with these bits; UINT64_MAX: it
 * did not get so far. */
static uint64_t effort_with(const struct run *plain, const uint32_t *cell,
                            uint32_t n, enum course_kind kind,
                            uint64_t most)
{
    struct explore_setting setting = plain->setting;
    uint64_t effort;
    struct run *trial;

    setting.progress = NULL;
    setting.threads = 1;
    if (setting.most_bytes)
        setting.most_bytes = plain->budget.held < setting.most_bytes
                                 ? setting.most_bytes - plain->budget.held
                                 : 1;
    trial = run_new(plain->slice, &setting, cell, n, kind);
    effort = UINT64_MAX;
    trial->most_effort = most;
    while (trial->level < plain->level && run_level(trial))
        continue;
    if (trial->level == plain->level &&
        trial->reach.end == EXPLORE_COMPLETE)
        effort = run_effort(trial);
    run_free(trial);
    return effort;
}

/* Begins again, with the bytes of the run that is given up. */
static struct run *begin_again(struct run *plain, const uint32_t *cell,
                               uint32_t n, enum course_kind kind)
{
    const struct slice *slice = plain->slice;
    struct explore_setting setting = plain->setting;
    uint32_t told = plain->level;
    struct run *made;

    run_free(plain);
    made = run_new(slice, &setting, cell, n, kind);
    made->told = told;
    return made;
}

/* Scans in which everything depends on everything are not to be cut; that
 * shows early, and costs little where it is not so.  A step of the uncut scan
 * takes longer than its effort says: up to twice as long. */
enum { UNCUT_PART = 3 };

static struct run *look_uncut(struct run *plain)
{
    uint64_t most = run_effort(plain) / UNCUT_PART;

    return effort_with(plain, NULL, 0, COURSE_WHOLE, most) < most
               ? begin_again(plain, NULL, 0, COURSE_WHOLE)
               : plain;
}

/* The next number of tile bits to try: six fill a word. */
static uint32_t fewer_bits(uint32_t bits)
{
    return bits > 6 ? 6 : bits > 3 ? 3 : 0;
}

/* What to go on with: the run itself, or a new one from the beginning if that
 * is worth it: levels to come are larger than those looked at. */
static struct run *choose(struct run *plain)
{
    uint32_t cell[TILES_MOST_BITS], best = 0;
    const struct sample sample = {plain->slice, plain->rest,
                                  plain->shares[0].table,
                                  plain->sizes.at, (uint32_t)plain->sizes.n};
    uint64_t least = run_effort(plain) / 3 * 2;
    uint32_t n = choose_bits(&sample, TILES_MOST_BITS, cell);

    for (uint32_t bits = n; bits > 0; bits = fewer_bits(bits)) {
        uint64_t effort = effort_with(plain, cell, bits, COURSE_GOOD, least);

        if (effort < least) {
            least = effort;
            best = bits;
        }
    }
    return best ? begin_again(plain, cell, best, COURSE_GOOD) : plain;
}

/* Where the number of situations is limited, what was seen when it is
 * reached must not hang on who was quicker. */
static bool may_spread(const struct run *run, uint64_t usual)
{
    const struct explore_setting *setting = &run->setting;

    return setting->threads > 1 && setting->most_situations == 0 &&
           run->n_shares == 1 &&
           run_effort(run) >= (setting->alone ? setting->alone : usual);
}

static struct run *with_chosen_bits(const struct slice *slice,
                                    const struct explore_setting *setting)
{
    struct run *run = run_new(slice, setting, NULL, 0, COURSE_GOOD);
    bool looked = run->kind == COURSE_WHOLE;

    while (run_level(run) && !may_spread(run, UINT64_MAX)) {
        if (run_effort(run) >= MUCH_EFFORT ||
            (run->found >= SAMPLE_SITUATIONS &&
             run_effort(run) >= SAMPLE_EFFORT))
            return choose(run);
        if (looked || run_effort(run) < LOOK_EFFORT)
            continue;
        looked = true;
        run = look_uncut(run);
    }
    return run;
}

struct tiles *tiles_explore(const struct slice *slice,
                            const struct explore_setting *setting,
                            uint32_t bits)
{
    struct tiles *t = calloc(1, sizeof *t);

    if (!t)
        base_fail(BASE_OUT_OF_MEMORY, "no memory left", __FILE__, __LINE__);
    if (!setting)
        setting = &no_limits;
    t->run = bits == TILES_AUTOMATIC
                 ? with_chosen_bits(slice, setting)
                 : with_first_bits(slice, setting, bits);
    do {
        if (may_spread(t->run, ALONE_EFFORT))
            run_spread(t->run, setting->threads);
    } while (run_level(t->run));
    run_conclude(t->run);
    return t;
}

void tiles_free(struct tiles *t)
{
    if (!t)
        return;
    run_free(t->run);
    free(t);
}

const struct reach *tiles_reach(const struct tiles *t)
{
    return &t->run->reach;
}

struct tiles_effort tiles_effort(const struct tiles *t)
{
    const struct run *run = t->run;
    struct tiles_effort e = {.bits = run->bits.n,
                             .tiles = run_tiles(run),
                             .steps = run->first.worked};

    e.sections = run->shares[0].lane->course->n_parts;
    e.threads = run->n_shares;
    for (uint32_t s = 0; s < run->n_shares; s++) {
        uint64_t steps = run->shares[s].lane->worked;

        e.steps += steps;
        e.most_steps = steps > e.most_steps ? steps : e.most_steps;
        for (uint32_t i = 0; i < e.sections; i++)
            e.worked_out += run->shares[s].lane->sections[i].worked;
    }
    return e;
}
