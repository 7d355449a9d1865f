#include "lang/build_template.h"

#include <string.h>

#include "base/arena.h"
#include "base/name.h"
#include "lang/reading.h"

#define NEW(reading, type) ARENA_NEW((reading)->context->arena, type)

void build_template_file(struct reading *reading, struct tree_string path)
{
    struct tree_control_file *file = NEW(reading, struct tree_control_file);

    file->path = path;
    CHAIN_APPEND(&reading->run->review.templates_in, file);
}

void build_template(struct reading *reading, struct tree_ident *name,
                    struct tree_string title, struct span span)
{
    struct tree_template *made = &reading->run->template;

    if (made->name) {
        reading_error(reading, name->span,
                      "give each template a text of its own",
                      "a second TEMPLATE in one text");
        return;
    }
    made->name = name;
    made->title = title;
    made->span = span;
}

void build_source(struct reading *reading, struct tree_string source,
                  struct span span)
{
    struct tree_template *made = &reading->run->template;

    if (made->source.at)
        reading_error(reading, span, "keep one of them",
                      "SOURCE is said a second time");
    made->source = source;
}

/* ---- parameters ---- */

static const struct {
    const char *folded;
    enum tree_parameter_kind kind;
} kinds[] = {{"condition", TREE_CONDITION}, {"value", TREE_VALUE},
             {"signal", TREE_SIGNAL}, {"time", TREE_TIME},
             {"number", TREE_AMOUNT}};

static bool find_kind(struct reading *reading, struct tree_parameter *made)
{
    for (size_t i = 0; i < sizeof kinds / sizeof *kinds; i++)
        if (strcmp(made->kind_word->name->folded, kinds[i].folded) == 0) {
            made->kind = kinds[i].kind;
            return true;
        }
    reading_error(reading, made->kind_word->span,
                  "write CONDITION, VALUE, SIGNAL, TIME or NUMBER",
                  "there is no kind of parameter '%s'",
                  made->kind_word->name->spelling);
    return false;
}

static bool is_limit(enum tree_parameter_kind kind)
{
    return kind == TREE_TIME || kind == TREE_AMOUNT;
}

static bool fits(const struct tree_parameter *made)
{
    const struct tree_expr *value = made->initial;

    if (!value)
        return true;
    if (made->kind == TREE_TIME)
        return value->kind == TREE_DURATION;
    return (value->kind == TREE_INTEGER || value->kind == TREE_REAL) &&
           !value->type_name;
}

/* A limit has a strict side, nothing else has a limit. */
static void see_sides(struct reading *reading,
                      const struct tree_parameter *made)
{
    const char *name = made->name->name->spelling;

    if (is_limit(made->kind) && made->side == TREE_NO_SIDE)
        reading_error(reading, made->name->span,
                      "write STRICT BELOW where a smaller value is the "
                      "stricter one, else STRICT ABOVE",
                      "the limit '%s' has no strict side", name);
    else if (!is_limit(made->kind) &&
             (made->side != TREE_NO_SIDE || made->initial))
        reading_error(reading, made->name->span,
                      "leave it out, or make it a TIME or a NUMBER",
                      "'%s' is no limit: it has no strict side and no value "
                      "of its own", name);
    else if (is_limit(made->kind) && !fits(made))
        reading_error(reading, made->initial->span,
                      made->kind == TREE_TIME
                          ? "write a time such as T#500ms"
                          : "write a number such as 30",
                      "this is no value of the limit '%s'", name);
}

void build_parameter(struct reading *reading, struct tree_ident *name,
                     struct tree_ident *kind, struct tree_string title,
                     struct build_limits limits)
{
    struct tree_parameter *made = NEW(reading, struct tree_parameter);

    made->name = name;
    made->kind_word = kind;
    made->title = title;
    made->initial = limits.initial;
    made->side = limits.side;
    made->why = limits.why;
    if (find_kind(reading, made))
        see_sides(reading, made);
    CHAIN_APPEND(&reading->run->template.parameters, made);
}

/* ---- use ---- */

struct tree_given *build_given(struct reading *reading,
                               struct tree_ident *name,
                               struct build_claim claim, struct span span)
{
    struct tree_given *made = NEW(reading, struct tree_given);

    made->name = name;
    made->value = claim.condition;
    made->reason = claim.reason;
    made->span = span;
    return made;
}

struct tree_requirement *build_use(struct reading *reading,
                                   struct tree_ident *name,
                                   struct chain given, struct span span)
{
    struct tree_requirement *made = NEW(reading, struct tree_requirement);
    struct tree_use *use = NEW(reading, struct tree_use);

    if (reading->kind == PARSE_TEMPLATE)
        reading_error(reading, span,
                      "write out here what it asks for",
                      "a template uses no other template");
    use->name = name;
    CHAIN_INTO(&use->given, given);
    use->span = span;
    made->form = TREE_USE;
    made->use = use;
    return made;
}
