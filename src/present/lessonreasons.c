#include "present/lessonreasons.h"

#include <inttypes.h>
#include <stdbool.h>

#include "base/text.h"
#include "check/model.h"
#include "present/json.h"
#include "present/lessonnames.h"
#include "present/naming.h"
#include "source/source.h"
#include "study/lesson.h"
#include "study/load.h"
#include "study/written.h"

static uint32_t value_of(const struct lesson_logic *logic,
                         const flat_expr *at)
{
    return (uint32_t)(at - logic->lowered->flat->value);
}

static void add_contact(struct text *out, const struct lesson_logic *logic,
                        const struct written *leaf)
{
    const struct contact *contact = &logic->model->contacts[leaf->index];
    uint32_t value =
        leaf->value > 0
            ? lessonnames_slot(logic, (uint32_t)leaf->value - 1)
            : value_of(logic, &logic->lowered->contact[leaf->index]);

    text_printf(out, "[\"k\",%u,%u,%d,%" PRId64 "]", value, contact->control,
                (int)contact->kind, contact->position);
}

static void add_expr(struct text *out, const struct lesson_logic *logic,
                     const struct written *expr);

static void add_or_null(struct text *out, const struct lesson_logic *logic,
                        const struct written *expr)
{
    text_add(out, ",");
    if (expr == NULL)
        text_add(out, "null");
    else
        add_expr(out, logic, expr);
}

static void add_slot(struct text *out, const struct lesson_logic *logic,
                     uint32_t slot)
{
    text_printf(out, ",%u", lessonnames_slot(logic, slot));
}

static void add_time(struct text *out, const struct lesson_logic *logic,
                     const struct written *expr)
{
    text_printf(out, "[\"t\",%d", expr->value == STANDARD_TON   ? 0
                                  : expr->value == STANDARD_TOF ? 1 : 2);
    add_or_null(out, logic, expr->a);
    if (expr->alone) {
        add_slot(out, logic, expr->index + TIMER_Q);
        add_slot(out, logic, expr->index + TIMER_ET);
        add_slot(out, logic, expr->index + TIMER_PT);
    }
    text_add(out, "]");
}

static void add_count(struct text *out, const struct lesson_logic *logic,
                      const struct written *expr)
{
    text_printf(out, "[\"n\",%d", (int)expr->value);
    add_or_null(out, logic, expr->a);
    add_or_null(out, logic, expr->b);
    if (expr->alone) {
        add_slot(out, logic, expr->index + COUNTER_CV);
        add_slot(out, logic, expr->index + COUNTER_PV);
    }
    text_add(out, "]");
}

static void add_reckoned(struct text *out, const struct lesson_logic *logic,
                         const struct written *expr)
{
    text_printf(out, "[\"u\",%d", expr->more ? 1 : 0);
    for (uint32_t i = 0; i < expr->n_of; i++)
        add_or_null(out, logic, expr->of[i]);
    text_add(out, "]");
}

static bool add_leaf(struct text *out, const struct lesson_logic *logic,
                     const struct written *expr)
{
    switch (expr->op) {
    case WRITTEN_CONST:
        text_printf(out, "[\"c\",%" PRId64 "]", expr->value);
        return true;
    case WRITTEN_NOW: case WRITTEN_BEFORE:
        text_printf(out, "[\"%s\",%u]",
                    expr->op == WRITTEN_NOW ? "v" : "b",
                    lessonnames_slot(logic, expr->index));
        return true;
    case WRITTEN_SENSOR:
        text_printf(out, "[\"v\",%u]",
                    value_of(logic, &logic->lowered->sensor[expr->index]));
        return true;
    case WRITTEN_HAND: text_printf(out, "[\"h\",%u]", expr->index);
        return true;
    case WRITTEN_CONTACT: add_contact(out, logic, expr); return true;
    case WRITTEN_GIVEN:
        text_printf(out, "[\"g\",%u,%u]",
                    logic->model->slots[expr->index].driver_index,
                    lessonnames_slot(logic, expr->index));
        return true;
    case WRITTEN_OPEN: text_add(out, "[\"o\"]"); return true;
    case WRITTEN_TIME: add_time(out, logic, expr); return true;
    case WRITTEN_COUNT: add_count(out, logic, expr); return true;
    case WRITTEN_RECKONED: add_reckoned(out, logic, expr); return true;
    default: return false;
    }
}

/* Its depth is bounded by its size. */
static void add_expr(struct text *out, const struct lesson_logic *logic,
                     const struct written *expr)
{
    static const char *const signs[] = {
        [WRITTEN_NOT] = "!", [WRITTEN_AND] = "&", [WRITTEN_OR] = "|",
        [WRITTEN_XOR] = "^", [WRITTEN_IF] = "?",  [WRITTEN_EQ] = "=",
        [WRITTEN_LT] = "<",  [WRITTEN_LE] = "<=", [WRITTEN_ADD] = "+",
        [WRITTEN_SUB] = "-", [WRITTEN_MUL] = "*", [WRITTEN_DIV] = "/",
        [WRITTEN_MOD] = "%", [WRITTEN_BIT] = "bit", [WRITTEN_WITHIN] = "~"};
    const struct written *const parts[] = {expr->a, expr->b, expr->c};

    if (add_leaf(out, logic, expr))
        return;
    text_printf(out, "[\"%s\"", signs[expr->op]);
    for (int i = 0; i < 3; i++)
        if (parts[i] != NULL)
            add_or_null(out, logic, parts[i]);
    if (expr->op == WRITTEN_BIT)
        text_printf(out, ",%" PRId64, expr->value);
    if (expr->op == WRITTEN_WITHIN)
        text_printf(out, ",%" PRId64 ",%" PRId64, expr->type->low,
                    expr->type->high);
    text_add(out, "]");
}

static bool same_line(const struct sources *sources, struct span a,
                      struct span b)
{
    return a.file == b.file &&
           sources_place(sources, a).line == sources_place(sources, b).line;
}

/* "rear_body.st: 573, 581": no word of any language. */
static void add_places(struct text *out, const struct sources *sources,
                       const struct written_slot *written)
{
    struct text words = {0};

    for (uint32_t i = 0; i < written->n_places; i++) {
        struct span at = written->places[i];

        if (i > 0 && same_line(sources, at, written->places[i - 1]))
            continue;
        if (i == 0 || at.file != written->places[i - 1].file)
            text_printf(&words, "%s%s: ", i > 0 ? "; " : "",
                        naming_file(sources, at.file));
        else
            text_add(&words, ", ");
        text_printf(&words, "%u", (unsigned)sources_place(sources, at).line);
    }
    json_string(out, text_str(&words));
    text_release(&words);
}

void lessonreasons_add(struct text *out, const struct lesson_machine *machine)
{
    const struct lesson_logic *logic = machine->logic;
    const struct written_slot *written =
        written_find(machine->loaded->arena, logic->model);
    uint32_t n = 0;

    text_add(out, ",\n\"written\":[");
    for (uint32_t s = 0; s < logic->model->n_slots; s++) {
        if (written[s].expr == NULL ||
            type_base(logic->model->slots[s].type)->kind > TYPE_ENUM)
            continue;
        text_printf(out, n++ > 0 ? ",\n[%u," : "[%u,",
                    lessonnames_slot(logic, s));
        add_expr(out, logic, written[s].expr);
        text_add(out, ",");
        add_places(out, machine->loaded->sources, &written[s]);
        text_add(out, "]");
    }
    text_add(out, "]");
}
