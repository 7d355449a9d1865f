#include "study/shown.h"

#include <string.h>
#include <strings.h>

#include "base/arena.h"
#include "base/name.h"
#include "base/vec.h"
#include "check/model.h"

/* A name that could be written, and what it stands for. */
struct candidate {
    const char *name;
    struct shown shown;
    unsigned rank; /* the real thing goes before a program's variable */
};

struct finder {
    struct arena *arena;
    struct names *names;
    const struct model *model;
    VEC(struct candidate) all;
    VEC(struct shown) chosen;
    const char *failure;
};

enum { RANK_REAL, RANK_SENSOR, RANK_VARIABLE };

static const char *behind_dot(const char *path)
{
    const char *dot = name_point(path);

    return dot == NULL ? path : dot + 1;
}

static void offer(struct finder *f, const char *name, unsigned rank,
                  struct shown shown)
{
    shown.name = name;
    vec_push(&f->all, ((struct candidate){name, shown, rank}));
}

static bool can_show(const struct slot *slot)
{
    return !slot->temp && !slot->clock && slot->home != SLOT_FUNCTION &&
           slot->home != SLOT_SETTING &&
           type_base(slot->type)->kind != TYPE_TIME;
}

static void offer_slot(struct finder *f, uint32_t number)
{
    const struct slot *slot = &f->model->slots[number];
    struct shown shown = {.kind = SHOWN_SLOT, .index = number,
                          .type = slot->type,
                          .two_words = slot->home == SLOT_ACTUATOR};
    unsigned rank = slot->home == SLOT_MACHINE ||
                            slot->home == SLOT_ACTUATOR
                        ? RANK_REAL : RANK_VARIABLE;

    if (!can_show(slot))
        return;
    offer(f, slot->path, rank, shown);
    if (behind_dot(slot->path) != slot->path)
        offer(f, behind_dot(slot->path), rank, shown);
}

static void offer_control(struct finder *f, uint32_t number)
{
    const struct control *control = &f->model->controls[number];

    offer(f, control->name->spelling, RANK_REAL,
          (struct shown){.kind = SHOWN_HAND, .index = number,
                         .type = control->type});
}

static void offer_contact(struct finder *f, uint32_t number)
{
    const struct contact *contact = &f->model->contacts[number];

    if (contact->name == f->model->controls[contact->control].name)
        return; /* the hand says the same */
    offer(f, contact->name->spelling, RANK_REAL,
          (struct shown){.kind = SHOWN_CONTACT, .index = number,
                         .type = contact->type, .two_words = true});
}

/* A sensor is offered through the program input that reads it. */
static void offer_sensor(struct finder *f, uint32_t number)
{
    for (uint32_t s = 0; s < f->model->n_slots; s++) {
        const struct slot *slot = &f->model->slots[s];

        if (slot->driver != DRIVER_SENSOR || slot->driver_index != number)
            continue;
        offer(f, f->model->sensors[number].name->spelling, RANK_SENSOR,
              (struct shown){.kind = SHOWN_SLOT, .index = s,
                             .type = slot->type});
        return;
    }
}

static void offer_all(struct finder *f)
{
    for (uint32_t i = 0; i < f->model->n_slots; i++)
        offer_slot(f, i);
    for (uint32_t i = 0; i < f->model->n_controls; i++)
        offer_control(f, i);
    for (uint32_t i = 0; i < f->model->n_contacts; i++)
        offer_contact(f, i);
    for (uint32_t i = 0; i < f->model->n_sensors; i++)
        offer_sensor(f, i);
}

static void unknown(struct finder *f, const char *wanted)
{
    const struct name **known = arena_array(f->arena, f->all.n + 1,
                                            sizeof *known);
    const struct name *near;

    for (size_t i = 0; i < f->all.n; i++)
        known[i] = names_of(f->names, f->all.at[i].name);
    near = name_nearest(names_of(f->names, wanted), known, f->all.n);
    f->failure = arena_printf(
        f->arena, "there is no variable '%s' to draw by%s%s%s", wanted,
        near == NULL ? "" : ": did you mean '",
        near == NULL ? "; it can be an enumeration, BOOL or integer of the "
                       "machine, a program or a recorder, an actuator, a "
                       "control, a contact or a sensor"
                     : near->spelling, near == NULL ? "" : "'?");
}

static void two_of_them(struct finder *f, const struct candidate *a,
                        const struct candidate *b)
{
    f->failure = arena_printf(
        f->arena, "'%s' may be '%s' or '%s': write it with what stands "
        "before the dot", a->name, f->model->slots[a->shown.index].path,
        f->model->slots[b->shown.index].path);
}

static bool is_same(const struct shown *a, const struct shown *b)
{
    return a->kind == b->kind && a->index == b->index;
}

static const struct candidate *find(struct finder *f, const char *wanted)
{
    const struct candidate *best = NULL, *second = NULL;

    for (size_t i = 0; i < f->all.n; i++) {
        const struct candidate *c = &f->all.at[i];

        if (strcasecmp(c->name, wanted) != 0)
            continue;
        if (best == NULL || c->rank < best->rank) {
            best = c;
            second = NULL;
        } else if (c->rank == best->rank &&
                   !is_same(&c->shown, &best->shown)) {
            second = c;
        }
    }
    if (best == NULL)
        unknown(f, wanted);
    else if (second != NULL && best->rank == RANK_VARIABLE)
        two_of_them(f, best, second);
    return best;
}

static void choose(struct finder *f, const struct candidate *candidate)
{
    struct shown shown = candidate->shown;

    for (size_t i = 0; i < f->chosen.n; i++)
        if (is_same(&f->chosen.at[i], &shown))
            return;
    if (candidate->rank == RANK_SENSOR)
        shown.name = arena_printf(f->arena, "READ %s", candidate->name);
    vec_push(&f->chosen, shown);
}

static const char *trimmed(struct arena *arena, const char *at, size_t n)
{
    while (n > 0 && *at == ' ')
        at++, n--;
    while (n > 0 && at[n - 1] == ' ')
        n--;
    return arena_copy(arena, at, n);
}

static void read_list(struct finder *f, const char *list)
{
    for (;;) {
        size_t n = strcspn(list, ",");
        const char *wanted = trimmed(f->arena, list, n);
        const struct candidate *found;

        if (*wanted == '\0')
            f->failure = "--by takes names with commas between them: "
                         "--by gap,step";
        else if ((found = find(f, wanted)) != NULL && f->failure == NULL)
            choose(f, found);
        if (f->chosen.n > SHOWN_MOST)
            f->failure = arena_printf(f->arena, "--by takes at most %d "
                                      "names", SHOWN_MOST);
        if (f->failure != NULL || list[n] == '\0')
            return;
        list += n + 1;
    }
}

static struct shown_list finish(struct finder *f)
{
    struct shown *at = arena_array(f->arena, f->chosen.n + 1, sizeof *at);
    struct shown_list list = {at, (uint32_t)f->chosen.n, f->failure};

    if (f->chosen.n > 0)
        memcpy(at, f->chosen.at, f->chosen.n * sizeof *at);
    vec_release(&f->all);
    vec_release(&f->chosen);
    return list;
}

struct shown_list shown_read(struct arena *arena, struct names *names,
                             const struct model *model, const char *list)
{
    struct finder f = {.arena = arena, .names = names, .model = model};

    offer_all(&f);
    read_list(&f, list);
    return finish(&f);
}

/* ---- the usual choice ---- */

/* Would another variable of a program bear the same name? */
static bool is_bare_unique(const struct model *model, uint32_t number)
{
    const char *bare = behind_dot(model->slots[number].path);
    unsigned n = 0;

    for (uint32_t s = 0; s < model->n_slots; s++)
        n += strcasecmp(behind_dot(model->slots[s].path), bare) == 0;
    return n == 1;
}

static bool is_enumeration(const struct slot *slot)
{
    return type_base(slot->type)->kind == TYPE_ENUM && can_show(slot);
}

static void choose_slots(struct finder *f, enum slot_home home,
                         bool enumerations)
{
    for (uint32_t s = 0; s < f->model->n_slots; s++) {
        const struct slot *slot = &f->model->slots[s];
        struct shown shown = {.kind = SHOWN_SLOT, .index = s,
                              .type = slot->type,
                              .two_words = home == SLOT_ACTUATOR};

        if (slot->home != home || !can_show(slot) ||
            f->chosen.n >= SHOWN_MOST || is_enumeration(slot) != enumerations)
            continue;
        shown.name = is_bare_unique(f->model, s) || home == SLOT_ACTUATOR
                         ? behind_dot(slot->path) : slot->path;
        vec_push(&f->chosen, shown);
    }
}

/* The variables of the programs themselves that are no inputs, the first
 * few. */
static void choose_program(struct finder *f)
{
    for (uint32_t s = 0; s < f->model->n_slots && f->chosen.n < 6; s++) {
        const struct slot *slot = &f->model->slots[s];

        if (slot->home != SLOT_PROGRAM || !can_show(slot) || slot->input ||
            slot->driver != DRIVER_NONE ||
            type_base(slot->type)->kind != TYPE_BOOL ||
            name_point(behind_dot(slot->path)) != NULL)
            continue;
        vec_push(&f->chosen, ((struct shown){
            .kind = SHOWN_SLOT, .index = s, .type = slot->type,
            .name = is_bare_unique(f->model, s) ? behind_dot(slot->path)
                                                : slot->path}));
    }
}

static const char *some_names(struct finder *f)
{
    const char *names = "";

    offer_all(f);
    for (size_t i = 0, n = 0; i < f->all.n && n < 8; i++)
        if (f->all.at[i].name == f->all.at[i].shown.name &&
            name_point(f->all.at[i].name) == NULL)
            names = arena_printf(f->arena, "%s%s%s", names,
                                 n++ == 0 ? "" : ", ", f->all.at[i].name);
    return names;
}

struct shown_list shown_usual(struct arena *arena, const struct model *model)
{
    struct finder f = {.arena = arena, .model = model};

    choose_slots(&f, SLOT_MACHINE, true);
    if (f.chosen.n == 0)
        choose_slots(&f, SLOT_PROGRAM, true);
    if (f.chosen.n == 0)
        choose_slots(&f, SLOT_ACTUATOR, false);
    if (f.chosen.n == 0)
        choose_program(&f);
    if (f.chosen.n == 0)
        f.failure = arena_printf(
            arena, "no variable stands out to draw by: name some with --by, "
            "among them %s", some_names(&f));
    return finish(&f);
}
