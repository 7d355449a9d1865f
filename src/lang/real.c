#include "lang/real.h"

#include <ctype.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/arena.h"
#include "base/name.h"
#include "lang/chain.h"
#include "lang/date.h"
#include "lang/reading.h"
#include "lang/review.h"
#include "lang/spelling.h"

static void wrong(struct reading *reading, struct span span,
                  const char *hint, const char *what)
{
    reading->bad = span;
    reading_error(reading, span, hint, "'%s' %s",
                  reading_quote(reading, span), what);
}

void real_note(struct reading *reading, double value)
{
    struct tree_real *real;

    if (!reading->run)
        return; /* only pieces of a text are wanted */
    real = ARENA_NEW(reading->context->arena, struct tree_real);
    real->value = value;
    CHAIN_APPEND(&reading->run->reals, real);
}

/* The number at `at`, its underscores left out. */
static double read_number(struct reading *reading, const char *at,
                          const char *end)
{
    char *plain = arena_copy(reading->context->arena, at,
                             (size_t)(end - at));
    size_t n = 0;

    for (const char *from = at; from < end; from++)
        if (*from != '_')
            plain[n++] = *from;
    plain[n] = 0;
    return strtod(plain, NULL);
}

static bool is_real(const struct name *name)
{
    return strcmp(name->folded, "real") == 0 ||
           strcmp(name->folded, "lreal") == 0;
}

static struct tree_expr *expr_new(struct reading *reading,
                                  enum tree_expr_kind kind,
                                  struct span span)
{
    struct tree_expr *expr =
        ARENA_NEW(reading->context->arena, struct tree_expr);

    expr->kind = kind;
    expr->span = span;
    expr->height = 1;
    return expr;
}

/* What stands before the #, NULL for none. */
static const struct name *type_before(struct reading *reading,
                                      struct span span, const char **at)
{
    const char *start = reading->text + span.from;
    const char *hash = memchr(start, '#', span.to - span.from);

    *at = hash ? hash + 1 : start;
    return hash ? names_intern(reading->context->names, start,
                               (size_t)(hash - start))
                : NULL;
}

/* Is there no digit on one side of the point? */
static bool is_short(const char *at, const char *end)
{
    const char *point = memchr(at, '.', (size_t)(end - at));

    return point && (point == at || !isdigit((unsigned char)point[-1]) ||
                     point + 1 == end || !isdigit((unsigned char)point[1]));
}

struct tree_expr *real_literal(struct reading *reading, struct span span)
{
    struct tree_expr *expr = expr_new(reading, TREE_REAL, span);
    const char *at;

    expr->type_name = type_before(reading, span, &at);
    if (expr->type_name && !is_real(expr->type_name)) {
        wrong(reading, span, "write a whole number behind the #",
              "is no value of this type");
        return expr;
    }
    if (is_short(at, reading->text + span.to))
        spelling_seen(reading, SPELLING_POINT, span);
    expr->real = read_number(reading, at, reading->text + span.to);
    if (isinf(expr->real)) {
        wrong(reading, span, "the largest LREAL is about 1.8E308",
              "is too large");
        expr->real = 0;
    }
    real_note(reading, expr->real);
    return expr;
}

/* What stands close before a point that begins a number? */
size_t real_begins(const struct reading *reading, struct span span)
{
    unsigned char before =
        span.from > 0 ? (unsigned char)reading->text[span.from - 1] : ' ';

    return reading->text[span.from] == '.' &&
                   (isalnum(before) || before == '_' || before == ']' ||
                    before == '^' || before == ')' || before >= 0x80)
               ? 1 : 0;
}

struct tree_expr *real_date(struct reading *reading, struct span span)
{
    struct tree_expr *expr = expr_new(reading, TREE_OPAQUE, span);
    const char *at;

    expr->type_name = type_before(reading, span, &at);
    switch (date_of(reading->text + span.from, span.to - span.from)) {
    case DATE_GOOD: break;
    case DATE_NO_DATE:
        wrong(reading, span, "write a year, a month and a day that exist: "
              "D#2024-02-29", "is not a date");
        break;
    case DATE_NO_TIME:
        wrong(reading, span, "write hours, minutes and seconds: TOD#6:30:00",
              "is not a time of day");
        break;
    case DATE_NEITHER:
        wrong(reading, span, "write both: DT#2024-02-29-6:30:00",
              "is not a date with its time");
        break;
    }
    return expr;
}

struct tree_expr *real_text(struct reading *reading, struct span span)
{
    return expr_new(reading, TREE_OPAQUE, span);
}

void real_of_whole(struct reading *reading, struct tree_expr *expr)
{
    if (expr->kind != TREE_INTEGER || !expr->type_name)
        return;
    if (is_real(expr->type_name)) {
        expr->kind = TREE_REAL;
        expr->real = expr->beyond ? (double)(uint64_t)expr->number
                                  : (double)expr->number;
        real_note(reading, expr->real);
        return;
    }
    real_note(reading, (double)expr->number);
}
