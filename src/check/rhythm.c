#include "check/rhythm.h"

#include <inttypes.h>

#include "base/divisor.h"
#include "check/configuration.h"
#include "check/typing.h"
#include "check/wording.h"

enum { ASSUMED_SCAN = 100, MOST_EVERY = 1000 };

/* ---- SCAN ---- */

static void assume(struct draft *draft)
{
    draft->model->scan = draft->scan_least = draft->scan_step = ASSUMED_SCAN;
}

static bool is_time(struct draft *draft, const struct tree_expr *tree,
                    int64_t *time)
{
    return typing_constant(draft, NULL, tree, draft->types.time, time);
}

static bool read_time(struct draft *draft, const struct tree_expr *tree,
                      int64_t *time)
{
    const struct tree_expr *interval = configuration_interval(draft->run);

    if (!is_time(draft, tree, time))
        return false;
    if (*time > 0)
        return true;
    diag_add(draft->diags, DIAG_ERROR, tree->span,
             tree == interval
                 ? "write the time from one scan to the next, such as "
                   "INTERVAL := T#10ms"
                 : "write the time that the controller takes for one scan, "
                   "such as SCAN T#100ms;",
             "a scan takes more than no time");
    return false;
}

static const char *words(struct draft *draft, int64_t time)
{
    return wording_value(draft, draft->types.time, time);
}

/* Every time of the texts, and both ends, are whole multiples of it. */
static int64_t even_step(const struct draft *draft)
{
    int64_t ends = divisor_common(draft->scan_least, draft->model->scan);

    return divisor_common(draft->run->even, ends);
}

static bool read_step(struct draft *draft, const struct tree_expr *tree)
{
    int64_t even = draft->scan_step;

    if (!tree)
        return true;
    if (!is_time(draft, tree, &draft->scan_step))
        return false;
    if (draft->scan_step > 0 && even % draft->scan_step == 0)
        return true;
    diag_add(draft->diags, DIAG_ERROR, tree->span,
             arena_printf(draft->arena, "write BY %s, leave it out, or take "
                          "a part of it", words(draft, even)),
             "not every time in these texts is a whole multiple of %s",
             words(draft, draft->scan_step));
    return false;
}

static bool few_times(struct draft *draft)
{
    const struct tree_scan *said = &draft->run->review.scan;
    int64_t n = (draft->model->scan - draft->scan_least) /
                draft->scan_step + 1;

    if (n <= DRAFT_MAX_VALUES)
        return true;
    diag_add(draft->diags, DIAG_ERROR,
             span_join(said->shortest->span, said->longest->span),
             "write a narrower range, or rounder times in all texts",
             "a scan could take %" PRId64 " different times, in steps of "
             "%s: at most %d are tried",
             n, words(draft, draft->scan_step), DRAFT_MAX_VALUES);
    return false;
}

static bool read_range(struct draft *draft)
{
    const struct tree_scan *said = &draft->run->review.scan;

    if (!read_time(draft, said->longest, &draft->model->scan))
        return false;
    draft->scan_least = draft->scan_step = draft->model->scan;
    if (!said->shortest)
        return true;
    if (!read_time(draft, said->shortest, &draft->scan_least))
        return false;
    if (draft->scan_least > draft->model->scan) {
        diag_add(draft->diags, DIAG_ERROR, said->shortest->span,
                 arena_printf(draft->arena, "write SCAN %s .. %s;",
                              words(draft, draft->model->scan),
                              words(draft, draft->scan_least)),
                 "the shortest scan stands first, the longest behind it");
        return false;
    }
    draft->scan_step = even_step(draft);
    return read_step(draft, said->by) && few_times(draft);
}

/* The task of the control text says how long a scan takes. */
static bool read_interval(struct draft *draft,
                          const struct tree_expr *interval)
{
    if (!read_time(draft, interval, &draft->model->scan))
        return false;
    draft->scan_least = draft->scan_step = draft->model->scan;
    return true;
}

/* The review text goes first, but a difference is told. */
static void compare_interval(struct draft *draft,
                             const struct tree_expr *interval)
{
    int64_t time;

    if (!read_time(draft, interval, &time) ||
        (time >= draft->scan_least && time <= draft->model->scan))
        return;
    diag_add(draft->diags, DIAG_WARNING,
             draft->run->review.scan.longest->span,
             "write the same time in both texts",
             "the review text says another time than the TASK of the "
             "control text, %s; that of the review text is taken",
             words(draft, time));
    diag_also(draft->diags, interval->span, "the TASK says it here");
}

void rhythm_scan(struct draft *draft)
{
    const struct tree_review *review = &draft->run->review;

    const struct tree_expr *interval = configuration_interval(draft->run);

    draft->model->scan_assumed = !review->name && !interval;
    if (!review->scan.longest && interval) {
        if (!read_interval(draft, interval))
            assume(draft);
    } else if (!review->name) {
        assume(draft);
    } else if (!review->scan.longest) {
        diag_add(draft->diags, DIAG_ERROR, review->name->span,
                 "write the time of one scan, such as SCAN T#100ms;",
                 "the review text does not say how long a scan takes");
        assume(draft);
    } else if (!read_range(draft)) {
        assume(draft);
    } else if (interval) {
        compare_interval(draft, interval);
    }
}

/* ---- RUNS ---- */

static const char *all_programs(const struct draft *draft)
{
    const char *all = NULL;

    for (size_t i = 0; i < draft->program_units.n; i++) {
        const char *name = draft->program_names.at[i]->spelling;

        all = all ? arena_printf(draft->arena, "%s, %s", all, name) : name;
    }
    return all ? all : "none";
}

struct program *rhythm_program(struct draft *draft, const struct name *name,
                               struct span span)
{
    for (size_t i = 0; i < draft->program_units.n; i++)
        if (draft->program_names.at[i] == name)
            return &draft->programs.at[i];
    diag_add(draft->diags, DIAG_ERROR, span,
             arena_printf(draft->arena, "the programs are: %s",
                          all_programs(draft)),
             "there is no program '%s'", name->spelling);
    return NULL;
}

static bool calls_programs(const struct unit *unit)
{
    for (size_t i = 0; i < unit->calls.n; i++)
        if (unit->calls.at[i]->pou->kind == POU_PROGRAM)
            return true;
    return false;
}

/* The inputs of what is called would be sampled with those of the caller. */
static bool may_pause(struct draft *draft, const struct tree_runs *tree,
                      const struct program *program)
{
    size_t number = (size_t)(program - draft->programs.at);
    bool called = number >= draft->n_running;

    if (!called && (tree->every->number <= 1 ||
                    !calls_programs(draft->program_units.at[number])))
        return true;
    diag_add(draft->diags, DIAG_ERROR, tree->name->span,
             called ? "say it of the program that calls it"
                    : "leave this line out, and count the scans in its text",
             called ? "'%s' runs where another program calls it"
                    : "'%s' calls programs, so that it must run in every "
                      "scan in this version",
             tree->name->name->spelling);
    return false;
}

static void read_runs(struct draft *draft, const struct tree_runs *tree)
{
    struct program *program = 
        rhythm_program(draft, tree->name->name, tree->name->span);
    int64_t every = tree->every->number;

    if (!program || !may_pause(draft, tree, program))
        return;
    if (program->every)
        diag_add(draft->diags, DIAG_ERROR, tree->name->span,
                 "keep one of the two",
                 "when '%s' runs is said a second time",
                 tree->name->name->spelling);
    if (every >= 1 && every <= MOST_EVERY) {
        program->every = (uint32_t)every;
        return;
    }
    diag_add(draft->diags, DIAG_ERROR, tree->every->span,
             arena_printf(draft->arena, "write a number from 1 to %d",
                          MOST_EVERY),
             "a program runs every scan, every 2 scans and so on");
}

void rhythm_runs(struct draft *draft)
{
    for (const struct tree_runs *tree = draft->run->review.runs.first; tree;
         tree = tree->next)
        read_runs(draft, tree);
}
