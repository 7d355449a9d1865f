#include "study/chart.h"

#include <stddef.h>

static bool is_seen(const struct chart_cell *cell, enum chart_act act)
{
    return cell->act[act] == CHART_SEEN;
}

bool chart_stops(const struct chart_cell *cell)
{
    return cell->act[CHART_ON_WITH] == CHART_NEVER &&
           (is_seen(cell, CHART_TURNS_OFF) || is_seen(cell, CHART_KEEPS_OFF));
}

bool chart_only_with(const struct chart_cell *cell)
{
    return cell->act[CHART_ON_WITHOUT] == CHART_NEVER &&
           (is_seen(cell, CHART_TURNS_ON) || is_seen(cell, CHART_KEEPS_ON));
}

/* Whether it stops needs no answer where nothing is ever turned off. */
bool chart_open(const struct chart_cell *cell)
{
    for (unsigned act = 0; act < CHART_ON_WITH; act++)
        if (cell->act[act] == CHART_NOT_KNOWN)
            return true;
    return (cell->act[CHART_ON_WITH] == CHART_NOT_KNOWN &&
            (is_seen(cell, CHART_TURNS_OFF) ||
             is_seen(cell, CHART_KEEPS_OFF))) ||
           (cell->act[CHART_ON_WITHOUT] == CHART_NOT_KNOWN &&
            (is_seen(cell, CHART_TURNS_ON) || is_seen(cell, CHART_KEEPS_ON)));
}

int chart_exit_code(const struct chart *chart)
{
    if (chart->internal_error != NULL)
        return 4;
    if (chart->stop != STOP_NONE || chart->dead_end || chart->errors_open ||
        chart->errors > 0)
        return 3;
    for (size_t i = 0; i < (size_t)chart->n_inputs * chart->n_outputs; i++)
        if (chart_open(&chart->cells[i]))
            return 3;
    return 0;
}
