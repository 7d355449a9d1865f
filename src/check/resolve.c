#include "check/resolve.h"

#include "check/arith.h"
#include "check/called.h"
#include "check/element.h"
#include "check/loose.h"
#include "check/missing.h"
#include "check/place.h"
#include "check/standard.h"
#include "check/told.h"
#include "check/typing.h"

static bool refuse(struct draft *draft, struct span span, const char *hint,
                   const char *what, const struct name *name)
{
    diag_add(draft->diags, DIAG_ERROR, span, hint, "'%s' %s",
             draft_spelling(draft, name, span), what);
    return false;
}

/* ---- members of instances ---- */

static bool may_see(const struct env *env, const struct symbol *member)
{
    return env && env->text == TEXT_CONTROL
               ? member->section == TREE_VAR_INPUT ||
                     member->section == TREE_VAR_OUTPUT
               : member->section != TREE_VAR_IN_OUT;
}

static bool step_into(struct draft *draft, struct env *env,
                      const struct path_part *part, struct found *found)
{
    const struct scope *scope = &found->unit->scope;
    const struct symbol *near;
    const struct symbol *member =
        standard_member(draft, found->unit, part->name, part->span);

    if (!member || member->hidden) {
        near = scope_nearest(&scope, 1, part->name);
        diag_add(draft->diags, DIAG_ERROR, part->span,
                 near ? arena_printf(
                            draft->arena, "write '%s'",
                            draft_spelling(draft, near->name, near->span))
                      : "name one of its inputs or outputs",
                 "'%s' has no variable '%s'", found->unit->name->spelling,
                 part->name->spelling);
        return false;
    }
    if (!may_see(env, member))
        return refuse(draft, part->span,
                      "only its inputs and outputs are "
                      "seen from outside: make it a VAR_OUTPUT",
                      "is inside the block", part->name);
    if (member->kind == SYMBOL_VARIABLE && !member->type)
        return false;
    found->kind =
        member->kind == SYMBOL_INSTANCE ? FOUND_INSTANCE : FOUND_VARIABLE;
    found->variable =
        member->variable.base == CODE_LOCAL
            ? code_behind(found->variable, member->variable.index)
            : member->variable;
    found->part = 0;
    found->symbol = member;
    found->type = member->type;
    found->unit = member->unit;
    found->member = true;
    return true;
}

/* An index or a bit, where a name must stand. */
static bool no_name(struct draft *draft, const struct path_part *part,
                    const struct found *found)
{
    bool bit = part->kind == PART_BIT;

    if (bit && found && found->type)
        diag_add(draft->diags, DIAG_ERROR, part->span,
                 "name the variable alone",
                 "only bit strings have bits, this is %s",
                 type_words(found->type));
    else
        diag_add(draft->diags, DIAG_ERROR, part->span,
                 bit ? "name the variable alone"
                     : "write a name behind a point",
                 bit ? "this has no bits" : "this is no array");
    return false;
}

/* The BOOLs in the order of their bits. */
static uint32_t rank_of(uint64_t bits, uint32_t bit)
{
    return (uint32_t)__builtin_popcountll(bits & ((UINT64_C(1) << bit) - 1));
}

bool found_outside(const struct draft *draft, struct found *found,
                   uint32_t bit)
{
    const struct symbol *word = found->symbol;

    if (found->kind != FOUND_VARIABLE || found->type != word->type ||
        found->variable.n_steps || !(word->outside >> bit & 1))
        return false;
    found->variable = code_behind(found->variable,
                                  1 + rank_of(word->outside, bit));
    found->type = draft->types.boolean;
    return true;
}

static bool step_bit(struct draft *draft, const struct path_part *part,
                     struct found *found)
{
    const struct type *type = found->type;
    unsigned width;

    if ((type->kind != TYPE_BITS && type->kind != TYPE_INTEGER) ||
        part->next || found->bit)
        return no_name(draft, part, found);
    width = type_width(type);
    if (part->bit < 0 || part->bit >= width) {
        diag_add(draft->diags, DIAG_ERROR, part->span,
                 arena_printf(draft->arena, "write a number from 0 to %u",
                              width - 1),
                 "a %s has no bit %lld", type_words(type_base(type)),
                 (long long)part->bit);
        return false;
    }
    if (part->bit == 63 && type->kind == TYPE_INTEGER && type->low >= 0) {
        diag_add(draft->diags, DIAG_ERROR, part->span,
                 "declare it as an LWORD",
                 "bit 63 of a ULINT is not followed in this version");
        return false;
    }
    if (found_outside(draft, found, (uint32_t)part->bit))
        return true;
    found->bit = true;
    found->index = (uint32_t)part->bit;
    return true;
}

/* One letter of a text. */
static bool step_letter(struct draft *draft, struct env *env,
                        const struct path_part *part, struct found *found)
{
    struct code_expr *number;

    if (part->indices.n != 1 || part->next || !env ||
        env->text != TEXT_CONTROL) {
        diag_add(draft->diags, DIAG_ERROR, part->span,
                 "take one letter, in the control text",
                 "a letter of a text cannot stand here");
        return false;
    }
    number = draft->expr_check(env, part->indices.first, NULL);
    if (!number)
        return false;
    loose_number(env, number);
    arith_settle(draft, number);
    if (number->type->kind != TYPE_INTEGER) {
        diag_add(draft->diags, DIAG_ERROR, part->indices.first->span,
                 "write a number", "an index is a whole number, this is %s",
                 type_words(number->type));
        return false;
    }
    found->letter = number;
    found->bit = true;
    return true;
}

/* An element or a field that is an instance. */
static void settle(struct found *found)
{
    if (found->type->kind != TYPE_BLOCK)
        return;
    found->kind = FOUND_INSTANCE;
    found->unit = found->type->unit;
}

static bool step_part(struct draft *draft, struct env *env,
                      const struct path_part *part, struct found *found)
{
    struct element at = {found->variable, found->type, found->part};

    if (found->kind == FOUND_VARIABLE && part->kind == PART_NAME &&
        found->type->kind != TYPE_STRUCT)
        return refuse(
            draft, part->span, "write the name before the point alone",
            "stands behind something that has no parts", part->name);
    if (found->kind != FOUND_VARIABLE)
        return part->kind == PART_NAME
                   ? refuse(draft, part->span,
                            "write the name before the point alone",
                            "stands behind something that has no parts",
                            part->name)
                   : no_name(draft, part, found);
    if (part->kind == PART_BIT)
        return step_bit(draft, part, found);
    if (part->kind == PART_INDEX && type_fits(found->type, draft->types.text))
        return step_letter(draft, env, part, found);
    if (!element_step(draft, env, part, &at))
        return false;
    found->variable = at.variable;
    found->type = at.type;
    found->part = at.part;
    settle(found);
    return true;
}

static bool step_rest(struct draft *draft, struct env *env,
                      const struct path_part *part, struct found *found)
{
    for (; part; part = part->next)
        if (found->kind == FOUND_INSTANCE && part->kind == PART_NAME
                ? !step_into(draft, env, part, found)
                : !step_part(draft, env, part, found))
            return false;
    return true;
}

bool found_single(const struct found *found)
{
    return found->kind == FOUND_VARIABLE && type_elementary(found->type) &&
           !found->variable.n_steps;
}

bool found_inside(const struct draft *draft, const struct found *found)
{
    return found->member && found->variable.index < draft->uses.n &&
           !draft->uses.at[found->variable.index].symbol;
}

/* False without a report when the declaration itself had a mistake. */
static bool start_at(const struct symbol *symbol, struct found *found)
{
    *found = (struct found){.symbol = symbol,
                            .root = symbol,
                            .variable = symbol->variable,
                            .type = symbol->type,
                            .unit = symbol->unit};
    found->kind = symbol->kind == SYMBOL_VARIABLE   ? FOUND_VARIABLE
                  : symbol->kind == SYMBOL_INSTANCE ? FOUND_INSTANCE
                                                    : FOUND_SYMBOL;
    return found->kind != FOUND_VARIABLE || symbol->type;
}

/* ---- control variables seen from a review text ---- */

static bool is_own(const struct symbol *symbol)
{
    return symbol &&
           (symbol->kind == SYMBOL_VARIABLE ||
            symbol->kind == SYMBOL_INSTANCE) &&
           symbol->section != TREE_VAR_EXTERNAL &&
           symbol->section != TREE_VAR_IN_OUT;
}

static bool start_in_program(const struct draft *draft, size_t program,
                             const struct symbol *symbol,
                             struct found *found)
{
    bool good = start_at(symbol, found);

    if (found->variable.base == CODE_LOCAL)
        found->variable.index += draft->programs.at[program].frame;
    found->variable.base = CODE_GLOBAL;
    found->control = true;
    return good;
}

unsigned resolve_candidates(const struct draft *draft,
                            const struct name *name, struct found *found)
{
    unsigned count = 0;
    const struct symbol *symbol = scope_find(&draft->globals, name);

    if (symbol) {
        start_at(symbol, found);
        found->control = true;
        count++;
    }
    for (size_t i = 0; i < draft->program_units.n; i++) {
        symbol = scope_find(&draft->program_units.at[i]->scope, name);
        if (is_own(symbol) && !count++)
            start_in_program(draft, i, symbol, found);
    }
    return count;
}

static bool several(struct draft *draft, const struct path_part *part)
{
    const char *program = "Program";

    for (size_t i = 0; i < draft->program_units.n; i++)
        if (is_own(
                scope_find(&draft->program_units.at[i]->scope, part->name)))
            program = draft->program_names.at[i]->spelling;
    return refuse(draft, part->span,
                  arena_printf(draft->arena,
                               "write the program before it, such as %s.%s",
                               program, part->name->spelling),
                  "is the name of more than one control variable",
                  part->name);
}

static int find_program(const struct draft *draft, const struct name *name)
{
    int only = -1;

    for (size_t i = 0; i < draft->program_names.n; i++)
        if (draft->program_names.at[i] == name)
            return (int)i;
    for (size_t i = 0; i < draft->program_units.n; i++)
        if (draft->program_units.at[i]->name == name)
            only = only < 0 ? (int)i : -2; /* several instances: none */
    return only < 0 ? -1 : only;
}

static bool in_program(struct draft *draft, struct env *env, size_t program,
                       const struct path_part *part, struct found *found)
{
    struct unit *unit = draft->program_units.at[program];
    const struct scope *scope = &unit->scope;
    const struct symbol *symbol, *near;

    if (part->kind != PART_NAME)
        return no_name(draft, part, NULL);
    symbol = scope_find(scope, part->name);
    if (symbol && symbol->variable.base == CODE_IN_OUT)
        return refuse(draft, part->span,
                      "name the variable that its caller hands over",
                      "is a VAR_IN_OUT: it has no value of its own",
                      part->name);
    if (symbol)
        return start_in_program(draft, program, symbol, found) &&
               step_rest(draft, env, part->next, found);
    near = scope_nearest(&scope, 1, part->name);
    diag_add(
        draft->diags, DIAG_ERROR, part->span,
        near ? arena_printf(draft->arena, "write '%s'",
                            draft_spelling(draft, near->name, near->span))
             : "name one of the variables that the program declares",
        "the program '%s' has no variable '%s'", unit->name->spelling,
        part->name->spelling);
    return false;
}

/* 1 found, 0 no such name, -1 a mistake was reported.  Without env indices
 * must be known before the start. */
static int find_control(struct draft *draft, struct env *env,
                        const struct tree_path *path, struct found *found)
{
    const struct path_part *first = path->parts.first;
    int program = find_program(draft, first->name);
    struct symbol *symbol;
    unsigned count;

    if (first->name->folded[0] == '%') {
        symbol = ARENA_NEW(draft->arena, struct symbol);
        if (!place_find(draft, NULL, first->name, symbol))
            return 0;
        found->control = start_at(symbol, found);
        return found->control && step_rest(draft, env, first->next, found)
                   ? 1 : -1;
    }
    if (program >= 0 && first->next)
        return in_program(draft, env, (size_t)program, first->next, found)
                   ? 1 : -1;
    count = resolve_candidates(draft, first->name, found);
    if (count > 1)
        return several(draft, first) ? 1 : -1;
    if (!count)
        return 0;
    if (found->kind == FOUND_VARIABLE && !found->type)
        return -1;
    return step_rest(draft, env, first->next, found) ? 1 : -1;
}

static bool whole(struct draft *draft, const struct tree_path *path,
                  const struct found *found)
{
    if (!found->bit)
        return true;
    diag_add(draft->diags, DIAG_ERROR, path->span,
             "name the variable alone, or a BOOL that the bit is given to",
             "a single bit cannot stand here");
    return false;
}

bool resolve_control_bit(struct draft *draft, const struct tree_path *path,
                     struct found *found)
{
    struct env env = {.draft = draft, .text = TEXT_REQUIREMENT};
    int result = find_control(draft, NULL, path, found);

    if (!result)
        resolve_unknown(&env, path->parts.first);
    return result == 1;
}

bool resolve_control(struct draft *draft, const struct tree_path *path,
                     struct found *found)
{
    return resolve_control_bit(draft, path, found) &&
           whole(draft, path, found);
}

/* ---- names ---- */

void resolve_unknown(struct env *env, const struct path_part *part)
{
    struct draft *draft = env->draft;
    VEC(const struct scope *) scopes = {0};
    const struct symbol *near;
    bool control = env->text == TEXT_CONTROL;

    vec_push(&scopes, control ? &env->unit->scope : &draft->review);
    for (size_t i = 0; !control && i < draft->program_units.n; i++)
        vec_push(&scopes, &draft->program_units.at[i]->scope);
    vec_push(&scopes, &draft->globals);
    vec_push(&scopes, &draft->item_scope);
    near = scope_nearest(scopes.at, scopes.n, part->name);
    if (near && near->span.file)
        diag_add(draft->diags, DIAG_ERROR, part->span,
                 arena_printf(draft->arena,
                              "declare it, or write '%s', declared on line "
                              "%u",
                              draft_spelling(draft, near->name, near->span),
                              draft_line(draft, near->span)),
                 "'%s' is not declared", part->name->spelling);
    else
        diag_add(draft->diags, DIAG_ERROR, part->span,
                 control ? "declare it in a VAR section"
                         : "declare it in the review text, or name a "
                           "variable of the control text",
                 "'%s' is not declared", part->name->spelling);
    vec_release(&scopes);
}

static bool is_function(const struct symbol *symbol)
{
    return symbol->unit && symbol->unit->tree &&
           symbol->unit->tree->kind == TREE_FUNCTION;
}

/* An item, or nothing known. */
static bool find_item(struct env *env, const struct tree_path *path,
                      const struct type *wanted, struct found *found)
{
    const struct path_part *first = path->parts.first;
    bool many = false, known = false;
    const struct symbol *unit, *item =
        first->next ? typing_dotted(env->draft, path, &known)
                    : typing_item(env->draft, first->name, wanted, &many);

    if (!item && known)
        return false;
    if (!item) {
        unit = scope_find(&env->draft->unit_scope, first->name);
        if (unit)
            return refuse(env->draft, first->span,
                          is_function(unit)
                              ? "call it with ( ) and use what it gives"
                              : "declare an instance of it in VAR, and name "
                                "that",
                          "is not a variable", first->name);
        resolve_unknown(env, first);
        return false;
    }
    if (many)
        return refuse(env->draft, first->span,
                      arena_printf(env->draft->arena,
                                   "write the type before it: Type#%s",
                                   first->name->spelling),
                      "is an item of more than one enumeration",
                      first->name);
    return start_at(item, found);
}

/* Type.Item where a variable is called as its type: an elementary one has no
 * parts. */
static const struct symbol *item_beside(struct env *env,
                                        const struct tree_path *path,
                                        const struct symbol *symbol)
{
    bool known;

    if (!symbol || symbol->kind != SYMBOL_VARIABLE || !symbol->type ||
        !type_elementary(symbol->type))
        return NULL;
    return typing_dotted(env->draft, path, &known);
}

/* List.name, where the name of the list of globals stands nowhere: exports
 * leave it out. */
static const struct symbol *in_list(struct env *env,
                                    const struct path_part *first)
{
    struct draft *draft = env->draft;
    const struct symbol *symbol =
        first->next && first->next->kind == PART_NAME &&
                !scope_find(&draft->type_scope, first->name) &&
                !scope_find(&draft->unit_scope, first->name)
            ? scope_find(&draft->globals, first->next->name) : NULL;

    if (symbol)
        told_seen(draft, TOLD_LIST, first->span);
    return symbol;
}

/* Program.name in another POU: as of an instance. */
static bool part_of_program(struct env *env, const struct path_part *first,
                            struct found *found)
{
    struct unit *program = called_named(env, first->name);
    const struct symbol *symbol =
        scope_find(&env->draft->unit_scope, first->name);
    uint32_t frame =
        program ? called_frame(env->draft, program) : MODEL_NONE;

    if (frame == MODEL_NONE)
        return false;
    env->unit->reads_globals = true;
    *found = (struct found){
        .kind = FOUND_INSTANCE,
        .symbol = symbol,
        .root = symbol,
        .variable = {.base = CODE_GLOBAL, .index = frame},
        .unit = program};
    return true;
}

/* The variable at a place that stands where a name could. */
static bool at_place(struct env *env, const struct path_part *first,
                     struct found *found)
{
    struct symbol *symbol = ARENA_NEW(env->draft->arena, struct symbol);

    if (!place_find(env->draft, env->unit, first->name, symbol)) {
        diag_add(env->draft->diags, DIAG_ERROR, first->span,
                 "declare it, with AT and its type",
                 "nothing is known at the place %s", first->name->spelling);
        return false;
    }
    if (env->unit && symbol->variable.base == CODE_GLOBAL)
        env->unit->reads_globals = true;
    return start_at(symbol, found) &&
           step_rest(env->draft, env, first->next, found);
}

static bool from_control(struct env *env, const struct tree_path *path,
                         const struct type *wanted, struct found *found)
{
    const struct path_part *first = path->parts.first;
    const struct symbol *symbol =
        scope_find(&env->unit->scope, first->name);
    const struct symbol *item;

    if (first->name->folded[0] == '%')
        return at_place(env, first, found);
    if (!symbol)
        symbol = scope_find(&env->draft->globals, first->name);
    if (!symbol && first->next && part_of_program(env, first, found))
        return step_rest(env->draft, env, first->next, found);
    if (!symbol && (symbol = in_list(env, first)) != NULL)
        first = first->next;
    if (!symbol)
        return find_item(env, path, wanted, found);
    item = item_beside(env, path, symbol);
    if (item)
        return start_at(item, found);
    if (symbol->missing && first->next && first->next->name &&
        !first->next->next)
        missing_port(symbol, first->next->name, wanted, true);
    if (symbol->variable.base == CODE_GLOBAL && !symbol->constant)
        env->unit->reads_globals = true;
    return start_at(symbol, found) &&
           step_rest(env->draft, env, first->next, found);
}

static bool in_body(struct env *env, const struct symbol *body,
                    const struct path_part *part, struct found *found)
{
    const struct symbol *symbol =
        part->kind == PART_NAME ? scope_find(&env->draft->review, part->name)
                                : NULL;

    if (part->kind != PART_NAME)
        return no_name(env->draft, part, NULL);
    if (!symbol ||
        (symbol->kind != SYMBOL_VARIABLE &&
         symbol->kind != SYMBOL_INSTANCE) ||
        symbol->home != body->home || symbol->owner != body->index)
        return refuse(env->draft, part->span,
                      arena_printf(env->draft->arena,
                                   "name a variable that '%s' declares",
                                   body->name->spelling),
                      "is not declared there", part->name);
    return start_at(symbol, found) &&
           step_rest(env->draft, env, part->next, found);
}

static bool from_review(struct env *env, const struct tree_path *path,
                        const struct type *wanted, struct found *found)
{
    const struct path_part *first = path->parts.first;
    struct draft *draft = env->draft;
    const struct symbol *symbol = scope_find(&draft->review, first->name);
    const struct symbol *body = scope_find(&draft->bodies, first->name);
    bool program = find_program(draft, first->name) >= 0;
    int result;

    if (first->next && !program && body &&
        !(symbol && symbol->kind == SYMBOL_INSTANCE))
        return in_body(env, body, first->next, found);
    if (symbol && !(first->next && program))
        return start_at(symbol, found) &&
               step_rest(draft, env, first->next, found);
    result = find_control(draft, env, path, found);
    return result ? result == 1 : find_item(env, path, wanted, found);
}

/* Where an enumeration is wanted, its item goes before a variable of the
 * same name that could not stand there. */
static const struct symbol *wanted_item(const struct env *env,
                                        const struct tree_path *path,
                                        const struct type *wanted)
{
    const struct name *name = path->parts.first->name;
    const struct symbol *item, *other;
    bool several;

    if (!wanted || wanted->kind != TYPE_ENUM || path->parts.first->next)
        return NULL;
    item = typing_item(env->draft, name, wanted, &several);
    if (!item || !type_fits(item->type, wanted))
        return NULL;
    other = env->text == TEXT_CONTROL
                ? scope_find(&env->unit->scope, name)
                : scope_find(&env->draft->review, name);
    return other && other->type && type_fits(other->type, wanted) ? NULL
                                                                  : item;
}

bool resolve_may_be_item(const struct env *env,
                         const struct tree_expr *tree)
{
    return tree->kind == TREE_REF && !tree->path->parts.first->next &&
           scope_find(&env->draft->item_scope,
                      tree->path->parts.first->name) != NULL;
}

bool resolve_bit(struct env *env, const struct tree_path *path,
                  const struct type *wanted, struct found *found)
{
    const struct symbol *item = wanted_item(env, path, wanted);

    if (item)
        return start_at(item, found);
    return env->text == TEXT_CONTROL
               ? from_control(env, path, wanted, found)
               : from_review(env, path, wanted, found);
}

bool resolve_path(struct env *env, const struct tree_path *path,
                  const struct type *wanted, struct found *found)
{
    return resolve_bit(env, path, wanted, found) &&
           whole(env->draft, path, found);
}
