#include "study/meaning.h"

#include <errno.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

#include "base/arena.h"
#include "check/model.h"
#include "lower/lower.h"

/* ---- which thing ---- */

static const char *without_word(const char *name, const char *word)
{
    size_t n = strlen(word);

    if (strncasecmp(name, word, n) != 0 || name[n] != ' ')
        return name;
    for (name += n; *name == ' '; name++)
        ;
    return name;
}

static bool is_named(const struct slot *slot, const char *name)
{
    const char *point = strchr(slot->path, '.');

    return strcasecmp(slot->path, name) == 0 ||
           (point != NULL && strcasecmp(point + 1, name) == 0);
}

/* *n gets how many there are. */
static uint32_t find_slot(const struct model *model, const char *name,
                          uint32_t *n)
{
    uint32_t found = MODEL_NONE;

    *n = 0;
    for (uint32_t i = 0; i < model->n_slots; i++) {
        const struct slot *slot = &model->slots[i];

        if ((slot->home != SLOT_PROGRAM && slot->home != SLOT_GLOBAL) ||
            slot->temp || slot->clock || !is_named(slot, name))
            continue;
        if (found == MODEL_NONE ||
            strcasecmp(slot->path, name) == 0)
            found = i;
        ++*n;
    }
    if (found != MODEL_NONE &&
        strcasecmp(model->slots[found].path, name) == 0)
        *n = 1;
    return found;
}

static const struct choice *drives(const struct model *model,
                                   const struct slot *slot)
{
    uint32_t row;

    if (slot->driver == DRIVER_CHOICE)
        row = slot->driver_index;
    else if (slot->driver == DRIVER_CONTACT)
        row = model->controls[model->contacts[slot->driver_index].control]
                  .choice;
    else
        return NULL;
    return &model->choices[row];
}

static bool is_cut(const struct choice *choice)
{
    return choice->cell_low != NULL || choice->bits != 0;
}

static bool anything_cut(const struct model *model)
{
    for (uint32_t i = 0; i < model->n_choices; i++)
        if (is_cut(&model->choices[i]))
            return true;
    return false;
}

static bool is_number(const struct type *type)
{
    enum type_kind kind = type_base(type)->kind;

    return kind == TYPE_INTEGER || kind == TYPE_BITS;
}

static struct meaning of_slot(struct arena *arena, const struct model *model,
                              const struct lowered *lowered, uint32_t index)
{
    const struct slot *slot = &model->slots[index];
    const struct choice *row = drives(model, slot);
    enum type_kind kind = type_base(slot->type)->kind;
    struct meaning m = {.type = slot->type,
                        .value = lowered->slot_value[index]};

    if (!is_number(slot->type) && kind != TYPE_BOOL && kind != TYPE_ENUM)
        m.why_not = "values of its type are not followed exactly";
    else if (row != NULL && is_cut(row))
        m.cut = row;
    else if (row == NULL && is_number(slot->type) && anything_cut(model))
        m.why_not = "a copy of an input whose values are looked at in "
                    "groups cannot be told from it";
    if (m.why_not == NULL)
        m.name = arena_printf(arena, "%s%s", slot->input ? "READ " : "",
                              slot->path);
    return m;
}

struct meaning meaning_of(struct arena *arena, const struct model *model,
                          const struct lowered *lowered, const char *name)
{
    uint32_t n, found;

    name = without_word(without_word(name, "READ"), "COMMANDED");
    for (uint32_t i = 0; i < model->n_actuators; i++) {
        const struct actuator *a = &model->actuators[i];

        if (strcasecmp(a->name->spelling, name) != 0)
            continue;
        if (is_number(a->type) && anything_cut(model))
            return (struct meaning){.why_not = "a copy of an input whose "
                "values are looked at in groups cannot be told from it"};
        return (struct meaning){
            .name = arena_printf(arena, "COMMANDED %s", a->name->spelling),
            .type = a->type, .value = lowered->command[i]};
    }
    found = find_slot(model, name, &n);
    if (n == 1)
        return of_slot(arena, model, lowered, found);
    if (n > 1)
        return (struct meaning){.wrong = true,
            .why_not = "several programs have this name: say which by "
                       "--map COLUMN=Program.name"};
    return (struct meaning){.why_not = "not a name of this review"};
}

/* ---- its values ---- */

static bool read_bool(const char *field, int64_t *value)
{
    static const char *const off[] = {"0", "FALSE", "off", "no"};
    static const char *const on[] = {"1", "TRUE", "on", "yes"};

    for (size_t i = 0; i < sizeof on / sizeof *on; i++) {
        *value = strcasecmp(field, on[i]) == 0;
        if (*value || strcasecmp(field, off[i]) == 0)
            return true;
    }
    return false;
}

static bool read_number(const char *field, int64_t *value)
{
    int base = strncmp(field, "16#", 3) == 0 ? 16 : 10;
    char *end;

    errno = 0;
    field += base == 16 ? 3 : 0;
    *value = strtoll(field, &end, base);
    return errno == 0 && end != field && *end == '\0' && *field != ' ';
}

static bool read_item(const struct type *type, const char *field,
                      int64_t *value)
{
    const char *mark = strchr(field, '#');
    int64_t number;

    for (uint32_t i = 0; i < type->count; i++)
        if (strcasecmp(type->items[i]->spelling,
                       mark == NULL ? field : mark + 1) == 0) {
            *value = i;
            return true;
        }
    if (!read_number(field, &number))
        return false;
    for (uint32_t i = 0; i < type->count; i++)
        if (type_item_number(type, i) == number) {
            *value = i;
            return true;
        }
    return false;
}

/* The value that stands for all of its group; what no group holds stays. */
static int64_t group_of(const struct choice *row, int64_t value)
{
    if (row->bits != 0)
        return value & row->bits;
    for (uint32_t i = 0; i < row->count; i++)
        if (row->cell_low[i] <= value && value <= row->cell_high[i])
            return row->values[i];
    return value;
}

bool meaning_read(const struct meaning *m, const char *field, int64_t *value)
{
    const struct type *type = type_base(m->type);
    bool read = type->kind == TYPE_BOOL ? read_bool(field, value)
                : type->kind == TYPE_ENUM ? read_item(type, field, value)
                                          : read_number(field, value);

    if (read && m->cut != NULL)
        *value = group_of(m->cut, *value);
    return read;
}
