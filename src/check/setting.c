#include "check/setting.h"

#include <string.h>
#include <strings.h>

#include "base/ensure.h"
#include "check/draft.h"
#include "check/values.h"

enum { MOST_CHOICES = 3 };

struct row {
    const char *word;
    struct {
        const char *words; /* in capitals */
        const char *says;
    } choices[MOST_CHOICES];
};

static const struct row rows[SETTING_KINDS] = {
    [SETTING_OVERFLOW] =
        {"OVERFLOW",
         {{"REPORTED", "an overflow is a run-time error"},
          {"WRAPS", "an overflow wraps"},
          {"SATURATES", "an overflow stops at the end of the type"}}},
    [SETTING_LATCHES] =
        {"LATCHES",
         {{"AS NAMED", "SR lets set win, RS lets reset win"},
          {"SWAPPED", "SR lets reset win, RS lets set win"}}},
    [SETTING_EDGES] =
        {"EDGES",
         {{"STANDARD", "at its first call R_TRIG fires where CLK is TRUE, "
                       "F_TRIG where it is FALSE"},
          {"F_TRIG SILENT", "at its first call R_TRIG fires where CLK is "
                            "TRUE, F_TRIG never"},
          {"SILENT", "R_TRIG and F_TRIG never fire at their first call"}}},
    [SETTING_COUNTERS] =
        {"COUNTERS",
         {{"WHOLE RANGE", "CTU and CTUD count up to the end of the type"},
          {"PRESET LIMIT", "CTU and CTUD count up to PV"}}},
    [SETTING_CONDITIONS] =
        {"CONDITIONS",
         {{"BOTH SIDES", "AND and OR evaluate both sides"},
          {"AS NEEDED", "AND and OR leave the right side out where the left "
                        "one decides"}}},
    [SETTING_LOOPS] =
        {"LOOPS",
         {{"ONE BEYOND", "behind FOR its variable is one step further"},
          {"LAST USED", "behind FOR its variable has the value of the last "
                        "pass"}}},
    [SETTING_SUBRANGES] =
        {"SUBRANGES",
         {{"LOWER LIMIT", "a subrange without a value begins at its lower "
                          "limit"},
          {"ZERO", "a subrange without a value begins at 0"}}},
    [SETTING_PRESETS] =
        {"PRESETS",
         {{"LIVE", "a timer reads PT at every call"},
          {"LATCHED", "a timer takes PT when it starts"}}},
    [SETTING_ZERO_TIMES] =
        {"ZERO_TIMES",
         {{"SAME CALL", "a timer with PT = 0 is over in the call that starts "
                        "it"},
          {"NEXT CALL", "a timer with PT = 0 is over in the call after the "
                        "one that starts it"}}},
    [SETTING_TIMERS] =
        {"TIMERS",
         {{"CONTINUOUS", "time goes on in a timer whether it is called or "
                         "not"},
          {"CALLED", "time goes on in a timer in its calls only"}}},
};

const char *setting_word(enum setting_kind kind)
{
    return rows[kind].word;
}

const char *setting_says(enum setting_kind kind, uint32_t value)
{
    ENSURE(value < setting_choices(kind));
    return rows[kind].choices[value].says;
}

uint32_t setting_choices(enum setting_kind kind)
{
    uint32_t n = 0;

    while (n < MOST_CHOICES && rows[kind].choices[n].words)
        n++;
    return n;
}

enum setting_kind setting_of_slot(const struct setting *settings,
                                  uint32_t slot)
{
    for (int kind = 0; kind < SETTING_KINDS; kind++)
        if (settings[kind].any && settings[kind].slot == slot)
            return (enum setting_kind)kind;
    ENSURE(!"the slot of a setting");
    return SETTING_KINDS;
}

/* ---- the section ---- */

static const char *all_words(struct draft *draft)
{
    const char *all = rows[0].word;

    for (int i = 1; i < SETTING_KINDS; i++)
        all = arena_printf(draft->arena, "%s%s %s", all,
                           i + 1 < SETTING_KINDS ? "," : " and",
                           rows[i].word);
    return all;
}

static const char *choice_words(struct draft *draft, enum setting_kind kind)
{
    const char *all = "ANY CHOICE";

    for (uint32_t i = setting_choices(kind); i-- > 0;)
        all = arena_printf(draft->arena, "%s%s %s",
                           rows[kind].choices[i].words,
                           i + 1 < setting_choices(kind) ? "," : " or", all);
    return all;
}

static enum setting_kind kind_of(const struct tree_setting *tree)
{
    int kind = 0;

    while (kind < SETTING_KINDS &&
           strcasecmp(rows[kind].word, tree->name->name->spelling) != 0)
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
        if (strcasecmp(words, rows[kind].choices[i].words) == 0) {
            setting->value = i;
            return true;
        }
    diag_add(draft->diags, DIAG_ERROR, tree->words,
             arena_printf(draft->arena, "write %s",
                          choice_words(draft, kind)),
             "%s cannot be '%s'", rows[kind].word, words);
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
                 "%s is said a second time", rows[kind].word);
        return;
    }
    setting->said = true;
    setting->observed_by = tree->observed_by.at;
    setting->because = tree->reason.because.at;
    if (read_choice(draft, kind, tree, setting))
        reasons_fit(draft, tree, setting);
}

void setting_read(struct draft *draft)
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

bool setting_begins(struct draft *draft, const struct type *type,
                    struct span span, int64_t *value)
{
    const struct setting *setting =
        &draft->model->settings[SETTING_SUBRANGES];
    bool single = type_elementary(type);

    if (!begins_low(type))
        return true;
    setting_touch(draft, SETTING_SUBRANGES);
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

bool setting_holds(const struct slot *slot)
{
    const char *name = strrchr(slot->path, '.');

    return name && strcmp(name, ".(preset)") == 0;
}

/* ---- what nobody knows ---- */

void setting_touch(struct draft *draft, enum setting_kind kind)
{
    draft->model->settings[kind].touched = true;
}

static void touch_blocks(struct draft *draft, enum code_standard standard)
{
    switch (standard) {
    case STANDARD_SR:
    case STANDARD_RS:
        setting_touch(draft, SETTING_LATCHES);
        return;
    case STANDARD_TON:
    case STANDARD_TOF:
    case STANDARD_TP:
        setting_touch(draft, SETTING_PRESETS);
        setting_touch(draft, SETTING_ZERO_TIMES);
        setting_touch(draft, SETTING_TIMERS);
        return;
    case STANDARD_CTU:
    case STANDARD_CTUD:
        setting_touch(draft, SETTING_COUNTERS);
        setting_touch(draft, SETTING_EDGES);
        return;
    case STANDARD_CTD:
    case STANDARD_R_TRIG:
    case STANDARD_F_TRIG:
        setting_touch(draft, SETTING_EDGES);
        return;
    case STANDARD_NONE:
        return;
    }
}

/* Conditions, loops and subranges were seen on the way. */
static void touch_rest(struct draft *draft)
{
    for (size_t i = 0; i < draft->units.n; i++)
        touch_blocks(draft, draft->units.at[i]->pou->standard);
    for (size_t i = 0; i < draft->errors.n; i++)
        if (!draft->errors.at[i].in_review &&
            (draft->errors.at[i].kind == ERROR_OVERFLOW ||
             draft->errors.at[i].kind == ERROR_DIVISION))
            setting_touch(draft, SETTING_OVERFLOW);
}

void setting_slots(struct draft *draft)
{
    touch_rest(draft);
    for (int kind = 0; kind < SETTING_KINDS; kind++) {
        struct setting *setting = &draft->model->settings[kind];
        struct slot slot = {.path = rows[kind].word,
                            .type = draft->types.dint,
                            .home = SLOT_SETTING,
                            .start = 0,
                            .span = draft->run->review.controller_span};

        setting->any = setting->any && setting->touched;
        if (setting->any && !draft_slot(draft, &slot, &setting->slot))
            return;
    }
}

void setting_values(struct draft *draft, uint32_t slot,
                    struct choice *choice)
{
    enum setting_kind kind =
        setting_of_slot(draft->model->settings, slot);

    values_count(draft, setting_choices(kind), choice);
}
