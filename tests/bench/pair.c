#include "tests/bench/pair.h"

#include <stdlib.h>
#include <stdio.h>

#include "tests/bench/engines.h"
#include "tests/bench/found.h"

bool pair_open(struct pair *pair, struct contest *contest,
               enum contest_whom whom, const char *name)
{
    pair->contest = contest;
    pair->engine = contest->best[whom];
    pair->rounds = pair->failed = 0;
    pair->ours = calloc(1, sizeof *pair->ours);
    pair->rival = calloc(1, sizeof *pair->rival);
    if (pair->engine)
        return true;
    report_skipped(contest->report, name, contest->model,
                   "no engine of that kind yet");
    pair_close(pair);
    return false;
}

void pair_close(struct pair *pair)
{
    free(pair->ours);
    free(pair->rival);
}

void pair_ours(struct pair *pair, double most_seconds)
{
    const struct engine_task task = {.slice = pair->contest->question.slice,
                                     .most_seconds = most_seconds,
                                     .until = pair->contest->until};

    pair->engine->run(&task, pair->ours);
    contest_gate(pair->contest, pair->engine->name, pair->ours);
}

static double total_of(const struct pair *pair)
{
    return pair->contest->known->complete ? pair->contest->known->situations
                                          : 0;
}

/* Seconds for the whole: as measured, or as the rate says; as measured where
 * nobody knows the whole, too. */
static double whole_seconds(const struct pair *pair,
                            const struct found *found)
{
    if (found->complete || found->failed || total_of(pair) == 0 ||
        (pair->contest->until && found->watch_level))
        return found->seconds;
    return total_of(pair) / contest_rate(found);
}

double pair_our_whole(const struct pair *pair)
{
    return whole_seconds(pair, pair->ours);
}

void pair_note(struct pair *pair, const char *by)
{
    int i = pair->rounds++;

    contest_gate(pair->contest, by, pair->rival);
    pair->failed += pair->rival->failed;
    if (total_of(pair) == 0 && !pair->contest->until &&
        !pair->rival->failed) {
        pair->our_seconds[i] = pair->ours->seconds;
        pair->rival_seconds[i] = pair->rival->seconds;
        pair->ratio[i] = contest_rate(pair->ours) /
                         contest_rate(pair->rival);
        return;
    }
    pair->our_seconds[i] = whole_seconds(pair, pair->ours);
    pair->rival_seconds[i] = whole_seconds(pair, pair->rival);
    pair->ratio[i] = pair->rival_seconds[i] / pair->our_seconds[i];
}

static void note_part(struct row *row, const char *who,
                      const struct found *found, double total)
{
    size_t n = 0;

    if (found->complete || found->failed)
        return;
    while (row->note[n])
        n++;
    if (total == 0) { /* nobody came to the end */
        snprintf(row->note + n, sizeof row->note - n,
                 "%s%s: first %.0f situations, by rates", n ? "; " : "",
                 who, found->expanded);
        return;
    }
    snprintf(row->note + n, sizeof row->note - n,
             "%s%s: prefix of %.0f of %.0f situations looked at, whole time "
             "by its rate", n ? "; " : "", who, found->expanded, total);
}

struct row pair_row(const struct pair *pair, const char *name,
                    const char *rival, double goal)
{
    struct row row = {.name = name, .model = pair->contest->model,
                      .ours = pair->engine->name, .rival = rival,
                      .unit = "s", .goal = goal, .rounds = pair->rounds};

    row.our_figure = spread_of(pair->our_seconds, pair->rounds).median;
    row.rival_figure = spread_of(pair->rival_seconds, pair->rounds).median;
    row.ratio = spread_of(pair->ratio, pair->rounds);
    if (pair->contest->until)
        return row;
    note_part(&row, "ours", pair->ours, total_of(pair));
    note_part(&row, "rival", pair->rival, total_of(pair));
    return row;
}
