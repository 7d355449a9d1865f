#include "lang/literal.h"

#include <ctype.h>
#include <string.h>
#include <strings.h>

#include "base/arena.h"
#include "base/divisor.h"
#include "base/name.h"
#include "lang/build_expr.h"
#include "lang/build_path.h"
#include "lang/reading.h"
#include "lang/real.h"
#include "lang/refuse.h"
#include "lang/spelling.h"
#include "source/diag.h"

/* A malformed literal: the scanner's token is bad in itself, what follows
 * is not complained of. */
static void wrong(struct reading *reading, struct span span,
                  const char *hint, const char *what)
{
    reading->bad = span;
    reading_error(reading, span, hint, "'%s' %s",
                  reading_quote(reading, span), what);
}

static struct tree_expr *literal_new(struct reading *reading,
                                     enum tree_expr_kind kind,
                                     struct span span)
{
    struct tree_expr *expr = ARENA_NEW(reading->context->arena,
                                       struct tree_expr);

    expr->kind = kind;
    expr->span = span;
    expr->height = 1;
    return expr;
}

/* ---- integers ---- */

enum digits { DIGITS_FINE, DIGITS_WRONG, DIGITS_TOO_LARGE };

static int digit_of(char c)
{
    if (isdigit((unsigned char)c))
        return c - '0';
    return isxdigit((unsigned char)c) ? tolower((unsigned char)c) - 'a' + 10
                                      : 99;
}

/* Digits with single underscores between them. */
static enum digits read_digits(const char *at, const char *end, int base,
                               uint64_t *all)
{
    bool after_digit = false, too_large = false;

    *all = 0;
    for (; at < end; at++) {
        if (*at == '_' && after_digit) {
            after_digit = false;
            continue;
        }
        if (digit_of(*at) >= base)
            return DIGITS_WRONG;
        too_large |= __builtin_mul_overflow(*all, base, all) ||
                     __builtin_add_overflow(*all, digit_of(*at), all);
        after_digit = true;
    }
    if (!after_digit)
        return DIGITS_WRONG;
    return too_large ? DIGITS_TOO_LARGE : DIGITS_FINE;
}

static int base_of(const char *at, const char *hash)
{
    static const int bases[] = {2, 8, 10, 16};
    uint64_t all = 0;

    if (read_digits(at, hash, 10, &all) == DIGITS_FINE)
        for (size_t i = 0; i < sizeof bases / sizeof *bases; i++)
            if (all == (uint64_t)bases[i])
                return bases[i];
    return 0;
}

/* *beyond: it is a bit pattern from 2^63 on, *number those bits. */
static enum digits read_number(const char *at, const char *end, bool bits,
                               int64_t *number, bool *beyond)
{
    bool minus = at < end && *at == '-', large;
    const char *hash;
    uint64_t all = 0;
    int base = 10;
    enum digits result;

    if (at < end && (*at == '-' || *at == '+'))
        at++;
    hash = memchr(at, '#', (size_t)(end - at));
    if (hash) {
        base = base_of(at, hash);
        if (!base)
            return DIGITS_WRONG;
        at = hash + 1;
    }
    result = read_digits(at, end, base, &all);
    large = all > (uint64_t)INT64_MAX + minus;
    *beyond = result == DIGITS_FINE && large && !minus && (hash || bits);
    if (result == DIGITS_FINE && large && !*beyond)
        return DIGITS_TOO_LARGE;
    *number = (int64_t)(minus ? 0 - all : all);
    return result;
}

static bool is_lword(const struct name *name)
{
    return name && strcmp(name->folded, "lword") == 0;
}

static void number_into(struct reading *reading, struct tree_expr *expr,
                        const char *at)
{
    const char *end = reading->text + expr->span.to;

    switch (read_number(at, end, is_lword(expr->type_name), &expr->number,
                        &expr->beyond)) {
    case DIGITS_FINE:
        if (expr->beyond && !expr->type_name)
            expr->type_name = names_of(reading->context->names, "LWORD");
        return;
    case DIGITS_WRONG:
        wrong(reading, expr->span,
              "write 12, 1_000, 16#FF, 8#17 or 2#1010; a name begins with a "
              "letter or _", "is not a number");
        break;
    case DIGITS_TOO_LARGE:
        wrong(reading, expr->span,
              "the largest number is 9223372036854775807, the smallest "
              "LINT#-9223372036854775808, the largest LWORD "
              "16#FFFF_FFFF_FFFF_FFFF", "is too large");
        break;
    }
    expr->number = 0;
}

struct tree_expr *literal_integer(struct reading *reading, struct span span)
{
    struct tree_expr *expr = literal_new(reading, TREE_INTEGER, span);

    number_into(reading, expr, reading->text + span.from);
    real_note(reading, expr->beyond ? (double)(uint64_t)expr->number
                                    : (double)expr->number);
    return expr;
}

struct tree_expr *literal_bit(struct reading *reading, struct span span)
{
    struct tree_expr *expr = literal_new(reading, TREE_INTEGER, span);

    number_into(reading, expr, reading->text + span.from + 2);
    return expr;
}

/* ---- times ---- */

struct unit {
    const char *word;
    int64_t nanoseconds;
};

static const struct unit units[] = {
    {"d", 86400000000000}, {"h", 3600000000000}, {"ms", 1000000},
    {"m", 60000000000},    {"s", 1000000000},    {"us", 1000},
    {"ns", 1},
};

static const struct unit *unit_at(const char *at)
{
    for (size_t i = 0; i < sizeof units / sizeof *units; i++) {
        size_t n = strlen(units[i].word);

        if (strncasecmp(at, units[i].word, n) == 0 &&
            !isalpha((unsigned char)at[n]))
            return &units[i];
    }
    return NULL;
}

enum time_fault {
    TIME_FINE, TIME_WRONG, TIME_ORDER, TIME_LARGE, TIME_FRACTION, TIME_TINY
};

struct time_part {
    const char *at;
    int64_t whole, fraction, scale; /* fraction / scale */
    const struct unit *unit;
};

/* Up to 18 digits, underscores between them. */
static bool part_digits(const char **at, int64_t *number, int64_t *scale)
{
    const char *start = *at;

    for (; isdigit((unsigned char)**at) || (**at == '_' && *at > start);
         ++*at) {
        if (**at == '_')
            continue;
        if (*scale > INT64_MAX / 100)
            return false;
        *number = *number * 10 + (**at - '0');
        *scale *= 10;
    }
    return *at > start;
}

static bool read_part(struct time_part *part)
{
    int64_t ignored = 1;

    part->whole = part->fraction = 0;
    part->scale = 1;
    if (!part_digits(&part->at, &part->whole, &ignored))
        return false;
    if (*part->at == '.') {
        part->at++;
        if (!part_digits(&part->at, &part->fraction, &part->scale))
            return false;
    }
    part->unit = unit_at(part->at);
    if (!part->unit)
        return false;
    part->at += strlen(part->unit->word);
    return true;
}

/* Adds the part; a fraction must come out as whole nanoseconds. */
static enum time_fault add_part(const struct time_part *part, int64_t *sum)
{
    int64_t unit = part->unit->nanoseconds, whole, fraction;

    if (__builtin_mul_overflow(part->whole, unit, &whole) ||
        __builtin_add_overflow(*sum, whole, sum))
        return TIME_LARGE;
    if (!part->fraction)
        return TIME_FINE;
    fraction = (int64_t)((__int128)part->fraction * unit / part->scale);
    if ((__int128)part->fraction * unit % part->scale)
        return TIME_TINY;
    return __builtin_add_overflow(*sum, fraction, sum) ? TIME_LARGE
                                                       : TIME_FINE;
}

static enum time_fault read_time(const char *at, const char *end,
                                 int64_t *sum)
{
    struct time_part part = {.at = at};
    int64_t before = INT64_MAX;
    enum time_fault fault;

    do {
        if (!read_part(&part))
            return TIME_WRONG;
        if (part.unit->nanoseconds >= before)
            return TIME_ORDER;
        before = part.unit->nanoseconds;
        fault = add_part(&part, sum);
        if (fault != TIME_FINE)
            return fault;
        if (part.scale > 1 && part.at < end)
            return TIME_ORDER;
        if (*part.at == '_' && part.at + 1 < end)
            part.at++;
    } while (part.at < end);
    return *sum % 1000000 ? TIME_FRACTION : TIME_FINE;
}

static void say_time(struct reading *reading, struct span span,
                     enum time_fault fault)
{
    switch (fault) {
    case TIME_FINE:
        break;
    case TIME_WRONG:
        wrong(reading, span,
              "write numbers with the units d, h, m, s, ms: T#1h2m3s4ms, "
              "T#1.5s", "is not a time");
        break;
    case TIME_ORDER:
        wrong(reading, span,
              "write each unit once, the larger first, with a fraction in "
              "the last one only: T#1m30.5s", "has its units out of order");
        break;
    case TIME_LARGE:
        wrong(reading, span, "the longest time is about 292 years",
              "is too long");
        break;
    case TIME_FRACTION:
    case TIME_TINY:
        wrong(reading, span,
              "times are counted in whole milliseconds: round it, and mind "
              "which side is the safe one", "is finer than a millisecond");
        break;
    }
}

/* Where no review text judges, a time finer than a millisecond is taken for
 * the next longer one: at times that are whole, a timer with it is over at
 * the same call. */
static bool taken_longer(struct reading *reading, struct span span,
                         enum time_fault fault, int64_t *sum)
{
    if (fault != TIME_FRACTION || reading->kind != PARSE_CONTROL ||
        !reading->run || reading->run->review.name ||
        reading->run->spelling == TREE_STRICT)
        return false;
    *sum += 1000000 - *sum % 1000000;
    diag_add(reading->context->diags, DIAG_WARNING, span,
             "mind what is computed with it; a review text needs whole "
             "milliseconds",
             "'%s' is taken for %lld ms", reading_quote(reading, span),
             (long long)(*sum / 1000000));
    return true;
}

struct tree_expr *literal_time(struct reading *reading, struct span span)
{
    struct tree_expr *expr = literal_new(reading, TREE_DURATION, span);
    const char *end = reading->text + span.to;
    const char *at = strchr(reading->text + span.from, '#') + 1;
    bool minus = *at == '-';
    int64_t sum = 0;
    enum time_fault fault;

    if (*at == '-' || *at == '+')
        at++;
    fault = read_time(at, end, &sum);
    if (taken_longer(reading, span, fault, &sum))
        fault = TIME_FINE;
    say_time(reading, span, fault);
    if (fault == TIME_FINE)
        expr->number = minus ? -(sum / 1000000) : sum / 1000000;
    if (reading->run) /* none where only pieces are wanted */
        reading->run->even =
            divisor_common(reading->run->even, expr->number);
    return expr;
}

/* ---- with a type in front ---- */

static void bool_into(struct reading *reading, struct tree_expr *expr,
                      const char *at)
{
    expr->kind = TREE_BOOL;
    if (reading_word_at(at, "TRUE"))
        expr->number = 1;
    else if (!reading_word_at(at, "FALSE"))
        number_into(reading, expr, at);
    if (expr->number != 0 && expr->number != 1) {
        wrong(reading, expr->span, "write BOOL#0, BOOL#1, TRUE or FALSE",
              "is not a value of BOOL");
        expr->number = 0;
    }
}

static void item_into(struct reading *reading, struct tree_expr *expr,
                      size_t from)
{
    struct span span = expr->span;

    span.from = (uint32_t)from;
    expr->kind = TREE_ITEM;
    expr->path = build_path(reading, build_ident(reading, span));
}

/* W#16#FF is a WORD, and so on. */
static const struct name *type_before(struct reading *reading,
                                      const char *at, size_t n,
                                      struct span span)
{
    static const char *const words[][2] = {
        {"b", "BYTE"}, {"w", "WORD"}, {"dw", "DWORD"}, {"l", "DINT"}};
    struct names *names = reading->context->names;
    const struct name *name = names_intern(names, at, n);

    for (size_t i = 0; i < sizeof words / sizeof *words; i++)
        if (!strcmp(name->folded, words[i][0]) &&
            reading->kind == PARSE_CONTROL &&
            isdigit((unsigned char)at[n + 1])) {
            spelling_seen(reading, SPELLING_SHORT, span);
            return names_of(names, words[i][1]);
        }
    return name;
}

struct tree_expr *literal_typed(struct reading *reading, struct span span)
{
    struct tree_expr *expr = literal_new(reading, TREE_INTEGER, span);
    const char *start = reading->text + span.from;
    const char *hash = memchr(start, '#', span.to - span.from);
    const char *at = hash + 1;

    expr->type_name = type_before(reading, start, (size_t)(hash - start),
                                  span);
    if (refuse_type(reading, expr->type_name, span))
        reading->bad = span;
    else if (strcmp(expr->type_name->folded, "bool") == 0)
        bool_into(reading, expr, at);
    else if (isalpha((unsigned char)*at) || *at == '_')
        item_into(reading, expr, (size_t)(at - reading->text));
    else
        number_into(reading, expr, at);
    real_of_whole(reading, expr);
    return expr;
}
