#include "lang/build_spelled.h"

#include <ctype.h>
#include <string.h>

#include "lang/build_expr.h"
#include "lang/build_stmt.h"
#include "lang/reading.h"
#include "lang/spelling.h"

void build_idle(struct reading *reading, struct span where)
{
    if (reading->kind == PARSE_CONTROL)
        spelling_seen(reading, SPELLING_IDLE, where);
    else
        reading_error(reading, where, "take it out", "this ';' ends nothing");
}

void build_comma(struct reading *reading, struct span where)
{
    if (reading->kind == PARSE_CONTROL)
        spelling_seen(reading, SPELLING_COMMA, where);
    else
        reading_error(reading, where, "take it out, or write what follows",
                      "nothing follows this ','");
}

void build_else_colon(struct reading *reading, struct span where)
{
    if (reading->kind == PARSE_CONTROL)
        spelling_seen(reading, SPELLING_ELSE_COLON, where);
    else
        reading_error(reading, where, "take it out",
                      "no ':' stands behind ELSE");
}

struct tree_arg *build_no_arg(struct reading *reading, struct span where)
{
    if (reading->kind == PARSE_CONTROL)
        spelling_seen(reading, SPELLING_NO_VALUE, where);
    else
        reading_error(reading, where,
                      "give a value, or take the name out of the call",
                      "nothing is given to this parameter");
    return NULL;
}

/* Does `name :=` or `name =>` without a value stand directly before? */
static bool behind_no_value(const struct reading *reading, size_t from)
{
    const char *text = reading->text;

    while (from > 0 && isspace((unsigned char)text[from - 1]))
        from--;
    if (from == 0 || text[--from] != ',')
        return false;
    while (from > 0 && isspace((unsigned char)text[from - 1]))
        from--;
    return from > 1 && ((text[from - 2] == ':' && text[from - 1] == '=') ||
                        (text[from - 2] == '=' && text[from - 1] == '>'));
}

struct tree_arg *build_bare_arg(struct reading *reading,
                                struct tree_expr *value, struct span where)
{
    if (behind_no_value(reading, where.from))
        reading_error(reading, where,
                      "name all of them, or take out the name that is given "
                      "nothing",
                      "an argument without a name behind one with a name");
    return build_arg(reading, NULL, value, false, where);
}

struct tree_type *build_result(struct reading *reading,
                               struct tree_type *type)
{
    if (type->kind != TREE_NAMED || strcmp(type->name->folded, "void"))
        return type;
    spelling_seen(reading, SPELLING_VOID, type->span);
    for (size_t i = reading->mentions.n; i-- > 0;)
        if (reading->mentions.at[i].from == type->span.from)
            reading->mentions.at[i].is_type = false;
    return NULL;
}

struct tree_stmt *build_counting(struct reading *reading,
                                 struct tree_path *target, enum tree_op op,
                                 struct tree_expr *value, struct span where)
{
    struct span span = span_join(target->span, value->span);

    if (reading->kind == PARSE_CONTROL)
        spelling_seen(reading, SPELLING_COUNTS, where);
    else
        reading_error(reading, where, "write x := x + value",
                      "an assignment is written ':='");
    value = build_paren(reading, value, value->span);
    value = build_binary(reading, op, where, build_ref(reading, target),
                         value);
    return build_assign(reading, target, value, span);
}
