#include "tests/support/random_maker.h"

/* ---- places ---- */

static bool meets(const struct kind *kind, const struct kind *want, bool same)
{
    return kind == want || (!same && base_of(kind) == base_of(want));
}

static bool holds(const struct kind *kind, const struct kind *want, bool same,
                  enum wanted wanted)
{
    if (meets(kind, want, same))
        return true;
    if (kind->shape == SHAPE_ARRAY)
        return holds(kind->element, want, same, wanted);
    if (kind->shape == SHAPE_BLOCK && wanted == WANT_WRITTEN)
        return false;
    for (unsigned i = 0; i < kind->n_fields; i++)
        if (holds(kind->fields[i].kind, want, same, wanted))
            return true;
    return false;
}

/* An index between the bounds, nearly always. */
static struct both index_of(struct maker *m, int low, int high)
{
    const struct kind *kind = elementary(chance(m, 70) ? INT : DINT);
    int n = high - low + 1;
    struct both v = {0}, out = {0};
    struct place place;

    if (chance(m, 60) || m->indices > 2 ||
        !find_place(m, kind, false, WANT_READ, &place) || place.both.fixed)
        return literal_of(m, kind, low + (int)any(m, (unsigned)n), false);
    v = place.both;
    if (place.kind->low >= low && place.kind->high <= high)
        out = v;
    else if (chance(m, 2))
        out = v;
    else {
        out.st = phrase(m, "ABS(%s) MOD %d + %d", v.st, n, low);
        out.c = phrase(m, "add(mod(neg_abs(%s, %s, %s), %d), %d, %s, %s)", v.c,
                    number_in_c(m, base_of(kind)->low),
                    number_in_c(m, base_of(kind)->high), n, low,
                    number_in_c(m, base_of(kind)->low),
                    number_in_c(m, base_of(kind)->high));
    }
    return out;
}

static struct place element(struct maker *m, struct place at)
{
    const struct kind *array = at.kind;
    struct text st = {0}, c = {0};

    m->indices++;
    text_printf(&st, "%s[", at.both.st);
    text_printf(&c, "%s.e[", at.both.c);
    for (unsigned i = 0; i < array->n_dims; i++) {
        struct both by = index_of(m, array->from[i], array->to[i]);

        if (i > 0) {
            text_add(&st, ", ");
            text_printf(&c, " * %d + ", array->to[i] - array->from[i] + 1);
        }
        text_add(&st, by.st);
        text_printf(&c, "ix(%s, %d, %d)", by.c, array->from[i],
                    array->to[i]);
    }
    at.both.st = phrase(m, "%s]", text_str(&st));
    at.both.c = phrase(m, "%s]", text_str(&c));
    at.kind = array->element;
    m->indices--;
    text_release(&st);
    text_release(&c);
    return at;
}

bool find_place(struct maker *m, const struct kind *kind, bool same,
                enum wanted wanted, struct place *out)
{
    unsigned start = m->n_variables ? any(m, m->n_variables) : 0, i;
    const struct variable *v = NULL;

    for (i = 0; i < m->n_variables; i++) {
        v = &m->variables[(start + i) % m->n_variables];
        if ((wanted == WANT_READ || (v->written && !v->locked)) &&
            holds(v->kind, kind, same, wanted))
            break;
    }
    if (i == m->n_variables)
        return false;
    *out = (struct place){{v->st, v->c, false, v->fixed}, v->kind};
    while (!meets(out->kind, kind, same)) {
        const struct field *f;

        if (out->kind->shape == SHAPE_ARRAY) {
            *out = element(m, *out);
            continue;
        }
        do
            f = &out->kind->fields[any(m, out->kind->n_fields)];
        while (!holds(f->kind, kind, same, wanted));
        out->both.st = phrase(m, "%s.%s", out->both.st, f->name);
        out->both.c = phrase(m, "%s.%s", out->both.c, f->name);
        out->kind = f->kind;
    }
    return true;
}

/* ---- values ---- */

/* fn(a, b, .. tail) with what acts evaluated from left to right. */
static const char *called_in_c(struct maker *m, const char *fn,
                               const char *tail, const struct both *args,
                               unsigned n)
{
    struct text c = {0};
    const char *out;
    bool acts = false;

    for (unsigned i = 0; i < n; i++)
        acts |= args[i].acts;
    if (acts) {
        text_add(&c, "({ ");
        for (unsigned i = 0; i < n; i++)
            text_printf(&c, "I t%u_ = %s; ", i, args[i].c);
    }
    text_printf(&c, "%s(", fn);
    for (unsigned i = 0; i < n; i++) {
        if (i > 0)
            text_add(&c, ", ");
        if (acts)
            text_printf(&c, "t%u_", i);
        else
            text_add(&c, args[i].c);
    }
    text_printf(&c, acts ? "%s); })" : "%s)", tail);
    out = phrase(m, "%s", text_str(&c));
    text_release(&c);
    return out;
}

static struct both joined(struct maker *m, const char *st, const char *fn,
                          const char *tail, const struct both *args,
                          unsigned n)
{
    struct both out = {.st = st, .fixed = true};

    out.c = called_in_c(m, fn, tail, args, n);
    for (unsigned i = 0; i < n; i++) {
        out.acts |= args[i].acts;
        out.fixed &= args[i].fixed;
    }
    return out;
}

static const char *range(struct maker *m, const struct kind *kind)
{
    kind = base_of(kind);
    return phrase(m, ", %s, %s", number_in_c(m, kind->low),
               number_in_c(m, kind->high));
}

/* Not known when the text is read, where that can be helped. */
static struct both unknown(struct maker *m, const struct kind *kind,
                           struct both value)
{
    struct place place;

    for (int i = 0; i < 4 && value.fixed; i++)
        if (find_place(m, kind, false, WANT_READ, &place))
            value = place.both;
    return value;
}

static const struct kind *of_shape(struct maker *m, enum shape shape)
{
    const struct kind *kind;

    do
        kind = m->kinds[any(m, m->n_own)];
    while (kind->shape != shape);
    return base_of(kind);
}

/* Every value of a narrower kind is one of the wider, which it widens to. */
static bool widens(const struct kind *small, const struct kind *wide)
{
    return small->shape == wide->shape && small != wide &&
           small->shape <= SHAPE_BITS && small->shape != SHAPE_BOOL &&
           small->low >= wide->low && small->high <= wide->high &&
           small->width <= wide->width &&
           (small->width < 64 || small->shape == SHAPE_BITS);
}

static struct both leaf(struct maker *m, const struct kind *kind, bool exact)
{
    struct place place;

    if (chance(m, 82) && find_place(m, kind, false, WANT_READ, &place))
        return place.both;
    return literal(m, kind, exact);
}

static struct both infix(struct maker *m, const char *sign,
                         const char *name, const char *fn,
                         struct both *args)
{
    const char *st = name && chance(m, 25)
                         ? phrase(m, "%s(%s, %s)", name, args[0].st, args[1].st)
                         : phrase(m, "(%s %s %s)", args[0].st, sign,
                               args[1].st);

    return joined(m, st, fn, "", args, 2);
}

static void two(struct maker *m, const struct kind *kind, unsigned depth,
                struct both *args)
{
    args[0] = make(m, kind, depth - 1, true);
    args[1] = make(m, kind, depth - 1, false);
    if (args[0].fixed)
        args[0] = unknown(m, kind, args[0]);
}

/* The order of an LWORD is that of numbers without a sign. */
static const char *ordered(struct maker *m, const struct kind *kind,
                           const char *fn)
{
    return kind == elementary(LWORD) ? phrase(m, "u%s", fn) : fn;
}

static struct both compare(struct maker *m, unsigned depth)
{
    static const char *const signs[] = {"=", "<>", "<", "<=", ">", ">="};
    static const char *const names[] = {"EQ", "NE", "LT", "LE", "GT", "GE"};
    static const char *const fns[] = {"eq", "ne", "lt", "le", "gt", "ge"};
    const struct kind *kind = base_of(pick_elementary(m));
    unsigned op = any(m, 6);
    struct both args[3];

    if (kind->shape == SHAPE_BOOL || kind->shape == SHAPE_ENUM)
        op %= 2;
    two(m, kind, depth, args);
    if (kind->shape == SHAPE_REAL) {
        if (m->weight > 1 || chance(m, 70))
            args[1] = literal(m, kind, false);
        return infix(m, signs[op], NULL, fns[op], args);
    }
    if (op != 1 && kind->shape != SHAPE_ENUM && chance(m, 10)) {
        static const char *const threes[] = {"eq3", "", "lt3",
                                             "le3", "gt3", "ge3"};

        args[2] = make(m, kind, depth - 1, false);
        return joined(m, phrase(m, "%s(%s, %s, %s)", names[op], args[0].st,
                                args[1].st, args[2].st),
                      op > 1 ? ordered(m, kind, threes[op]) : threes[op], "",
                      args, 3);
    }
    if (kind->shape == SHAPE_ENUM && chance(m, 20)) {
        unsigned i = any(m, kind->n_items);

        args[1].st = phrase(m, "%d", kind->numbers[i]);
        args[1].c = phrase(m, "%u", i);
        args[1].acts = false;
        return infix(m, signs[op], NULL, fns[op], args);
    }
    return infix(m, signs[op], names[op],
                 op > 1 ? ordered(m, kind, fns[op]) : fns[op], args);
}

static struct both one_bit(struct maker *m)
{
    const struct kind *kind = of_shape(m, SHAPE_BITS);
    struct both out = {0};
    struct place place;
    unsigned bit = any(m, kind->width);

    if (!find_place(m, kind, false, WANT_READ, &place) || place.both.fixed)
        return leaf(m, elementary(BOOL), true);
    out.st = phrase(m, chance(m, 50) ? "%s.%u" : "%s.%%X%u", place.both.st,
                    bit);
    out.c = phrase(m, "(%s >> %u & 1)", place.both.c, bit);
    return out;
}

static struct both make_bool(struct maker *m, unsigned depth)
{
    static const char *const signs[] = {"AND", "OR", "XOR"};
    static const char *const fns[] = {"and_", "or_", "xor_"};
    const struct kind *bool_ = elementary(BOOL);
    unsigned what = any(m, 10);
    struct both args[2];

    if (what < 4)
        return compare(m, depth);
    if (what == 4)
        return one_bit(m);
    args[0] = make(m, bool_, depth - 1, true);
    if (what == 5) {
        args[0].st = phrase(m, chance(m, 20) ? "NOT(%s)" : "NOT (%s)",
                         args[0].st);
        args[0].c = phrase(m, "(I)!%s", args[0].c);
        return args[0];
    }
    args[1] = make(m, bool_, depth - 1, true);
    if (what < 8) {
        what = any(m, 3);
        return infix(m, what == 0 && chance(m, 30) ? "&" : signs[what],
                     signs[what], fns[what], args);
    }
    args[0].acts |= args[1].acts;
    args[0].fixed = false;
    args[0].st = phrase(m, what == 8 ? "(%s AND_THEN %s)" : "(%s OR_ELSE %s)",
                     args[0].st, args[1].st);
    args[0].c = phrase(m, what == 8 ? "(I)(%s && %s)" : "(I)(%s || %s)",
                    args[0].c, args[1].c);
    return args[0];
}

static struct both make_bits(struct maker *m, const struct kind *kind,
                             unsigned depth)
{
    static const char *const signs[] = {"AND", "OR", "XOR"};
    static const char *const fns[] = {"and_", "or_", "xor_"};
    static const char *const shifts[] = {"SHL", "SHR", "ROL", "ROR"};
    unsigned what = any(m, 3), way = any(m, 4);
    struct both args[2];
    const char *tail = phrase(m, ", %u", kind->width);

    if (chance(m, 50)) {
        two(m, kind, depth, args);
        return infix(m, signs[what], signs[what], fns[what], args);
    }
    args[0] = unknown(m, kind, make(m, kind, depth - 1, true));
    if (chance(m, 40)) {
        struct both out = joined(m, phrase(m, "(NOT %s)", args[0].st), "not_",
                                 tail, args, 1);
        return out;
    }
    args[1] = fitting(m, m->few, 0);
    if (args[1].fixed || chance(m, 60))
        args[1] = literal_of(m, elementary(INT), any(m, kind->width + 3),
                             false);
    return joined(m,
                  phrase(m, chance(m, 50) ? "%s(%s, %s)"
                                       : "%s(IN := %s, N := %s)",
                      shifts[way], args[0].st, args[1].st),
                  way == 0   ? "shl"
                  : way == 1 ? "shr"
                  : way == 2 ? "rol"
                             : "ror",
                  tail, args, 2);
}

static struct both small(struct maker *m, struct both value, int by)
{
    struct both out = value;

    out.st = phrase(m, "(%s MOD %d)", value.st, by);
    out.c = phrase(m, "mod(%s, %d)", value.c, by);
    return out;
}

static struct both divided(struct maker *m, const struct kind *kind,
                           unsigned depth, struct both *args)
{
    bool mod = chance(m, 50);

    if (chance(m, 75))
        args[1] = literal_of(m, kind, 2 + any(m, 7), false);
    else if (chance(m, 85)) {
        args[1] = small(m, make(m, kind, depth - 1, true), 3);
        args[1].st = phrase(m, "(%s + 4)", args[1].st);
        args[1].c = phrase(m, "add(%s, 4%s)", args[1].c, range(m, kind));
    }
    args[0].st = phrase(m, mod ? "(%s MOD %s)" : "(%s / %s)", args[0].st,
                     args[1].st);
    return joined(m, args[0].st, mod ? "mod" : "quo",
                  mod ? "" : range(m, kind), args, 2);
}

static struct both make_integer(struct maker *m, const struct kind *kind,
                                unsigned depth)
{
    struct both args[2], out;
    unsigned what = any(m, 8);
    const char *tail = range(m, kind);

    two(m, kind, depth, args);
    args[0] = unknown(m, kind, args[0]);
    if (what < 2)
        return divided(m, kind, depth, args);
    if (what == 2 || args[0].fixed)
        return joined(m, phrase(m, "ABS(%s)", args[0].st), "neg_abs", tail,
                      args, 1);
    if (what == 3 && kind->low < 0) {
        out = joined(m, phrase(m, "(-%s)", args[0].st), "neg", tail, args,
                     1);
        return out;
    }
    if (what == 4) {
        args[0] = small(m, args[0], 5);
        if (!args[1].fixed)
            args[1] = small(m, args[1], 7);
        return joined(m, phrase(m, "(%s * %s)", args[0].st, args[1].st), "mul",
                      tail, args, 2);
    }
    if ((what == 5 && kind->low < 0) || chance(m, 2))
        return joined(m, phrase(m, chance(m, 20) ? "SUB(%s, %s)" : "(%s - %s)",
                             args[0].st, args[1].st),
                      "sub", tail, args, 2);
    return joined(m, phrase(m, chance(m, 20) ? "ADD(%s, %s)" : "(%s + %s)",
                         args[0].st, args[1].st),
                  "add", tail, args, 2);
}

/* Nothing of it is followed: it comes to any value. */
static struct both make_real(struct maker *m, const struct kind *kind,
                             unsigned depth)
{
    static const char *const signs[] = {"+", "-", "*", "/"};
    struct both args[2];

    if (m->weight > 1 || chance(m, 60))
        return leaf(m, kind, true);
    two(m, kind, depth, args);
    return infix(m, signs[any(m, 4)], NULL, "eq", args);
}

static struct both make_time(struct maker *m, unsigned depth)
{
    const struct kind *time = elementary(TIME), *by;
    struct both args[2];

    args[0] = unknown(m, time, make(m, time, depth - 1, true));
    if (chance(m, 60)) {
        args[1] = make(m, time, depth - 1, true);
        return chance(m, 60)
                   ? joined(m, phrase(m, "(%s + %s)", args[0].st, args[1].st),
                            "add", range(m, time), args, 2)
                   : joined(m, phrase(m, "(%s - %s)", args[0].st, args[1].st),
                            "sub", range(m, time), args, 2);
    }
    by = of_shape(m, SHAPE_INTEGER);
    args[1] = make(m, by, depth - 1, true);
    if (chance(m, 50))
        args[1] = small(m, unknown(m, by, args[1]), 4);
    else
        args[1] = literal_of(m, by, 1 + any(m, 4), true);
    return args[1].fixed
               ? joined(m, phrase(m, "(%s / %s)", args[0].st, args[1].st),
                        "quo", range(m, time), args, 2)
               : joined(m, phrase(m, "(%s * %s)", args[0].st, args[1].st),
                        "mul", range(m, time), args, 2);
}

/* ---- what several kinds have ---- */

/* OP(a, b, c): the operator between all of them. */
static struct both chain(struct maker *m, const struct kind *kind,
                         unsigned depth)
{
    static const char *const names[] = {"AND", "OR", "XOR"};
    static const char *const fns[] = {"and3_", "or3_", "xor3_"};
    unsigned way = any(m, 3);
    struct both args[3];

    two(m, kind, depth, args);
    args[0] = unknown(m, kind, args[0]);
    args[2] = make(m, kind, depth - 1, false);
    if (kind->shape == SHAPE_INTEGER)
        return joined(m, phrase(m, "ADD(IN1 := %s, IN2 := %s, IN3 := %s)",
                                args[0].st, args[1].st, args[2].st),
                      "add3", range(m, kind), args, 3);
    return joined(m, phrase(m, "%s(%s, %s, %s)", names[way], args[0].st,
                            args[1].st, args[2].st),
                  fns[way], "", args, 3);
}

static struct both choosing(struct maker *m, const struct kind *kind,
                            unsigned depth)
{
    struct both args[4];
    unsigned what = kind->shape == SHAPE_BOOL ? any(m, 2) : any(m, 5);

    if (kind->shape <= SHAPE_BITS && chance(m, 15))
        return chain(m, kind, depth);
    for (unsigned i = 1; i < 4; i++)
        args[i] = make(m, kind, depth - 1, i == 1);
    switch (what) {
    case 0:
        args[0] = make(m, elementary(BOOL), depth - 1, true);
        return joined(m, phrase(m, chance(m, 50)
                                    ? "SEL(%s, %s, %s)"
                                    : "SEL(G := %s, IN0 := %s, IN1 := %s)",
                             args[0].st, args[1].st, args[2].st),
                      "sel", "", args, 3);
    case 1:
        args[0] = unknown(m, elementary(INT),
                          make(m, elementary(INT), depth - 1, true));
        if (args[0].fixed) {
            args[0] = literal_of(m, elementary(INT), any(m, 3), false);
        } else if (chance(m, 98)) {
            args[0].st = phrase(m, "ABS(%s) MOD 3", args[0].st);
            args[0].c = phrase(m, "mod(neg_abs(%s%s), 3)", args[0].c,
                            range(m, elementary(INT)));
        }
        return joined(m, phrase(m, "MUX(%s, %s, %s, %s)", args[0].st,
                             args[1].st, args[2].st, args[3].st),
                      "mux", "", args, 4);
    case 2:
        return joined(m, phrase(m, chance(m, 50)
                                    ? "LIMIT(%s, %s, %s)"
                                    : "LIMIT(MN := %s, IN := %s, MX := %s)",
                             args[1].st, args[2].st, args[3].st),
                      ordered(m, kind, "limit"), "", args + 1, 3);
    case 3:
        return joined(m, phrase(m, "MIN(%s, %s, %s)", args[1].st, args[2].st,
                             args[3].st),
                      ordered(m, kind, "min3"), "", args + 1, 3);
    default:
        return joined(m, phrase(m, "MAX(%s, %s)", args[1].st, args[2].st),
                      ordered(m, kind, "max2"), "", args + 1, 2);
    }
}

/* What the table of conversions says, in C. */
static const char *converted(struct maker *m, const struct kind *from,
                             const struct kind *to, const char *value)
{
    bool bits = from->shape == SHAPE_BITS, to_bits = to->shape == SHAPE_BITS;

    if (from->shape == SHAPE_ENUM)
        value = phrase(m, "number_%s_%u[%s]", from->st, m->number, value);
    else if (to->width < 64 && to->width <= from->width &&
             ((bits && (to_bits || to->shape == SHAPE_INTEGER)) ||
              (from->shape == SHAPE_INTEGER && to_bits)))
        return phrase(m, "(I)(%sint%u_t)%s", to->low < 0 ? "" : "u", to->width,
                   value);
    else if (from == elementary(LINT) && to_bits)
        return value;
    else if (to == elementary(LWORD) && !bits)
        return phrase(m, "fit(%s, 0, INT64_MAX)", value);
    else if (from == elementary(LWORD) && to->shape != SHAPE_INTEGER)
        value = phrase(m, "fit(%s, 0, INT64_MAX)", value);
    return phrase(m, "fit(%s%s)", value, range(m, to));
}

/* Most values of one fit the other, or can be made to. */
static bool is_likely(const struct kind *from, const struct kind *to)
{
    if (to->shape == SHAPE_BOOL)
        return from->shape == SHAPE_INTEGER;
    return from->shape != SHAPE_TIME || to->width > 8 ||
           to->shape == SHAPE_TIME;
}

static struct both convert(struct maker *m, const struct kind *to,
                           unsigned depth)
{
    const struct kind *from = m->kinds[any(m, m->n_own)];
    struct both out;
    bool brief = chance(m, 30);

    from = base_of(from);
    if (from == to || to->shape == SHAPE_ENUM ||
        (!is_likely(from, to) && chance(m, 95)) ||
        from->shape == SHAPE_REAL ||
        (to->shape == SHAPE_REAL && from->shape != SHAPE_INTEGER) ||
        (from->shape == SHAPE_ENUM && to->shape != SHAPE_INTEGER))
        return leaf(m, to, true);
    out = unknown(m, from, make(m, from, depth - 1, brief));
    if (out.fixed)
        return leaf(m, to, true);
    if ((to->shape == SHAPE_BOOL ||
         (to->width < 64 && to->width < from->width &&
          to->shape == SHAPE_INTEGER)) &&
        from->shape == SHAPE_INTEGER)
        out = small(m, out, to->shape == SHAPE_BOOL ? 2 : 20);
    if ((to->low == 0 || (to == elementary(LWORD) && from->width < 64)) &&
        from->low < 0 && from->shape == SHAPE_INTEGER && chance(m, 98)) {
        out.st = phrase(m, "ABS(%s)", out.st);
        out.c = phrase(m, "neg_abs(%s%s)", out.c, range(m, from));
    }
    out.st = phrase(m, brief ? "TO_%s(%s)" : "%s_TO_%s(%s)",
                 brief ? to->st : from->st, brief ? out.st : to->st, out.st);
    out.c = converted(m, from, to, out.c);
    if (to->shape == SHAPE_INTEGER && from->shape != SHAPE_BOOL &&
        chance(m, 90))
        out = small(m, out, 20);
    return out;
}

static bool by_function(struct maker *m, const struct kind *kind,
                        struct both *out)
{
    unsigned start = m->n_functions ? any(m, m->n_functions) : 0;

    for (unsigned i = 0; i < m->n_functions; i++) {
        const struct unit *unit =
            &m->functions[(start + i) % m->n_functions];

        if (is_elementary(unit->result) && base_of(unit->result) == kind)
            return call_function(m, unit, out);
    }
    return false;
}

struct both make(struct maker *m, const struct kind *kind, unsigned depth,
                 bool exact)
{
    unsigned what = any(m, 10);
    const struct kind *less;
    struct both out;

    kind = base_of(kind);
    if (depth == 0 || what < 2)
        return leaf(m, kind, exact);
    if (what == 2) {
        less = m->kinds[any(m, ELEMENTARY)];
        if (!exact && widens(less, kind))
            return make(m, less, depth - 1, true);
        return convert(m, kind, depth);
    }
    if (what == 3)
        return choosing(m, kind, depth);
    if (what == 4 && by_function(m, kind, &out))
        return out;
    switch (kind->shape) {
    case SHAPE_BOOL: return make_bool(m, depth);
    case SHAPE_BITS: return make_bits(m, kind, depth);
    case SHAPE_INTEGER: return make_integer(m, kind, depth);
    case SHAPE_REAL: return make_real(m, kind, depth);
    case SHAPE_TIME: return make_time(m, depth);
    default: return choosing(m, kind, depth);
    }
}

struct both fitting(struct maker *m, const struct kind *kind, unsigned depth)
{
    const struct kind *base = base_of(kind);
    struct both out = make(m, base, depth, false);
    int high;

    if (kind->shape == SHAPE_TIME && !out.fixed && chance(m, 90)) {
        out.st = phrase(m, "LIMIT(T#0s, %s, T#1s)", out.st);
        out.c = phrase(m, "limit(0, %s, 1000)", out.c);
    }
    if (kind->shape != SHAPE_INTEGER)
        return out;
    if (out.fixed)
        return literal(m, kind, false);
    high = kind->base ? (int)kind->high : 20;
    if (kind->base && kind->low < 0 && chance(m, 50)) {
        out.st = phrase(m, "LIMIT(%lld, %s, %d)", (long long)kind->low, out.st,
                     high);
        out.c = phrase(m, "limit(%lld, %s, %d)", (long long)kind->low, out.c,
                    high);
    } else if (kind->base && chance(m, 95)) {
        out.st = phrase(m, "ABS(%s) MOD %d", out.st, high + 1);
        out.c = phrase(m, "mod(neg_abs(%s%s), %d)", out.c, range(m, base),
                    high + 1);
    } else if (chance(m, 90)) {
        out = small(m, out, high);
    }
    return out;
}

bool make_whole(struct maker *m, const struct kind *kind, struct both *out)
{
    struct place place;

    if (chance(m, 40))
        for (unsigned i = 0; i < m->n_functions; i++)
            if (m->functions[i].result == kind)
                return call_function(m, &m->functions[i], out);
    if (!find_place(m, kind, true, WANT_READ, &place))
        return false;
    *out = place.both;
    return true;
}
