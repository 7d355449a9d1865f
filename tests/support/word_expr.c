#include "tests/support/word_expr.h"

#include <stdbool.h>

enum kind { KIND_BOOL, KIND_BITS, KIND_INTEGER, KIND_TIME };

struct row {
    const char *st, *c;
    enum kind kind;
    int64_t low, high;
};

static const struct row rows[WORD_TYPES] = {
    [WORD_BOOL] = {"BOOL", "_Bool", KIND_BOOL, 0, 1},
    [WORD_BYTE] = {"BYTE", "uint8_t", KIND_BITS, 0, UINT8_MAX},
    [WORD_WORD] = {"WORD", "uint16_t", KIND_BITS, 0, UINT16_MAX},
    [WORD_DWORD] = {"DWORD", "uint32_t", KIND_BITS, 0, UINT32_MAX},
    [WORD_LWORD] = {"LWORD", "uint64_t", KIND_BITS, 0, INT64_MAX},
    [WORD_SINT] = {"SINT", "int8_t", KIND_INTEGER, INT8_MIN, INT8_MAX},
    [WORD_INT] = {"INT", "int16_t", KIND_INTEGER, INT16_MIN, INT16_MAX},
    [WORD_DINT] = {"DINT", "int32_t", KIND_INTEGER, INT32_MIN, INT32_MAX},
    [WORD_LINT] = {"LINT", "int64_t", KIND_INTEGER, INT64_MIN, INT64_MAX},
    [WORD_USINT] = {"USINT", "uint8_t", KIND_INTEGER, 0, UINT8_MAX},
    [WORD_UINT] = {"UINT", "uint16_t", KIND_INTEGER, 0, UINT16_MAX},
    [WORD_UDINT] = {"UDINT", "uint32_t", KIND_INTEGER, 0, UINT32_MAX},
    [WORD_TIME] = {"TIME", "int64_t", KIND_TIME, -(INT64_C(1) << 53),
                   INT64_C(1) << 53},
};

/* Two of each type, a number for MUX and one of places. */
static const struct {
    const char *name;
    enum word_type type;
    int64_t low, high; /* where values are chosen from; both 0: anywhere */
} variables[] = {
    {"q0", WORD_BOOL, 0, 0},   {"q1", WORD_BOOL, 0, 0},
    {"b0", WORD_BYTE, 0, 0},   {"b1", WORD_BYTE, 0, 0},
    {"w0", WORD_WORD, 0, 0},   {"w1", WORD_WORD, 0, 0},
    {"d0", WORD_DWORD, 0, 0},  {"d1", WORD_DWORD, 0, 0},
    {"x0", WORD_LWORD, 0, 0},  {"x1", WORD_LWORD, 0, 0},
    {"s0", WORD_SINT, 0, 0},   {"s1", WORD_SINT, 0, 0},
    {"i0", WORD_INT, 0, 0},    {"i1", WORD_INT, 0, 0},
    {"k0", WORD_DINT, 0, 0},   {"k1", WORD_DINT, 0, 0},
    {"l0", WORD_LINT, 0, 0},   {"l1", WORD_LINT, 0, 0},
    {"us0", WORD_USINT, 0, 0}, {"us1", WORD_USINT, 0, 0},
    {"u0", WORD_UINT, 0, 0},   {"u1", WORD_UINT, 0, 0},
    {"ud0", WORD_UDINT, 0, 0}, {"ud1", WORD_UDINT, 0, 0},
    {"t0", WORD_TIME, -5000, 100000}, {"t1", WORD_TIME, 0, 60000},
    {"pick", WORD_INT, -1, 3}, {"places", WORD_INT, -1, 66},
};

enum { VARIABLES = sizeof variables / sizeof *variables };

static uint32_t any(uint64_t *seed, uint32_t below)
{
    *seed = *seed * UINT64_C(6364136223846793005) +
            UINT64_C(1442695040888963407);
    return (uint32_t)(*seed >> 33) % below;
}

static int64_t between(uint64_t *seed, int64_t low, int64_t high)
{
    uint64_t span = (uint64_t)high - (uint64_t)low + 1;
    uint64_t wide = (uint64_t)any(seed, UINT32_C(1) << 30) << 34 ^
                    (uint64_t)any(seed, UINT32_C(1) << 30) << 17 ^
                    any(seed, UINT32_C(1) << 30);

    return (int64_t)((uint64_t)low + (span ? wide % span : wide));
}

/* Ends of the type and small numbers are where things go wrong. */
static int64_t value_of(uint64_t *seed, enum word_type type)
{
    const struct row *row = &rows[type];
    int64_t value = between(seed, 0, 12);

    if (type == WORD_LWORD && any(seed, 3)) /* bit 63, mostly */
        return any(seed, 2) ? between(seed, INT64_MIN, -1) : -1 - value;
    if (type == WORD_TIME) /* literals of times end at 292 years */
        return any(seed, 2) ? between(seed, -5000000000, 9000000000000)
                            : value * 500;
    switch (any(seed, 6)) {
    case 0: return row->low + (row->high > 1 ? any(seed, 2) : 0);
    case 1: return row->high - (row->high > 1 ? any(seed, 2) : 0);
    case 2: return between(seed, row->low, row->high);
    case 3:
        return row->low < 0            ? -value
               : row->high == INT64_MAX ? value
                                        : value % (row->high + 1);
    default: return row->high > 12 ? value : value & 1;
    }
}

size_t word_variables(void)
{
    return VARIABLES;
}

const char *word_variable(size_t i, enum word_type *type)
{
    *type = variables[i].type;
    return variables[i].name;
}

int64_t word_value(uint64_t *seed, size_t i)
{
    if (variables[i].low < variables[i].high)
        return between(seed, variables[i].low, variables[i].high);
    return value_of(seed, variables[i].type);
}

const char *word_type_name(enum word_type type)
{
    return rows[type].st;
}

void word_literal(struct text *out, enum word_type type, int64_t value)
{
    const struct row *row = &rows[type];

    if (row->kind == KIND_BOOL)
        text_add(out, value ? "TRUE" : "FALSE");
    else if (row->kind == KIND_TIME)
        text_printf(out, "T#%lldms", (long long)value);
    else if (row->kind == KIND_BITS)
        text_printf(out, "%s#16#%llX", row->st, (unsigned long long)value);
    else
        text_printf(out, "%s#%lld", row->st, (long long)value);
}

/* ---- expressions ---- */

/* exact: of the type itself, not of a narrower one that widens. */
static void make(struct word_expr *e, enum word_type type, unsigned depth,
                 bool exact);

static uint32_t pick(struct word_expr *e, uint32_t below)
{
    return any(&e->seed, below);
}

static void both(struct word_expr *e, const char *text)
{
    text_add(&e->st, text);
    text_add(&e->c, text);
}

static void leaf(struct word_expr *e, enum word_type type, bool exact)
{
    size_t i = pick(e, VARIABLES);
    int64_t value;

    if (pick(e, 4) == 0) {
        value = value_of(&e->seed, type);
        if (!exact && value != INT64_MIN &&
            (rows[type].kind == KIND_BITS ? value >= 0
                                          : rows[type].kind == KIND_INTEGER))
            text_printf(&e->st, "%lld", (long long)value);
        else
            word_literal(&e->st, type, value);
        text_printf(&e->c, "(%s)(int64_t)%lluULL", rows[type].c,
                    (unsigned long long)value);
        return;
    }
    while (variables[i].type != type)
        i = (i + 1) % VARIABLES;
    both(e, variables[i].name);
}

static enum word_type of_kind(struct word_expr *e, enum kind kind)
{
    enum word_type type;

    do
        type = (enum word_type)pick(e, WORD_TYPES);
    while (rows[type].kind != kind);
    return type;
}

/* A narrower type whose values all fit. */
static bool narrower(struct word_expr *e, enum word_type type,
                     enum word_type *out)
{
    *out = (enum word_type)pick(e, WORD_TYPES);
    return *out != type && rows[*out].kind == rows[type].kind &&
           rows[*out].low >= rows[type].low &&
           rows[*out].high <= rows[type].high;
}

/* name_TYPE(a, b) in C; a op b, or NAME(a, b), in Structured Text. */
static void infix(struct word_expr *e, const char *sign, const char *name,
                  enum word_type type, unsigned depth)
{
    bool called = pick(e, 3) == 0;

    text_printf(&e->st, called ? "%s(" : "(", name);
    text_printf(&e->c, "%s_%s(", name, rows[type].st);
    make(e, type, depth - 1, true);
    if (called)
        text_add(&e->st, ", ");
    else
        text_printf(&e->st, " %s ", sign);
    text_add(&e->c, ", ");
    make(e, type, depth - 1, false);
    both(e, ")");
}

/* NAME(a, b, ..) with or without names of its inputs. */
static void call(struct word_expr *e, const char *name, enum word_type type,
                 unsigned n, unsigned depth)
{
    bool named = pick(e, 2);

    text_printf(&e->st, "%s(", name);
    text_printf(&e->c, "%s%u_%s(", name, n, rows[type].st);
    for (unsigned i = 0; i < n; i++) {
        if (i > 0)
            both(e, ", ");
        if (named)
            text_printf(&e->st, n == 1 ? "IN := " : "IN%u := ", i + 1);
        make(e, type, depth - 1, i == 0);
    }
    both(e, ")");
}

static void select_one(struct word_expr *e, enum word_type type,
                       unsigned depth)
{
    bool named = pick(e, 2);

    text_add(&e->st, named ? "SEL(G := " : "SEL(");
    text_printf(&e->c, "SEL_%s(", rows[type].st);
    make(e, WORD_BOOL, depth - 1, true);
    text_add(&e->st, named ? ", IN0 := " : ", ");
    text_add(&e->c, ", ");
    make(e, type, depth - 1, true);
    text_add(&e->st, named ? ", IN1 := " : ", ");
    text_add(&e->c, ", ");
    make(e, type, depth - 1, false);
    both(e, ")");
}

static void multiplex(struct word_expr *e, enum word_type type,
                      unsigned depth)
{
    text_add(&e->st, "MUX(");
    text_printf(&e->c, "MUX_%s(", rows[type].st);
    if (pick(e, 2)) {
        both(e, "pick");
    } else {
        text_printf(&e->st, "%u", pick(e, 3));
        text_printf(&e->c, "%c", text_str(&e->st)[e->st.n - 1]);
    }
    for (unsigned i = 0; i < 3; i++) {
        both(e, ", ");
        make(e, type, depth - 1, i == 0);
    }
    both(e, ")");
}

static void limit(struct word_expr *e, enum word_type type, unsigned depth)
{
    bool named = pick(e, 2);

    text_add(&e->st, named ? "LIMIT(MN := " : "LIMIT(");
    text_printf(&e->c, "LIMIT_%s(", rows[type].st);
    make(e, type, depth - 1, true);
    text_add(&e->st, named ? ", IN := " : ", ");
    text_add(&e->c, ", ");
    make(e, type, depth - 1, false);
    text_add(&e->st, named ? ", MX := " : ", ");
    text_add(&e->c, ", ");
    make(e, type, depth - 1, false);
    both(e, ")");
}

static void convert(struct word_expr *e, enum word_type type, unsigned depth)
{
    enum word_type from = (enum word_type)pick(e, WORD_TYPES);
    bool short_name = pick(e, 3) == 0;

    if (short_name)
        text_printf(&e->st, "TO_%s(", rows[type].st);
    else
        text_printf(&e->st, "%s_TO_%s(", rows[from].st, rows[type].st);
    text_printf(&e->c, "%s_TO_%s(", rows[from].st, rows[type].st);
    make(e, from, depth - 1, short_name);
    both(e, ")");
}

/* What every type with an order has. */
static void choosing(struct word_expr *e, enum word_type type,
                     unsigned depth)
{
    switch (pick(e, 6)) {
    case 0: select_one(e, type, depth); break;
    case 1: multiplex(e, type, depth); break;
    case 2: limit(e, type, depth); break;
    case 3: call(e, "MIN", type, 2 + pick(e, 2), depth); break;
    case 4: call(e, "MAX", type, 2 + pick(e, 2), depth); break;
    default:
        text_add(&e->st, "MOVE(");
        text_add(&e->c, "(");
        make(e, type, depth - 1, true);
        both(e, ")");
    }
}

static void compare(struct word_expr *e, unsigned depth)
{
    static const char *const signs[] = {"=", "<>", "<", "<=", ">", ">="};
    static const char *const names[] = {"EQ", "NE", "LT", "LE", "GT", "GE"};
    uint32_t op = pick(e, 6);
    enum word_type type = (enum word_type)pick(e, WORD_TYPES);

    if (rows[type].kind == KIND_BOOL)
        op %= 2;
    if (op != 1 && pick(e, 4) == 0)
        call(e, names[op], type, 3, depth);
    else
        infix(e, signs[op], names[op], type, depth);
}

static void one_bit(struct word_expr *e)
{
    size_t i = 2 + pick(e, 8); /* b0 .. x1 */
    uint32_t bit = pick(e, variables[i].type == WORD_BYTE   ? 8
                           : variables[i].type == WORD_WORD ? 16
                           : variables[i].type == WORD_DWORD ? 32
                                                             : 64);

    text_printf(&e->st, pick(e, 2) ? "%s.%u" : "%s.%%X%u",
                variables[i].name, bit);
    text_printf(&e->c, "BIT(%s, %u)", variables[i].name, bit);
}

static void logic(struct word_expr *e, enum word_type type, unsigned depth)
{
    static const char *const names[] = {"AND", "OR", "XOR"};
    uint32_t op = pick(e, 4);

    if (op == 3) {
        text_add(&e->st, "(NOT ");
        text_printf(&e->c, "NOT_%s(", rows[type].st);
        make(e, type, depth - 1, true);
        both(e, ")");
    } else if (pick(e, 4) == 0) {
        call(e, names[op], type, 3, depth);
    } else {
        infix(e, names[op], names[op], type, depth);
    }
}

static void shift(struct word_expr *e, enum word_type type, unsigned depth)
{
    static const char *const names[] = {"SHL", "SHR", "ROL", "ROR"};
    const char *name = names[pick(e, 4)];
    bool named = pick(e, 2);
    uint32_t places = pick(e, 70);

    text_printf(&e->st, named ? "%s(IN := " : "%s(", name);
    text_printf(&e->c, "%s_%s(", name, rows[type].st);
    make(e, type, depth - 1, true);
    text_add(&e->st, named ? ", N := " : ", ");
    text_add(&e->c, ", ");
    if (pick(e, 2)) {
        both(e, "places");
    } else {
        text_printf(&e->st, "%u", places);
        text_printf(&e->c, "%u", places);
    }
    both(e, ")");
}

static void arithmetic(struct word_expr *e, enum word_type type,
                       unsigned depth)
{
    static const char *const signs[] = {"+", "-", "*", "/", "MOD"};
    static const char *const names[] = {"ADD", "SUB", "MUL", "DIV", "MOD"};
    uint32_t op = pick(e, 7);

    if (op < 5) {
        infix(e, signs[op], names[op], type, depth);
    } else if (op == 5 && rows[type].low < 0) {
        text_add(&e->st, "(-(");
        text_printf(&e->c, "NEG_%s((", rows[type].st);
        make(e, type, depth - 1, true);
        both(e, "))");
    } else {
        call(e, "ABS", type, 1, depth);
    }
}

static void time_sum(struct word_expr *e, unsigned depth)
{
    enum word_type by;
    bool times = pick(e, 2);

    if (pick(e, 2)) {
        infix(e, times ? "+" : "-", times ? "ADD" : "SUB", WORD_TIME, depth);
        return;
    }
    by = of_kind(e, KIND_INTEGER);
    text_add(&e->st, "(");
    text_add(&e->c, times ? "MUL_TIME(" : "DIV_TIME(");
    make(e, WORD_TIME, depth - 1, true);
    text_add(&e->st, times ? " * " : " / ");
    text_add(&e->c, ", ");
    make(e, by, depth - 1, true);
    both(e, ")");
}

static void own(struct word_expr *e, enum word_type type, unsigned depth)
{
    switch (rows[type].kind) {
    case KIND_BOOL:
        if (pick(e, 3) == 0)
            one_bit(e);
        else if (pick(e, 2))
            compare(e, depth);
        else
            logic(e, type, depth);
        break;
    case KIND_BITS:
        if (pick(e, 3))
            logic(e, type, depth);
        else
            shift(e, type, depth);
        break;
    case KIND_INTEGER: arithmetic(e, type, depth); break;
    case KIND_TIME: time_sum(e, depth); break;
    }
}

static void make(struct word_expr *e, enum word_type type, unsigned depth,
                 bool exact)
{
    enum word_type small;
    uint32_t what = pick(e, 8);

    if (depth == 0 || what == 0)
        leaf(e, type, exact);
    else if (!exact && what == 1 && narrower(e, type, &small))
        make(e, small, depth - 1, true);
    else if (what <= 2)
        convert(e, type, depth);
    else if (what == 3 && rows[type].kind != KIND_BOOL)
        choosing(e, type, depth);
    else if (what == 3)
        select_one(e, type, depth);
    else
        own(e, type, depth);
}

void word_expr_make(struct word_expr *expr)
{
    expr->type = (enum word_type)pick(expr, WORD_TYPES);
    make(expr, expr->type, 1 + pick(expr, 4), true);
}

void word_expr_release(struct word_expr *expr)
{
    text_release(&expr->st);
    text_release(&expr->c);
}

/* ---- the C that stands before them ---- */

static void conversions(struct text *out, enum word_type to)
{
    const struct row *t = &rows[to];

    for (unsigned i = 0; i < WORD_TYPES; i++) {
        const struct row *f = &rows[i];
        bool pattern = (f->kind == KIND_BITS && t->kind == KIND_BITS) ||
                       (f->kind == KIND_BITS && t->kind == KIND_INTEGER) ||
                       (f->kind == KIND_INTEGER && t->kind == KIND_BITS);

        text_printf(out, "static %s %s_TO_%s(%s x) { ", t->c, f->st, t->st,
                    f->c);
        if (pattern)
            text_printf(out, "if (x < 0 && sizeof(%s) > sizeof x) err = 1; "
                             "return (%s)x; }\n", t->c, t->c);
        else
            text_printf(out, "return fit_%s(x); }\n", t->st);
    }
}

static const char any_type[] =
    "#define ANY(N, T, LOW, HIGH) \\\n"
    "static T fit_##N(__int128 x) { if (x < LOW || x > HIGH) { err = 1; "
    "return 0; } return (T)x; } \\\n"
    "static T SEL_##N(_Bool g, T a, T b) { return g ? b : a; } \\\n"
    "static T MUX_##N(int k, T a, T b, T c) { if (k < 0 || k > 2) err = 1; "
    "return k == 0 ? a : k == 1 ? b : c; } \\\n"
    "static T MIN2_##N(T a, T b) { return a < b ? a : b; } \\\n"
    "static T MIN3_##N(T a, T b, T c) { return MIN2_##N(MIN2_##N(a, b), c); "
    "} \\\n"
    "static T MAX2_##N(T a, T b) { return a > b ? a : b; } \\\n"
    "static T MAX3_##N(T a, T b, T c) { return MAX2_##N(MAX2_##N(a, b), c); "
    "} \\\n"
    "static T LIMIT_##N(T l, T x, T h) { return MIN2_##N(MAX2_##N(x, l), h);"
    " } \\\n"
    "static _Bool EQ_##N(T a, T b) { return a == b; } \\\n"
    "static _Bool NE_##N(T a, T b) { return a != b; } \\\n"
    "static _Bool LT_##N(T a, T b) { return a < b; } \\\n"
    "static _Bool LE_##N(T a, T b) { return a <= b; } \\\n"
    "static _Bool GT_##N(T a, T b) { return a > b; } \\\n"
    "static _Bool GE_##N(T a, T b) { return a >= b; } \\\n"
    "static _Bool EQ3_##N(T a, T b, T c) { return a == b && b == c; } \\\n"
    "static _Bool LT3_##N(T a, T b, T c) { return a < b && b < c; } \\\n"
    "static _Bool LE3_##N(T a, T b, T c) { return a <= b && b <= c; } \\\n"
    "static _Bool GT3_##N(T a, T b, T c) { return a > b && b > c; } \\\n"
    "static _Bool GE3_##N(T a, T b, T c) { return a >= b && b >= c; } \\\n"
    "static T ADD_##N(T a, T b) { return fit_##N((__int128)a + b); } \\\n"
    "static T SUB_##N(T a, T b) { return fit_##N((__int128)a - b); } \\\n"
    "static T MUL_##N(__int128 a, __int128 b) { return fit_##N(a * b); } \\\n"
    "static T DIV_##N(__int128 a, __int128 b) { if (!b) { err = 1; return 0; "
    "} return fit_##N(a / b); } \\\n"
    "static T MOD_##N(__int128 a, __int128 b) { if (!b) { err = 1; return 0; "
    "} return fit_##N(a % b); } \\\n"
    "static T NEG_##N(T a) { return fit_##N(-(__int128)a); } \\\n"
    "static T ABS1_##N(T a) { return a < 0 ? NEG_##N(a) : a; }\n"
    "#define BITS(N, T) \\\n"
    "static T AND_##N(T a, T b) { return a & b; } \\\n"
    "static T OR_##N(T a, T b) { return a | b; } \\\n"
    "static T XOR_##N(T a, T b) { return a ^ b; } \\\n"
    "static T AND3_##N(T a, T b, T c) { return a & b & c; } \\\n"
    "static T OR3_##N(T a, T b, T c) { return a | b | c; } \\\n"
    "static T XOR3_##N(T a, T b, T c) { return a ^ b ^ c; }\n"
    "#define SHIFTS(N, T, W) \\\n"
    "static T NOT_##N(T a) { return ~a; } \\\n"
    "static T SHL_##N(T a, int n) { if (n < 0) err = 1; "
    "return n < 0 || n >= W ? 0 : (T)((uint64_t)a << n); } \\\n"
    "static T SHR_##N(T a, int n) { if (n < 0) err = 1; "
    "return n < 0 || n >= W ? 0 : a >> n; } \\\n"
    "static T ROL_##N(T a, int n) { if (n < 0) { err = 1; return 0; } "
    "n %= W; return n ? (T)((uint64_t)a << n | (uint64_t)a >> (W - n)) : a; "
    "} \\\n"
    "static T ROR_##N(T a, int n) { if (n < 0) { err = 1; return 0; } "
    "n %= W; return n ? (T)((uint64_t)a >> n | (uint64_t)a << (W - n)) : a; "
    "}\n"
    "#define BIT(x, n) ((_Bool)((x) >> (n) & 1))\n";

void word_prelude(struct text *out)
{
    text_add(out, "#include <stdint.h>\n#include <stdio.h>\n"
                  "static int err;\n");
    text_add(out, any_type);
    for (unsigned i = 0; i < WORD_TYPES; i++)
        text_printf(out, "ANY(%s, %s, (int64_t)%lluULL, %lluULL)\n",
                    rows[i].st, rows[i].c, (unsigned long long)rows[i].low,
                    i == WORD_LWORD ? UINT64_MAX
                                    : (unsigned long long)rows[i].high);
    for (unsigned i = 0; i < WORD_TYPES; i++) {
        if (rows[i].kind == KIND_BOOL || rows[i].kind == KIND_BITS)
            text_printf(out, "BITS(%s, %s)\n", rows[i].st, rows[i].c);
        conversions(out, (enum word_type)i);
    }
    text_add(out, "SHIFTS(BYTE, uint8_t, 8)\nSHIFTS(WORD, uint16_t, 16)\n"
                  "SHIFTS(DWORD, uint32_t, 32)\n"
                  "SHIFTS(LWORD, uint64_t, 64)\n"
                  "static _Bool NOT_BOOL(_Bool a) { return !a; }\n");
    for (size_t i = 0; i < VARIABLES; i++)
        text_printf(out, "static %s %s;\n", rows[variables[i].type].c,
                    variables[i].name);
}
