#include "present/mapwords.h"

#include "base/text.h"
#include "check/model.h"
#include "present/naming.h"
#include "present/say.h"
#include "study/map.h"

/* ---- values ---- */

static const char *hand_word(enum signal_kind kind, bool operated)
{
    if (operated)
        return naming_operated(kind);
    return kind == SIGNAL_STOP     ? "not pressed"
           : kind == SIGNAL_SWITCH ? "off"
                                   : "released";
}

static void add_hand(struct text *out, const struct control *control,
                     int64_t value)
{
    if (control->type->kind == TYPE_BOOL) {
        text_printf(out, "%s %s", control->title,
                    hand_word(control->kind, value != 0));
        return;
    }
    text_printf(out, "%s at ", control->title);
    say_value(out, control->type, value);
}

void mapwords_value(struct text *out, const struct map *map, uint32_t number,
                    int64_t value)
{
    const struct shown *shown = &map->shown[number];

    if (shown->kind == SHOWN_HAND) {
        add_hand(out, &map->model->controls[shown->index], value);
        return;
    }
    text_printf(out, "%s ", shown->name);
    if (shown->type->kind != TYPE_BOOL || !shown->two_words)
        say_value(out, shown->type, value);
    else if (shown->kind == SHOWN_CONTACT)
        text_add(out, value != 0 ? "conducts" : "open");
    else
        text_add(out, value != 0 ? "on" : "off");
}

void mapwords_node(struct text *out, const struct map *map, uint32_t node,
                   const char *between)
{
    for (uint32_t i = 0; i < map->n_shown; i++) {
        if (i > 0)
            text_add(out, between);
        mapwords_value(out, map, i, map->nodes[node].value[i]);
    }
}

/* ---- conditions ---- */

static unsigned bits(uint64_t word)
{
    return (unsigned)__builtin_popcountll(word);
}

/* Does cell i go on where the one before it ends? */
static bool goes_on(const struct choice *choice, uint32_t i)
{
    return choice->type->kind == TYPE_REAL && choice->cell_low != NULL &&
           choice->cell_low[i - 1] != TYPE_NAN &&
           choice->cell_low[i] == choice->cell_high[i - 1] + 1;
}

/* The values from number i to j; but for a REAL i and j are one. */
static void add_choice_value(struct text *out, const struct choice *choice,
                             uint32_t i, uint32_t j)
{
    if (choice->type->kind == TYPE_REAL && choice->cell_low != NULL) {
        say_real(out, choice->type, choice->cell_low[i],
                 choice->cell_high[j]);
        return;
    }
    if (choice->cell_low == NULL ||
        choice->cell_low[i] == choice->cell_high[i]) {
        say_value(out, choice->type, choice->values[i]);
        return;
    }
    say_value(out, choice->type, choice->cell_low[i]);
    text_add(out, " .. ");
    say_value(out, choice->type, choice->cell_high[i]);
}

/* "x at A or B"; where more than half fit, "x not at C". */
static void add_values(struct text *out, const struct choice *choice,
                       uint64_t word, const char *at)
{
    const char *between = "";

    if (bits(word) > 2 && bits(word) > choice->count / 2) {
        word ^= UINT64_MAX >> (64 - choice->count);
        text_add(out, " not");
    }
    text_add(out, at);
    for (uint32_t i = 0, j; i < choice->count; i = j + 1) {
        j = i;
        if ((word >> i & 1) == 0)
            continue;
        while (j + 1 < choice->count && (word >> (j + 1) & 1) != 0 &&
               goes_on(choice, j + 1))
            j++;
        text_add(out, between);
        add_choice_value(out, choice, i, j);
        between = " or ";
    }
}

/* The index of the only value in the word. */
static uint32_t single(uint64_t word)
{
    return (uint32_t)__builtin_ctzll(word);
}

static const char *short_path(const char *path)
{
    for (const char *at = path; *at != '\0'; at++)
        if (*at == '.')
            return at + 1;
    return path;
}

static void add_operator(struct text *out, const struct control *control,
                         const struct choice *choice, uint64_t word)
{
    if (control->type->kind == TYPE_BOOL) {
        add_hand(out, control, choice->values[single(word)]);
        return;
    }
    text_add(out, control->title);
    add_values(out, choice, word,
               control->type->kind == TYPE_REAL ? " " : " at ");
}

/* What a fault row brings about. */
static void add_fault(struct text *out, const struct model *model,
                      uint32_t of)
{
    if (of < model->n_causes) {
        const struct cause *cause = &model->causes[of];
        bool own = cause->group || model->faults[cause->members[0]].own;

        text_printf(out, "%s (%s) %s", cause->name->spelling, cause->title,
                    own ? "becoming possible" : "appearing");
        return;
    }
    const struct fault *fault = &model->faults[of - model->n_causes];

    text_printf(out, "%s (%s) appearing%s", fault->name->spelling,
                fault->title,
                fault->timing == TIMING_INTERMITTENT ? " or going" : "");
}

static void add_choice(struct text *out, const struct model *model,
                       uint32_t row, uint64_t word)
{
    const struct choice *choice = &model->choices[row];

    switch (choice->kind) {
    case CHOICE_POWER:
        text_add(out, "power off");
        return;
    case CHOICE_FAULT:
        add_fault(out, model, choice->of);
        return;
    case CHOICE_OPERATOR:
        add_operator(out, &model->controls[choice->of], choice, word);
        return;
    case CHOICE_SHARED:
        text_add(out, "others writing ");
        break;
    case CHOICE_UNCOMMANDED:
        text_add(out, "without command ");
        break;
    default:
        break;
    }
    text_add(out, model->n_programs + model->n_called == 1
                      ? short_path(choice->name)
                      : choice->name);
    add_values(out, choice, word, " ");
}

static void add_move(struct text *out, const struct model *model,
                     const struct map_condition *condition, uint64_t word)
{
    const struct slot *slot = &model->slots[condition->index];
    const char *between = " ";

    text_printf(out, "%s moving", short_path(slot->path));
    for (uint32_t i = 1; i < 63; i++) {
        if ((word >> i & 1) == 0)
            continue;
        text_add(out, between);
        say_value(out, slot->type, condition->from[i]);
        text_add(out, " to ");
        say_value(out, slot->type, condition->to[i]);
        between = " or ";
    }
    if (word >> 63)
        text_printf(out, "%sotherwise", between);
}

static void add_condition(struct text *out, const struct map *map,
                          uint32_t number, uint64_t word)
{
    const struct map_condition *condition = &map->conditions[number];

    if (condition->kind == MAP_STOOD)
        text_printf(out, "%s %s before",
                    short_path(map->model->slots[condition->index].path),
                    word == 1 ? "off" : "on");
    else if (condition->kind == MAP_MOVE)
        add_move(out, map->model, condition, word);
    else
        add_choice(out, map->model, condition->index, word);
}

/* ---- labels ---- */

/* Is condition c said once for all groups? */
static bool is_shared(const struct map *map, const struct label *label,
                      uint32_t c)
{
    if (label->common[c] == map->conditions[c].full)
        return false;
    for (uint32_t g = 0; g < label->n_groups; g++)
        if (label->groups[g * map->n_conditions + c] != label->common[c])
            return false;
    return true;
}

/* What all have in common, `between` between; the number said. */
static uint32_t add_common(struct text *out, const struct map *map,
                           const struct label *label, const char *between)
{
    uint32_t n = 0;

    for (uint32_t c = 0; c < map->n_conditions; c++) {
        if (!is_shared(map, label, c))
            continue;
        if (n++ > 0)
            text_add(out, between);
        add_condition(out, map, c, label->common[c]);
    }
    return n;
}

/* What group g asks for besides. */
static void add_group(struct text *out, const struct map *map,
                      const struct label *label, uint32_t g)
{
    uint32_t n = 0;

    for (uint32_t c = 0; c < map->n_conditions; c++) {
        uint64_t word = label->groups[g * map->n_conditions + c];

        if (word == map->conditions[c].full || is_shared(map, label, c))
            continue;
        if (n++ > 0)
            text_add(out, " and ");
        add_condition(out, map, c, word);
    }
}

void mapwords_lines(struct text *out, const struct map *map,
                    const struct map_edge *edge)
{
    const struct label *label = &edge->label;
    uint32_t n = add_common(out, map, label, "\n");

    if (n > 0)
        text_add(out, "\n");
    if (label->n_groups == 0)
        text_add(out, n > 0 ? "and more\n" : "different ways\n");
    else if (label->n_groups == 1 && n == 0)
        text_add(out, "whatever is operated\n");
    for (uint32_t g = 0; g < label->n_groups && label->n_groups > 1; g++) {
        text_add(out, g == 0 ? "either " : "or ");
        add_group(out, map, label, g);
        text_add(out, "\n");
    }
}

void mapwords_sentence(struct text *out, const struct map *map,
                       const struct map_edge *edge)
{
    const struct label *label = &edge->label;
    struct text common = {0};
    uint32_t n = add_common(&common, map, label, " and ");

    if (n > 0)
        text_printf(out, "only with %s", text_str(&common));
    text_release(&common);
    if (label->n_groups == 0)
        text_add(out, n > 0 ? ", and more" : "in different ways");
    else if (label->n_groups == 1 && n == 0)
        text_add(out, "whatever is operated");
    for (uint32_t g = 0; g < label->n_groups && label->n_groups > 1; g++) {
        text_add(out, g > 0 ? ", or " : n > 0 ? ", and either "
                                              : "only with either ");
        add_group(out, map, label, g);
    }
}
