#include "cli/route.h"

#include "base/arena.h"
#include "check/model.h"
#include "cli/shortest.h"
#include "reference/machine.h"
#include "reference/replay.h"
#include "study/findings.h"
#include "study/map.h"
#include "study/mappath.h"

uint32_t route_faults(const struct shortest *found)
{
    const struct model *model = found->findings->model;
    uint32_t n = 0, last = found->sequence->n_scans - 1;

    for (uint32_t i = 0; i < model->n_causes; i++)
        n += machine_place(found->findings->machine,
                           found->sequence->scans[last].state,
                           (struct place_id){PLACE_CAUSE, i},
                           INT64_MAX) != 0;
    return n;
}

const struct map_path *route_find(struct study *study, const struct map *map,
                                  const struct shortest *found)
{
    const struct map_path *path;
    struct map_path *named;

    if (found->sequence == NULL || map->too_many || map->stop != STOP_NONE)
        return NULL;
    path = mappath_find(study->arena, map, found->sequence);
    if (path->internal_error != NULL)
        study_internal(study, path->internal_error);
    named = ARENA_NEW(study->arena, struct map_path);
    *named = *path;
    named->name = found->name;
    named->words = found->what;
    return named;
}
