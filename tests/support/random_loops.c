#include "tests/support/random_loops.h"

#include <stdbool.h>
#include <stddef.h>
#include <string.h>

#include "base/hash.h"

/* Two texts being made at once; what stands in either may be read. */
struct maker {
    uint64_t seed;
    struct text *st, *c;
    const char *const *ints, *const *bools;       /* to be read */
    const char *const *int_to, *const *bool_to;   /* to be assigned */
    const char *const *counters;
    bool used[3];     /* counters of loops around */
    unsigned loops;   /* around */
    unsigned weight;  /* passes of the loops around, at most */
    bool main;        /* else a function or block */
};

static const char *const main_ints[] = {"x", "y", "z", "t", "n", "d", "i",
                                        "j", "k", "x", "n", NULL};
static const char *const main_bools[] = {"a", "b", "p", "q", NULL};
static const char *const main_int_to[] = {"x", "y", "z", "t", "x", NULL};
static const char *const main_bool_to[] = {"p", "q", NULL};
static const char *const main_counters[] = {"i", "j", "k"};
static const char *const call_ints[] = {"v", "w", "s", "l", "m", NULL};
static const char *const call_bools[] = {"g", NULL};
static const char *const call_int_to[] = {"s", NULL};
static const char *const call_bool_to[] = {"g", NULL};
static const char *const call_counters[] = {"l", "m", "h"};

static unsigned below(struct maker *m, unsigned bound)
{
    m->seed = hash_word(m->seed + 0x9e3779b97f4a7c15u);
    return (unsigned)((m->seed >> 24) % bound);
}

static bool chance(struct maker *m, unsigned percent)
{
    return below(m, 100) < percent;
}

static const char *pick(struct maker *m, const char *const *list)
{
    unsigned n = 0;

    while (list[n])
        n++;
    return list[below(m, n)];
}

static void say(struct maker *m, const char *st, const char *c)
{
    text_add(m->st, st);
    text_add(m->c, c);
}

static void both(struct maker *m, const char *words)
{
    say(m, words, words);
}

/* ---- expressions ---- */

static void condition(struct maker *m, unsigned depth);

static void constant(struct maker *m, int low, int high)
{
    int value = low + (int)below(m, (unsigned)(high - low + 1));

    text_printf(m->st, "%d", value);
    text_printf(m->c, "%d", value);
}

static void number(struct maker *m, unsigned depth)
{
    static const char *const st[] = {" + ", " - ", " * ", " + ", " / ",
                                     " MOD "};
    static const char *const c[] = {"ADD(", "SUB(", "MUL(", "ADD(", "DIV(",
                                    "MOD("};
    unsigned op = below(m, 24);

    if (depth == 0 || chance(m, 30)) {
        if (chance(m, 35))
            constant(m, 0, 6);
        else
            both(m, pick(m, m->ints));
        return;
    }
    if (m->main && m->weight <= 8 && chance(m, 10)) {
        say(m, "Look(v := ", "LOOK(");
        number(m, depth - 1);
        say(m, ", w := ", ", ");
        number(m, depth - 1);
        say(m, ", o => t)", ", t)");
        return;
    }
    op = op >= 6 ? op % 4 : op;
    say(m, "(", c[op]);
    if (op >= 4)
        both(m, pick(m, m->ints));
    else
        number(m, depth - 1);
    say(m, st[op], ", ");
    if (op >= 4)
        constant(m, chance(m, 85) ? 1 : 0, 4);
    else
        number(m, depth - 1);
    both(m, ")");
}

static void comparison(struct maker *m, unsigned depth)
{
    static const char *const st[] = {" < ", " <= ", " > ", " >= ", " = ",
                                     " <> "};
    static const char *const c[] = {"LT(", "LE(", "GT(", "GE(", "EQ(",
                                    "NE("};
    unsigned op = below(m, 6);

    say(m, "(", c[op]);
    number(m, depth);
    say(m, st[op], ", ");
    number(m, depth > 0 ? depth - 1 : 0);
    both(m, ")");
}

static void condition(struct maker *m, unsigned depth)
{
    static const char *const st[] = {" AND ", " OR ", " XOR ", " AND_THEN ",
                                     " OR_ELSE "};
    static const char *const c[] = {"AND(", "OR(", "XOR(", "AND_THEN(",
                                    "OR_ELSE("};
    unsigned op = below(m, 5);

    if (depth == 0 || chance(m, 35)) {
        if (chance(m, 50))
            comparison(m, depth);
        else
            both(m, pick(m, m->bools));
        return;
    }
    if (chance(m, 15)) {
        say(m, "NOT (", "!(");
        condition(m, depth - 1);
        both(m, ")");
        return;
    }
    say(m, "(", c[op]);
    condition(m, depth - 1);
    say(m, st[op], ", ");
    condition(m, depth - 1);
    both(m, ")");
}

/* ---- statements ---- */

static void statements(struct maker *m, unsigned depth, unsigned n);

static void assignment(struct maker *m)
{
    const char *to = pick(m, m->int_to);

    if (chance(m, 20)) {
        to = pick(m, m->bool_to);
        text_printf(m->st, "%s := ", to);
        text_printf(m->c, "%s = ", to);
        condition(m, 2);
        both(m, ";\n");
        return;
    }
    text_printf(m->st, "%s := ", to);
    text_printf(m->c, "%s = STORE_%s(", to, to);
    if (chance(m, 75)) { /* most stay small */
        say(m, "(", "MOD(");
        number(m, 2);
        say(m, " MOD 15)", ", 15)");
    } else {
        number(m, 2);
    }
    say(m, ";\n", ");\n");
}

static void set_or_reset(struct maker *m)
{
    const char *to = pick(m, m->bool_to);
    bool set = chance(m, 50);

    text_printf(m->st, "%s %s= ", to, set ? "S" : "R");
    text_add(m->c, "if (");
    condition(m, 1);
    text_add(m->st, ";\n");
    text_printf(m->c, ") %s = %d;\n", to, set);
}

static void if_statement(struct maker *m, unsigned depth)
{
    say(m, "IF ", "if (");
    condition(m, 2);
    say(m, " THEN\n", ") {\n");
    statements(m, depth, 2);
    if (chance(m, 30)) {
        say(m, "ELSIF ", "} else if (");
        condition(m, 1);
        say(m, " THEN\n", ") {\n");
        statements(m, depth, 1);
    }
    if (chance(m, 50)) {
        say(m, "ELSE\n", "} else {\n");
        statements(m, depth, 2);
    }
    say(m, chance(m, 50) ? "END_IF;\n" : "END_IF\n", "}\n");
}

static void case_statement(struct maker *m, unsigned depth)
{
    say(m, "CASE ", "{ long of = ");
    number(m, 1);
    say(m, " OF\n0, 2:\n", ";\nif (of == 0 || of == 2) {\n");
    statements(m, depth, 1);
    say(m, "3 .. 5:\n", "} else if (of >= 3 && of <= 5) {\n");
    statements(m, depth, 2);
    say(m, "ELSE\n", "} else {\n");
    statements(m, depth, 1);
    say(m, "END_CASE;\n", "} }\n");
}

/* A counter of no loop around, or NULL. */
static const char *take_counter(struct maker *m, unsigned *which)
{
    for (unsigned k = 0; k < 3; k++)
        if (!m->used[k]) {
            *which = k;
            m->used[k] = true;
            return m->counters[k];
        }
    return NULL;
}

static void body(struct maker *m, unsigned depth, unsigned passes)
{
    unsigned weight = m->weight;

    m->loops++;
    m->weight *= passes;
    statements(m, depth, 2);
    m->weight = weight;
    m->loops--;
}

static void step_of_for(struct maker *m)
{
    if (chance(m, 40)) {
        say(m, "", "1");
        return;
    }
    text_add(m->st, " BY ");
    if (m->main && chance(m, 15))
        both(m, "d"); /* may be 0, or downwards */
    else if (chance(m, 50))
        constant(m, 1, 3);
    else
        constant(m, -3, -1);
}

static void for_statement(struct maker *m, unsigned depth)
{
    unsigned which;
    const char *i = take_counter(m, &which);

    if (!i) {
        assignment(m);
        return;
    }
    text_printf(m->st, "FOR %s := ", i);
    text_printf(m->c, "FOR(%s, ", i);
    if (chance(m, 60))
        constant(m, -1, 5);
    else if (m->main)
        both(m, chance(m, 50) ? "n" : "d");
    else
        say(m, "(v MOD 3)", "MOD(v, 3)");
    say(m, " TO ", ", ");
    if (chance(m, 50))
        constant(m, -1, 5);
    else if (m->main)
        both(m, chance(m, 70) ? "n" : "d");
    else
        say(m, "(w MOD 5)", "MOD(w, 5)");
    text_add(m->c, ", ");
    step_of_for(m);
    say(m, " DO\n", ") {\n");
    body(m, depth, 7);
    say(m, "END_FOR;\n", "}\n");
    m->used[which] = false;
}

/* Ends by its counter, mostly. */
static void while_statement(struct maker *m, unsigned depth)
{
    unsigned which;
    const char *i = take_counter(m, &which);
    bool repeat = chance(m, 40), ends = m->weight > 1 || chance(m, 85);

    if (!i) {
        assignment(m);
        return;
    }
    text_printf(m->st, "%s := 0;\n%s", i, repeat ? "REPEAT\n" : "WHILE ");
    text_printf(m->c, "%s = 0;\n{ int passes = 0; %s", i,
                repeat ? "do {\nPASS;\n" : "while (");
    if (!repeat) {
        condition(m, 1);
        if (ends) {
            text_printf(m->st, " AND (%s < 4)", i);
            text_printf(m->c, " & (%s < 4)", i);
        }
        say(m, " DO\n", ") {\nPASS;\n");
    }
    text_printf(m->st, "%s := %s + 1;\n", i, i);
    text_printf(m->c, "%s = ADD(%s, 1);\n", i, i);
    body(m, depth, ends ? 5 : 1000);
    if (repeat) {
        say(m, "UNTIL ", "} while (!(");
        condition(m, 1);
        if (ends) {
            text_printf(m->st, " OR (%s >= 4)", i);
            text_printf(m->c, " | (%s >= 4)", i);
        }
        say(m, " END_REPEAT;\n", ")); }\n");
    } else {
        say(m, "END_WHILE;\n", "} }\n");
    }
    m->used[which] = false;
}

static void leave(struct maker *m)
{
    unsigned way = below(m, 5);

    say(m, "IF ", "if (");
    condition(m, 1);
    say(m, " THEN ", ") ");
    if (m->loops == 0 || way == 0)
        say(m, "RETURN;", m->main ? "return;" : "goto end;");
    else if (way < 3)
        say(m, "EXIT;", "break;");
    else
        say(m, "CONTINUE;", "continue;");
    say(m, " END_IF;\n", "\n");
}

static void call_block(struct maker *m)
{
    bool x = chance(m, 50);

    text_printf(m->st, "blk%d(v := ", x);
    text_printf(m->c, "BLOCK(%d, ", x);
    number(m, 1);
    text_printf(m->st, ", w := %s);\n", x ? "x" : "y");
    text_printf(m->c, ", %s);\n", x ? "x" : "y");
}

static void statement(struct maker *m, unsigned depth)
{
    unsigned kind = below(m, 12);

    if (depth == 0 || kind < 3 || m->weight > 60)
        assignment(m);
    else if (kind == 3)
        if_statement(m, depth - 1);
    else if (kind == 4)
        case_statement(m, depth - 1);
    else if (kind < 7)
        for_statement(m, depth - 1);
    else if (kind == 7)
        while_statement(m, depth - 1);
    else if (kind < 10)
        leave(m);
    else if (kind == 10)
        set_or_reset(m);
    else if (m->main && m->weight <= 8)
        call_block(m);
    else
        assignment(m);
}

static void statements(struct maker *m, unsigned depth, unsigned n)
{
    for (unsigned i = 1 + below(m, n); i > 0; i--)
        statement(m, depth);
    if (depth > 0 && chance(m, 30))
        leave(m);
}

/* ---- texts ---- */

static void look(struct maker *m)
{
    say(m, "FUNCTION Look : INT\n"
           "VAR_INPUT v, w : INT; END_VAR VAR_OUTPUT o : INT; END_VAR\n"
           "VAR s, l, m, h : INT; g : BOOL; END_VAR\n",
        "long look(long v, long w, long *o_) {\n"
        "long s = 0, l = 0, m = 0, h = 0, g = 0, o = 0, r = 0;\n"
        "(void)l; (void)m; (void)h; (void)g;\n");
    statements(m, 2, 3);
    say(m, "o := s;\nLook := l;\n", "o = s; r = l;\n");
    leave(m);
    say(m, "Look := (v MOD 7);\nEND_FUNCTION\n",
        "r = MOD(v, 7);\nend: *o_ = o; return r; }\n");
}

static void block(struct maker *m)
{
    say(m, "FUNCTION_BLOCK Blk\n"
           "VAR_INPUT v : INT; END_VAR VAR_IN_OUT w : INT; END_VAR\n"
           "VAR s : INT; g : BOOL; END_VAR VAR_TEMP l, m, h : INT; END_VAR\n",
        "void block(struct memory *self, long v, long *w_) {\n"
        "long l = 0, m = 0, h = 0; (void)l; (void)m; (void)h; (void)v;\n"
        "#define s self->s\n#define g self->g\n#define w (*w_)\n");
    statements(m, 2, 3);
    say(m, "w := (w + s) MOD 9;\nEND_FUNCTION_BLOCK\n",
        "w = MOD(ADD(w, s), 9);\nend: ;\n"
        "#undef s\n#undef g\n#undef w\n}\n");
}

static void as_call(struct maker *m)
{
    m->ints = call_ints;
    m->bools = call_bools;
    m->int_to = call_int_to;
    m->bool_to = call_bool_to;
    m->counters = call_counters;
    m->main = false;
    m->weight = 8;
}

static void as_main(struct maker *m)
{
    m->ints = main_ints;
    m->bools = main_bools;
    m->int_to = main_int_to;
    m->bool_to = main_bool_to;
    m->counters = main_counters;
    m->main = true;
    m->weight = 1;
}

void random_loops(uint64_t seed, struct text *control, struct text *c)
{
    struct maker m = {.seed = hash_word(seed + 4711), .st = control, .c = c};

    text_printf(c, "static void text_%u(void) {\n"
                   "long x, y, z, t, i, j, k, p, q, a, b, n, d;\n"
                   "struct memory blk[2];\n", (unsigned)seed);
    as_call(&m);
    look(&m);
    block(&m);
    as_main(&m);
    say(&m, "PROGRAM Main\n"
            "VAR_INPUT a, b : BOOL; n : INT (0 .. 5); d : INT (-2 .. 2); "
            "END_VAR\n"
            "VAR x, y, t, i, j, k : INT; z : INT (-20 .. 20); p, q : BOOL; "
            "blk0, blk1 : Blk; END_VAR\n"
            "x := x; y := y; z := z; t := t; i := i; j := j; k := k; "
            "p := p; q := q; (* else they were inputs *)\n",
        "void step(void) {\n");
    statements(&m, 4, 4);
    statements(&m, 3, 3);
    say(&m, "END_PROGRAM\n", "}\nRUN }\n");
}

void random_loops_prologue(struct text *c)
{
    text_add(c,
"#include <setjmp.h>\n#include <stdio.h>\n#include <string.h>\n"
"struct memory { long s, g; };\n"
"static jmp_buf out;\n"
"static long within(long value, long low, long high) {\n"
"if (value < low || value > high) longjmp(out, 1);\nreturn value; }\n"
"#define NUM(v) within(v, -32768, 32767)\n"
"#define TWO(l, r, v) ({ long l_ = (l); long r_ = (r); v; })\n"
"#define ADD(l, r) TWO(l, r, NUM(l_ + r_))\n"
"#define SUB(l, r) TWO(l, r, NUM(l_ - r_))\n"
"#define MUL(l, r) TWO(l, r, NUM(l_ * r_))\n"
"#define DIV(l, r) TWO(l, r, r_ ? NUM(l_ / r_) : (longjmp(out, 1), 0))\n"
"#define MOD(l, r) TWO(l, r, r_ ? l_ % r_ : (longjmp(out, 1), 0))\n"
"#define LT(l, r) TWO(l, r, l_ < r_)\n#define LE(l, r) TWO(l, r, l_ <= r_)\n"
"#define GT(l, r) TWO(l, r, l_ > r_)\n#define GE(l, r) TWO(l, r, l_ >= r_)\n"
"#define EQ(l, r) TWO(l, r, l_ == r_)\n"
"#define NE(l, r) TWO(l, r, l_ != r_)\n"
"#define AND(l, r) TWO(l, r, l_ & r_)\n#define OR(l, r) TWO(l, r, l_ | r_)\n"
"#define XOR(l, r) TWO(l, r, l_ ^ r_)\n"
"#define AND_THEN(l, r) ((l) && (r))\n#define OR_ELSE(l, r) ((l) || (r))\n"
"#define STORE_x(v) (v)\n#define STORE_y(v) (v)\n#define STORE_t(v) (v)\n"
"#define STORE_s(v) (v)\n#define STORE_z(v) within(v, -20, 20)\n"
"#define LOOK(v, w, t) TWO(v, w, look(l_, r_, &t))\n"
"#define BLOCK(which, v, w) block(&blk[which], v, &w)\n"
"#define PASS do { if (++passes > 1000) longjmp(out, 1); } while (0)\n"
"#define FOR(i, from, to, by) \\\n"
"  for (long f_ = (from), t_ = (to), b_ = (by), o_ = \\\n"
"           (b_ ? (i = f_, 1) : (longjmp(out, 1), 0)); \\\n"
"       (void)o_, b_ > 0 ? i <= t_ : i >= t_; i = NUM(i + b_))\n"
"#define RUN for (;;) { int anew; \\\n"
"  if (scanf(\"%d\", &anew) != 1 || anew == 2) return; \\\n"
"  if (scanf(\"%ld %ld %ld %ld\", &a, &b, &n, &d) != 4) return; \\\n"
"  if (anew) { x = y = t = i = j = k = p = q = 0; z = -20; \\\n"
"    memset(blk, 0, sizeof blk); } \\\n"
"  if (setjmp(out)) { puts(\"error\"); continue; } \\\n"
"  step(); \\\n"
"  printf(\"%ld %ld %ld %ld %ld %ld %ld %ld %ld\\n\", \\\n"
"         x, y, z, t, i, j, k, p, q); }\n");
}

const char *random_loops_name(unsigned n)
{
    static const char *const names[] = {
        "Main.x", "Main.y", "Main.z", "Main.t", "Main.i", "Main.j", "Main.k",
        "Main.p", "Main.q", NULL};

    return names[n];
}

const char *random_loops_input(unsigned n)
{
    static const char *const names[] = {"Main.a", "Main.b", "Main.n",
                                        "Main.d", NULL};

    return names[n];
}
