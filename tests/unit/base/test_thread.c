#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include "base/thread.h"

struct work {
    struct gate *gate;
    int done;
};

static void wait_and_work(void *context)
{
    struct work *work = context;

    work->done = gate_wait(work->gate, 60000) ? 1 : 2;
}

/* What the thread wrote is seen once it was joined. */
static void works_beside(void **state)
{
    struct work work = {.gate = gate_new()};
    struct thread *thread = thread_start(wait_and_work, &work);

    (void)state;
    assert_non_null(thread);
    gate_open(work.gate);
    thread_join(thread);
    assert_int_equal(work.done, 1);
    gate_free(work.gate);
    thread_join(NULL);
}

static void waits_no_longer_than_told(void **state)
{
    struct gate *gate = gate_new();

    (void)state;
    assert_false(gate_wait(gate, 1));
    assert_false(gate_wait(gate, 0));
    gate_open(gate);
    assert_true(gate_wait(gate, 0));
    assert_true(gate_wait(gate, 1000));
    gate_free(gate);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(works_beside),
        cmocka_unit_test(waits_no_longer_than_told),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
