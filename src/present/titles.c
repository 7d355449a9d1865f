#include "present/titles.h"

#include <string.h>
#include <strings.h>

#include "base/arena.h"
#include "base/name.h"
#include "base/text.h"
#include "base/vec.h"
#include "check/model.h"
#include "present/keyed.h"

/* What is said of something; key: "", " AT" or " SEES". */
struct titled {
    const char *name, *key;
    const char **said;
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

static void add(titled_list *list, const struct name *name, const char *key,
                const char **said)
{
    if (name != NULL && *said != NULL)
        vec_push(list, ((struct titled){name->spelling, key, said}));
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
    for (uint32_t i = 0; i < m->n_controls; i++) {
        add(list, controls[i].name, "", &controls[i].title);
        add(list, controls[i].name, " AT", &controls[i].place);
        add(list, controls[i].name, " SEES", &controls[i].sees);
    }
    for (uint32_t i = 0; i < m->n_sensors; i++) {
        add(list, sensors[i].name, "", &sensors[i].title);
        add(list, sensors[i].name, " AT", &sensors[i].place);
    }
    for (uint32_t i = 0; i < m->n_actuators; i++) {
        add(list, actuators[i].name, "", &actuators[i].title);
        add(list, actuators[i].name, " AT", &actuators[i].place);
    }
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
        add(list, faults[i].name, "", &faults[i].title);
    for (uint32_t i = 0; i < m->n_causes; i++)
        add(list, causes[i].name, "", &causes[i].title);
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
        add(list, assumptions[i].name, "", &assumptions[i].title);
    for (uint32_t i = 0; i < m->n_hazards; i++)
        add(list, hazards[i].name, "", &hazards[i].title);
    for (uint32_t i = 0; i < m->n_requirements; i++)
        add(list, requirements[i].name, "", &requirements[i].title);
    for (uint32_t i = 0; i < m->n_scenarios; i++)
        add(list, scenarios[i].name, "", &scenarios[i].title);
}

/* All that has a title, in a copy of the model. */
static struct model *list_all(titled_list *list, struct arena *arena,
                              const struct model *model)
{
    struct model *m = copied(arena, model, 1, sizeof *m);

    if (m->name != NULL && m->title != NULL)
        vec_push(list, ((struct titled){m->name, "", &m->title}));
    add_signals(list, arena, m);
    add_faults(list, arena, m);
    add_asked(list, arena, m);
    return m;
}

/* ---- reading ---- */

/* Takes " AT" or " SEES" off the end of a name. */
static const char *key_of(char *name)
{
    static const char *const keys[] = {" AT", " SEES"};
    size_t n = strlen(name);

    for (size_t i = 0; i < sizeof keys / sizeof *keys; i++) {
        size_t of_key = strlen(keys[i]);

        if (n <= of_key || strcasecmp(name + n - of_key, keys[i]) != 0)
            continue;
        name[n - of_key] = '\0';
        return keys[i];
    }
    return "";
}

static const char *take_line(struct arena *arena, void *context, char *name,
                             const char *said)
{
    const titled_list *list = context;
    const char *key = key_of(name);
    bool known = false, found = false;

    if (*said == '\0')
        return "write a title behind =, or leave the line out";
    for (size_t i = 0; i < list->n; i++) {
        if (strcasecmp(list->at[i].name, name) != 0)
            continue;
        known = true;
        if (strcmp(list->at[i].key, key) != 0)
            continue;
        *list->at[i].said = said;
        found = true;
    }
    if (found)
        return NULL;
    return known ? arena_printf(arena, "'%s' has no%s in the review text",
                                name, *key != '\0' ? key : " title")
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
            again = again || (strcasecmp(list.at[k].name, t->name) == 0 &&
                              strcmp(list.at[k].key, t->key) == 0);
        if (!again)
            text_printf(out, "%s%s = %s\n", t->name, t->key, *t->said);
    }
    vec_release(&list);
    arena_free(arena);
}
