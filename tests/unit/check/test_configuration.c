/* A CONFIGURATION names the programs that run, their order and their scan. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "tests/support/checked.h"

#define PROGRAMS                                                           \
    "PROGRAM A VAR x AT %I* : BOOL; y : BOOL; END_VAR y := x; END_PROGRAM " \
    "PROGRAM B VAR z : BOOL; END_VAR z := TRUE; END_PROGRAM "
#define MACHINE(programs)                                                  \
    "CONFIGURATION M TASK t (INTERVAL := T#40ms, PRIORITY := 1); " programs \
    " END_CONFIGURATION " PROGRAMS

static void instances_run_in_declared_order(void **state)
{
    struct checked c;

    (void)state;
    checked_init(&c, MACHINE("PROGRAM Two WITH t : B; "
                             "PROGRAM One WITH t : A; "
                             "PROGRAM Again WITH t : A;"), NULL);
    assert_non_null(c.model);
    assert_int_equal(c.model->n_programs, 3);
    assert_string_equal(c.model->programs[0].name->spelling, "Two");
    assert_string_equal(c.model->programs[1].name->spelling, "One");
    assert_string_equal(c.model->programs[2].name->spelling, "Again");
    assert_ptr_equal(c.model->programs[1].pou, c.model->programs[2].pou);
    assert_int_not_equal(c.model->programs[1].frame,
                         c.model->programs[2].frame);
    assert_int_equal(checked_slot(&c, "Two.z")->home, SLOT_PROGRAM);
    /* what the body writes is no input of any instance */
    assert_int_equal(checked_slot(&c, "One.x")->driver,
                     checked_slot(&c, "Again.x")->driver);
    assert_int_equal(checked_slot(&c, "One.y")->driver,
                     checked_slot(&c, "Again.y")->driver);
    assert_int_not_equal(checked_slot(&c, "Again.x")->driver,
                         checked_slot(&c, "Again.y")->driver);
    checked_release(&c);
}

static int64_t scan_of(const char *control, const char *review,
                       bool *assumed)
{
    struct checked c;
    int64_t scan;

    checked_init(&c, control, review);
    assert_non_null(c.model);
    scan = c.model->scan;
    *assumed = c.model->scan_assumed;
    checked_release(&c);
    return scan;
}

static void the_interval_is_the_scan(void **state)
{
    const char *control = MACHINE("PROGRAM One WITH t : A;");
    bool assumed;

    (void)state;
    assert_int_equal(scan_of(control, NULL, &assumed), 40);
    assert_false(assumed);
    assert_int_equal(scan_of(control, "REVIEW R END_REVIEW", &assumed), 40);
    assert_int_equal(scan_of(control, "REVIEW R SCAN T#90ms; END_REVIEW",
                             &assumed), 90);
    assert_int_equal(scan_of(MACHINE("PROGRAM One : A;"), NULL, &assumed),
                     100);
    assert_true(assumed);
}

static void a_difference_is_told(void **state)
{
    struct checked c;
    const char *told = "the review text says another time than the TASK of "
                       "the control text, T#40ms; that of the review text "
                       "is taken";

    (void)state;
    checked_init(&c, MACHINE("PROGRAM One WITH t : A;"),
                 "REVIEW R SCAN T#30ms .. T#50ms; END_REVIEW");
    assert_false(checked_says(&c, told));
    checked_release(&c);
    checked_init(&c, MACHINE("PROGRAM One WITH t : A;"),
                 "REVIEW R SCAN T#50ms; END_REVIEW");
    assert_true(checked_says(&c, told));
    checked_release(&c);
}

static void programs_are_named_by_instance_or_alone_by_type(void **state)
{
    const char *review = "REVIEW R REQUIREMENTS P : NEVER %s.y; "
                         "END_REQUIREMENTS END_REVIEW";
    char text[200];
    struct checked c;

    (void)state;
    snprintf(text, sizeof text, review, "A");
    checked_init(&c, MACHINE("PROGRAM One WITH t : A;"), text);
    assert_non_null(c.model);
    checked_release(&c);
    checked_init(&c, MACHINE("PROGRAM One WITH t : A; "
                             "PROGRAM Two WITH t : A;"), text);
    assert_null(c.model);
    checked_release(&c);
    snprintf(text, sizeof text, review, "Two");
    checked_init(&c, MACHINE("PROGRAM One WITH t : A; "
                             "PROGRAM Two WITH t : A;"), text);
    assert_non_null(c.model);
    checked_release(&c);
}

/* task, resource, with, on, interval ... are names elsewhere. */
static void its_words_are_names_elsewhere(void **state)
{
    struct checked c;

    (void)state;
    checked_init(&c, "PROGRAM Main VAR task, resource, with, on, interval, "
                     "single, priority, configuration : BOOL; END_VAR "
                     "task := resource OR with; on := configuration; "
                     "END_PROGRAM", NULL);
    assert_non_null(c.model);
    checked_release(&c);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(instances_run_in_declared_order),
        cmocka_unit_test(the_interval_is_the_scan),
        cmocka_unit_test(a_difference_is_told),
        cmocka_unit_test(programs_are_named_by_instance_or_alone_by_type),
        cmocka_unit_test(its_words_are_names_elsewhere),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
