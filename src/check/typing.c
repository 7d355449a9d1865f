#include "check/typing.h"

#include "base/ensure.h"
#include "check/initial.h"
#include "check/instance.h"
#include "check/shape.h"
#include "check/need.h"
#include "check/real.h"
#include "check/reckon.h"
#include "check/told.h"
#include "check/wording.h"
#include "check/written.h"

enum { MAX_ITEMS = 4096, MAX_NESTING = 64 };

/* ---- enumerations and their items ---- */

static void enter_item(struct draft *draft, const struct type *type,
                       uint32_t value, const struct tree_enum_item *tree)
{
    struct symbol item = {.name = tree->name,
                          .kind = SYMBOL_ITEM,
                          .span = tree->span,
                          .type = type,
                          .value = value};
    struct symbol *first = scope_find(&draft->item_scope, item.name), *copy;

    if (!first) {
        scope_put(&draft->item_scope, draft->arena, &item);
        return;
    }
    copy = ARENA_NEW(draft->arena, struct symbol);
    *copy = item;
    copy->same = first->same;
    first->same = copy;
}

const struct type *typing_enumeration(struct draft *draft,
                                      const struct name *name,
                                      const struct tree_enum_item *items,
                                      uint32_t count)
{
    struct type *type = ARENA_NEW(draft->arena, struct type);
    const struct name **names =
        arena_array(draft->arena, count, sizeof *names);
    uint32_t i = 0;

    ENSURE(count > 0);
    if (count > MAX_ITEMS) {
        diag_add(draft->diags, DIAG_ERROR, items->span,
                 "use an integer type",
                 "an enumeration of more than %d items", MAX_ITEMS);
        return NULL;
    }
    written_items(draft, items);
    *type = (struct type){
        .kind = TYPE_ENUM, .name = name, .high = count - 1, .count = count,
        .size = 1};
    type->items = names;
    for (const struct tree_enum_item *at = items; at; at = at->next)
        names[i++] = draft_named(draft, at->name, at->span);
    i = 0;
    for (const struct tree_enum_item *at = items; at; at = at->next)
        enter_item(draft, type, i++, at);
    return type;
}

static const struct type *enumeration(struct draft *draft,
                                      const struct name *name,
                                      const struct tree_type *tree)
{
    const struct type *base = NULL, *type;
    bool known = true;

    if (tree->name)
        base = typing_named(draft, tree->name, tree->span, &known);
    if (!known || (base && base->kind != TYPE_INTEGER &&
                   base->kind != TYPE_BITS)) {
        diag_add(draft->diags, DIAG_ERROR, tree->span,
                 "write INT, or leave the type out",
                 "the items of an enumeration are numbered by an integer "
                 "type");
        return NULL;
    }
    if (tree->name && !base)
        return NULL;
    type = typing_enumeration(draft, name, tree->items.first, tree->items.n);
    /* made just now, seen by nobody yet */
    return type && shape_numbers(draft, base, tree->items.first,
                                 (struct type *)type) ? type : NULL;
}

const struct symbol *typing_item(const struct draft *draft,
                                 const struct name *name,
                                 const struct type *wanted, bool *several)
{
    const struct symbol *first = scope_find(&draft->item_scope, name);

    *several = false;
    if (wanted)
        for (const struct symbol *at = first; at; at = at->same)
            if (type_fits(at->type, wanted))
                return at;
    for (const struct symbol *at = first; at && !*several; at = at->same)
        *several = !type_fits(at->type, first->type);
    return first;
}

static const struct symbol *item_of(struct draft *draft,
                                    const struct type *type,
                                    const struct name *item,
                                    struct span span)
{
    for (const struct symbol *at = scope_find(&draft->item_scope, item); at;
         at = at->same)
        if (type_fits(at->type, type))
            return at;
    diag_add(draft->diags, DIAG_ERROR, span,
             "write one of the items of the type",
             "the type '%s' has no item '%s'", type_words(type),
             item->spelling);
    return NULL;
}

const struct symbol *typing_qualified(struct draft *draft,
                                      const struct tree_expr *tree)
{
    bool known;
    const struct type *type =
        typing_named(draft, tree->type_name, tree->span, &known);

    if (!known)
        diag_add(draft->diags, DIAG_ERROR, tree->span,
                 "declare it in a TYPE section", "there is no type '%s'",
                 tree->type_name->spelling);
    if (!type || type->kind == TYPE_ENUM)
        return type ? item_of(draft, type, tree->path->parts.first->name,
                              tree->span) : NULL;
    diag_add(draft->diags, DIAG_ERROR, tree->span,
             wording_example(draft, type), "this is no value of %s",
             type_words(type));
    return NULL;
}

const struct symbol *typing_dotted(struct draft *draft,
                                   const struct tree_path *path,
                                   bool *known)
{
    const struct path_part *first = path->parts.first, *item = first->next;
    const struct type *type;

    *known = false;
    if (path->parts.n != 2 || item->kind != PART_NAME)
        return NULL;
    type = typing_named(draft, first->name, first->span, known);
    *known = *known && !(type && type->kind != TYPE_ENUM);
    return *known && type ? item_of(draft, type, item->name, item->span)
                          : NULL;
}

/* ---- constant expressions ---- */

struct folding {
    struct draft *draft;
    const struct scope *scope;
    const struct type *wanted;
    unsigned depth;
};

static bool fold(struct folding *folding, const struct tree_expr *tree,
                 struct constant *out);

static bool refuse(struct folding *folding, const struct tree_expr *tree,
                   const char *what)
{
    diag_add(folding->draft->diags, DIAG_ERROR, tree->span,
             "write a value, or the name of a CONSTANT", "%s", what);
    return false;
}

static bool fold_typed(struct folding *folding,
                       const struct tree_expr *tree, struct constant *out)
{
    bool known;

    out->value = tree->number;
    out->type = NULL;
    if (!tree->type_name)
        return true;
    out->type =
        typing_named(folding->draft, tree->type_name, tree->span, &known);
    if (!known)
        return refuse(folding, tree, "there is no such type");
    if (!out->type)
        return false;
    if (out->type->kind != TYPE_INTEGER && out->type->kind != TYPE_BITS &&
        out->type->kind != TYPE_BOOL)
        return refuse(folding, tree,
                      "a number of this type is written "
                      "without its name");
    if (!typing_holds(out->type, tree))
        return refuse(folding, tree, "the value does not fit its type");
    return true;
}

/* tab[2].x of a CONSTANT that is an array or a structure. */
static bool fold_part(struct folding *folding, const struct path_part *part,
                      const struct type **type, uint32_t *offset)
{
    const struct type_field *field;
    const struct tree_expr *index = part->indices.first;
    int64_t value;

    if (part->kind == PART_NAME && (*type)->kind == TYPE_STRUCT) {
        field = type_field(*type, part->name);
        *offset += field ? field->offset : 0;
        *type = field ? field->type : NULL;
        return field;
    }
    if (part->kind != PART_INDEX || (*type)->kind != TYPE_ARRAY ||
        part->indices.n != (*type)->n_dims)
        return false;
    for (uint32_t i = 0; i < (*type)->n_dims; i++, index = index->next) {
        const struct type_dim *dim = &(*type)->dims[i];

        if (!typing_constant(folding->draft, folding->scope, index,
                             folding->draft->types.lint, &value) ||
            value < dim->low || value > dim->high)
            return false;
        *offset += (uint32_t)(value - dim->low) * dim->stride;
    }
    *type = (*type)->element;
    return true;
}

static bool fold_path(struct folding *folding, const struct tree_expr *tree,
                      struct constant *out)
{
    const struct path_part *part = tree->path->parts.first;
    const struct symbol *symbol =
        folding->scope ? scope_find(folding->scope, part->name) : NULL;
    const struct type *type;
    uint32_t offset = 0;
    bool known;

    if (!symbol)
        symbol = scope_find(&folding->draft->globals, part->name);
    if (!symbol && part->next->kind == PART_NAME &&
        !scope_find(&folding->draft->type_scope, part->name)) {
        symbol = scope_find(&folding->draft->globals, part->next->name);
        part = symbol ? part->next : part; /* behind the list's name */
    }
    if (!symbol || (symbol->type && part->next &&
                    type_elementary(symbol->type))) {
        symbol = typing_dotted(folding->draft, tree->path, &known);
        if (symbol)
            *out = (struct constant){symbol->type, symbol->value};
        else if (!known)
            refuse(folding, tree, "this is not known before the start");
        return symbol != NULL;
    }
    if (symbol->constant && symbol->type && !part->next &&
        type_elementary(symbol->type)) {
        *out = (struct constant){symbol->type, symbol->value};
        return true;
    }
    type = symbol->type;
    if (!symbol->constant || !symbol->values)
        return refuse(folding, tree, "this is not known before the start");
    for (part = part->next; part; part = part->next)
        if (!fold_part(folding, part, &type, &offset))
            return refuse(folding, tree,
                          "the CONSTANT has no such element or field");
    if (!type_elementary(type))
        return refuse(folding, tree, "this has several values");
    *out = (struct constant){type, symbol->values[offset]};
    return true;
}

static bool fold_name(struct folding *folding, const struct tree_expr *tree,
                      struct constant *out)
{
    const struct name *name = tree->path->parts.first->name;
    const struct symbol *symbol = NULL;
    const struct scope *scopes[3] = {folding->scope,
                                     &folding->draft->globals,
                                     &folding->draft->item_scope};
    bool several = false;

    if (tree->path->parts.n > 1)
        return fold_path(folding, tree, out);
    symbol = typing_item(folding->draft, name, folding->wanted, &several);
    if (symbol && (several || !folding->wanted ||
                   !type_fits(symbol->type, folding->wanted))) {
        symbol = NULL; /* a constant of that name goes first */
        several = false;
    }
    if (!symbol && scopes[0])
        symbol = scope_find(scopes[0], name);
    if (!symbol)
        symbol = scope_find(scopes[1], name);
    if (!symbol)
        symbol =
            typing_item(folding->draft, name, folding->wanted, &several);
    if (several)
        return refuse(folding, tree,
                      "several enumerations have this item: "
                      "write Type#Item");
    if (!symbol) {
        symbol = scope_nearest(scopes, 3, name);
        diag_add(folding->draft->diags, DIAG_ERROR, tree->span,
                 symbol ? arena_printf(folding->draft->arena,
                                       "write '%s', or declare it",
                                       draft_spelling(folding->draft,
                                                      symbol->name,
                                                      symbol->span))
                 : folding->wanted && folding->wanted->kind == TYPE_ENUM
                     ? wording_example(folding->draft, folding->wanted)
                     : "declare it as a CONSTANT before this line",
                 "'%s' is not declared", name->spelling);
        return false;
    }
    if (symbol->kind != SYMBOL_ITEM && !symbol->constant)
        return refuse(folding, tree, "this is not known before the start");
    if (symbol->type && !type_elementary(symbol->type))
        return refuse(folding, tree, "this has several values");
    *out = (struct constant){symbol->type, symbol->value};
    return symbol->type != NULL;
}

/* The numbers of the texts have their negatives with them. */
static bool fold_real_sign(enum tree_op op, struct constant *out)
{
    if (op == TREE_NEGATE)
        out->value =
            real_value(out->type, -real_number(out->type, out->value));
    return true;
}

static bool fold_unary(struct folding *folding,
                       const struct tree_expr *tree, struct constant *out)
{
    if (!fold(folding, tree->left, out))
        return false;
    if (tree->op == TREE_NOT && out->type &&
        out->type->kind == TYPE_BITS) {
        out->type = type_base(out->type);
        out->value = ~out->value & (out->type->low | out->type->high);
        return true;
    }
    if (tree->op == TREE_NOT) {
        if (!out->type || out->type->kind != TYPE_BOOL)
            return refuse(folding, tree, "NOT takes TRUE or FALSE");
        out->value = !out->value;
        return true;
    }
    if (out->type && out->type->kind == TYPE_REAL)
        return fold_real_sign(tree->op, out);
    if (out->type && out->type->kind != TYPE_INTEGER &&
        out->type->kind != TYPE_TIME)
        return refuse(folding, tree, "a sign stands before numbers only");
    if (tree->op == TREE_NEGATE &&
        !written_compute(TREE_SUB, 0, out->value, &out->value))
        return refuse(folding, tree, "the value is too large");
    return true;
}

static bool fold_binary(struct folding *folding,
                        const struct tree_expr *tree, struct constant *out)
{
    struct constant sides[2];
    const char *wrong;

    if (!fold(folding, tree->left, &sides[0]) ||
        !fold(folding, tree->right, &sides[1]))
        return false;
    if (reckon(folding->draft, tree->op, sides, out, &wrong))
        return true;
    return wrong ? refuse(folding, tree, wrong) : false;
}

static bool fold_inner(struct folding *folding,
                       const struct tree_expr *tree, struct constant *out)
{
    const struct symbol *item;

    switch (tree->kind) {
    case TREE_INTEGER: return fold_typed(folding, tree, out);
    case TREE_BOOL:
        *out =
            (struct constant){folding->draft->types.boolean, tree->number};
        return true;
    case TREE_REAL:
    case TREE_OPAQUE:
        return real_constant(folding->draft, tree, &out->type, &out->value);
    case TREE_DURATION:
        *out = (struct constant){folding->draft->types.time, tree->number};
        return true;
    case TREE_REF: return fold_name(folding, tree, out);
    case TREE_ITEM:
        item = typing_qualified(folding->draft, tree);
        if (item)
            *out = (struct constant){item->type, item->value};
        return item != NULL;
    case TREE_UNARY: return fold_unary(folding, tree, out);
    case TREE_BINARY: return fold_binary(folding, tree, out);
    case TREE_ELEMENTS:
    case TREE_FIELDS:
        return refuse(folding, tree,
                      "this is the value of an array or a structure, and "
                      "one value is needed here");
    default:
        return refuse(folding, tree, "this is not known before the start");
    }
}

static bool fold(struct folding *folding, const struct tree_expr *tree,
                 struct constant *out)
{
    bool done;

    if (folding->depth >= DRAFT_MAX_DEPTH)
        return refuse(folding, tree,
                      "this expression is nested too deeply");
    folding->depth++;
    done = fold_inner(folding, tree, out);
    folding->depth--;
    return done;
}

bool typing_holds(const struct type *type, const struct tree_expr *number)
{
    bool in = number->number >= type->low && number->number <= type->high;

    return in && (type_unsigned(type) ? number->beyond == (number->number < 0)
                                      : !number->beyond);
}

/* The value may still be too large. */
static bool may_become(const struct constant *constant,
                       const struct type *type)
{
    if (!constant->type)
        return type->kind == TYPE_INTEGER || type->kind == TYPE_BITS;
    if (type_fits(constant->type, type))
        return true;
    if (constant->type->kind == TYPE_BITS)
        return type->kind == TYPE_BITS &&
               type_width(constant->type) <= type_width(type);
    return constant->type->kind == TYPE_INTEGER &&
           type->kind == TYPE_INTEGER;
}

/* A number where a REAL is wanted. */
static bool fold_real(struct draft *draft, const struct tree_expr *tree,
                      const struct type *type, struct constant *out)
{
    const struct type *base = type_base(type);
    bool literal = out->type == draft->types.real_literal;
    bool longer = out->type && out->type->kind == TYPE_REAL && !base->narrow;
    double number;

    if (out->type && !literal && !longer)
        return true; /* of that type already, or wrong: said below */
    number = out->type ? real_number(out->type, out->value)
                       : (double)out->value;
    out->type = base;
    if (real_exact(base, number, &out->value))
        return true;
    diag_add(draft->diags, DIAG_ERROR, tree->span,
             "write the number itself, with a point",
             "this number does not fit the type %s", type_words(type));
    return false;
}

/* What is told and converted without a word (loose.h); an item of an
 * enumeration is its number. */
static void loosen(struct draft *draft, const struct tree_expr *tree,
                   const struct type *type, struct constant *constant)
{
    const struct type *from = constant->type;
    bool number = !from || from->kind == TYPE_INTEGER ||
                  from->kind == TYPE_BITS;
    bool wanted = type->kind == TYPE_INTEGER || type->kind == TYPE_BITS;
    bool beyond = from && type_unsigned(from) && constant->value < 0;
    int64_t item;

    if (type->kind == TYPE_BOOL && !from && constant->value >= 0 &&
        constant->value <= 1) {
        told_seen(draft, TOLD_TRUTH, tree->span);
        constant->type = type_base(type);
    } else if (wanted && from && from->kind == TYPE_ENUM) {
        told_seen(draft, TOLD_ITEM_NUMBER, tree->span);
        constant->value =
            type_item_number(type_base(from), constant->value);
        constant->type = NULL;
    } else if (wanted && from && number && from->kind != type->kind &&
               !beyond) {
        told_seen(draft, TOLD_BITS_NUMBER, tree->span);
        constant->type = NULL;
    } else if (type->kind == TYPE_ENUM && number && !beyond &&
               shape_numbered(type_base(type), constant->value, &item)) {
        told_seen(draft, TOLD_NUMBER_ITEM, tree->span);
        *constant = (struct constant){type_base(type), item};
    }
}

bool typing_constant(struct draft *draft, const struct scope *scope,
                     const struct tree_expr *tree, const struct type *type,
                     int64_t *value)
{
    struct folding folding = {draft, scope, type, 0};
    struct constant constant;

    if (!fold(&folding, tree, &constant))
        return false;
    loosen(draft, tree, type, &constant);
    if (type->kind == TYPE_REAL &&
        !fold_real(draft, tree, type, &constant))
        return false;
    if (!may_become(&constant, type)) {
        diag_add(draft->diags, DIAG_ERROR, tree->span,
                 arena_printf(draft->arena, "write a value of the type %s",
                              wording_type(draft, type)),
                 "a value of the type %s is needed here, this is %s",
                 wording_type(draft, type),
                 constant.type ? type_words(constant.type)
                               : "a whole number");
        return false;
    }
    *value = constant.value;
    if (*value >= type->low && *value <= type->high &&
        (constant.type || *value >= 0 || !type_unsigned(type)))
        return true;
    diag_add(
        draft->diags, DIAG_ERROR, tree->span,
        arena_printf(draft->arena, "write a value from %s",
                     wording_range(draft, type)),
        "%s does not fit the type %s",
        wording_value(draft,
                      constant.type ? constant.type
                      : *value < 0  ? draft->types.literal
                                    : type, *value),
        wording_type(draft, type));
    return false;
}

int64_t *typing_values(struct draft *draft, const struct scope *scope,
                       const struct tree_expr *tree, const struct type *type)
{
    int64_t *values = initial_default(draft, type);

    return !tree || initial_read(draft, scope, tree, type, values)
               ? values : NULL;
}

/* ---- types ---- */

static const struct type *resolve_decl(struct draft *draft,
                                       const struct tree_type_decl *decl,
                                       struct symbol *symbol)
{
    const struct type *type;
    struct type *own;

    if (decl->type->kind == TREE_ENUMERATION)
        type = enumeration(draft, decl->name->name, decl->type);
    else
        type = typing_of(draft, NULL, decl->type);
    if (!type)
        return NULL;
    if (decl->type->kind != TREE_ENUMERATION)
        type = written_named(draft, type, decl->name->name);
    if (!decl->initial)
        return type;
    own = (struct type *)type; /* made above, seen by nobody yet */
    own->valued = true;
    if (type->kind == TYPE_ENUM) { /* the value names it: Mode.Off */
        symbol->type = type;
        symbol->state = SYMBOL_DONE;
    }
    if (!type_elementary(type)) {
        own->initials = typing_values(draft, NULL, decl->initial, type);
        return own->initials ? type : NULL;
    }
    return typing_constant(draft, NULL, decl->initial, type, &own->initial)
               ? type
               : NULL;
}

static const struct type *
resolve_symbol(struct draft *draft, struct symbol *symbol, struct span span)
{
    if (symbol->state == SYMBOL_OPEN) {
        diag_add(draft->diags, DIAG_ERROR, span,
                 "let one of them name a type of the language",
                 "the type '%s' is declared by itself",
                 symbol->name->spelling);
        return NULL;
    }
    if (symbol->state == SYMBOL_FRESH) {
        symbol->state = SYMBOL_OPEN;
        symbol->type = resolve_decl(draft, symbol->decl, symbol);
        symbol->state = SYMBOL_DONE;
    }
    return symbol->type;
}

const struct type *typing_named(struct draft *draft,
                                const struct name *name, struct span span,
                                bool *known)
{
    struct symbol *symbol = scope_find(&draft->type_scope, name);

    *known = symbol != NULL;
    return symbol ? resolve_symbol(draft, symbol, span) : NULL;
}

static const struct type *make_subrange(struct draft *draft,
                                        const struct scope *scope,
                                        const struct type *base,
                                        const struct tree_type *tree)
{
    int64_t low, high;

    if (!type_elementary(base)) {
        diag_add(draft->diags, DIAG_ERROR, tree->span,
                 "write the type alone",
                 "only numbers, times and enumerations have a subrange");
        return NULL;
    }
    if (base->kind == TYPE_BOOL || type_abstracted(base)) {
        diag_add(draft->diags, DIAG_ERROR, tree->span,
                 arena_printf(draft->arena, "write %s alone",
                              type_words(base)),
                 "%s has no subrange", type_words(base));
        return NULL;
    }
    if (!typing_constant(draft, scope, tree->low, base, &low) ||
        !typing_constant(draft, scope, tree->high, base, &high))
        return NULL;
    if (low > high) {
        diag_add(draft->diags, DIAG_ERROR, tree->span,
                 "write the smaller value first",
                 "this subrange begins above its end");
        return NULL;
    }
    return written_subrange(draft, base, low, high);
}

static const struct type *named_or_block(struct draft *draft,
                                         const struct scope *scope,
                                         const struct tree_type *tree)
{
    struct unit *unit;
    bool known = true;
    const struct type *type =
        typing_named(draft, tree->name, tree->span, &known);

    if (known && type && tree->length.file &&
        !written_length(draft, type, tree))
        return NULL;
    if (known)
        return type && tree->low ? make_subrange(draft, scope, type, tree)
                                 : type;
    unit = draft->unit_named(draft, tree->name, tree->span, &known);
    if (!known)
        return written_unknown(draft, tree);
    if (unit && unit->pou->kind != POU_BLOCK) {
        diag_add(draft->diags, DIAG_ERROR, tree->span,
                 "name a function block or a type",
                 "this is neither a type nor a function block");
        return NULL;
    }
    return unit && !unit->broken ? instance_type(draft, unit) : NULL;
}

const struct type *typing_of(struct draft *draft, const struct scope *scope,
                             const struct tree_type *tree)
{
    const struct type *type;

    if (tree == draft->last_tree)
        return draft->last_type;
    if (draft->type_depth >= MAX_NESTING) {
        diag_add(draft->diags, DIAG_ERROR, tree->span,
                 "give inner parts types of their own",
                 "types nested more than %d deep", MAX_NESTING);
        return NULL;
    }
    draft->type_depth++;
    switch (tree->kind) {
    case TREE_ENUMERATION: type = enumeration(draft, NULL, tree); break;
    case TREE_ARRAY: type = shape_array(draft, scope, tree); break;
    case TREE_STRUCTURE: type = shape_structure(draft, scope, tree); break;
    default: type = named_or_block(draft, scope, tree); break;
    }
    draft->type_depth--;
    draft->last_tree = tree;
    draft->last_type = type;
    return type;
}

static void enter_decls(struct draft *draft,
                        const struct tree_type_decl *decl)
{
    for (; decl; decl = decl->next)
        scope_add(&draft->type_scope, draft->arena, draft->diags,
                  &(struct symbol){.name = decl->name->name,
                                   .kind = SYMBOL_TYPE,
                                   .span = decl->name->span,
                                   .decl = decl});
}

void typing_enter(struct draft *draft)
{
    draft->type_of = typing_of;
    draft->constant = typing_constant;
    enter_decls(draft, draft->run->types.first);
    enter_decls(draft, draft->run->review.types.first);
}

void typing_finish(struct draft *draft)
{
    for (size_t i = 0; i < draft->type_scope.all.n; i++) {
        struct symbol *symbol = draft->type_scope.all.at[i];

        if (need_has(draft->need, symbol->name) ||
            (symbol->decl && symbol->decl->type->items.first &&
             !symbol->decl->part.unread.first))
            resolve_symbol(draft, symbol, symbol->span);
    }
}
