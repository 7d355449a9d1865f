#include "tests/support/random_arrays.h"

#include <stdbool.h>

#include "base/arena.h"
#include "base/text.h"

static const char prelude[] =
    "#include <setjmp.h>\n#include <stdint.h>\n#include <stdio.h>\n"
    "#include <string.h>\n"
    "typedef int64_t I;\nstatic jmp_buf stop;\n"
    "static I ix(I v, I lo, I hi)\n"
    "{ if (v < lo || v > hi) longjmp(stop, 1); return v - lo; }\n"
    "static I in(I v)\n"
    "{ if (v < -32768 || v > 32767) longjmp(stop, 1); return v; }\n"
    "static void st(I *p, I v, I lo, I hi)\n"
    "{ if (v < lo || v > hi) longjmp(stop, 1); *p = v; }\n"
    "struct S { I a; I b[3]; I c; };\n"
    "static I swap(I *u, I *w) { I r = *u; *u = *w; *w = r; return r; }\n";

const char *random_arrays_prelude(void)
{
    return prelude;
}

/* The same thing in both languages. */
struct both {
    const char *st, *c;
};

/* A text in which variables are seen, all by what they are called in it. */
enum where { IN_MAIN, IN_BLOCK, IN_OUTER, IN_FUNCTION };

struct maker {
    struct arena *arena;
    uint64_t seed;
    struct text st, c;
    enum where where;
    unsigned number;
};

static unsigned any(struct maker *m, unsigned below)
{
    m->seed = m->seed * UINT64_C(6364136223846793005) +
              UINT64_C(1442695040888963407);
    return (unsigned)(m->seed >> 33) % below;
}

static struct both plain(const char *st, const char *c)
{
    return (struct both){st, c};
}

/* ---- places ---- */

static struct both place(struct maker *m, unsigned depth);

static struct both index_of(struct maker *m, int low, int high,
                            unsigned depth)
{
    struct both p;
    int n = high - low + 1, fixed = low + (int)any(m, (unsigned)n);

    if (depth == 0 || any(m, 3) == 0)
        return (struct both){arena_printf(m->arena, "%d", fixed),
                             arena_printf(m->arena, "%d", fixed - low)};
    p = place(m, depth - 1);
    switch (any(m, 40)) {
    case 0:
        return (struct both){p.st, arena_printf(m->arena, "ix(%s, %d, %d)",
                                                p.c, low, high)};
    case 1:
        return (struct both){
            arena_printf(m->arena, "%s + %d", p.st, low),
            arena_printf(m->arena, "ix(in(%s + %d), %d, %d)", p.c, low, low,
                         high)};
    default: /* nearly always inside */
        return (struct both){
            arena_printf(m->arena, "(%s * %s) MOD %d + %d", p.st, p.st, n,
                         low),
            arena_printf(m->arena, "ix(in(in(%s * %s) %% %d + %d), %d, %d)",
                         p.c, p.c, n, low, low, high)};
    }
}

/* Of the type S. */
static struct both structure(struct maker *m, unsigned depth, bool written)
{
    struct both i;

    switch (m->where) {
    case IN_FUNCTION:
        return written || any(m, 2) ? plain("Make", "result")
                                    : plain("src", "src");
    case IN_BLOCK:
        return any(m, 2) ? plain("r", "(*r)") : plain("tmp", "f->tmp");
    case IN_OUTER: return plain("r", "(*r)");
    default: break;
    }
    if (any(m, 2))
        return any(m, 2) ? plain("s", "g->s") : plain("t", "g->t");
    i = index_of(m, 1, 2, depth);
    return (struct both){arena_printf(m->arena, "ss[%s]", i.st),
                         arena_printf(m->arena, "g->ss[%s]", i.c)};
}

static struct both element(struct maker *m, struct both array, int low,
                           int high, unsigned depth)
{
    struct both i = index_of(m, low, high, depth);

    return (struct both){arena_printf(m->arena, "%s[%s]", array.st, i.st),
                         arena_printf(m->arena, "%s[%s]", array.c, i.c)};
}

static struct both own_scalar(struct maker *m)
{
    switch (m->where) {
    case IN_FUNCTION: return plain("h", "h");
    case IN_BLOCK: return any(m, 2) ? plain("z", "(*z)")
                                    : plain("o", "f->o");
    case IN_OUTER: return any(m, 2) ? plain("z", "(*z)")
                                    : plain("e", "f->e");
    default: return any(m, 2) ? plain("i", "g->i") : plain("j", "g->j");
    }
}

static struct both own_array(struct maker *m, unsigned depth)
{
    struct both i, j;

    if (m->where == IN_FUNCTION)
        return element(m, plain("k", "k"), 0, 1, depth);
    if (m->where == IN_OUTER)
        return element(m, plain("gx", "g->gx"), 0, 2, depth);
    if (any(m, 3) == 0)
        return element(m, plain("gx", "g->gx"), 0, 2, depth);
    if (m->where == IN_BLOCK)
        return element(m, plain("acc", "f->acc"), 0, 2, depth);
    i = index_of(m, 0, 1, depth);
    j = index_of(m, -1, 1, depth);
    return (struct both){arena_printf(m->arena, "m[%s, %s]", i.st, j.st),
                         arena_printf(m->arena, "g->m[%s][%s]", i.c, j.c)};
}

/* A variable of the type INT that may be written. */
static struct both place(struct maker *m, unsigned depth)
{
    struct both s;

    switch (any(m, 4)) {
    case 0: return own_scalar(m);
    case 1: return own_array(m, depth);
    default: break;
    }
    s = structure(m, depth, true);
    if (any(m, 2))
        return element(m,
                       plain(arena_printf(m->arena, "%s.b", s.st),
                             arena_printf(m->arena, "%s.b", s.c)),
                       0, 2, depth);
    return (struct both){arena_printf(m->arena, "%s.a", s.st),
                         arena_printf(m->arena, "%s.a", s.c)};
}

/* ---- expressions ---- */

static struct both leaf(struct maker *m, unsigned depth)
{
    static const char *const inputs[] = {"n", "k"};
    const char *input = inputs[any(m, 2)];

    if (any(m, 3))
        return place(m, depth);
    if (m->where == IN_MAIN && any(m, 3) == 0)
        return element(m, plain("x", "g->x"), 1, 3, depth);
    if (m->where == IN_MAIN && any(m, 3) == 0) {
        struct both i = index_of(m, 1, 2, depth);

        return (struct both){arena_printf(m->arena, "bl[%s].o", i.st),
                             arena_printf(m->arena, "g->bl[%s].o", i.c)};
    }
    if (m->where == IN_MAIN)
        return (struct both){input, arena_printf(m->arena, "g->%s", input)};
    if (m->where == IN_FUNCTION)
        return plain("v", "v");
    return plain("d", "f->d");
}

static struct both value(struct maker *m, unsigned depth)
{
    struct both p, q;

    if (any(m, 4) == 0) {
        const char *number = arena_printf(m->arena, "%u", any(m, 5));

        return plain(number, number);
    }
    p = leaf(m, depth);
    if (depth == 0 || any(m, 2))
        return p;
    q = value(m, depth - 1);
    switch (any(m, 4)) {
    case 0:
        return (struct both){
            arena_printf(m->arena, "(%s + %s)", p.st, q.st),
            arena_printf(m->arena, "in(%s + %s)", p.c, q.c)};
    case 1:
        return (struct both){
            arena_printf(m->arena, "(%s - %s)", p.st, q.st),
            arena_printf(m->arena, "in(%s - %s)", p.c, q.c)};
    default:
        return (struct both){
            arena_printf(m->arena, "((%s + %s) MOD 5)", p.st, q.st),
            arena_printf(m->arena, "in(in(%s + %s) %% 5)", p.c, q.c)};
    }
}

static struct both condition(struct maker *m, unsigned depth)
{
    struct both a, b;

    switch (any(m, depth ? 6 : 4)) {
    case 0:
        if (m->where == IN_MAIN)
            return any(m, 2) ? plain("p", "g->p") : plain("q", "g->q");
        /* fall through */
    case 1:
        a = structure(m, depth, false);
        return (struct both){arena_printf(m->arena, "%s.c", a.st),
                             arena_printf(m->arena, "%s.c", a.c)};
    case 2:
    case 3:
        a = leaf(m, depth);
        b = value(m, depth);
        return any(m, 2) ? (struct both){
            arena_printf(m->arena, "(%s < %s)", a.st, b.st),
            arena_printf(m->arena, "(%s < %s)", a.c, b.c)}
                         : (struct both){
            arena_printf(m->arena, "(%s = %s)", a.st, b.st),
            arena_printf(m->arena, "(%s == %s)", a.c, b.c)};
    case 4:
        a = condition(m, depth - 1);
        return (struct both){arena_printf(m->arena, "NOT (%s)", a.st),
                             arena_printf(m->arena, "(I)!(%s)", a.c)};
    default:
        a = condition(m, depth - 1);
        b = condition(m, depth - 1);
        return any(m, 2) ? (struct both){
            arena_printf(m->arena, "(%s AND %s)", a.st, b.st),
            arena_printf(m->arena, "(%s & %s)", a.c, b.c)}
                         : (struct both){
            arena_printf(m->arena, "(%s OR %s)", a.st, b.st),
            arena_printf(m->arena, "(%s | %s)", a.c, b.c)};
    }
}

/* ---- statements ---- */

static void statements(struct maker *m, unsigned n, unsigned depth);

static void assign(struct maker *m)
{
    struct both to = place(m, 2), v = value(m, 2);

    if (m->where == IN_MAIN && any(m, 5) == 0) {
        to = element(m, plain("x", "g->x"), 1, 3, 2);
        text_printf(&m->st, "%s := %s;\n", to.st, v.st);
        text_printf(&m->c, "{ I v_ = %s; st(&%s, v_, -20, 20); }\n", v.c,
                    to.c);
        return;
    }
    text_printf(&m->st, "%s := %s;\n", to.st, v.st);
    text_printf(&m->c, "{ I v_ = %s; I *to_ = &%s; *to_ = v_; }\n", v.c, to.c);
}

static void assign_truth(struct maker *m)
{
    struct both to = structure(m, 2, true), v = condition(m, 2);

    text_printf(&m->st, "%s.c := %s;\n", to.st, v.st);
    text_printf(&m->c, "{ I v_ = %s; I *to_ = &%s.c; *to_ = v_; }\n", v.c,
                to.c);
}

static void copy(struct maker *m)
{
    struct both to = structure(m, 2, true), from = structure(m, 2, false);

    if (any(m, 2)) {
        text_printf(&m->st, "%s := %s;\n", to.st, from.st);
        text_printf(&m->c, "{ struct S v_ = %s, *to_ = &%s; *to_ = v_; }\n",
                    from.c, to.c);
        return;
    }
    text_printf(&m->st, "%s.b := %s.b;\n", to.st, from.st);
    text_printf(&m->c,
                "{ struct S v_ = %s, *to_ = &%s; "
                "memcpy(to_->b, v_.b, sizeof v_.b); }\n",
                from.c, to.c);
}

static void branch(struct maker *m, unsigned depth)
{
    struct both c = condition(m, 2), v;

    if (any(m, 3)) {
        text_printf(&m->st, "IF %s THEN\n", c.st);
        text_printf(&m->c, "if (%s) {\n", c.c);
        statements(m, 2, depth - 1);
        text_add(&m->st, "ELSE\n");
        text_add(&m->c, "} else {\n");
        statements(m, 2, depth - 1);
        text_add(&m->st, "END_IF;\n");
        text_add(&m->c, "}\n");
        return;
    }
    v = leaf(m, 2);
    text_printf(&m->st, "CASE %s OF\n0, 2:\n", v.st);
    text_printf(&m->c, "{ I v_ = %s; if (v_ == 0 || v_ == 2) {\n", v.c);
    statements(m, 1, depth - 1);
    text_add(&m->st, "1 .. 3:\n");
    text_add(&m->c, "} else if (v_ >= 1 && v_ <= 3) {\n");
    statements(m, 1, depth - 1);
    text_add(&m->st, "ELSE\n");
    text_add(&m->c, "} else {\n");
    statements(m, 1, depth - 1);
    text_add(&m->st, "END_CASE;\n");
    text_add(&m->c, "} }\n");
}

static void call_function(struct maker *m)
{
    struct both to, a, b;

    if (any(m, 2) && m->where != IN_FUNCTION) {
        to = structure(m, 2, true);
        a = value(m, 2);
        b = structure(m, 2, false);
        text_printf(&m->st, "%s := Make(v := %s, src := %s);\n", to.st, a.st,
                    b.st);
        text_printf(&m->c,
                    "{ I v_ = %s; struct S s_ = %s, made_ = make%u(v_, s_), "
                    "*to_ = &%s; *to_ = made_; }\n",
                    a.c, b.c, m->number, to.c);
        return;
    }
    to = place(m, 2);
    a = place(m, 2);
    b = place(m, 2);
    text_printf(&m->st, "%s := Swap(u := %s, w := %s);\n", to.st, a.st, b.st);
    text_printf(&m->c,
                "{ I *u_ = &%s, *w_ = &%s, v_ = swap(u_, w_), *to_ = &%s; "
                "*to_ = v_; }\n",
                a.c, b.c, to.c);
}

static void call_block(struct maker *m)
{
    bool outer = m->where == IN_MAIN && any(m, 3) == 0;
    struct both at = m->where == IN_MAIN
                         ? element(m, plain("bl", "g->bl"), 1, 2, 2)
                         : element(m, plain("inner", "f->inner"), 0, 1, 2);
    struct both d = value(m, 2), z = place(m, 2);
    struct both r = structure(m, 2, true), o = place(m, 2);
    const char *name = outer ? "outer" : "block";

    if (outer)
        at = plain("big", "g->big");
    text_printf(&m->st, "%s(d := %s, z := %s, r := %s, %s => %s);\n", at.st,
                d.st, z.st, r.st, outer ? "e" : "o", o.st);
    text_printf(&m->c,
                "{ struct %s%u *b_ = &%s; I d_ = %s, *z_ = &%s, *to_; "
                "struct S *r_ = &%s; b_->d = d_; %s%u(g, b_, z_, r_); "
                "to_ = &%s; *to_ = b_->%s; }\n",
                outer ? "O" : "B", m->number, at.c, d.c, z.c, r.c, name,
                m->number, o.c, outer ? "e" : "o");
}

static void statements(struct maker *m, unsigned n, unsigned depth)
{
    for (unsigned i = 0; i < n; i++) {
        unsigned what = any(m, 10);

        if (what < 2 && depth > 0)
            branch(m, depth);
        else if (what < 4)
            copy(m);
        else if (what < 5)
            assign_truth(m);
        else if (what < 6)
            call_function(m);
        else if (what < 8 && (m->where == IN_MAIN || m->where == IN_OUTER))
            call_block(m);
        else
            assign(m);
    }
}

/* ---- units ---- */

static void types(struct maker *m)
{
    unsigned n = m->number;

    text_add(&m->st,
             "TYPE S : STRUCT a : INT; b : ARRAY [0..2] OF INT := [1, 2(0)];"
             "\nc : BOOL; END_STRUCT; END_TYPE\n"
             "VAR_GLOBAL gx : ARRAY [0..2] OF INT := [1, 2, 0]; END_VAR\n"
             "FUNCTION Swap : INT VAR_IN_OUT u, w : INT; END_VAR\n"
             "Swap := u; u := w; w := Swap; END_FUNCTION\n");
    text_printf(&m->c,
                "struct B%u { I d, o; I acc[3]; struct S tmp; };\n"
                "struct O%u { I d, e; struct B%u inner[2]; };\n"
                "struct G%u { I gx[3]; I n, k, p, q; I i, j; I x[3]; "
                "I m[2][3]; struct S s, t, ss[2]; struct B%u bl[2]; "
                "struct O%u big; };\n",
                n, n, n, n, n, n);
}

static void function(struct maker *m)
{
    m->where = IN_FUNCTION;
    text_add(&m->st,
             "FUNCTION Make : S VAR_INPUT v : INT; src : S; END_VAR\n"
             "VAR k : ARRAY [0..1] OF INT := [2, 1]; h : INT; END_VAR\n");
    text_printf(&m->c,
                "static struct S make%u(I v, struct S src)\n"
                "{ struct S result = {0, {1, 0, 0}, 0}; I k[2] = {2, 1}, "
                "h = 0;\n(void)v; (void)k; (void)h; (void)src;\n",
                m->number);
    statements(m, 3, 1);
    text_add(&m->st, "END_FUNCTION\n");
    text_add(&m->c, "return result; }\n");
}

static void block(struct maker *m)
{
    m->where = IN_BLOCK;
    text_add(&m->st,
             "FUNCTION_BLOCK Block VAR_INPUT d : INT; END_VAR\n"
             "VAR_OUTPUT o : INT; END_VAR\n"
             "VAR_IN_OUT z : INT; r : S; END_VAR\n"
             "VAR acc : ARRAY [0..2] OF INT := [3(1)]; END_VAR\n"
             "VAR_TEMP tmp : S := (a := 2); END_VAR\n"
             "VAR_EXTERNAL gx : ARRAY [0..2] OF INT; END_VAR\n");
    text_printf(&m->c,
                "static void block%u(struct G%u *g, struct B%u *f, I *z, "
                "struct S *r)\n{ struct S begin = {2, {1, 0, 0}, 0}; "
                "f->tmp = begin; (void)g; (void)z; (void)r;\n",
                m->number, m->number, m->number);
    statements(m, 4, 1);
    text_add(&m->st, "END_FUNCTION_BLOCK\n");
    text_add(&m->c, "}\n");
    m->where = IN_OUTER;
    text_add(&m->st,
             "FUNCTION_BLOCK Outer VAR_INPUT d : INT; END_VAR\n"
             "VAR_OUTPUT e : INT; END_VAR\n"
             "VAR_IN_OUT z : INT; r : S; END_VAR\n"
             "VAR inner : ARRAY [0..1] OF Block; END_VAR\n"
             "VAR_EXTERNAL gx : ARRAY [0..2] OF INT; END_VAR\n");
    text_printf(&m->c,
                "static void outer%u(struct G%u *g, struct O%u *f, I *z, "
                "struct S *r)\n{ (void)g; (void)z; (void)r;\n",
                m->number, m->number, m->number);
    statements(m, 3, 1);
    text_add(&m->st, "END_FUNCTION_BLOCK\n");
    text_add(&m->c, "}\n");
}

static void program(struct maker *m)
{
    unsigned n = m->number;

    m->where = IN_MAIN;
    text_add(&m->st,
             "PROGRAM Main VAR_INPUT n, k : INT (0 .. 4); p, q : BOOL;\n"
             "END_VAR VAR i, j : INT; x : ARRAY [1..3] OF INT (-20 .. 20);\n"
             "m : ARRAY [0..1, -1..1] OF INT := [[1, 2, 3], [2(4)]];\n"
             "s, t : S; ss : ARRAY [1..2] OF S := [(a := 1, c := TRUE)];\n"
             "bl : ARRAY [1..2] OF Block; big : Outer; END_VAR\n"
             "VAR_EXTERNAL gx : ARRAY [0..2] OF INT; END_VAR\n"
             /* every variable is written by some text: none is an input */
             "IF FALSE THEN i := 0; j := 0; x[n] := 0; m[n, k] := 0; s := t;"
             "\nt := s; ss[n] := s; gx[n] := 0; END_IF;\n");
    text_printf(&m->c, "static void scan%u(struct G%u *g)\n{\n", n, n);
    statements(m, 7, 2);
    text_add(&m->st, "END_PROGRAM\n");
    text_add(&m->c, "}\n");
    text_printf(&m->c,
                "static void start%u(struct G%u *g)\n"
                "{ static const struct G%u begin = {.gx = {1, 2, 0}, "
                ".x = {-20, -20, -20}, .m = {{1, 2, 3}, {4, 4, 0}},\n"
                ".s.b[0] = 1, .t.b[0] = 1, .ss = {{1, {1, 0, 0}, 1}, "
                "{0, {1, 0, 0}, 0}},\n"
                ".bl = {{.acc = {1, 1, 1}}, {.acc = {1, 1, 1}}}, .big.inner ="
                " {{.acc = {1, 1, 1}}, {.acc = {1, 1, 1}}}};\n"
                "*g = begin; }\n",
                n, n, n);
}

struct random_arrays random_arrays(struct arena *arena, uint64_t seed,
                                   unsigned number)
{
    struct maker m = {.arena = arena, .seed = seed, .number = number};
    struct random_arrays result;

    types(&m);
    function(&m);
    block(&m);
    program(&m);
    result.control = arena_copy(arena, text_str(&m.st), m.st.n);
    result.c = arena_copy(arena, text_str(&m.c), m.c.n);
    text_release(&m.st);
    text_release(&m.c);
    return result;
}
