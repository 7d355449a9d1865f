/* The machines of models/: every requirement is kept, and each control text
 * in changes/ breaks the requirements that changes/EXPECTED names; of the
 * greater body these and no others. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>

#include <cmocka.h>

#include "tests/support/folder.h"

/* With sanitizers everything is many times slower: then one line in so many
 * is tried, and the whole body is not judged as a whole. */
#ifdef __SANITIZE_ADDRESS__
enum { ONE_IN = 8, ONE_IN_BODY = 60 };
#elif defined TEST_WHOLE
enum { ONE_IN = 1, ONE_IN_BODY = 1 };
#else
enum { ONE_IN = 2, ONE_IN_BODY = 17 };
#endif

static void test_tailgate(void **unused)
{
    (void)unused;
    folder_kept("models/tailgate/tailgate.review");
}

static void test_tailgate_changes(void **unused)
{
    (void)unused;
    folder_changes_break("models/tailgate/tailgate.review",
                         "models/tailgate/changes/", ONE_IN);
}

static void test_table(void **unused)
{
    (void)unused;
    folder_kept("models/table/table.review");
}

static void test_table_changes(void **unused)
{
    (void)unused;
    folder_changes_break("models/table/table.review",
                         "models/table/changes/", ONE_IN);
}

static void test_rear_body_changes(void **unused)
{
    (void)unused;
    folder_changes_break_just("models/rear_body/rear_body.review",
                              "models/rear_body/changes/", ONE_IN_BODY);
}

#ifndef __SANITIZE_ADDRESS__
static void test_rear_body(void **unused)
{
    (void)unused;
    folder_kept("models/rear_body/rear_body.review");
}
#endif

int main(void)
{
    static const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_tailgate),
        cmocka_unit_test(test_tailgate_changes),
        cmocka_unit_test(test_table),
        cmocka_unit_test(test_table_changes),
        cmocka_unit_test(test_rear_body_changes),
#ifndef __SANITIZE_ADDRESS__
        cmocka_unit_test(test_rear_body),
#endif
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
