#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>
#include <stdio.h>

#include "base/arena.h"
#include "base/name.h"

struct fixture {
    struct arena *arena;
    struct names *names;
};

static int setup(void **state)
{
    static struct fixture fixture;

    fixture.arena = arena_new();
    fixture.names = names_new(fixture.arena);
    *state = &fixture;
    return 0;
}

static int teardown(void **state)
{
    struct fixture *fixture = *state;

    names_free(fixture->names);
    names_free(NULL);
    arena_free(fixture->arena);
    return 0;
}

static void case_does_not_count(void **state)
{
    struct fixture *f = *state;
    const struct name *gate = names_of(f->names, "Gate");

    assert_ptr_equal(gate, names_of(f->names, "GATE"));
    assert_ptr_equal(gate, names_intern(f->names, "gate_shut", 4));
    assert_string_equal(gate->spelling, "Gate");
    assert_string_equal(gate->folded, "gate");
    assert_int_equal(gate->length, 4);
    assert_ptr_not_equal(gate, names_of(f->names, "gate_"));
}

static void thousands_keep_their_numbers(void **state)
{
    struct fixture *f = *state;
    const struct name *first = names_of(f->names, "N0");
    char spelling[16];

    for (int round = 0; round < 2; round++)
        for (uint32_t i = 0; i < 5000; i++) {
            snprintf(spelling, sizeof spelling, "n%u", (unsigned)i);
            assert_int_equal(names_of(f->names, spelling)->id, i);
        }
    assert_ptr_equal(first, names_of(f->names, "n0"));
}

static const char *nearest(struct fixture *f, const char *wanted)
{
    static const char *const spelled[] = {
        "close_left", "close_right", "stop_ok", "gap", "x",
    };
    const struct name *known[5], *found;

    for (size_t i = 0; i < 5; i++)
        known[i] = names_of(f->names, spelled[i]);
    found = name_nearest(names_of(f->names, wanted), known, 5);
    return found ? found->spelling : "-";
}

static void proposes_the_nearest(void **state)
{
    struct fixture *f = *state;

    assert_string_equal(nearest(f, "close_lft"), "close_left");
    assert_string_equal(nearest(f, "CLOSE_LEFTT"), "close_left");
    assert_string_equal(nearest(f, "close_rihgt"), "close_right");
    assert_string_equal(nearest(f, "clos_rigt"), "close_right");
    assert_string_equal(nearest(f, "sotp_ok"), "stop_ok");
    assert_string_equal(nearest(f, "gab"), "gap");
    assert_string_equal(nearest(f, "xx"), "-");
    assert_string_equal(nearest(f, "gxx"), "-");
    assert_string_equal(nearest(f, "open_left"), "-");
    assert_string_equal(nearest(f, "y"), "-");
    assert_string_equal(nearest(f, "gap"), "-");
}

static void the_nearer_of_two_wins(void **state)
{
    struct fixture *f = *state;
    const struct name *known[] = {names_of(f->names, "valve_ab"),
                                  names_of(f->names, "valve_a")};

    assert_ptr_equal(name_nearest(names_of(f->names, "valve_"), known, 2),
                     known[1]);
    assert_null(name_nearest(names_of(f->names, "valve_"), known, 0));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(case_does_not_count, setup,
                                        teardown),
        cmocka_unit_test_setup_teardown(thousands_keep_their_numbers, setup,
                                        teardown),
        cmocka_unit_test_setup_teardown(proposes_the_nearest, setup,
                                        teardown),
        cmocka_unit_test_setup_teardown(the_nearer_of_two_wins, setup,
                                        teardown),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
