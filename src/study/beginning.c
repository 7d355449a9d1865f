#include "study/beginning.h"

#include <string.h>

#include "base/arena.h"
#include "check/configuration.h"
#include "check/model.h"
#include "study/begun_machine.h"
#include "study/begun_signals.h"
#include "study/load.h"

/* What faults, hazards and requirements are numbered with: a letter, unless
 * the texts have names like that. */
static void choose_prefixes(struct loaded *loaded, struct beginning *begun)
{
    static const char *const wanted[3][2] = {
        {"F", "Fault"}, {"H", "Hazard"}, {"R", "Requirement"}};

    for (int i = 0; i < 3; i++) {
        bool taken = false;

        for (uint32_t k = 0; k < loaded->model->n_slots && !taken; k++) {
            const char *path = loaded->model->slots[k].path;

            const char *point = strchr(path, '.');
            const char *name = point ? point + 1 : path;

            taken = (*name | 32) == (wanted[i][0][0] | 32) &&
                    name[1] >= '0' && name[1] <= '9';
        }
        begun->prefixes[i] = wanted[i][taken];
    }
}

static const char *review_name(struct loaded *loaded)
{
    const struct model *model = loaded->model;

    if (model->n_programs)
        return begun_fresh(loaded, arena_printf(
                               loaded->arena, "%s_review",
                               model->programs[0].pou->name->spelling));
    return begun_fresh(loaded, "First_review");
}

struct beginning *beginning_of(struct loaded *loaded,
                               enum begun_boldness boldness)
{
    struct beginning *begun = ARENA_NEW(loaded->arena, struct beginning);

    begun_mark(loaded);
    begun->name = review_name(loaded);
    begun->has_task = configuration_interval(loaded->run) != NULL;
    choose_prefixes(loaded, begun);
    if (boldness == BEGUN_PLAIN)
        return begun;
    begun_signals(loaded, begun);
    begun_pairs(loaded, begun);
    if (boldness == BEGUN_MACHINE)
        begun_mechanisms(loaded, begun);
    begun_uses(loaded, begun);
    return begun;
}
