#include "check/bind.h"

#include "check/resolve.h"
#include "check/typing.h"
#include "check/widening.h"
#include "check/wording.h"

static bool refuse(struct draft *draft, struct span span, const char *hint,
                   const char *what, const struct name *name)
{
    diag_add(draft->diags, DIAG_ERROR, span, hint, "'%s' %s",
             name->spelling, what);
    return false;
}

/* ---- FIXED and SHARED ---- */

/* SHARED may say again what a VAR_ACCESS of the control text says. */
static bool take(struct draft *draft, const struct tree_path *path,
                 bool shares, struct found *found)
{
    struct use *use;

    if (!resolve_control(draft, path, found))
        return false;
    if (found->kind == FOUND_VARIABLE && !type_elementary(found->type))
        return refuse(draft, path->span, "name one of its elements or fields",
                      "has several values", found->symbol->name);
    if (found->kind != FOUND_VARIABLE || found_inside(draft, found) ||
        draft->slots.at[found->variable.index].temp)
        return refuse(draft, path->span,
                      "name a variable of a program or a "
                      "global",
                      "cannot be driven from outside", found->symbol->name);
    use = &draft->uses.at[found->variable.index];
    if (found->symbol->constant)
        return refuse(draft, path->span, "leave this line out",
                      "is a CONSTANT already", found->symbol->name);
    if (use->driven.file &&
        !(shares && use->driven.file != path->span.file)) {
        refuse(draft, path->span, "keep one of the two",
               "is FIXED or SHARED already", found->symbol->name);
        diag_also(draft->diags, use->driven, "said here");
        return false;
    }
    use->driven = path->span;
    return true;
}

static void fix(struct draft *draft, const struct tree_fixed *tree)
{
    struct found found;
    struct slot *slot;
    int64_t value;

    if (!take(draft, tree->path, false, &found) ||
        !typing_constant(draft, NULL, tree->value, found.type, &value))
        return;
    if (draft->uses.at[found.variable.index].written.file) {
        refuse(draft, tree->path->span, "say SHARED, or leave it out",
               "is written by the control text, so it cannot be FIXED",
               found.symbol->name);
        diag_also(draft->diags,
                  draft->uses.at[found.variable.index].written,
                  "written here");
        return;
    }
    slot = &draft->slots.at[found.variable.index];
    slot->driver = DRIVER_FIXED;
    slot->initial = value;
    vec_push(&draft->fixed,
             ((struct fixed){found.variable.index, tree->reason.because.at,
                             tree->reason.confirmed_by.at, false, false}));
}

static void fix_constants(struct draft *draft)
{
    for (uint32_t i = 0; i < draft->slots.n; i++)
        if (draft->uses.at[i].symbol && draft->uses.at[i].symbol->constant)
            vec_push(&draft->fixed, ((struct fixed){i, NULL, NULL, true,
                                                    false}));
}

/* What runs alone shares its globals with all that does not run here. */
static void share_globals(struct draft *draft)
{
    for (uint32_t i = 0; i < draft->slots.n; i++) {
        struct use *use = &draft->uses.at[i];

        if (use->symbol && !use->program && !use->symbol->constant)
            use->shared = true;
    }
}

void bind_fixed(struct draft *draft)
{
    struct found found;

    for (const struct tree_fixed *tree = draft->run->review.fixed.first;
         tree; tree = tree->next)
        fix(draft, tree);
    for (const struct tree_shared *tree = draft->run->review.shared.first;
         tree; tree = tree->next)
        if (take(draft, tree->path, true, &found))
            draft->uses.at[found.variable.index].shared = true;
    if (draft->run->alone)
        share_globals(draft);
    fix_constants(draft);
}

/* ---- signals ---- */

/* Could a signal drive this variable (input), or could it command an
 * actuator? */
static bool plausible(const struct draft *draft, uint32_t slot, bool input)
{
    const struct use *use = &draft->uses.at[slot];
    bool out = use->written.file ||
               use->symbol->section == TREE_VAR_OUTPUT ||
               use->symbol->at_output;

    return out != input;
}

/* The control variable of a signal's name: *count of them; of several, one
 * that alone goes the right way counts as the only one. */
static uint32_t partner(const struct draft *draft, const struct name *name,
                        bool input, unsigned *count)
{
    uint32_t any = MODEL_NONE, good = MODEL_NONE;
    unsigned goods = 0;

    *count = 0;
    for (uint32_t i = 0; i < draft->slots.n; i++) {
        const struct symbol *symbol = draft->uses.at[i].symbol;

        if (!symbol || symbol->name != name || draft->slots.at[i].temp ||
            !type_elementary(symbol->type))
            continue;
        any = i;
        ++*count;
        if (plausible(draft, i, input)) {
            good = i;
            goods++;
        }
    }
    if (goods == 1)
        *count = 1;
    return goods == 1 ? good : any;
}

static void nothing_bound(struct draft *draft, const struct name *name,
                          struct span span, const char *what, bool input)
{
    VEC(const struct scope *) scopes = {0};
    const struct symbol *near;

    vec_push(&scopes, &draft->globals);
    for (size_t i = 0; i < draft->program_units.n; i++)
        vec_push(&scopes, &draft->program_units.at[i]->scope);
    near = scope_nearest(scopes.at, scopes.n, name);
    vec_release(&scopes);
    diag_add(
        draft->diags, DIAG_ERROR, span,
        near    ? arena_printf(draft->arena,
                               "write '%s', or say in %s what it does",
                               draft_spelling(draft, near->name, near->span),
                            input ? "WIRING IN" : "WIRING OUT")
        : input ? "give it the name of a program input, or read it in "
                  "WIRING IN"
                : "give it the name of a program output, or assign it "
                  "in WIRING OUT",
        "the %s '%s' binds to nothing: no control variable has this "
        "name, and no wiring names it",
        what, name->spelling);
}

static void too_many(struct draft *draft, const struct name *name,
                     struct span span, bool input)
{
    diag_add(draft->diags, DIAG_ERROR, span,
             input
                 ? arena_printf(draft->arena,
                                "say which in WIRING IN: Program.%s := "
                                "%s;",
                                name->spelling, name->spelling)
                 : arena_printf(draft->arena,
                                "say which in WIRING OUT: %s := COMMANDED "
                                "Program.%s;",
                                name->spelling, name->spelling),
             "'%s' is the name of more than one control variable",
             name->spelling);
}

/* May something of this type drive the slot?  Reports if not. */
static bool drives(struct draft *draft, uint32_t number,
                   const struct name *name, const struct type *type,
                   struct span span)
{
    const struct slot *slot = &draft->slots.at[number];
    const struct use *use = &draft->uses.at[number];

    if (use->driven.file) {
        refuse(draft, span, "take FIXED or SHARED out, or the signal",
               "drives a variable that is FIXED or SHARED", name);
        diag_also(draft->diags, use->driven, "said here");
        return false;
    }
    if (use->written.file || use->symbol->constant) {
        refuse(draft, span,
               "give the signal the name of an input, or say "
               "in WIRING IN what it drives",
               "cannot drive a variable that the control text gives its "
               "value",
               name);
        diag_also(draft->diags,
                  use->symbol->constant ? use->symbol->span : use->written,
                  use->symbol->constant ? "a CONSTANT" : "written here");
        return false;
    }
    if (type_fits(type, slot->type) && type->low >= slot->type->low &&
        type->high <= slot->type->high)
        return true;
    diag_add(draft->diags, DIAG_ERROR, span,
             "declare the signal as the variable is, or convert it in "
             "WIRING IN",
             "'%s' is of the type %s, the control variable of the type %s",
             name->spelling, wording_type(draft, type),
             wording_type(draft, slot->type));
    diag_also(draft->diags, use->symbol->span, "declared here");
    return false;
}

static void drive(struct draft *draft, uint32_t slot,
                  enum slot_driver driver, uint32_t index, struct span span)
{
    draft->slots.at[slot].driver = driver;
    draft->slots.at[slot].driver_index = index;
    draft->uses.at[slot].driven = span;
}

/* A contact or sensor that looks for its program input. */
struct offer {
    const struct name *name;
    const struct type *type;
    struct span span;
    enum slot_driver driver;
    uint32_t index;
    bool used; /* read in wiring or mechanism */
};

static void bind_input(struct draft *draft, const struct offer *offer)
{
    unsigned count;
    uint32_t slot = partner(draft, offer->name, true, &count);

    if (!count && !offer->used && offer->driver == DRIVER_CONTACT)
        nothing_bound(draft, offer->name, offer->span, "control or contact",
                      true);
    if (count > 1 && !offer->used)
        too_many(draft, offer->name, offer->span, true);
    if (count != 1 || draft->uses.at[slot].wired.file)
        return;
    if (offer->used && !plausible(draft, slot, true))
        return; /* the wiring says what it does */
    if (drives(draft, slot, offer->name, offer->type, offer->span))
        drive(draft, slot, offer->driver, offer->index, offer->span);
}

static void bind_command(struct draft *draft, struct actuator *actuator)
{
    unsigned count;
    uint32_t slot = partner(draft, actuator->name, false, &count);

    if (actuator->command != MODEL_NONE)
        return;
    if (!count && !actuator->wired)
        nothing_bound(draft, actuator->name, actuator->span, "actuator",
                      false);
    if (count > 1)
        too_many(draft, actuator->name, actuator->span, false);
    if (count != 1)
        return;
    if (plausible(draft, slot, false)) {
        actuator->command = slot;
        return;
    }
    if (actuator->wired)
        return;
    refuse(draft, actuator->span,
           "give it the name of an output, or assign "
           "it in WIRING OUT",
           "commands nothing: the control text never "
           "writes the variable of its name",
           actuator->name);
    diag_also(draft->diags, draft->uses.at[slot].symbol->span,
              "declared here");
}

static void bind_wired(struct draft *draft, uint32_t slot)
{
    const struct use *use = &draft->uses.at[slot];

    if (use->written.file) {
        refuse(draft, use->wired, "assign an input of the program",
               "is assigned by the control text too", use->symbol->name);
        diag_also(draft->diags, use->written, "written here");
    } else if (use->driven.file) {
        refuse(draft, use->wired, "keep one of the two",
               "is FIXED or SHARED too", use->symbol->name);
        diag_also(draft->diags, use->driven, "said here");
    } else {
        draft->slots.at[slot].driver = DRIVER_WIRING;
    }
}

static void bind_inputs(struct draft *draft)
{
    for (uint32_t i = 0; i < draft->contacts.n; i++) {
        const struct contact *contact = &draft->contacts.at[i];

        bind_input(draft, &(struct offer){contact->name, contact->type,
                                          contact->span, DRIVER_CONTACT, i,
                                          draft->contact_used.at[i]});
    }
    for (uint32_t i = 0; i < draft->sensors.n; i++)
        bind_input(draft,
                   &(struct offer){draft->sensors.at[i].name,
                                   draft->types.boolean,
                                   draft->sensors.at[i].span, DRIVER_SENSOR,
                                   i, draft->sensor_used.at[i]});
}

void bind_signals(struct draft *draft)
{
    bind_inputs(draft);
    for (size_t i = 0; i < draft->actuators.n; i++)
        bind_command(draft, &draft->actuators.at[i]);
    for (uint32_t i = 0; i < draft->slots.n; i++)
        if (draft->uses.at[i].wired.file)
            bind_wired(draft, i);
}

/* ---- what is free ---- */

static bool is_free(const struct draft *draft, uint32_t number)
{
    const struct use *use = &draft->uses.at[number];
    const struct slot *slot = &draft->slots.at[number];

    if (!use->symbol || slot->temp || slot->driver != DRIVER_NONE ||
        use->written.file || use->symbol->constant)
        return false;
    return use->read.file || use->symbol->at_input ||
           (use->program && use->symbol->section == TREE_VAR_INPUT);
}

/* A variable that stays as it begins (wide.h). */
static bool hold(struct draft *draft, uint32_t number)
{
    bool all;

    if (!widening_is_held(draft, number, &all))
        return false;
    draft->slots.at[number].driver = DRIVER_FIXED;
    vec_push(&draft->fixed,
             ((struct fixed){number, "no text writes it, and not each value "
                                     "can be tried", NULL, false, true}));
    return true;
}

void bind_free(struct draft *draft)
{
    for (uint32_t i = 0; i < draft->slots.n; i++) {
        struct slot *slot = &draft->slots.at[i];
        const struct use *use = &draft->uses.at[i];
        bool open = is_free(draft, i) && !hold(draft, i);

        if (open || use->shared) {
            slot->driver = DRIVER_CHOICE;
            slot->driver_index = MODEL_NONE;
        }
        slot->output = use->symbol && use->written.file &&
                       (use->symbol->section == TREE_VAR_OUTPUT ||
                        use->symbol->at_output);
        slot->input = slot->driver != DRIVER_NONE && !use->shared &&
                      !(use->symbol && use->symbol->constant);
    }
}
