#include "tests/support/random_maker.h"

/* A call under way. */
struct calling {
    struct text st;      /* arguments */
    struct text before;  /* in C: values and places, in the order written */
    struct text stored;  /* in C: inputs of a block */
    struct text behind;  /* in C: outputs copied back */
    const char *handed[MOST_PARAMETERS]; /* in C, per parameter */
    bool named;
};

static void release(struct calling *call)
{
    text_release(&call->st);
    text_release(&call->before);
    text_release(&call->stored);
    text_release(&call->behind);
}

static void argument(struct calling *call, const struct parameter *p,
                     const char *sign, const char *value)
{
    if (call->st.n > 0)
        text_add(&call->st, ", ");
    if (call->named)
        text_printf(&call->st, "%s %s %s", p->name, sign, value);
    else
        text_add(&call->st, value);
}

static const char *stored(struct maker *m, const struct kind *kind,
                          const char *value)
{
    if (!is_elementary(kind))
        return value;
    return phrase(m, "fit(%s, %s, %s)", value, number_in_c(m, kind->low),
               number_in_c(m, kind->high));
}

/* The time of a timer has to have a largest value. */
static struct both preset(struct maker *m)
{
    const struct kind *time = elementary(TIME);
    struct both value = make(m, time, 1, true);

    if (value.fixed || chance(m, 60))
        return literal_of(m, time, (int64_t)any(m, 5) * 100, false);
    value.st = phrase(m, "LIMIT(T#-100ms, %s, T#400ms)", value.st);
    value.c = phrase(m, "limit(-100, %s, 400)", value.c);
    return value;
}

static bool input(struct maker *m, struct calling *call,
                  const struct unit *unit, unsigned i)
{
    const struct parameter *p = &unit->parameters[i];
    struct both value;

    if (call->named && chance(m, 15)) /* left out */
        return true;
    if (p->name[0] == 'P' && p->kind->shape == SHAPE_TIME)
        value = preset(m);
    else if (is_elementary(p->kind))
        value = fitting(m, p->kind, 1);
    else if (!make_whole(m, p->kind, &value))
        return call->named;
    argument(call, p, ":=", value.st);
    text_printf(&call->before, "%s p%u_ = %s; ", p->kind->c, i,
                stored(m, p->kind, value.c));
    text_printf(&call->stored, "c_->%s = p%u_; ", p->name, i);
    call->handed[i] = phrase(m, "p%u_", i);
    return true;
}

static bool in_out(struct maker *m, struct calling *call,
                   const struct unit *unit, unsigned i)
{
    const struct parameter *p = &unit->parameters[i];
    struct place place;

    if (!find_place(m, p->kind, true,
                    p->kind->shape == SHAPE_BLOCK ? WANT_READ : WANT_WRITTEN,
                    &place))
        return false;
    argument(call, p, ":=", place.both.st);
    text_printf(&call->before, "%s *p%u_ = &%s; ", p->kind->c, i,
                place.both.c);
    call->handed[i] = phrase(m, "p%u_", i);
    return true;
}

/* Without names every output has to be taken. */
static bool output(struct maker *m, struct calling *call,
                   const struct unit *unit, unsigned i)
{
    const struct parameter *p = &unit->parameters[i];
    const char *from = unit->result ? phrase(m, "p%u_", i)
                                    : phrase(m, "c_->%s", p->name);
    struct place place;

    if (unit->result) {
        text_printf(&call->before, "%s p%u_; ", p->kind->c, i);
        call->handed[i] = phrase(m, "&p%u_", i);
    }
    if ((call->named && chance(m, 40)) ||
        !find_place(m, p->kind, !is_elementary(p->kind), WANT_WRITTEN,
                    &place))
        return call->named;
    if (place.kind->base && place.kind != p->kind && chance(m, 90))
        return call->named;
    argument(call, p, "=>", place.both.st);
    text_printf(&call->behind, "{ %s *to_ = &%s; *to_ = %s; } ", p->kind->c,
                place.both.c, stored(m, place.kind, from));
    return true;
}

static bool arguments(struct maker *m, struct calling *call,
                      const struct unit *unit)
{
    unsigned n = unit->n_parameters, start = 0;

    call->named = chance(m, 75);
    if (call->named && n > 0)
        start = any(m, n);
    for (unsigned k = 0; k < n; k++) {
        unsigned i = (start + k) % n;

        if (unit->parameters[i].mode == MODE_INPUT) {
            if (!input(m, call, unit, i))
                return false;
        } else if (unit->parameters[i].mode == MODE_IN_OUT) {
            if (!in_out(m, call, unit, i))
                return false;
        } else if (!output(m, call, unit, i)) {
            return false;
        }
    }
    return true;
}

bool call_function(struct maker *m, const struct unit *unit,
                   struct both *out)
{
    struct calling call = {0};
    struct text c = {0};
    bool good = unit->cost * m->weight <= 60 && arguments(m, &call, unit);

    if (good) {
        m->cost += unit->cost * m->weight;
        text_printf(&c, "({ %s%s r_ = %s(", text_str(&call.before),
                    unit->result->c, unit->c);
        for (unsigned i = 0; i < unit->n_parameters; i++)
            text_printf(&c, "%s%s", i ? ", " : "",
                        call.handed[i] ? call.handed[i]
                                       : initial_of(m, unit->parameters[i]
                                                           .kind));
        text_printf(&c, "); %sr_; })", text_str(&call.behind));
        *out = (struct both){.acts = true};
        out->st = phrase(m, "%s(%s)", unit->name, text_str(&call.st));
        out->c = phrase(m, "%s", text_str(&c));
        text_release(&c);
    }
    release(&call);
    return good;
}

/* EN and ENO around the call; what C needs to end it. */
static const char *enable(struct maker *m, struct text *st)
{
    struct both en;
    struct place ok;

    if (!chance(m, 20))
        return "";
    en = make(m, elementary(BOOL), 1, true);
    text_printf(st, "EN := %s", en.st);
    text_printf(&m->c, "if (%s) ", en.c);
    if (!find_place(m, elementary(BOOL), false, WANT_WRITTEN, &ok))
        return "";
    text_printf(st, ", ENO => %s", ok.both.st);
    return phrase(m, "%s = 1; } else { %s = 0; ", ok.both.c, ok.both.c);
}

bool call_block(struct maker *m)
{
    const struct kind *kind;
    struct calling call = {0};
    struct text enabled = {0};
    const char *end;
    struct place at;
    bool good;

    if (m->n_blocks == 0)
        return false;
    kind = m->blocks[any(m, m->n_blocks)];
    if (kind->unit->cost * m->weight > 60 ||
        !find_place(m, kind, true, WANT_READ, &at))
        return false;
    good = arguments(m, &call, kind->unit);
    if (good) {
        m->cost += kind->unit->cost * m->weight;
        end = enable(m, &enabled);
        text_printf(&m->st, "%s(%s%s%s);\n", at.both.st, text_str(&enabled),
                    enabled.n && call.st.n ? ", " : "", text_str(&call.st));
        text_printf(&m->c, "{ %s *c_ = &%s; %s%srun_%s(c_", kind->c,
                    at.both.c, text_str(&call.before),
                    text_str(&call.stored), kind->unit->c);
        for (unsigned i = 0; i < kind->unit->n_parameters; i++)
            if (kind->unit->parameters[i].mode == MODE_IN_OUT)
                text_printf(&m->c, ", %s", call.handed[i]);
        text_printf(&m->c, "); %s%s}\n", text_str(&call.behind), end);
    }
    text_release(&enabled);
    release(&call);
    return good;
}
