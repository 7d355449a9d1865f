/* The reference interpreter from texts on: puzzles with known numbers, and a
 * latch that power takes away. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include <string.h>

#include "base/arena.h"
#include "reference/naive.h"
#include "reference/replay.h"
#include "tests/support/text_model.h"

static const char idle[] =
    "PROGRAM Main VAR x : BOOL; END_VAR x := FALSE; END_PROGRAM\n";

/* Three discs a < b < c on pegs 0 .. 2.  3^n situations, 2^n - 1 moves:
 * published many times, from memory, OEIS A000244 and A000225. */
static const char hanoi[] =
    "REVIEW Hanoi 'three discs' SCAN T#100ms;\n"
    "MECHANISM Pegs\n"
    "  VAR a : INT (0 .. 2) := 0; b : INT (0 .. 2) := 0;\n"
    "      c : INT (0 .. 2) := 0; END_VAR\n"
    "  MAY a := 0; OR a := 1; OR a := 2;\n"
    "  OR IF a <> b AND a <> 0 THEN b := 0; END_IF;\n"
    "  OR IF a <> b AND a <> 1 THEN b := 1; END_IF;\n"
    "  OR IF a <> b AND a <> 2 THEN b := 2; END_IF;\n"
    "  OR IF a <> c AND b <> c AND a <> 0 AND b <> 0 THEN c := 0; END_IF;\n"
    "  OR IF a <> c AND b <> c AND a <> 1 AND b <> 1 THEN c := 1; END_IF;\n"
    "  OR IF a <> c AND b <> c AND a <> 2 AND b <> 2 THEN c := 2; END_IF;\n"
    "  END_MAY;\n"
    "END_MECHANISM\n"
    "REQUIREMENTS\n"
    "  R1 'never all on the last peg' : NEVER a = 2 AND b = 2 AND c = 2;\n"
    "END_REQUIREMENTS END_REVIEW\n";

/* Jugs of 5 and 3 litres, 4 wanted: 16 situations, 6 actions, by number of
 * actions 1, 2, 3, 2, 2, 2, 2, 2; from memory and recomputed. */
static const char jugs[] =
    "REVIEW Jugs 'jugs of 5 and 3 litres' SCAN T#100ms;\n"
    "MECHANISM Table\n"
    "  VAR a : INT (0 .. 5) := 0; b : INT (0 .. 3) := 0; END_VAR\n"
    "  MAY a := 5; OR b := 3; OR a := 0; OR b := 0;\n"
    "  OR IF a + b <= 3 THEN b := a + b; a := 0;\n"
    "     ELSE a := a + b - 3; b := 3; END_IF;\n"
    "  OR IF a + b <= 5 THEN a := a + b; b := 0;\n"
    "     ELSE b := a + b - 5; a := 5; END_IF;\n"
    "  END_MAY;\n"
    "END_MECHANISM\n"
    "REQUIREMENTS R1 'never 4 litres' : NEVER a = 4; END_REQUIREMENTS\n"
    "END_REVIEW\n";

/* All machine variables are the places. */
static const struct naive_result *explore(const struct text_model *text,
                                          struct machine *machine)
{
    const struct model *model = text->model;
    struct naive_place *places =
        arena_array(text->arena, model->n_slots, sizeof *places);
    struct naive_setting setting = {.places = places,
                                    .most_states = 100000};

    for (uint32_t i = 0; i < model->n_slots; i++)
        if (model->slots[i].home == SLOT_MACHINE)
            places[setting.n_places++] =
                (struct naive_place){{PLACE_SLOT, i}, INT64_MAX};
    return naive_explore(text->arena, machine, &setting);
}

static void expect_puzzle(const char *review, uint64_t situations,
                          uint32_t breach)
{
    struct text_model text;
    struct machine *machine;
    const struct naive_result *result;
    struct step_setting setting = {0};
    struct replay_asked asked = {.claim = REPLAY_BREACH};

    text_model_init(&text, idle, review, false);
    assert_non_null(text.model);
    machine = machine_new(text.arena, text.model);
    result = explore(&text, machine);
    assert_true(result->complete);
    assert_int_equal(result->situations, situations);
    assert_int_equal(result->breach_level, breach);
    asked.choices = result->sequence;
    asked.length = breach;
    assert_true(replay_run(text.arena, machine, &setting, &asked)->accepted);
    text_model_release(&text);
}

static void hanoi_with_three_discs(void **state)
{
    (void)state;
    expect_puzzle(hanoi, 27, 8);
}

static void jugs_of_five_and_three(void **state)
{
    static const uint64_t levels[] = {1, 2, 3, 2, 2, 2, 2, 2};
    struct text_model text;
    const struct naive_result *result;

    (void)state;
    expect_puzzle(jugs, 16, 7);
    text_model_init(&text, idle, jugs, false);
    assert_non_null(text.model);
    result = explore(&text, machine_new(text.arena, text.model));
    assert_int_equal(result->n_levels, 8);
    for (int i = 0; i < 8; i++)
        assert_int_equal(result->levels[i], levels[i]);
    text_model_release(&text);
}

/* A latch without RETAIN, held by its own output: after the dark it is off;
 * with RETAIN it starts by itself.  Lengths by hand: press, dark, lit. */
static void expect_latch(const char *section, uint32_t breach)
{
    static const char review[] =
        "REVIEW Latch 'a latch' SCAN T#100ms; POWER MAY FAIL;\n"
        "CONTROLS go : BUTTON 'go'; run : MOTOR 'motor'; END_CONTROLS\n"
        "REQUIREMENTS\n"
        "  R1 'no start when power returns' : NEVER warm AND run AND NOT go;\n"
        "END_REQUIREMENTS END_REVIEW\n";
    struct text_model text;
    char *control;
    struct arena *arena = arena_new();
    const struct naive_result *result;

    control = arena_printf(arena,
                           "PROGRAM Main\n"
                           "VAR_INPUT go : BOOL; END_VAR\n"
                           "VAR_OUTPUT %s run : BOOL; END_VAR\n"
                           "run := run OR go;\nEND_PROGRAM\n", section);
    text_model_init(&text, control, review, false);
    assert_non_null(text.model);
    result = explore(&text, machine_new(text.arena, text.model));
    assert_true(result->complete);
    assert_int_equal(result->breach_level, breach);
    text_model_release(&text);
    arena_free(arena);
}

static void a_latch_through_the_dark(void **state)
{
    (void)state;
    expect_latch("", 0);
    expect_latch("RETAIN", 3);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(hanoi_with_three_discs),
        cmocka_unit_test(jugs_of_five_and_three),
        cmocka_unit_test(a_latch_through_the_dark),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
