/* Movements: may, must, interrupted waiting, two at once, MAY; against
 * docs/notes/step.md, section 3. */
#include "lower/machine.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdlib.h>

#include <cmocka.h>

#include "tests/support/text_model.h"

static const char control[] =
    "PROGRAM Main\n"
    "VAR_INPUT p, q : BOOL; END_VAR\n"
    "VAR_OUTPUT y, z : BOOL; END_VAR\n"
    "y := p; z := q;\n"
    "END_PROGRAM\n";

static const char review[] =
    "REVIEW Gate 'invented'\n"
    "SCAN T#100ms;\n"
    "CONTROLS p : BUTTON; q : BUTTON; y : VALVE; z : VALVE; END_CONTROLS\n"
    "MECHANISM M\n"
    "  VAR gap : (Shut, Narrow, Wide) := Wide; jolt : BOOL; END_VAR\n"
    "  MOVES gap FROM Wide TO Narrow IN T#150ms .. T#400ms WHILE y;\n"
    "  MOVES gap FROM Wide TO Shut IN T#100ms .. T#300ms WHILE z;\n"
    "  MOVES gap FROM Narrow TO Shut WHILE y;\n"
    "  IF gap = Shut THEN MAY gap := Wide; OR jolt := TRUE; END_MAY; END_IF;\n"
    "END_MECHANISM\n"
    "REQUIREMENTS\n"
    "  Q : gap MOVES ONLY WHILE y;\n"
    "END_REQUIREMENTS\n"
    "END_REVIEW\n";

static uint32_t machine_row(const struct text_model *text, uint32_t nth)
{
    for (uint32_t i = 0; i < text->model->n_choices; i++)
        if (text->model->choices[i].kind == CHOICE_MACHINE && nth-- == 0)
            return i;
    fail_msg("no such row");
    return 0;
}

/* Per scan: hands, the movement chosen, the MAY, then what gap is and how
 * much moved. */
struct script {
    const char *p, *q, *move, *may, *gap, *moved;
};

static void goes(struct script s)
{
    struct text_model text;
    text_model_init(&text, control, review, false);
    assert_non_null(text.run);
    for (size_t i = 0; s.gap[i]; i++) {
        text_model_choose(&text, "p", (uint32_t)(s.p[i] - '0'));
        text_model_choose(&text, "q", (uint32_t)(s.q[i] - '0'));
        text.run->choice[machine_row(&text, 0)] = (uint32_t)(s.move[i] - '0');
        text.run->choice[machine_row(&text, 1)] = (uint32_t)(s.may[i] - '0');
        text_model_scan(&text);
        assert_int_equal(text_model_value(&text, "gap"), s.gap[i] - '0');
        assert_int_equal(flat_run_moved(text.run), s.moved[i] - '0');
    }
    text_model_release(&text);
}

/* The actuator of one judging moves in the next scan; 150 ms is reached
 * with the second, 400 ms with the fourth. */
static void bounds(void **state)
{
    (void)state;
    goes((struct script){"11111", "00000", "11111", "00000", "22111",
                         "00100"});
    goes((struct script){"111111", "000000", "000000", "000000", "222211",
                         "000010"});
}

/* A break resets what must, not what may. */
static void interrupted(void **state)
{
    (void)state;
    goes((struct script){"10111", "00000", "11111", "00000", "22211",
                         "00010"});
    goes((struct script){"110111111", "000000000", "000000000", "000000000",
                         "222222211", "000000010"});
}

/* While both conditions hold neither is forced, each may. */
static void two_at_once(void **state)
{
    (void)state;
    goes((struct script){"1111111", "1111111", "0000000", "0000000",
                         "2222222", "0000000"});
    goes((struct script){"111", "111", "222", "000", "200", "010"});
    goes((struct script){"1111", "1111", "0001", "0000", "2221", "0001"});
    /* and as soon as one ends, the other is */
    goes((struct script){"1111101", "1111111", "0000000", "0000000",
                         "2222220", "0000001"});
}

static void declined_or_not(void **state)
{
    (void)state;
    goes((struct script){"0000", "1111", "0200", "0010", "2022", "0110"});
    goes((struct script){"000", "111", "020", "020", "200", "020"});
    /* moved and undone in one step counts, though nothing changed */
    goes((struct script){"000", "111", "022", "011", "222", "022"});
}

static int64_t stored(const struct text_model *text, enum place_kind kind,
                      uint32_t index)
{
    const struct flat_cell *cell = text_model_cell(text, kind, index);
    assert_non_null(cell);
    return text->run->cell[cell - text->lowered->flat->cells];
}

/* Clocks are kept while the variable has its value at the end of the step,
 * and stop at their bound in whole scans. */
static void clocks(void **state)
{
    static const int64_t total[] = {0, 100, 200, 200, 0};
    static const int64_t unbroken[] = {0, 100, 200, 300, 0};
    struct text_model text;
    (void)state;
    text_model_init(&text, control, review, false);
    assert_non_null(text.run);
    assert_null(text_model_cell(&text, PLACE_MOVE_TOTAL, 2));
    text_model_choose(&text, "p", 1);
    for (size_t i = 0; i < 5; i++) {
        text_model_scan(&text);
        assert_int_equal(stored(&text, PLACE_MOVE_TOTAL, 0), total[i]);
        assert_int_equal(stored(&text, PLACE_MOVE_UNBROKEN, 0), unbroken[i]);
    }
    text_model_release(&text);
}

/* Q: moving without y at the judging before is the breach. */
static void moves_only_while(void **state)
{
    struct text_model text;
    (void)state;
    text_model_init(&text, control, review, false);
    assert_non_null(text.run);
    text_model_choose(&text, "q", 1);
    text.run->choice[machine_row(&text, 0)] = 2;
    text_model_scan(&text);
    assert_false(text_model_breach(&text, 0));
    assert_false(text_model_trigger(&text, 0, 0));
    text_model_scan(&text);
    assert_true(text_model_breach(&text, 0));
    assert_true(text_model_trigger(&text, 0, 0));
    text_model_release(&text);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(bounds),      cmocka_unit_test(interrupted),
        cmocka_unit_test(two_at_once), cmocka_unit_test(declined_or_not),
        cmocka_unit_test(clocks),      cmocka_unit_test(moves_only_while),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
