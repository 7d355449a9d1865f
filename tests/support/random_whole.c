/* Assignments of several values at once. */
#include <ctype.h>

#include "tests/support/random_maker.h"

/* Are all its indices written as numbers, none below zero? */
static bool is_plain(const char *path)
{
    bool within = false;

    for (; *path; path++) {
        if (within && !isdigit((unsigned char)*path) && *path != ',' &&
            *path != ' ' && *path != ']')
            return false;
        within = *path == '[' || (within && *path != ']');
    }
    return true;
}

static bool plain_place(struct maker *m, const struct kind *kind, bool same,
                        enum wanted wanted, struct place *out)
{
    for (int i = 0; i < 4; i++)
        if (find_place(m, kind, same, wanted, out) &&
            is_plain(out->both.st))
            return true;
    return false;
}

/* 0 .. 2, mostly. */
static struct both number_of_three(struct maker *m)
{
    const struct kind *kind = elementary(INT);
    struct place place;
    struct both k;

    if (chance(m, 40) || !find_place(m, kind, false, WANT_READ, &place) ||
        place.both.fixed)
        return literal_of(m, kind, any(m, 3), false);
    k = place.both;
    if (chance(m, 3))
        return k;
    k.st = phrase(m, "ABS(%s) MOD 3", k.st);
    k.c = phrase(m, "mod(neg_abs(%s, INT16_MIN, INT16_MAX), 3)", k.c);
    return k;
}

/* MOVE, SEL and MUX of whole arrays and structures. */
bool assign_chosen(struct maker *m)
{
    const struct kind *kind =
        m->kinds[m->n_own + any(m, m->n_kinds - m->n_own)];
    struct place to, from[3];
    struct both by;
    unsigned way = any(m, 3);

    if (!plain_place(m, kind, true, WANT_WRITTEN, &to))
        return false;
    for (unsigned i = 0; i < 3; i++)
        if (!plain_place(m, kind, true, WANT_READ, &from[i]))
            return false;
    by = way == 1 ? make(m, elementary(BOOL), 2, true) : number_of_three(m);
    if (way == 0)
        text_printf(&m->st, "%s := MOVE(%s);\n", to.both.st,
                    from[0].both.st);
    else if (way == 1)
        text_printf(&m->st, chance(m, 50)
                                ? "%s := SEL(%s, %s, %s);\n"
                                : "%s := SEL(G := %s, IN0 := %s, IN1 := "
                                  "%s);\n",
                    to.both.st, by.st, from[0].both.st, from[1].both.st);
    else
        text_printf(&m->st, "%s := MUX(%s, %s, %s, %s);\n", to.both.st,
                    by.st, from[0].both.st, from[1].both.st,
                    from[2].both.st);
    text_printf(&m->c,
                "{ I k_ = %s; if (k_ < 0 || k_ > 2) longjmp(stop, 1);\n"
                "%s v_ = k_ == 0 ? %s : k_ == 1 ? %s : %s; %s = v_; }\n",
                way == 0 ? "0" : by.c, kind->c, from[0].both.c,
                from[1].both.c, from[2].both.c, to.both.c);
    return true;
}

/* a := b := value; */
bool assign_chained(struct maker *m)
{
    const struct kind *kind = pick_elementary(m);
    struct place first, second;
    struct both value;

    if (!plain_place(m, kind, false, WANT_WRITTEN, &first) ||
        !plain_place(m, kind, false, WANT_WRITTEN, &second))
        return false;
    value = fitting(m, second.kind, 1 + any(m, 2));
    text_printf(&m->st, "%s := %s := %s;\n", first.both.st, second.both.st,
                value.st);
    text_printf(&m->c,
                "{ I v_ = fit(%s, %s, %s); I *to_ = &%s; *to_ = v_;\n"
                "v_ = fit(v_, %s, %s); to_ = &%s; *to_ = v_; }\n",
                value.c, number_in_c(m, second.kind->low),
                number_in_c(m, second.kind->high), second.both.c,
                number_in_c(m, first.kind->low),
                number_in_c(m, first.kind->high), first.both.c);
    return true;
}
