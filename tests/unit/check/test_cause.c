/* What faults are counted by: causes in the order of the text, rows of their
 * own, what brings what about. */
#include "check/cause.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>

#include <cmocka.h>

#include "tests/support/checked.h"

static const char press[] = "PROGRAM Main\n"
                            "VAR_OUTPUT down : BOOL; END_VAR\n"
                            "END_PROGRAM\n";

#define REVIEW(faults)                                                     \
    "REVIEW Press 'a press'\n"                                             \
    "  CONTROL 'test.st';\n  SCAN T#100ms;\n"                              \
    "  FAULTS\n" faults "  END_FAULTS\nEND_REVIEW\n"

/* The group is declared before the second of its members. */
static const char several[] = REVIEW(
    "a : IN MECHANISM;\n"
    "wet 'water' : ONE CAUSE OF c, a;\n"
    "b : IN MECHANISM, PRESENT FROM POWER_UP;\n"
    "c : IN MECHANISM;\n"
    "d : IN MECHANISM, EXCLUDED BECAUSE 'invented';\n"
    "e : IN MECHANISM, INTERMITTENT;\n"
    "f : IN MECHANISM, FOLLOWS FROM e;\n"
    "g : IN MECHANISM, FOLLOWS FROM f;\n");

static void causes_stand_in_the_order_of_the_text(void **state)
{
    static const char *const names[] = {"wet", "b", "e", "f", "g"};
    struct checked it;

    (void)state;
    checked_init(&it, press, several);
    assert_int_equal(it.model->n_causes, 5);
    for (uint32_t i = 0; i < 5; i++) {
        const struct cause *cause = &it.model->causes[i];

        assert_string_equal(cause->name->spelling, names[i]);
        assert_int_equal(cause->group, i == 0);
        assert_int_equal(cause->first_only, i == 1);
        assert_int_equal(cause->choice, i);
        for (uint32_t k = 0; k < cause->n_members; k++)
            assert_int_equal(it.model->faults[cause->members[k]].cause, i);
    }
    assert_int_equal(it.model->causes[0].n_members, 2);
    assert_string_equal(it.model->causes[0].title, "water");
    checked_release(&it);
}

/* a and c by their group, e comes and goes, f and g follow: rows of their own
 * behind those of the causes; b has that of its cause, d none. */
static void moments_of_its_own(void **state)
{
    static const uint32_t rows[] = {5, 1, 6, MODEL_NONE, 7, 8, 9};
    struct checked it;

    (void)state;
    checked_init(&it, press, several);
    assert_int_equal(it.model->n_faults, 7);
    for (uint32_t i = 0; i < 7; i++) {
        const struct fault *fault = &it.model->faults[i];

        assert_int_equal(fault->choice, rows[i]);
        assert_int_equal(fault->own, rows[i] != MODEL_NONE && rows[i] >= 5);
        if (fault->own)
            assert_int_equal(it.model->choices[rows[i]].of, 5 + i);
    }
    checked_release(&it);
}

static void causes_of_what_follows(void **state)
{
    static const uint32_t numbers[] = {1, 1, 1, 0, 1, 2, 3};
    struct checked it;

    (void)state;
    checked_init(&it, press, several);
    for (uint32_t i = 0; i < 7; i++)
        assert_int_equal(it.model->faults[i].n_causes, numbers[i]);
    assert_int_equal(it.model->faults[6].causes[0], 4);
    assert_int_equal(it.model->faults[6].causes[1], 3);
    assert_int_equal(it.model->faults[6].causes[2], 2);
    checked_release(&it);
}

/* As ever: a row and a cause each, in order. */
static void plain_faults_are_their_causes(void **state)
{
    struct checked it;

    (void)state;
    checked_init(&it, press, REVIEW("a : IN MECHANISM; b : IN MECHANISM;\n"));
    assert_int_equal(it.model->n_choices, 2);
    for (uint32_t i = 0; i < 2; i++) {
        assert_int_equal(it.model->faults[i].cause, i);
        assert_int_equal(it.model->faults[i].choice, i);
        assert_int_equal(it.model->choices[i].of, i);
        assert_false(it.model->faults[i].own);
    }
    checked_release(&it);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(causes_stand_in_the_order_of_the_text),
        cmocka_unit_test(moments_of_its_own),
        cmocka_unit_test(causes_of_what_follows),
        cmocka_unit_test(plain_faults_are_their_causes),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
