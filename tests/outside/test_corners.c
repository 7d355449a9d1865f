/* Corners of the control language in which random programs found a mistake,
 * each as small as it can be, in both implementations. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "base/arena.h"
#include "reference/machine.h"
#include "tests/support/text_model.h"

/* The source says why `Main.out` has to have this value after some scans; the
 * last of them ends by an error where that is so. */
static const struct corner {
    const char *source, *control;
    unsigned scans;
    bool error;
    int64_t out;
} corners[] = {
    {"language.md: its number stands for an item as a CASE label",
     "TYPE T : (Low := -1, High := 4); END_TYPE\n"
     "PROGRAM Main VAR t : T; out : INT; END_VAR\n"
     "t := Low; CASE t OF -1: out := 3; 4: out := 5; END_CASE;\n"
     "END_PROGRAM\n", 1, false, 3},
    {"language.md: an enumeration is converted to its item's number",
     "TYPE T : (Low := -1, High := 400); END_TYPE\n"
     "PROGRAM Main VAR t : T; out : INT; END_VAR\n"
     "t := High; out := T_TO_INT(t); t := Low; out := out + TO_INT(t);\n"
     "END_PROGRAM\n", 1, false, 399},
    {"docs/notes/step.md, section 11: an error where it does not fit",
     "TYPE T : (Low := -1, High := 400); END_TYPE\n"
     "PROGRAM Main VAR t : T; out : USINT; END_VAR\n"
     "t := High; out := T_TO_USINT(t); END_PROGRAM\n", 1, true, 0},
    {"docs/notes/step.md, section 11: an error where it does not fit",
     "TYPE T : (Low := -1, High := 40); END_TYPE\n"
     "PROGRAM Main VAR t : T; out : USINT; END_VAR\n"
     "t := Low; out := T_TO_USINT(t); END_PROGRAM\n", 1, true, 0},
    {"even numbers MOD 2 are 0, and a BOOL of them stays a BOOL",
     "PROGRAM Main VAR_INPUT n : UINT (0 .. 4); END_VAR\n"
     "VAR even, last, out : BOOL; END_VAR\n"
     "last := even; even := TO_BOOL((n * 2) MOD 2); out := NOT last;\n"
     "END_PROGRAM\n", 2, false, 1},
};

static void check(const struct corner *corner)
{
    struct step_setting setting = {.first = true};
    const struct step_result *step = NULL;
    struct text_model text;
    struct machine *machine;
    int64_t *state, flat, other;
    uint32_t error = FLAT_NONE, out;

    text_model_init(&text, corner->control, NULL, false);
    if (!text.run)
        fail_msg("refused:\n%s", corner->control);
    machine = machine_new(text.arena, text.model);
    state = arena_array(text.arena, machine_words(machine) + 1,
                        sizeof *state);
    machine_start(machine, text.run->choice, state);
    for (unsigned i = 0; i < corner->scans; i++) {
        (void)flat_run_scan(text.run, i + 1 < corner->scans);
        error = flat_run_error(text.run);
        step = machine_step(machine, &setting, text.run->choice, state);
        setting.first = false;
    }
    out = text_model_slot(&text, "Main.out");
    flat = text.run->node[text.lowered->slot_value[out]];
    other = machine_place(machine, state,
                          (struct place_id){PLACE_SLOT, out}, INT64_MAX);
    if ((error != FLAT_NONE) != corner->error ||
        (step->end == STEP_ERROR) != corner->error)
        fail_msg("%s: an error is where none should be, or the reverse\n%s",
                 corner->source, corner->control);
    if (!corner->error && (flat != corner->out || other != corner->out))
        fail_msg("%s: %lld in the flat logic, %lld in the reference\n%s",
                 corner->source, (long long)flat, (long long)other,
                 corner->control);
    text_model_release(&text);
}

static void corners_hold(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof corners / sizeof *corners; i++)
        check(&corners[i]);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(corners_hold),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
