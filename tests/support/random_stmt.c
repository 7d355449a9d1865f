#include "tests/support/random_maker.h"

static bool assign(struct maker *m)
{
    const struct kind *kind = pick_elementary(m);
    struct place place;
    struct both value;

    if (!find_place(m, kind, false, WANT_WRITTEN, &place))
        return false;
    value = fitting(m, place.kind, 1 + any(m, 3));
    text_printf(&m->st, "%s := %s;\n", place.both.st, value.st);
    text_printf(&m->c,
                "{ I v_ = fit(%s, %s, %s); I *to_ = &%s; *to_ = v_; }\n",
                value.c, number_in_c(m, place.kind->low),
                number_in_c(m, place.kind->high), place.both.c);
    return true;
}

/* An input of an instance, from outside. */
static bool assign_input(struct maker *m)
{
    const struct kind *block;
    const struct parameter *p;
    struct place place;
    struct both value;

    if (m->n_blocks == 0)
        return false;
    block = m->blocks[any(m, m->n_blocks)];
    p = &block->unit->parameters[any(m, block->unit->n_parameters)];
    if (p->mode != MODE_INPUT || !is_elementary(p->kind) ||
        p->kind->shape == SHAPE_TIME ||
        !find_place(m, block, true, WANT_READ, &place))
        return false;
    value = fitting(m, p->kind, 2);
    text_printf(&m->st, "%s.%s := %s;\n", place.both.st, p->name, value.st);
    text_printf(&m->c,
                "{ I v_ = fit(%s, %s, %s); I *to_ = &%s.%s; *to_ = v_; }\n",
                value.c, number_in_c(m, p->kind->low),
                number_in_c(m, p->kind->high), place.both.c, p->name);
    return true;
}

static bool assign_whole(struct maker *m)
{
    const struct kind *kind =
        m->kinds[m->n_own + any(m, m->n_kinds - m->n_own)];
    struct place place;
    struct both value;

    if (!find_place(m, kind, true, WANT_WRITTEN, &place) ||
        !make_whole(m, kind, &value))
        return false;
    text_printf(&m->st, "%s := %s;\n", place.both.st, value.st);
    text_printf(&m->c, "{ %s v_ = %s, *to_ = &%s; *to_ = v_; }\n", kind->c,
                value.c, place.both.c);
    return true;
}

static bool assign_bit(struct maker *m)
{
    static const enum elementary which[] = {BYTE, WORD, DWORD, LWORD};
    const struct kind *kind = elementary(which[any(m, 4)]);
    unsigned bit = any(m, kind->width);
    struct place place;
    struct both value;

    if (!find_place(m, kind, false, WANT_WRITTEN, &place))
        return false;
    value = make(m, elementary(BOOL), 2, true);
    text_printf(&m->st, chance(m, 50) ? "%s.%u := %s;\n" : "%s.%%X%u := %s;\n",
                place.both.st, bit, value.st);
    text_printf(&m->c,
                "{ I v_ = %s; I *to_ = &%s; *to_ = with(*to_, %u, v_); }\n",
                value.c, place.both.c, bit);
    return true;
}

/* What a function gives where EN is FALSE has no translation. */
static bool assign_enabled(struct maker *m)
{
    const struct kind *kind = elementary(BOOL);
    struct place place, ok;
    struct both en, args[3];

    if (!m->all || m->where != IN_PROGRAM || m->weight > 1 ||
        !find_place(m, kind, true, WANT_WRITTEN, &place) ||
        !find_place(m, kind, true, WANT_WRITTEN, &ok))
        return false;
    en = make(m, kind, 1, true);
    for (unsigned i = 0; i < 3; i++)
        args[i] = make(m, kind, 2, true);
    text_printf(&m->st,
                chance(m, 50)
                    ? "%s := SEL(EN := %s, G := %s, IN0 := %s, IN1 := %s, "
                      "ENO => %s);\n"
                    : "%s := OR(EN := %s, %s, %s, %s, ENO => %s);\n",
                place.both.st, en.st, args[0].st, args[1].st, args[2].st,
                ok.both.st);
    return true;
}

static bool set_or_reset(struct maker *m)
{
    struct place place;
    struct both value;
    bool set = chance(m, 50);

    if (!find_place(m, elementary(BOOL), false, WANT_WRITTEN, &place))
        return false;
    value = make(m, elementary(BOOL), 2, true);
    text_printf(&m->st, "%s %s %s;\n", place.both.st, set ? "S=" : "R=",
                value.st);
    text_printf(&m->c, "if (%s) %s = %d;\n", value.c, place.both.c, set);
    return true;
}

/* The condition of an IF or ELSIF. */
static void condition(struct maker *m, const char *word, const char *c)
{
    struct both value = make(m, elementary(BOOL), 2, true);

    text_printf(&m->st, "%s %s THEN ", word, value.st);
    text_printf(&m->c, "%s (%s) ", c, value.c);
}

static void branch(struct maker *m, unsigned depth)
{
    unsigned more = any(m, 3);

    condition(m, "IF", "if");
    text_add(&m->c, "{\n");
    statements(m, 1 + any(m, 2), depth - 1);
    while (more-- > 1) {
        condition(m, "ELSIF", "} else if");
        text_add(&m->c, "{\n");
        statements(m, 1, depth - 1);
    }
    if (chance(m, 50)) {
        text_add(&m->st, "ELSE\n");
        text_add(&m->c, "} else {\n");
        statements(m, 1 + any(m, 2), depth - 1);
    }
    text_add(&m->st, chance(m, 80) ? "END_IF;\n" : "END_IF\n");
    text_add(&m->c, "}\n");
}

static void case_of_items(struct maker *m, const struct kind *kind,
                          unsigned i)
{
    if (chance(m, 30))
        text_printf(&m->st, "%d", kind->numbers[i]);
    else
        text_add(&m->st, literal_of(m, kind, i, true).st);
    text_printf(&m->c, "if (v_ == %u) {\n", i);
}

static void case_of_numbers(struct maker *m, int64_t low, unsigned i)
{
    long long at = low + 3 * (long long)i;

    if (chance(m, 40)) {
        text_printf(&m->st, "%lld .. %lld", at, at + 1);
        text_printf(&m->c, "if (v_ >= %lld && v_ <= %lld) {\n", at, at + 1);
    } else {
        text_printf(&m->st, "%lld, %lld", at + 2, at);
        text_printf(&m->c, "if (v_ == %lld || v_ == %lld) {\n", at, at + 2);
    }
}

static void choice(struct maker *m, unsigned depth)
{
    const struct kind *kind;
    struct both value;
    unsigned groups;

    do
        kind = m->kinds[any(m, m->n_own)];
    while (kind->shape != SHAPE_ENUM && kind->shape != SHAPE_INTEGER &&
           kind->shape != SHAPE_BITS);
    kind = base_of(kind);
    value = make(m, kind, 1 + any(m, 2), true);
    groups = kind->shape == SHAPE_ENUM ? 1 + any(m, kind->n_items)
                                       : 1 + any(m, 3);
    text_printf(&m->st, "CASE %s OF\n", value.st);
    text_printf(&m->c, "{ I v_ = %s; ", value.c);
    for (unsigned i = 0; i < groups; i++) {
        if (i > 0)
            text_add(&m->c, "} else ");
        if (kind->shape == SHAPE_ENUM)
            case_of_items(m, kind, i);
        else
            case_of_numbers(m, kind->low < 0 && kind->shape != SHAPE_BITS ? -2 : 0,
                            i);
        text_add(&m->st, ":\n");
        statements(m, 1, depth - 1);
    }
    if (chance(m, 60)) {
        text_add(&m->st, "ELSE\n");
        text_add(&m->c, "} else {\n");
        statements(m, 1, depth - 1);
    }
    text_add(&m->st, "END_CASE;\n");
    text_add(&m->c, "} }\n");
}

/* ---- loops ---- */

static struct variable *counter(struct maker *m)
{
    unsigned start = any(m, m->n_variables);

    for (unsigned i = 0; i < m->n_variables; i++) {
        struct variable *v = &m->variables[(start + i) % m->n_variables];

        if (v->counter && !v->locked)
            return v;
    }
    return NULL;
}

static void body(struct maker *m, unsigned n, unsigned depth,
                 unsigned passes)
{
    unsigned weight = m->weight;

    m->weight *= passes;
    m->loops++;
    statements(m, n, depth - 1);
    m->loops--;
    m->weight = weight;
}

/* An end of a loop: a number, or a variable of few values. */
static struct both bound(struct maker *m, struct both number,
                         unsigned *passes)
{
    struct place place;

    for (int i = 0; i < 3 && chance(m, 50); i++) {
        const struct kind *kind = m->kinds[any(m, m->n_own)];

        if (!kind->base || kind->low <= -10 ||
            !find_place(m, kind, true, WANT_READ, &place) ||
            place.both.fixed)
            continue;
        *passes = (unsigned)(kind->high - kind->low) + 4;
        return place.both;
    }
    return number;
}

/* The step: a number, or a variable that may be 0. */
static struct both step(struct maker *m, struct both number,
                        unsigned *passes)
{
    struct both by = bound(m, number, passes);

    return by.fixed || chance(m, 60) ? number : by;
}

static bool for_loop(struct maker *m, unsigned depth)
{
    struct variable *v = counter(m);
    int64_t low = (int64_t)any(m, 4) - 1, high = low + any(m, 4), by = 1;
    int64_t most = 1000; /* passes that are no error */
    unsigned passes = 4;
    struct both from, to, step_;

    if (!v)
        return false;
    if (chance(m, 40))
        by = chance(m, 50) ? -1 : 2;
    if (chance(m, 1)) { /* to the end of the type, and beyond */
        high = v->kind->high;
        low = high - 2;
    }
    from = literal_of(m, elementary(INT), by < 0 ? high : low, false);
    to = literal_of(m, elementary(INT), by < 0 ? low : high, false);
    step_ = literal_of(m, elementary(INT), by, false);
    if (v->shared) {
        most = (high - low) / (by == 2 ? 2 : 1) + 1;
    } else {
        from = bound(m, from, &passes);
        if (high < 10 || from.fixed)
            to = bound(m, to, &passes);
        step_ = step(m, step_, &passes);
    }
    if (m->weight * passes > 40)
        return false;
    text_printf(&m->st, "FOR %s := %s TO %s", v->st, from.st, to.st);
    if (by != 1 || !step_.fixed || chance(m, 20))
        text_printf(&m->st, " BY %s", step_.st);
    text_add(&m->st, " DO\n");
    text_printf(&m->c,
                "{ I f_ = %s, e_ = %s, s_ = %s, n_ = 0; "
                "FOR(%s, f_, e_, s_, %s, %s) {\n"
                "if (++n_ > %lld) longjmp(stop, 1);\n",
                from.c, to.c, step_.c, v->c, number_in_c(m, v->kind->low),
                number_in_c(m, v->kind->high), (long long)most);
    v->locked = true;
    body(m, 1 + any(m, 2), depth, passes);
    v->locked = false;
    text_add(&m->st, "END_FOR;\n");
    text_add(&m->c, "} }\n");
    return true;
}

/* A loop that may not end: an error after 1,000 passes. */
static void endless(struct maker *m)
{
    struct both c = make(m, elementary(BOOL), 1, true);

    text_printf(&m->st, "WHILE %s DO\n", c.st);
    text_printf(&m->c, "for (int n_ = 0; %s; ) {\n"
                       "if (++n_ > 1000) longjmp(stop, 1);\n", c.c);
    body(m, 1, 1, 100);
    text_add(&m->st, "END_WHILE\n");
    text_add(&m->c, "}\n");
}

/* While the condition holds, and at most three times. */
static bool while_loop(struct maker *m, unsigned depth)
{
    struct variable *v = counter(m);
    struct both c;
    bool repeat = chance(m, 40);

    if (m->where == IN_PROGRAM && m->weight == 1 && chance(m, 2)) {
        endless(m);
        return true;
    }
    if (!v || m->weight * 4 > 40)
        return false;
    v->locked = true;
    c = make(m, elementary(BOOL), 2, true);
    text_printf(&m->st, "%s := 0;\n", v->st);
    text_printf(&m->c, "%s = 0;\n", v->c);
    if (repeat) {
        text_add(&m->st, "REPEAT\n");
        text_add(&m->c, "do {\n");
    } else {
        text_printf(&m->st, "WHILE %s AND (%s < 3) DO\n", c.st, v->st);
        text_printf(&m->c, "while ((%s) & (%s < 3)) {\n", c.c, v->c);
    }
    text_printf(&m->st, "%s := %s + 1;\n", v->st, v->st);
    text_printf(&m->c, "%s = %s + 1;\n", v->c, v->c);
    body(m, 1 + any(m, 2), depth, 4);
    if (repeat) {
        text_printf(&m->st, "UNTIL %s OR (%s >= 3) END_REPEAT;\n", c.st,
                    v->st);
        text_printf(&m->c, "} while (!((%s) | (%s >= 3)));\n", c.c, v->c);
    } else {
        text_add(&m->st, "END_WHILE;\n");
        text_add(&m->c, "}\n");
    }
    v->locked = false;
    return true;
}

static void leave(struct maker *m)
{
    unsigned way = any(m, 5);

    condition(m, "IF", "if");
    if (m->loops == 0 || way == 0) {
        text_add(&m->st, "RETURN; END_IF;\n");
        text_add(&m->c, m->where == IN_FUNCTION ? "return result_;\n"
                                                : "return;\n");
    } else {
        text_add(&m->st, way < 3 ? "EXIT; END_IF;\n" : "CONTINUE; END_IF;\n");
        text_add(&m->c, way < 3 ? "break;\n" : "continue;\n");
    }
}

/* false: nothing of that kind can be written here. */
static bool one(struct maker *m, unsigned what, unsigned depth)
{
    if (what < 3 && depth > 0)
        return branch(m, depth), true;
    if (what < 5 && depth > 0)
        return choice(m, depth), true;
    if (what < 7 && depth > 0)
        return for_loop(m, depth);
    if (what < 8 && depth > 0)
        return while_loop(m, depth);
    if (what < 9 && (m->loops > 0 || chance(m, 25)))
        return leave(m), true;
    if (what < 11)
        return assign_whole(m);
    if (what < 12)
        return assign_bit(m);
    if (what < 13)
        return set_or_reset(m);
    if (what < 17 && m->where != IN_FUNCTION)
        return call_block(m);
    if (what < 18 && m->where != IN_FUNCTION)
        return assign_input(m);
    if (what < 19)
        return assign_enabled(m);
    if (what < 20)
        return assign_chained(m);
    return what < 21 && assign_chosen(m);
}

void statements(struct maker *m, unsigned n, unsigned depth)
{
    for (unsigned i = 0; i < n; i++) {
        m->cost += m->weight;
        if (m->cost < 300 && one(m, any(m, 26), depth))
            continue;
        if (!assign(m) && !assign(m)) {
            text_add(&m->st, ";\n");
            text_add(&m->c, ";\n");
        }
    }
}
