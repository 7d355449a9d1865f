/* How a variable comes about, as it is written: statements put together, and
 * what stands for a value now and what for one before. */
#include "study/written.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "base/arena.h"
#include "base/text.h"
#include "tests/support/checked.h"

static void tell(struct text *out, const struct model *model,
                 const struct written *e)
{
    static const char *const signs[] = {
        [WRITTEN_AND] = "and", [WRITTEN_OR] = "or",  [WRITTEN_XOR] = "xor",
        [WRITTEN_EQ] = "=",    [WRITTEN_LT] = "<",   [WRITTEN_LE] = "<=",
        [WRITTEN_ADD] = "+",   [WRITTEN_SUB] = "-",  [WRITTEN_MUL] = "*",
        [WRITTEN_DIV] = "/",   [WRITTEN_MOD] = "mod"};

    switch (e->op) {
    case WRITTEN_RECKONED:
        text_add(out, "from[");
        for (uint32_t i = 0; i < e->n_of; i++) {
            text_add(out, i > 0 ? ", " : "");
            tell(out, model, e->of[i]);
        }
        text_add(out, e->more ? ", ..]" : "]");
        return;
    case WRITTEN_OPEN: text_add(out, "open"); return;
    case WRITTEN_WITHIN: tell(out, model, e->a); return;
    case WRITTEN_COUNT:
        text_printf(out, e->value ? "down(" : "up(");
        tell(out, model, e->a);
        text_add(out, ")");
        return;
    case WRITTEN_TIME: text_add(out, "time"); return;
    case WRITTEN_CONST: text_printf(out, "%d", (int)e->value); return;
    case WRITTEN_NOW: text_add(out, model->slots[e->index].path); return;
    case WRITTEN_BEFORE:
        text_printf(out, "%s'", model->slots[e->index].path);
        return;
    case WRITTEN_HAND:
        text_printf(out, "hand %s", model->controls[e->index].name->spelling);
        return;
    case WRITTEN_CONTACT:
        text_printf(out, "contact %s",
                    model->contacts[e->index].name->spelling);
        return;
    case WRITTEN_SENSOR:
        text_printf(out, "sensor %s",
                    model->sensors[e->index].name->spelling);
        return;
    case WRITTEN_NOT:
        text_add(out, "not ");
        tell(out, model, e->a);
        return;
    case WRITTEN_IF:
        text_add(out, "if(");
        tell(out, model, e->a);
        text_add(out, ", ");
        tell(out, model, e->b);
        text_add(out, ", ");
        tell(out, model, e->c);
        text_add(out, ")");
        return;
    default:
        text_add(out, "(");
        tell(out, model, e->a);
        text_printf(out, " %s ", signs[e->op]);
        tell(out, model, e->b);
        text_add(out, ")");
        return;
    }
}

/* The variable of that path in a program with these statements. */
static void comes(const char *statements, const char *path,
                  const char *wanted)
{
    struct checked checked;
    char control[2000];
    struct text out = {0};
    const struct written_slot *slots;
    const struct slot *slot;

    snprintf(control, sizeof control,
             "FUNCTION Both : BOOL VAR_INPUT x, y : BOOL; END_VAR\n"
             "Both := x AND y; END_FUNCTION\n"
             "FUNCTION Other : BOOL VAR_INPUT x, y : BOOL; END_VAR\n"
             "IF x THEN Other := y; END_IF; END_FUNCTION\n"
             "PROGRAM Main VAR_INPUT i, j : BOOL; k : INT (0 .. 3); END_VAR\n"
             "VAR_OUTPUT o : BOOL; END_VAR\n"
             "VAR a, b : BOOL; n, m : INT; t : TON; s : SR; r : R_TRIG;\n"
             "c : CTU; p : TP; w : BYTE;\n"
             "f : ARRAY [0 .. 3] OF BOOL; END_VAR\n%s\nEND_PROGRAM\n",
             statements);
    checked_init(&checked, control, NULL);
    assert_non_null(checked.model);
    slots = written_find(checked.arena, checked.model);
    slot = checked_slot(&checked, path);
    if (slots[slot - checked.model->slots].expr == NULL)
        text_add(&out, "-");
    else
        tell(&out, checked.model,
             slots[slot - checked.model->slots].expr);
    assert_string_equal(text_str(&out), wanted);
    text_release(&out);
    checked_release(&checked);
}

static void test_names(void **unused)
{
    (void)unused;
    comes("a := i AND NOT j; o := a OR b; b := i;", "Main.o",
          "(Main.a or Main.b')");
    comes("o := i OR o;", "Main.o", "(Main.i or Main.o')");
    comes("a := i; o := a; a := j;", "Main.o", "Main.i");
    comes("o := i; o := o AND j;", "Main.o", "(Main.i and Main.j)");
    comes("a := i;", "Main.b", "-");
}

static void test_branches(void **unused)
{
    (void)unused;
    comes("o := FALSE; IF i THEN o := j; ELSIF j THEN o := a; END_IF;",
          "Main.o", "if(Main.i, Main.j, (Main.j and Main.a))");
    comes("IF i THEN o := TRUE; END_IF;", "Main.o",
          "(Main.i or Main.o')");
    comes("CASE k OF 1, 3: o := i; 2: o := j; ELSE o := a; END_CASE;",
          "Main.o",
          "if(((Main.k = 1) or (Main.k = 3)), Main.i, if((Main.k = 2), "
          "Main.j, Main.a))");
    comes("IF i THEN a := j; ELSE b := j; END_IF;", "Main.a",
          "if(Main.i, Main.j, Main.a')");
    comes("IF i THEN a := j; ELSE b := j; END_IF;", "Main.b",
          "if(Main.i, Main.b', Main.j)");
    comes("a := i; IF j THEN a := TRUE; b := a; END_IF; o := a;", "Main.b",
          "(Main.j or Main.b')");
    comes("o := k > 1;", "Main.o", "(1 < Main.k)");
}

static void test_calls(void **unused)
{
    (void)unused;
    comes("o := Both(i, NOT j);", "Main.o", "(Main.i and not Main.j)");
    comes("o := Both(i, j) OR Both(j, a);", "Main.o",
          "((Main.i and Main.j) or (Main.j and Main.a))");
    comes("o := Other(i, j);", "Main.o", "(Main.i and Main.j)");
    comes("t(IN := i, PT := T#1s); o := t.Q;", "Main.o", "Main.t.Q");
    comes("t(IN := i, PT := T#1s); o := t.Q;", "Main.t.Q",
          "(Main.t.IN and time)");
    comes("r(CLK := i); o := r.Q;", "Main.r.Q",
          "(Main.r.CLK and not Main.r.CLK')");
}

static void test_loops(void **unused)
{
    (void)unused;
    comes("FOR n := 0 TO 3 DO o := i; END_FOR;", "Main.o", "Main.i");
    comes("f[0] := i; f[1] := j; o := FALSE;\n"
          "FOR n := 0 TO 1 DO IF f[n] THEN o := TRUE; END_IF; END_FOR;",
          "Main.o", "(Main.f[1] or Main.f[0])");
    comes("m := 0; FOR n := 0 TO 1 DO IF f[n] THEN m := m + 1; END_IF; "
          "END_FOR;", "Main.m",
          "(if(Main.f[0], 1, 0) + if(Main.f[1], 1, 0))");
    comes("m := 9; FOR n := 0 TO 2 DO IF f[n] THEN m := n; EXIT; END_IF; "
          "END_FOR;", "Main.m",
          "if(Main.f[0], 0, if(Main.f[1], 1, if(Main.f[2], 2, 9)))");
    comes("m := 0; FOR n := 0 TO 2 DO IF f[n] THEN CONTINUE; END_IF; m := m "
          "+ n; END_FOR;", "Main.m",
          "(if(Main.f[1], 0, 1) + if(Main.f[2], 0, 2))");
    comes("m := 0; WHILE m < 5 DO m := m + 2; END_WHILE; o := m = 6;",
          "Main.m", "6");
    comes("IF i THEN RETURN; END_IF; o := j;", "Main.o",
          "if(Main.i, Main.o', Main.j)");
}

static void test_elements(void **unused)
{
    (void)unused;
    comes("f[k] := i; o := f[1];", "Main.o", "Main.f[1]");
    comes("f[k] := i;", "Main.f[1]", "if((Main.k = 1), Main.i, Main.f[1]')");
    comes("o := f[k];", "Main.o",
          "if((Main.k = 0), Main.f[0], if((Main.k = 1), Main.f[1], "
          "if((Main.k = 2), Main.f[2], Main.f[3])))");
}

static void test_numbers(void **unused)
{
    (void)unused;
    comes("o := k + 1 = 2;", "Main.o", "((Main.k + 1) = 2)");
    comes("m := m + 1;", "Main.m", "(Main.m' + 1)");
    comes("o := 2 + 3 > 4;", "Main.o", "1");
    comes("o := m > 2; m := MIN(k, 2);", "Main.o", "(2 < Main.m')");
    comes("m := MIN(k, 2);", "Main.m", "if((Main.k <= 2), Main.k, 2)");
}

static void test_blocks(void **unused)
{
    (void)unused;
    comes("s(S1 := i, R := j);", "Main.s.Q1",
          "(Main.s.S1 or (not Main.s.r and Main.s.Q1'))");
    comes("c(CU := i, R := j, PV := 3);", "Main.c.Q", "up(Main.c.CU)");
    comes("c(CU := i, R := j, PV := 3);", "Main.c.CV",
          "if(Main.c.r, 0, (Main.c.CV' + if((Main.c.CU and not Main.c.CU'), "
          "1, 0)))");
    comes("p(IN := i, PT := T#1s);", "Main.p.Q", "time");
    /* Called twice, one scan before is not the last call. */
    comes("r(CLK := i); r(CLK := j);", "Main.r.Q",
          "from[Main.r.CLK, Main.r.CLK']");
}

/* What is not followed is never said to be something, but what it is reckoned
 * from. */
static void test_reckoned(void **unused)
{
    (void)unused;
    comes("o := SHL(w, 1) = 4;", "Main.o", "(from[Main.w] = 4)");
    comes("m := 0; FOR n := 1 TO 100 DO IF i THEN m := (m + 1) MOD 3; END_IF; "
          "END_FOR;", "Main.m", "from[Main.i, ..]");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_names), cmocka_unit_test(test_branches),
        cmocka_unit_test(test_calls), cmocka_unit_test(test_loops),
        cmocka_unit_test(test_elements), cmocka_unit_test(test_numbers),
        cmocka_unit_test(test_blocks), cmocka_unit_test(test_reckoned),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
