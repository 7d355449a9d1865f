#include "study/stopmap.h"

#include <stddef.h>

const struct stopmap_cell *stopmap_cell(const struct stopmap *map,
                                        uint32_t line, uint32_t column)
{
    return &map->cells[(size_t)line * map->n_columns + column];
}

bool stopmap_stops(const struct stopmap *map, uint32_t line, uint32_t column)
{
    return map->lines[line].occurs == CHART_SEEN &&
           map->columns[column].occurs == CHART_SEEN &&
           stopmap_cell(map, line, column)->on == CHART_NEVER;
}

int stopmap_exit_code(const struct stopmap *map)
{
    if (map->internal_error != NULL)
        return 4;
    return map->stop != STOP_NONE || map->errors > 0 || map->errors_open ||
                   map->dead_end
               ? 3 : 0;
}
