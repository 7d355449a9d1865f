/* ALWAYS POSSIBLE AGAIN on small invented machines whose traps can be told
 * by hand: verdict, length of the way in, what the second implementation
 * walks, what people read. */
#include "study/again.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <string.h>

#include <cmocka.h>

#include "base/arena.h"
#include "base/text.h"
#include "present/verdict.h"
#include "reference/replay.h"
#include "reference/trap.h"
#include "tests/support/trial.h"

/* ---- what people read ---- */

static void add_verdict(struct text *out, const struct trial *trial)
{
    const struct view view = {.findings = trial->findings,
                              .sources = trial->text.sources};

    verdict_requirement(out, &view, &trial->findings->requirements[0]);
}

static void says(const struct trial *trial, const char *words)
{
    struct text out = {0};

    add_verdict(&out, trial);
    if (!strstr(text_str(&out), words))
        fail_msg("not said: %s\nin: %s", words, text_str(&out));
    text_release(&out);
}

/* ---- a lift that locks itself out ---- */

#define LIFT(reset)                                                        \
    "PROGRAM Main\n"                                                       \
    "VAR_INPUT up, down, again, at_top : BOOL; END_VAR\n"                  \
    "VAR_OUTPUT rise : BOOL; END_VAR\n"                                    \
    "VAR locked : BOOL; END_VAR\n"                                         \
    "  IF at_top AND up AND down THEN locked := TRUE; END_IF;\n"           \
    "  IF again AND " reset " THEN locked := FALSE; END_IF;\n"             \
    "  rise := up AND NOT locked;\n"                                       \
    "END_PROGRAM\n"

#define LIFT_REVIEW(power, what)                                           \
    "REVIEW Lift 'invented'\n"                                             \
    "SCAN T#100ms;\n" power "\n"                                           \
    "CONTROLS up : BUTTON; down : BUTTON; again : BUTTON;\n"               \
    "  at_top : SENSOR ON WHEN height = Top; rise : MOTOR 'lift rises';\n" \
    "END_CONTROLS\n"                                                       \
    "MECHANISM Table\n"                                                    \
    "  VAR height : (Low, Top) := Low; END_VAR\n"                          \
    "  MOVES height FROM Low TO Top WHILE rise;\n"                         \
    "  MOVES height FROM Top TO Low WHILE NOT rise;\n"                     \
    "END_MECHANISM\n"                                                      \
    "REQUIREMENTS " what " END_REQUIREMENTS\n"                             \
    "END_REVIEW\n"

static void judge(const char *control, const char *review,
                  enum verdict verdict, uint32_t length)
{
    struct trial trial;

    trial_open(&trial, control, review);
    trial_judges(&trial, "R", verdict, length);
    trial_close(&trial);
}

/* Up; at the top both buttons, which locks; then it sinks, and only then it
 * is gone for good: while it stays up, what is asked for is there. */
static void a_lock_out_is_found(void **state)
{
    static const char asked[] =
        LIFT_REVIEW("", "R : ALWAYS POSSIBLE AGAIN height = Top;");

    (void)state;
    judge(LIFT("NOT locked"), asked, VERDICT_BROKEN, 3);
    judge(LIFT("NOT down"), asked, VERDICT_KEPT, 0);
}

/* Power that goes and returns opens the lock, but nobody may count on it. */
static void power_is_no_way_out(void **state)
{
    (void)state;
    judge(LIFT("NOT locked"),
          LIFT_REVIEW("POWER MAY FAIL;",
                      "R : ALWAYS POSSIBLE AGAIN height = Top;"),
          VERDICT_BROKEN, 3);
}

/* It is asked in the dark too, and there power returns with the next scan;
 * but once it is on it stays. */
static void in_the_dark_power_returns(void **state)
{
    (void)state;
    judge(LIFT("TRUE"),
          LIFT_REVIEW("POWER MAY FAIL;",
                      "R : ALWAYS POSSIBLE AGAIN power AND rise;"),
          VERDICT_KEPT, 0);
    judge(LIFT("TRUE"),
          LIFT_REVIEW("POWER MAY FAIL;",
                      "R : ALWAYS POSSIBLE AGAIN NOT power;"),
          VERDICT_BROKEN, 1);
}

static void a_limit_is_no_verdict(void **state)
{
    const struct study_setting setting = {.most_situations = 1};
    struct trial trial;

    (void)state;
    trial_open(&trial, LIFT("NOT locked"),
               LIFT_REVIEW("", "R : ALWAYS POSSIBLE AGAIN height = Top;"));
    trial.findings = check_model(trial.arena, trial.text.model, &setting,
                                 trial.text.diags);
    trial_judges(&trial, "R", VERDICT_NOT_FINISHED, 0);
    assert_int_equal(trial.findings->requirements[0].stop, STOP_SITUATIONS);
    says(&trial, "nothing can be said before all reachable situations");
    trial_close(&trial);
}

/* ---- a packing plate with a rescue control ---- */

#define PLATE(free)                                                        \
    "PROGRAM Main\n"                                                       \
    "VAR_INPUT shut, rescue, stop_ok : BOOL; END_VAR\n"                    \
    "VAR_OUTPUT inward, outward : BOOL; END_VAR\n"                         \
    "  inward := shut AND stop_ok AND NOT rescue;\n"                       \
    "  outward := " free ";\n"                                             \
    "END_PROGRAM\n"

#define PLATE_REVIEW(what)                                                 \
    "REVIEW Plate 'invented'\n"                                            \
    "SCAN T#100ms;\n"                                                      \
    "CONTROLS shut : BUTTON; rescue : BUTTON 'rescue control';\n"          \
    "  halt : STOP LATCHING CONTACTS stop_ok OPENING, second OPENING;\n"   \
    "  inward : VALVE 'plate in'; outward : VALVE 'plate out';\n"          \
    "END_CONTROLS\n"                                                       \
    "WIRING OUT inward := COMMANDED inward AND second; END_WIRING\n"       \
    "MECHANISM Plate\n"                                                    \
    "  VAR plate : (Away, Trapping) := Away; END_VAR\n"                    \
    "  MOVES plate FROM Away TO Trapping IN T#200ms .. WHILE inward;\n"    \
    "  MOVES plate FROM Trapping TO Away IN T#200ms .. T#300ms\n"          \
    "    WHILE outward;\n"                                                 \
    "END_MECHANISM\n"                                                      \
    "FAULTS F1 : rescue DOES NOT CLOSE; F2 : inward SHORT TO SUPPLY;\n"    \
    "END_FAULTS\n"                                                         \
    "REQUIREMENTS " what " END_REQUIREMENTS\n"                             \
    "END_REVIEW\n"

#define RESCUE                                                             \
    "R : ALWAYS POSSIBLE AGAIN plate = Away WHILE PRESSED halt BY rescue"

static void rescue_works_under_the_stop(void **state)
{
    (void)state;
    judge(PLATE("rescue"), PLATE_REVIEW(RESCUE ";"), VERDICT_KEPT, 0);
    /* Two scans of closing, then the plate is in and the stop latched. */
    judge(PLATE("rescue AND stop_ok"), PLATE_REVIEW(RESCUE ";"),
          VERDICT_BROKEN, 3);
    /* With the stop let go it would work: WHILE is for the whole way. */
    judge(PLATE("rescue AND stop_ok"),
          PLATE_REVIEW("R : ALWAYS POSSIBLE AGAIN plate = Away;"),
          VERDICT_KEPT, 0);
    /* Another hand that keeps the stop pressed is against it. */
    judge(PLATE("rescue AND stop_ok"),
          PLATE_REVIEW("R : ALWAYS POSSIBLE AGAIN plate = Away BY rescue;"),
          VERDICT_BROKEN, 3);
    judge(PLATE("rescue AND stop_ok"),
          PLATE_REVIEW("R : ALWAYS POSSIBLE AGAIN plate = Away "
                       "BY rescue, halt;"),
          VERDICT_KEPT, 0);
}

static void faults_that_are_present_stay(void **state)
{
    (void)state;
    judge(PLATE("rescue"), PLATE_REVIEW(RESCUE " DESPITE 1 OF F2;"),
          VERDICT_KEPT, 0);
    judge(PLATE("rescue"), PLATE_REVIEW(RESCUE " DESPITE 1 OF F1;"),
          VERDICT_BROKEN, 3);
}

static void never_asked_is_not_put_to_the_test(void **state)
{
    (void)state;
    judge(PLATE("rescue"),
          PLATE_REVIEW("R : ALWAYS POSSIBLE AGAIN plate = Away "
                       "WHILE plate = Trapping AND inward "
                       "AND PRESSED halt;"),
          VERDICT_NOT_TESTED, 0);
    judge(PLATE("rescue"),
          PLATE_REVIEW("R : ALWAYS POSSIBLE AGAIN NOT (inward AND PRESSED "
                       "halt);"),
          VERDICT_NOT_TESTED, 0);
}

/* ---- others ---- */

#define LAMP(body)                                                         \
    "PROGRAM Main\n"                                                       \
    "VAR_INPUT go, hold, loose : BOOL; END_VAR\n"                          \
    "VAR_OUTPUT lamp : BOOL; END_VAR\n"                                    \
    "VAR theirs : BOOL; END_VAR\n"                                         \
    "  " body "\n"                                                         \
    "END_PROGRAM\n"

#define LAMP_REVIEW(what)                                                  \
    "REVIEW Lamp 'invented'\n"                                             \
    "SCAN T#100ms; SHARED theirs;\n"                                       \
    "CONTROLS go : BUTTON; hold : SWITCH; lamp : LAMP 'lamp';\n"           \
    "END_CONTROLS\n"                                                       \
    "REQUIREMENTS R : ALWAYS POSSIBLE AGAIN " what "; END_REQUIREMENTS\n"  \
    "END_REVIEW\n"

static void shared_values_are_against_us(void **state)
{
    (void)state;
    judge(LAMP("lamp := go AND (theirs OR hold);"), LAMP_REVIEW("lamp"),
          VERDICT_KEPT, 0);
    judge(LAMP("lamp := go AND (theirs OR hold);"),
          LAMP_REVIEW("lamp BY go"), VERDICT_BROKEN, 1);
    judge(LAMP("lamp := go AND theirs;"), LAMP_REVIEW("lamp"),
          VERDICT_BROKEN, 1);
    /* whichever is chosen, the other may come: nobody sees it first */
    judge(LAMP("lamp := go XOR theirs;"), LAMP_REVIEW("lamp"),
          VERDICT_BROKEN, 1);
    /* a free input that no control describes is a hand like others */
    judge(LAMP("lamp := loose AND NOT go;"), LAMP_REVIEW("lamp BY loose"),
          VERDICT_BROKEN, 1);
    judge(LAMP("lamp := loose AND (go OR theirs OR NOT theirs);"),
          LAMP_REVIEW("lamp BY Main.loose"), VERDICT_KEPT, 0);
}

/* A hand that ends WHILE ends what is asked; a SHARED value does not. */
static void who_ends_the_way(void **state)
{
    (void)state;
    judge(LAMP("lamp := go;"),
          LAMP_REVIEW("lamp WHILE PRESSED hold BY go"), VERDICT_KEPT, 0);
    judge(LAMP("lamp := go; IF theirs THEN lamp := lamp; END_IF;"),
          LAMP_REVIEW("lamp WHILE Main.theirs BY go"), VERDICT_BROKEN, 1);
    /* our own choice must leave the way open */
    judge(LAMP("lamp := go;"),
          LAMP_REVIEW("lamp WHILE NOT PRESSED go BY go"), VERDICT_BROKEN, 1);
}

/* Every own choice can be turned into its opposite by the others: too many to
 * try one by one where one bad one alone is not enough, and none to sets. */
static void very_many_combinations(void **state)
{
    static const char frame[] =
        "PROGRAM Main\n"
        "VAR_INPUT h1, h2, h3, h4, h5, h6, h7, h8, h9, h10, h11, h12,\n"
        "  h13, h14, h15, h16, h17 : BOOL; END_VAR\n"
        "VAR theirs : BOOL; END_VAR\n"
        "VAR_OUTPUT lamp : BOOL; END_VAR\n"
        "  lamp := theirs %s (h1 %s h2 %s h3 %s h4 %s h5 %s h6 %s h7 %s h8\n"
        "    %s h9 %s h10 %s h11 %s h12 %s h13 %s h14 %s h15 %s h16\n"
        "    %s h17);\n"
        "END_PROGRAM\n";
    static const char review[] =
        "REVIEW Many 'invented'\n"
        "SCAN T#100ms; SHARED theirs;\n"
        "CONTROLS lamp : LAMP; END_CONTROLS\n"
        "REQUIREMENTS R : ALWAYS POSSIBLE AGAIN lamp; END_REQUIREMENTS\n"
        "END_REVIEW\n";
    static const struct {
        const char *op;
        enum verdict verdict;
        uint32_t length;
    } rows[] = {{"AND", VERDICT_BROKEN, 1}, {"OR", VERDICT_KEPT, 0},
                {"XOR", VERDICT_BROKEN, 1}};

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct arena *arena = arena_new();
        const char *op = rows[i].op;

        judge(arena_printf(arena, frame, op, op, op, op, op, op, op, op, op,
                           op, op, op, op, op, op, op, op),
              review, rows[i].verdict, rows[i].length);
        arena_free(arena);
    }
}

/* ---- the second look ---- */

static const struct requirement_finding *found_in(struct trial *trial)
{
    return &trial->findings->requirements[0];
}

static void the_trap_is_walked(void **state)
{
    struct trial trial;
    const struct trap *trap;
    uint32_t plate, outward;

    (void)state;
    trial_open(&trial, PLATE("rescue AND stop_ok"),
               PLATE_REVIEW(RESCUE ";"));
    trial_judges(&trial, "R", VERDICT_BROKEN, 3);
    trap = found_in(&trial)->sequence->trap;
    plate = text_model_slot(&trial.text, "plate");
    outward = trial.text.model->actuators[1].slot;
    assert_int_equal(trap->end, TRAP_CLOSED);
    assert_true(trap->against);
    assert_true(trap->states >= 1);
    assert_int_equal(trap->values[plate].n, 1);
    assert_int_equal(trap->values[plate].at[0], 1);
    assert_int_equal(trap->values[outward].n, 1);
    assert_int_equal(trap->values[outward].at[0], 0);
    trial_close(&trial);
}

/* The first scan alone is no trap: rescue works. */
static void a_false_trap_is_refused(void **state)
{
    const struct step_setting setting = {0};
    struct replay_asked asked = {.length = 1, .claim = REPLAY_TRAP};
    const struct replay *replay;
    uint32_t *choices;
    struct trial trial;

    (void)state;
    trial_open(&trial, LIFT("NOT down"),
               LIFT_REVIEW("", "R : ALWAYS POSSIBLE AGAIN height = Top;"));
    choices = arena_array(trial.arena, trial.text.model->n_choices,
                          sizeof *choices);
    asked.choices = choices;
    replay = replay_run(trial.arena, trial.study.machine, &setting, &asked);
    assert_false(replay->accepted);
    assert_non_null(strstr(replay->why_not, "can still be brought about"));
    trial_close(&trial);
}

/* Where it is there, nothing is asked. */
static void nothing_asked_is_no_trap(void **state)
{
    const struct step_setting setting = {0};
    struct replay_asked asked = {.length = 1, .claim = REPLAY_TRAP};
    const struct replay *replay;
    uint32_t *choices;
    struct trial trial;

    (void)state;
    trial_open(&trial, LIFT("NOT locked"),
               LIFT_REVIEW("", "R : ALWAYS POSSIBLE AGAIN height = Low;"));
    choices = arena_array(trial.arena, trial.text.model->n_choices,
                          sizeof *choices);
    asked.choices = choices;
    replay = replay_run(trial.arena, trial.study.machine, &setting, &asked);
    assert_false(replay->accepted);
    assert_non_null(strstr(replay->why_not, "nothing is asked"));
    trial_close(&trial);
}

/* Four numbers, and the sum that a recorder makes of them. */
#define NUMBERS(lamp)                                                      \
    "PROGRAM Main\n"                                                       \
    "VAR_INPUT i1, i2, i3, i4 : INT (0 .. 99); go : BOOL; END_VAR\n"       \
    "VAR k1, k2, k3, k4 : INT (0 .. 99); done : BOOL; END_VAR\n"           \
    "VAR_OUTPUT lamp, sign : BOOL; END_VAR\n"                              \
    "  sign := k1 > 3;\n"                                                  \
    "  lamp := " lamp "; done := done OR go;\n"                            \
    "  k1 := i1; k2 := i2; k3 := i3; k4 := i4;\n"                          \
    "END_PROGRAM\n"

#define NUMBERS_REVIEW                                                     \
    "REVIEW Large 'invented'\n"                                            \
    "SCAN T#100ms;\n"                                                      \
    "CONTROLS go : BUTTON; lamp : LAMP 'the lamp'; sign : LAMP;\n"         \
    "END_CONTROLS\n"                                                       \
    "RECORDER Keep VAR sum : INT; END_VAR\n"                               \
    "  sum := k1 + k2 + k3 + k4; END_RECORDER\n"                           \
    "REQUIREMENTS R : ALWAYS POSSIBLE AGAIN lamp; END_REQUIREMENTS\n"      \
    "END_REVIEW\n"

/* They have nothing to do with the lamp, and are too many to be walked. */
static void the_part_that_matters_is_walked(void **state)
{
    struct trial trial;
    const struct trap *trap, *whole;
    const struct step_setting setting = {0};
    const struct replay *found;
    uint32_t done, k1;

    (void)state;
    trial_open(&trial, NUMBERS("NOT done"), NUMBERS_REVIEW);
    trial_judges(&trial, "R", VERDICT_BROKEN, 2);
    found = found_in(&trial)->sequence;
    trap = found->trap;
    done = text_model_slot(&trial.text, "Main.done");
    k1 = text_model_slot(&trial.text, "Main.k1");
    assert_int_equal(trap->end, TRAP_CLOSED);
    assert_int_equal(trap->states, 1);
    assert_non_null(trap->matters);
    assert_true(trap->matters[done]);
    assert_false(trap->matters[k1]);
    says(&trial, "this is all that stays possible: nothing that brings it "
                 "about\n");
    says(&trial, "1 situation of the part that matters, and no way out of "
                 "it; all else has no influence on that\n");
    whole = trap_walk_whole(trial.arena, trial.study.machine, &setting, 0,
                            found->scans[1].state);
    assert_int_equal(whole->end, TRAP_TOO_LARGE);
    trial_close(&trial);
}

/* The study sees that their sum can never be so large; who only walks would
 * have to look at all of them. */
static void a_trap_can_be_too_large(void **state)
{
    struct trial trial;

    (void)state;
    trial_open(&trial, NUMBERS("NOT done OR k1 + k2 + k3 + k4 > 396"),
               NUMBERS_REVIEW);
    trial_judges(&trial, "R", VERDICT_BROKEN, 2);
    assert_int_equal(found_in(&trial)->sequence->trap->end, TRAP_TOO_LARGE);
    says(&trial, "not looked at again by the second implementation");
    trial_close(&trial);
}

static void people_read_what_stays_possible(void **state)
{
    struct trial trial;

    (void)state;
    trial_open(&trial, PLATE("rescue AND stop_ok"),
               PLATE_REVIEW(RESCUE ";"));
    trial_judges(&trial, "R", VERDICT_BROKEN, 3);
    says(&trial, "after this it can never be brought about again, 3 scans");
    says(&trial, "while PRESSED halt, all others can act so that, whatever "
                 "rescue control and the machine do, this is all that stays "
                 "possible: plate Trapping; plate in off; plate out off\n");
    says(&trial, "looked at again by the second implementation: ");
    says(&trial, "1 situation, and no way out of it\n");
    trial_close(&trial);
    trial_open(&trial, LIFT("NOT locked"),
               LIFT_REVIEW("", "R : ALWAYS POSSIBLE AGAIN height = Top;"));
    trial_judges(&trial, "R", VERDICT_BROKEN, 3);
    says(&trial, "      whatever the operators and the machine do, this is "
                 "all that stays possible: height Low; lift rises off\n");
    trial_close(&trial);
}

int main(void)
{
    static const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_lock_out_is_found),
        cmocka_unit_test(power_is_no_way_out),
        cmocka_unit_test(in_the_dark_power_returns),
        cmocka_unit_test(a_limit_is_no_verdict),
        cmocka_unit_test(rescue_works_under_the_stop),
        cmocka_unit_test(faults_that_are_present_stay),
        cmocka_unit_test(never_asked_is_not_put_to_the_test),
        cmocka_unit_test(shared_values_are_against_us),
        cmocka_unit_test(who_ends_the_way),
        cmocka_unit_test(very_many_combinations),
        cmocka_unit_test(the_trap_is_walked),
        cmocka_unit_test(a_false_trap_is_refused),
        cmocka_unit_test(nothing_asked_is_no_trap),
        cmocka_unit_test(the_part_that_matters_is_walked),
        cmocka_unit_test(a_trap_can_be_too_large),
        cmocka_unit_test(people_read_what_stays_possible),
    };

    return cmocka_run_group_tests_name("again", tests, NULL, NULL);
}
