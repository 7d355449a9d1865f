#include "check/real.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/ensure.h"
#include "check/draft.h"

/* ---- the numbers of the texts ---- */

static int by_size(const void *a, const void *b)
{
    double left = *(const double *)a, right = *(const double *)b;

    return (left > right) - (left < right);
}

/* A number and its negative, each as LREAL and as REAL hold it. */
static size_t add_forms(double *all, size_t n, double number)
{
    double narrow = (double)(float)number;

    all[n++] = number;
    all[n++] = -number;
    if (isfinite(narrow)) {
        all[n++] = narrow;
        all[n++] = -narrow;
    }
    return n;
}

/* With a whole number those at which what is rounded becomes less or more
 * than it. */
static size_t add_limits(double *all, size_t n, double number)
{
    static const double away[] = {0, -0.5, 0.5, -1, 1};
    int count = floor(number) == number && fabs(number) < 1e15 ? 5 : 1;

    for (int i = 0; i < count; i++)
        n = add_forms(all, n, number + away[i]);
    return n;
}

static const double *numbers_of(struct draft *draft, uint32_t *count)
{
    const struct tree_run *run = draft->run;
    const struct widening *more = draft->widening;
    size_t n_more = more ? more->reals.n : 0, n = 0, kept = 0;
    double *all =
        arena_array(draft->arena, 20 * ((size_t)run->reals.n + n_more + 1),
                    sizeof *all);

    n = add_forms(all, n, 0);
    for (const struct tree_real *at = run->reals.first; at; at = at->next)
        n = run->rounds ? add_limits(all, n, at->value)
                        : add_forms(all, n, at->value);
    for (size_t i = 0; i < n_more; i++)
        n = run->rounds ? add_limits(all, n, more->reals.at[i])
                        : add_forms(all, n, more->reals.at[i]);
    qsort(all, n, sizeof *all, by_size);
    for (size_t i = 0; i < n; i++)
        if (!kept || all[i] > all[kept - 1])
            all[kept++] = all[i];
    *count = (uint32_t)kept;
    return all;
}

/* ---- types ---- */

static struct type *enter(struct draft *draft, struct type type,
                          const char *words)
{
    struct type *made = ARENA_NEW(draft->arena, struct type);

    *made = type;
    made->size = 1;
    made->name = names_of(draft->names, words);
    scope_put(&draft->type_scope, draft->arena,
              &(struct symbol){.name = made->name,
                               .kind = SYMBOL_TYPE,
                               .type = made,
                               .state = SYMBOL_DONE});
    return made;
}

/* The first of the names is the type, the others mean the same. */
static const struct type *opaque(struct draft *draft,
                                 const char *const *words)
{
    const struct type *first =
        enter(draft, (struct type){.kind = TYPE_OPAQUE}, words[0]);

    for (size_t i = 1; words[i]; i++)
        enter(draft, (struct type){.kind = TYPE_OPAQUE, .base = first},
              words[i]);
    return first;
}

static void declare_opaque(struct draft *draft)
{
    static const char *const texts[] = {"STRING", "WSTRING", "CHAR", "WCHAR",
                                        NULL};
    static const char *const dates[] = {"DATE", "LDATE", NULL};
    static const char *const clocks[] = {"TIME_OF_DAY", "TOD",
                                         "LTIME_OF_DAY", "LTOD", NULL};
    static const char *const both[] = {"DATE_AND_TIME", "DT",
                                       "LDATE_AND_TIME", "LDT", NULL};

    draft->types.text = opaque(draft, texts);
    draft->types.date = opaque(draft, dates);
    draft->types.time_of_day = opaque(draft, clocks);
    draft->types.date_and_time = opaque(draft, both);
}

void real_declare(struct draft *draft)
{
    struct type type = {.kind = TYPE_REAL, .low = TYPE_NAN};
    struct type *order = ARENA_NEW(draft->arena, struct type);
    struct type *literal = ARENA_NEW(draft->arena, struct type);

    type.numbers = numbers_of(draft, &type.count);
    type.high = 2 * (int64_t)type.count;
    type.initial = real_value(&type, 0);
    draft->types.lreal = enter(draft, type, "LREAL");
    *literal = type;
    literal->name = names_of(draft->names, "a number with a point");
    draft->types.real_literal = literal;
    type.narrow = true;
    draft->types.real = enter(draft, type, "REAL");
    *order = *draft->types.dint;
    order->base = draft->types.dint;
    order->low = order->initial = -1;
    order->high = 1;
    draft->types.order = order;
    declare_opaque(draft);
}

/* ---- values ---- */

int64_t real_value(const struct type *type, double number)
{
    uint32_t low = 0, high = type->count; /* numbers below low are less */

    if (isnan(number))
        return TYPE_NAN;
    while (low < high) {
        uint32_t middle = low + (high - low) / 2;

        if (type->numbers[middle] < number)
            low = middle + 1;
        else
            high = middle;
    }
    return low < type->count && type->numbers[low] == number
               ? 2 * (int64_t)low + 1
               : 2 * (int64_t)low;
}

double real_number(const struct type *type, int64_t value)
{
    ENSURE(value > 0 && value < type->high && value % 2 == 1);
    return type->numbers[(value - 1) / 2];
}

bool real_exact(const struct type *type, double number, int64_t *value)
{
    if (type->narrow)
        number = (double)(float)number;
    *value = real_value(type, number);
    return isfinite(number) && *value % 2 == 1;
}

/* ---- literals ---- */

bool real_too_large(struct draft *draft, const struct type *type,
                    struct span span)
{
    diag_add(draft->diags, DIAG_ERROR, span, "use LREAL",
             "the number does not fit the type %s", type_words(type));
    return false;
}

static const struct type *date_type(const struct draft *draft,
                                    const struct name *name)
{
    const char *word = name->folded;

    word += *word == 'l'; /* the long form */
    if (word[0] == 'd' && (!word[1] || (word[1] == 'a' && !word[4])))
        return draft->types.date;
    return word[0] == 't' ? draft->types.time_of_day
                          : draft->types.date_and_time;
}

bool real_constant(struct draft *draft, const struct tree_expr *tree,
                   const struct type **type, int64_t *value)
{
    const struct elementary *types = &draft->types;

    *value = 0;
    if (tree->kind == TREE_OPAQUE) {
        *type = tree->type_name ? date_type(draft, tree->type_name)
                                : types->text;
        return true;
    }
    *type = !tree->type_name                        ? types->real_literal
            : tree->type_name->folded[0] == 'l' ? types->lreal
                                                    : types->real;
    return real_exact(*type, tree->real, value) ||
           real_too_large(draft, *type, tree->span);
}

/* ---- computed ---- */

static double in_lreal(enum tree_op op, double a, double b)
{
    return op == TREE_ADD   ? a + b
           : op == TREE_SUB ? a - b
           : op == TREE_MUL ? a * b
                            : a / b;
}

static double in_real(enum tree_op op, float a, float b)
{
    return op == TREE_ADD   ? a + b
           : op == TREE_SUB ? a - b
           : op == TREE_MUL ? a * b
                            : a / b;
}

/* One more number of the texts, for the next round. */
static enum real_computed ask_for(struct draft *draft, double number)
{
    if (!draft->widening || draft->widening->closed)
        return REAL_TOO_MANY;
    vec_push(&draft->widening->reals, number);
    draft->widening->again = true;
    return REAL_LATER;
}

/* A controller may compute in 32 bits, or in 64 and round what comes out:
 * what is one or the other is not followed. */
enum real_computed real_compute(struct draft *draft, enum tree_op op,
                                const struct type *type,
                                const double sides[2], int64_t *value)
{
    bool lreal = !type->narrow && type != draft->types.real_literal;
    double wide = in_lreal(op, sides[0], sides[1]);
    double narrow = in_real(op, (float)sides[0], (float)sides[1]);

    if (!isfinite(wide) || (type->narrow && !isfinite(narrow)))
        return REAL_NO_NUMBER;
    if (!lreal && (double)(float)wide != narrow)
        return REAL_UNSURE;
    return real_exact(type, wide, value) ? REAL_COMPUTED
                                         : ask_for(draft, wide);
}

/* ---- which numbers there are ---- */

static double above(const struct type *type, double number)
{
    return type->narrow ? (double)nextafterf((float)number, INFINITY)
                        : nextafter(number, INFINITY);
}

/* The smallest number of the type that is greater than this one, which need
 * not be of the type itself. */
static double successor(const struct type *type, double number)
{
    double narrow = (double)(float)number;

    return type->narrow && narrow > number ? narrow : above(type, number);
}

static bool one_exists(const struct type *type, int64_t value)
{
    double least;

    if (value == TYPE_NAN || value == 0 || value == type->high)
        return true;
    if (value % 2 == 1)
        return !type->narrow ||
               (double)(float)real_number(type, value) ==
                   real_number(type, value);
    least = real_number(type, value - 1);
    return successor(type, least) < real_number(type, value + 1);
}

bool real_exists(const struct type *type, int64_t low, int64_t high)
{
    for (int64_t value = low; value <= high; value++)
        if (one_exists(type, value))
            return true;
    return false;
}

/* ---- words ---- */

/* The shortest digits that are read as this number again. */
static const char *digits(struct arena *arena, const struct type *type,
                          double number)
{
    bool narrow = type->narrow && (double)(float)number == number;
    bool plain = number == 0 || (fabs(number) < 1e15 && fabs(number) >= 1e-6);
    char text[64];

    for (int n = 1; n <= 24; n++) {
        double read;

        snprintf(text, sizeof text, plain ? "%.*f" : "%.*E", n, number);
        read = strtod(text, NULL);
        if ((narrow ? (double)(float)read : read) == number)
            break;
    }
    return arena_printf(arena, "%s", text);
}

/* What bounds the numbers from below (or above) at a value; NULL: nothing. */
static const char *bound(struct arena *arena, const struct type *type,
                         int64_t value, bool below)
{
    bool closed = value % 2 == 1;
    int64_t at = closed ? value : below ? value - 1 : value + 1;

    if (at < 1 || at >= type->high)
        return NULL;
    return arena_printf(arena, "%s %s",
                        below ? closed ? "at least" : "more than"
                              : closed ? "at most" : "less than",
                        digits(arena, type, real_number(type, at)));
}

const char *real_words(struct arena *arena, const struct type *type,
                       int64_t low, int64_t high)
{
    const char *from, *to;

    if (low == TYPE_NAN)
        return "not a number";
    if (low == high && low % 2 == 1)
        return digits(arena, type, real_number(type, low));
    from = bound(arena, type, low, true);
    to = bound(arena, type, high, false);
    if (!from && !to)
        return "any number";
    if (!from || !to)
        return from ? from : to;
    return arena_printf(arena, "%s and %s", from, to);
}

/* ---- examples ---- */

/* A number strictly between two; NaN: as far as there are numbers. */
static double between(const struct type *type, double low, double high)
{
    double middle = isnan(low)    ? high - fabs(high) - 1
                    : isnan(high) ? low + fabs(low) + 1
                                  : low + (high - low) / 2;

    if (type->narrow)
        middle = (double)(float)middle;
    if (!isfinite(middle) || (!isnan(low) && middle <= low) ||
        (!isnan(high) && middle >= high))
        return isnan(low) ? -INFINITY : successor(type, low);
    return middle;
}

const char *real_example(struct arena *arena, const struct type *type,
                         int64_t low, int64_t high)
{
    int64_t value = low;
    double from = NAN, to = NAN;

    while (value < high && !one_exists(type, value))
        value++;
    if (value == TYPE_NAN)
        return NULL;
    if (value % 2 == 1)
        return digits(arena, type, real_number(type, value));
    if (value > 0)
        from = real_number(type, value - 1);
    if (value < type->high)
        to = real_number(type, value + 1);
    return digits(arena, type, between(type, from, to));
}
