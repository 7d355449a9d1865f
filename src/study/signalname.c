#include "study/signalname.h"

#include <string.h>
#include <strings.h>

#include "base/arena.h"
#include "check/model.h"
#include "study/dependence.h"

static bool same(const struct name *name, const char *asked)
{
    return strcasecmp(name->spelling, asked) == 0;
}

/* What people touch or see goes before variables of its name. */
static uint32_t real_thing(const struct model *model, const char *name)
{
    for (uint32_t i = 0; i < model->n_controls; i++)
        if (same(model->controls[i].name, name))
            return dependence_control(model, i);
    for (uint32_t i = 0; i < model->n_contacts; i++)
        if (same(model->contacts[i].name, name))
            return dependence_contact(model, i);
    for (uint32_t i = 0; i < model->n_sensors; i++)
        if (same(model->sensors[i].name, name))
            return dependence_sensor(model, i);
    for (uint32_t i = 0; i < model->n_actuators; i++)
        if (same(model->actuators[i].name, name))
            return model->actuators[i].slot;
    return MODEL_NONE;
}

/* "Main.two_hand.out" ends with "two_hand.out" and with "out". */
static bool ends_with(const char *path, const char *name)
{
    size_t n = strlen(path), m = strlen(name);

    return n > m && path[n - m - 1] == '.' &&
           strcasecmp(path + n - m, name) == 0;
}

struct signal_name signalname_find(struct arena *arena,
                                   const struct model *model,
                                   const char *name)
{
    uint32_t found = real_thing(model, name), n = 0;

    if (found != MODEL_NONE)
        return (struct signal_name){found, NULL};
    for (uint32_t i = 0; i < model->n_slots; i++)
        if (strcasecmp(model->slots[i].path, name) == 0)
            return (struct signal_name){i, NULL};
    for (uint32_t i = 0; i < model->n_slots; i++)
        if (ends_with(model->slots[i].path, name) && n++ == 0)
            found = i;
    if (n == 1)
        return (struct signal_name){found, NULL};
    return (struct signal_name){
        MODEL_NONE,
        n == 0 ? arena_printf(arena, "no control, contact, sensor, actuator "
                                     "or variable is called '%s'", name)
               : arena_printf(arena, "%u variables are called '%s': write "
                                     "the whole of one, such as %s",
                              (unsigned)n, name, model->slots[found].path)};
}
