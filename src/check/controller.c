#include "check/controller.h"

#include <string.h>
#include <strings.h>

#include "check/values.h"

/* ---- the section ---- */

static const char *all_words(struct draft *draft)
{
    const char *all = setting_word(SETTING_OVERFLOW);

    for (int i = 1; i < SETTING_KINDS; i++)
        all = arena_printf(draft->arena, "%s%s %s", all,
                           i + 1 < SETTING_KINDS ? "," : " and",
                           setting_word((enum setting_kind)i));
    return all;
}

static const char *choice_words(struct draft *draft, enum setting_kind kind)
{
    const char *all = "ANY CHOICE";

    for (uint32_t i = setting_choices(kind); i-- > 0;)
        all = arena_printf(draft->arena, "%s%s %s",
                           setting_choice(kind, i),
                           i + 1 < setting_choices(kind) ? "," : " or", all);
    return all;
}

static enum setting_kind kind_of(const struct tree_setting *tree)
{
    int kind = 0;

    while (kind < SETTING_KINDS &&
           strcasecmp(setting_word((enum setting_kind)kind),
                      tree->name->name->spelling) != 0)
        kind++;
    return (enum setting_kind)kind;
}

static bool read_choice(struct draft *draft, enum setting_kind kind,
                        const struct tree_setting *tree,
                        struct setting *setting)
{
    const char *words = draft_words(draft, tree->words);

    setting->any = strcasecmp(words, "ANY CHOICE") == 0;
    if (setting->any)
        return true;
    for (uint32_t i = 0; i < setting_choices(kind); i++)
        if (strcasecmp(words, setting_choice(kind, i)) == 0) {
            setting->value = i;
            return true;
        }
    diag_add(draft->diags, DIAG_ERROR, tree->words,
             arena_printf(draft->arena, "write %s",
                          choice_words(draft, kind)),
             "%s cannot be '%s'", setting_word(kind), words);
    return false;
}

/* What nobody knows was not observed. */
static bool reasons_fit(struct draft *draft, const struct tree_setting *tree,
                        const struct setting *setting)
{
    if (!setting->any || !tree->observed_by.at)
        return true;
    diag_add(draft->diags, DIAG_ERROR, tree->span,
             "write the choice that was observed",
             "ANY CHOICE is for what was not observed");
    return false;
}

static void read_setting(struct draft *draft, const struct tree_setting *tree)
{
    enum setting_kind kind = kind_of(tree);
    struct setting *setting;

    if (kind == SETTING_KINDS) {
        diag_add(draft->diags, DIAG_ERROR, tree->name->span,
                 arena_printf(draft->arena, "known are %s",
                              all_words(draft)),
                 "nothing is known of controllers that is called '%s'",
                 tree->name->name->spelling);
        return;
    }
    setting = &draft->model->settings[kind];
    if (setting->said) {
        diag_add(draft->diags, DIAG_ERROR, tree->span, "keep one of them",
                 "%s is said a second time", setting_word(kind));
        return;
    }
    setting->said = true;
    setting->observed_by = tree->observed_by.at;
    setting->because = tree->reason.because.at;
    if (read_choice(draft, kind, tree, setting))
        reasons_fit(draft, tree, setting);
}

void controller_read(struct draft *draft)
{
    const struct tree_review *review = &draft->run->review;

    draft->model->controller_said = review->controller_span.file != 0;
    draft->model->controller = review->controller.at;
    for (const struct tree_setting *tree = review->settings.first; tree;
         tree = tree->next)
        read_setting(draft, tree);
}

/* ---- where a subrange begins ---- */

/* Does a part of it begin with the lower limit, which is not 0, because
 * nothing else is said? */
static bool begins_low(const struct type *type)
{
    if (type->kind == TYPE_ARRAY)
        return !type->valued && begins_low(type->element);
    for (uint32_t i = 0; i < type->n_fields && !type->valued; i++)
        if (begins_low(type->fields[i].type))
            return true;
    return type->base && type->base->kind != TYPE_ENUM && !type->valued &&
           type->low != 0;
}

bool controller_begins(struct draft *draft, const struct type *type,
                    struct span span, int64_t *value)
{
    const struct setting *setting =
        &draft->model->settings[SETTING_SUBRANGES];
    bool single = type_elementary(type);

    if (!begins_low(type))
        return true;
    controller_touch(draft, SETTING_SUBRANGES);
    if (!setting->any && setting->value == 0)
        return true;
    if (setting->any || !single) {
        diag_add(draft->diags, DIAG_ERROR, span,
                 single ? "write := and a value, or say what the controller "
                          "does"
                        : "give the subranges in its type a value with :=",
                 "whether this begins at 0 or at a lower limit is not known");
        return false;
    }
    if (type->low > 0 || type->high < 0) {
        diag_add(draft->diags, DIAG_ERROR, span, "write := and a value",
                 "this begins at 0 on such a controller, outside its range: "
                 "a run-time error when power comes");
        return false;
    }
    *value = 0;
    return true;
}

bool controller_holds(const struct slot *slot)
{
    const char *name = strrchr(slot->path, '.');

    return name && strcmp(name, ".(preset)") == 0;
}

/* ---- what nobody knows ---- */

void controller_touch(struct draft *draft, enum setting_kind kind)
{
    draft->model->settings[kind].touched = true;
}

static void touch_blocks(struct draft *draft, enum code_standard standard)
{
    switch (standard) {
    case STANDARD_SR:
    case STANDARD_RS:
        controller_touch(draft, SETTING_LATCHES);
        return;
    case STANDARD_TON:
    case STANDARD_TOF:
    case STANDARD_TP:
        controller_touch(draft, SETTING_PRESETS);
        controller_touch(draft, SETTING_ZERO_TIMES);
        controller_touch(draft, SETTING_TIMERS);
        controller_touch(draft, SETTING_ELAPSED);
        return;
    case STANDARD_CTU:
    case STANDARD_CTUD:
        controller_touch(draft, SETTING_COUNTERS);
        controller_touch(draft, SETTING_EDGES);
        return;
    case STANDARD_CTD:
    case STANDARD_R_TRIG:
    case STANDARD_F_TRIG:
        controller_touch(draft, SETTING_EDGES);
        return;
    case STANDARD_NONE:
        return;
    }
}

/* Conditions, loops and subranges were seen on the way. */
static void touch_rest(struct draft *draft)
{
    for (size_t i = 0; i < draft->units.n; i++)
        if (draft->units.at[i]->type) /* there are instances */
            touch_blocks(draft, draft->units.at[i]->pou->standard);
    for (size_t i = 0; i < draft->errors.n; i++)
        if (!draft->errors.at[i].in_review &&
            (draft->errors.at[i].kind == ERROR_OVERFLOW ||
             draft->errors.at[i].kind == ERROR_DIVISION))
            controller_touch(draft, SETTING_OVERFLOW);
}

void controller_slots(struct draft *draft)
{
    touch_rest(draft);
    for (int kind = 0; kind < SETTING_KINDS; kind++) {
        struct setting *setting = &draft->model->settings[kind];
        struct slot slot = {.path = setting_word((enum setting_kind)kind),
                            .type = draft->types.dint,
                            .home = SLOT_SETTING,
                            .start = 0,
                            .span = draft->run->review.controller_span};

        setting->any = setting->any && setting->touched;
        if (setting->any && !draft_slot(draft, &slot, &setting->slot))
            return;
    }
}

void controller_values(struct draft *draft, uint32_t slot,
                    struct choice *choice)
{
    enum setting_kind kind =
        setting_of_slot(draft->model->settings, slot);

    values_count(draft, setting_choices(kind), choice);
}
