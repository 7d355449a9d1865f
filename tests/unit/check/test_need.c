/* What no program needs may be unreadable or wrong; what one needs may not,
 * however the need comes about. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "tests/support/checked.h"

#define BAD "VAR p : POINTER TO INT; END_VAR p^ := 1; "
#define UNREAD "'POINTER' is not read in this version"

static void is_fine(const char *control, const char *review)
{
    struct checked checked;

    checked_init(&checked, control, review);
    assert_non_null(checked.model);
    checked_release(&checked);
}

static void says(const char *control, const char *review, const char *what)
{
    struct checked checked;

    checked_init(&checked, control, review);
    assert_null(checked.model);
    if (!checked_says(&checked, what))
        fail_msg("not said: %s", what);
    checked_release(&checked);
}

static void idle_parts_may_be_wrong(void **state)
{
    (void)state;
    is_fine("FUNCTION_BLOCK Idle " BAD "END_FUNCTION_BLOCK "
            "FUNCTION F : Nothing x := ((; END_FUNCTION "
            "TYPE T : POINTER TO INT; U : Nothing; END_TYPE "
            "VAR_GLOBAL g : POINTER TO INT; h : Nothing; END_VAR "
            "CLASS C METHOD m END_METHOD END_CLASS "
            "PROGRAM Main VAR x : BOOL; END_VAR x := TRUE; END_PROGRAM",
            NULL);
}

static void a_chain_of_needs_is_followed(void **state)
{
    (void)state;
    says("PROGRAM Main VAR a : A; END_VAR a(); END_PROGRAM "
         "FUNCTION_BLOCK A VAR x : INT; END_VAR x := F(); END_FUNCTION_BLOCK "
         "FUNCTION F : INT F := g; END_FUNCTION "
         "VAR_GLOBAL g : T; END_VAR "
         "TYPE T : U; U : INT (0 .. LAST); END_TYPE "
         "VAR_GLOBAL CONSTANT LAST : POINTER TO INT; END_VAR",
         NULL, UNREAD);
}

static void an_instance_in_a_global_is_needed_by_its_call(void **state)
{
    const char *block = "FUNCTION_BLOCK B " BAD "END_FUNCTION_BLOCK "
                        "VAR_GLOBAL b : B; END_VAR ";
    char text[400];

    (void)state;
    snprintf(text, sizeof text, "%sPROGRAM Main b(); END_PROGRAM", block);
    says(text, NULL, UNREAD);
    snprintf(text, sizeof text, "%sPROGRAM Main END_PROGRAM", block);
    is_fine(text, NULL);
}

static void the_review_text_needs_what_it_names(void **state)
{
    const char *control = "VAR_GLOBAL speed : POINTER TO INT; END_VAR "
                          "PROGRAM Main VAR x : BOOL; END_VAR x := TRUE; "
                          "END_PROGRAM ";

    (void)state;
    is_fine(control, "REVIEW R SCAN T#100ms; REQUIREMENTS A : NEVER NOT x; "
                     "END_REQUIREMENTS END_REVIEW");
    says(control, "REVIEW R SCAN T#100ms; REQUIREMENTS A : NEVER speed = 3; "
                  "END_REQUIREMENTS END_REVIEW", UNREAD);
}

static void an_item_stands_for_its_enumeration(void **state)
{
    (void)state;
    is_fine("TYPE Mode : (Off, Slow); END_TYPE PROGRAM Main "
            "VAR n : INT; m : Mode; END_VAR m := Slow; END_PROGRAM", NULL);
}

static void every_unread_declaration_is_told(void **state)
{
    (void)state; /* not only the first of its kind in a text */
    says("PROGRAM Main VAR a : B; END_VAR a(); END_PROGRAM "
         "FUNCTION_BLOCK A " BAD "END_FUNCTION_BLOCK "
         "FUNCTION_BLOCK B " BAD "END_FUNCTION_BLOCK", NULL, UNREAD);
    says("TYPE A : POINTER TO INT; B : POINTER TO INT; END_TYPE "
         "PROGRAM Main VAR b : B; END_VAR END_PROGRAM", NULL, UNREAD);
}

static void without_a_program_everything_is_told(void **state)
{
    (void)state;
    says("FUNCTION_BLOCK A " BAD "END_FUNCTION_BLOCK", NULL, UNREAD);
}

/* Fifty mistakes end a POU, not what follows it. */
static void many_mistakes_end_their_block_only(void **state)
{
    static char text[20000];
    size_t n = 0;

    (void)state;
    n += (size_t)sprintf(text + n, "FUNCTION_BLOCK A VAR x : INT; END_VAR ");
    for (int i = 0; i < 200; i++)
        n += (size_t)sprintf(text + n, "x := %d +;\n", i);
    n += (size_t)sprintf(text + n, "END_FUNCTION_BLOCK PROGRAM Main VAR y : "
                                   "BOOL; END_VAR y := TRUE; END_PROGRAM");
    is_fine(text, NULL);
    strcpy(text + n - strlen("END_PROGRAM"), "y := nobody; END_PROGRAM");
    says(text, NULL, "'nobody' is not declared");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(idle_parts_may_be_wrong),
        cmocka_unit_test(a_chain_of_needs_is_followed),
        cmocka_unit_test(an_instance_in_a_global_is_needed_by_its_call),
        cmocka_unit_test(the_review_text_needs_what_it_names),
        cmocka_unit_test(an_item_stands_for_its_enumeration),
        cmocka_unit_test(every_unread_declaration_is_told),
        cmocka_unit_test(without_a_program_everything_is_told),
        cmocka_unit_test(many_mistakes_end_their_block_only),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
