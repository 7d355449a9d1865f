#include "present/titles.h"

#include <string.h>
#include <strings.h>

#include "base/arena.h"
#include "base/name.h"
#include "base/text.h"
#include "base/vec.h"
#include "check/model.h"
#include "present/keyed.h"

/* Something with a title, and maybe a place. */
struct titled {
    const char *name;
    const char **title, **place; /* place: NULL where it has none */
};

typedef VEC(struct titled) titled_list;

static void *copied(struct arena *arena, const void *from, uint32_t n,
                    size_t size)
{
    void *to = arena_array(arena, (size_t)n + 1, size);

    if (n > 0)
        memcpy(to, from, n * size);
    return to;
}

static void add(titled_list *list, const struct name *name,
                const char **title, const char **place)
{
    if (name != NULL)
        vec_push(list, ((struct titled){name->spelling, title, place}));
}

static void add_signals(titled_list *list, struct arena *arena,
                        struct model *m)
{
    struct control *controls = copied(arena, m->controls, m->n_controls,
                                      sizeof *controls);
    struct sensor *sensors = copied(arena, m->sensors, m->n_sensors,
                                    sizeof *sensors);
    struct actuator *actuators = copied(arena, m->actuators, m->n_actuators,
                                        sizeof *actuators);

    m->controls = controls;
    m->sensors = sensors;
    m->actuators = actuators;
    for (uint32_t i = 0; i < m->n_controls; i++)
        add(list, controls[i].name, &controls[i].title, &controls[i].place);
    for (uint32_t i = 0; i < m->n_sensors; i++)
        add(list, sensors[i].name, &sensors[i].title, &sensors[i].place);
    for (uint32_t i = 0; i < m->n_actuators; i++)
        add(list, actuators[i].name, &actuators[i].title,
            &actuators[i].place);
}

/* A fault that counts by itself has its title twice. */
static void add_faults(titled_list *list, struct arena *arena,
                       struct model *m)
{
    struct fault *faults = copied(arena, m->faults, m->n_faults,
                                  sizeof *faults);
    struct cause *causes = copied(arena, m->causes, m->n_causes,
                                  sizeof *causes);

    m->faults = faults;
    m->causes = causes;
    for (uint32_t i = 0; i < m->n_faults; i++)
        add(list, faults[i].name, &faults[i].title, NULL);
    for (uint32_t i = 0; i < m->n_causes; i++)
        add(list, causes[i].name, &causes[i].title, NULL);
}

static void add_asked(titled_list *list, struct arena *arena, struct model *m)
{
    struct assumption *assumptions = copied(
        arena, m->assumptions, m->n_assumptions, sizeof *assumptions);
    struct hazard *hazards = copied(arena, m->hazards, m->n_hazards,
                                    sizeof *hazards);
    struct requirement *requirements = copied(
        arena, m->requirements, m->n_requirements, sizeof *requirements);
    struct scenario *scenarios = copied(arena, m->scenarios, m->n_scenarios,
                                        sizeof *scenarios);

    m->assumptions = assumptions;
    m->hazards = hazards;
    m->requirements = requirements;
    m->scenarios = scenarios;
    for (uint32_t i = 0; i < m->n_assumptions; i++)
        add(list, assumptions[i].name, &assumptions[i].title, NULL);
    for (uint32_t i = 0; i < m->n_hazards; i++)
        add(list, hazards[i].name, &hazards[i].title, NULL);
    for (uint32_t i = 0; i < m->n_requirements; i++)
        add(list, requirements[i].name, &requirements[i].title, NULL);
    for (uint32_t i = 0; i < m->n_scenarios; i++)
        add(list, scenarios[i].name, &scenarios[i].title, NULL);
}

/* All that has a title, in a copy of the model. */
static struct model *list_all(titled_list *list, struct arena *arena,
                              const struct model *model)
{
    struct model *m = copied(arena, model, 1, sizeof *m);

    if (m->name != NULL)
        vec_push(list, ((struct titled){m->name, &m->title, NULL}));
    add_signals(list, arena, m);
    add_faults(list, arena, m);
    add_asked(list, arena, m);
    return m;
}

/* ---- reading ---- */

/* Takes " AT" off the end of a name. */
static bool is_place(char *name)
{
    size_t n = strlen(name);

    if (n < 3 || strcasecmp(name + n - 3, " AT") != 0)
        return false;
    name[n - 3] = '\0';
    return true;
}

static const char *take_line(struct arena *arena, void *context, char *name,
                             const char *title)
{
    const titled_list *list = context;
    bool place = is_place(name), found = false;

    if (*title == '\0')
        return "write a title behind =, or leave the line out";
    for (size_t i = 0; i < list->n; i++) {
        const struct titled *t = &list->at[i];

        if (strcasecmp(t->name, name) != 0)
            continue;
        if (place && (t->place == NULL || *t->place == NULL))
            return arena_printf(arena, "'%s' has no AT in the review text",
                                name);
        *(place ? t->place : t->title) = title;
        found = true;
    }
    return found ? NULL
                 : arena_printf(arena, "nothing that has a title is called "
                                       "'%s' in the review text; --as names "
                                       "lists what is there", name);
}

const char *titles_read(struct arena *arena, const struct model **model,
                        const char *text, size_t n)
{
    titled_list list = {0};
    const struct keyed_reader reader = {"names", "name = title", take_line,
                                        &list};
    const char *wrong;

    *model = list_all(&list, arena, *model);
    wrong = keyed_read(arena, &reader, text, n);
    vec_release(&list);
    return wrong;
}

void titles_lines(struct text *out, const struct model *model)
{
    struct arena *arena = arena_new();
    titled_list list = {0};

    list_all(&list, arena, model);
    for (size_t i = 0; i < list.n; i++) {
        const struct titled *t = &list.at[i];
        bool again = false;

        for (size_t k = 0; k < i; k++)
            again = again || strcasecmp(list.at[k].name, t->name) == 0;
        if (again)
            continue;
        if (*t->title != NULL)
            text_printf(out, "%s = %s\n", t->name, *t->title);
        if (t->place != NULL && *t->place != NULL)
            text_printf(out, "%s AT = %s\n", t->name, *t->place);
    }
    vec_release(&list);
    arena_free(arena);
}
