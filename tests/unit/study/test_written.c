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
        [WRITTEN_EQ] = "=",    [WRITTEN_LT] = "<",   [WRITTEN_LE] = "<="};

    switch (e->op) {
    case WRITTEN_UNKNOWN: text_add(out, "?"); return;
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
             "VAR a, b : BOOL; n : INT (0 .. 5); t : TON; r : R_TRIG;\n"
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
          "Main.o", "if(Main.i, Main.j, if(Main.j, Main.a, 0))");
    comes("IF i THEN o := TRUE; END_IF;", "Main.o",
          "if(Main.i, 1, Main.o')");
    comes("CASE k OF 1, 3: o := i; 2: o := j; ELSE o := a; END_CASE;",
          "Main.o",
          "if(((Main.k = 1) or (Main.k = 3)), Main.i, if((Main.k = 2), "
          "Main.j, Main.a))");
    comes("IF i THEN a := j; ELSE b := j; END_IF;", "Main.a",
          "if(Main.i, Main.j, Main.a')");
    comes("IF i THEN a := j; ELSE b := j; END_IF;", "Main.b",
          "if(Main.i, Main.b', Main.j)");
    comes("a := i; IF j THEN a := TRUE; b := a; END_IF; o := a;", "Main.b",
          "if(Main.j, Main.a, Main.b')");
    comes("o := k > 1;", "Main.o", "(1 < Main.k)");
}

static void test_calls(void **unused)
{
    (void)unused;
    comes("o := Both(i, NOT j);", "Main.o", "(Main.i and not Main.j)");
    comes("o := Both(i, j) OR Both(j, a);", "Main.o",
          "((Main.i and Main.j) or (Main.j and Main.a))");
    comes("o := Other(i, j);", "Main.o", "if(Main.i, Main.j, 0)");
    comes("t(IN := i, PT := T#1s); o := t.Q;", "Main.o", "Main.t.Q");
    comes("t(IN := i, PT := T#1s); o := t.Q;", "Main.t.Q",
          "(Main.t.IN and time)");
    comes("r(CLK := i); o := r.Q;", "Main.r.Q",
          "(Main.r.CLK and not Main.r.CLK')");
}

/* What is not followed is never said to be something. */
static void test_unknown(void **unused)
{
    (void)unused;
    comes("f[n] := i; o := f[1];", "Main.o", "Main.f[1]");
    comes("f[n] := i;", "Main.f[1]", "-");
    comes("o := f[n];", "Main.o", "-");
    comes("FOR n := 0 TO 3 DO o := i; END_FOR;", "Main.o", "-");
    comes("IF i THEN RETURN; END_IF; o := j;", "Main.o", "-");
    comes("o := n + 1 = 2;", "Main.o", "(? = 2)");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_names), cmocka_unit_test(test_branches),
        cmocka_unit_test(test_calls), cmocka_unit_test(test_unknown),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
