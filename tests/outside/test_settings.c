/* Where controllers differ: for each setting a small text whose verdict it
 * turns, and what ANY CHOICE finds.
 *
 * Sources.  Timers (a PT that changes, PT = 0, ET beyond PT), edges at the first call,
 * counters, overflow and subranges: notes of IEC 61131-3 (2003: tables 34 to
 * 38; 2013: 43 to 46) that leave the place to the implementer, read in two
 * open libraries and in help pages of makers, which differ in just these
 * places.  SR and RS swapped, AND and OR as far as needed, time in calls
 * only, how the numbers of places count: common practice, no source.  The
 * variable behind FOR: three public
 * descriptions, of which two are settings here.  What each text comes to was
 * worked out by hand. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <string.h>

#include <cmocka.h>

#include "base/os.h"
#include "base/text.h"
#include "reference/replay.h"
#include "tests/support/trial.h"

struct turn {
    const char *setting;
    const char *safe, *unsafe; /* choices, as they are written */
    uint32_t found;            /* number of the choice that ANY CHOICE
                                  shows */
    uint32_t length;           /* of the sequence */
    const char *control;       /* what stands in PROGRAM Main */
    const char *asked;
};

static const char count[] =
    "FUNCTION Count : BOOL\nVAR_IN_OUT n : INT (0..3); END_VAR\n"
    "IF n < 3 THEN n := n + 1; END_IF; Count := TRUE;\nEND_FUNCTION\n";

static const struct turn turns[] = {
    {"OVERFLOW", "SATURATES", "WRAPS", OVERFLOW_WRAPS, 2,
     "VAR_INPUT up : BOOL; END_VAR\nVAR n : SINT; low : BOOL; END_VAR\n"
     "IF up THEN n := n + SINT#100; END_IF; low := n < 0;\n",
     "up ONLY IF NOT low"},
    {"LATCHES", "AS NAMED", "SWAPPED", 1, 1,
     "VAR_INPUT go, halt : BOOL; END_VAR\nVAR q : RS; run : BOOL; END_VAR\n"
     "q(S := go, R1 := halt); run := q.Q1;\n",
     "NEVER run AND halt"},
    {"EDGES", "SILENT", "F_TRIG SILENT", EDGES_STANDARD, 1,
     "VAR_INPUT go : BOOL; END_VAR\nVAR q : R_TRIG; rose : BOOL; END_VAR\n"
     "q(CLK := go); rose := q.Q;\n",
     "NEVER rose AND cold"},
    {"EDGES", "F_TRIG SILENT", "STANDARD", EDGES_STANDARD, 1,
     "VAR_INPUT go : BOOL; END_VAR\nVAR q : F_TRIG; fell : BOOL; END_VAR\n"
     "q(CLK := go); fell := q.Q;\n",
     "NEVER fell AND cold"},
    {"EDGES", "SILENT", "STANDARD", EDGES_STANDARD, 1,
     "VAR_INPUT go : BOOL; END_VAR\nVAR q : CTU; one : BOOL; END_VAR\n"
     "q(CU := go, PV := 1, R := q.CV = 3); one := q.Q;\n",
     "NEVER one AND cold"},
    {"COUNTERS", "PRESET LIMIT", "WHOLE RANGE", 0, 5,
     "VAR_INPUT go : BOOL; END_VAR\nVAR q : CTU; over : BOOL; END_VAR\n"
     "q(CU := go, PV := 2, R := q.CV = 3); over := q.CV > 2;\n",
     "go ONLY IF NOT over"},
    {"CONDITIONS", "AS NEEDED", "BOTH SIDES", 0, 1,
     "VAR_INPUT go : BOOL; END_VAR\n"
     "VAR n : INT (0..3); both, seen : BOOL; END_VAR\n"
     "both := go AND Count(n := n); seen := n > 0;\n"
     "IF NOT go THEN both := seen; END_IF; n := 0;\n",
     "NEVER both AND NOT go"},
    {"LOOPS", "LAST USED", "ONE BEYOND", 0, 1,
     "VAR_INPUT go : BOOL; END_VAR\nVAR i : INT; over : BOOL; END_VAR\n"
     "FOR i := 0 TO 3 DO ; END_FOR; over := i > 3;\n",
     "go ONLY IF NOT over"},
    {"ELAPSED_TIMES", "PRESET LIMIT", "OVERSHOOT", ELAPSED_OVERSHOOT, 3,
     "VAR_INPUT go : BOOL; END_VAR\nVAR t : TON; over : BOOL; END_VAR\n"
     "t(IN := TRUE, PT := T#150ms); over := t.ET > T#150ms;\n",
     "go ONLY IF NOT over"},
    {"ELAPSED_TIMES", "OVERSHOOT", "ENDLESS", ELAPSED_ENDLESS, 9,
     "VAR_INPUT go : BOOL; END_VAR\nVAR t : TON; over : BOOL; END_VAR\n"
     "t(IN := TRUE, PT := T#150ms); over := t.ET > T#700ms;\n",
     "go ONLY IF NOT over"},
    {"ELAPSED_TIMES", "OVERSHOOT", "ENDLESS", ELAPSED_ENDLESS, 10,
     "VAR_INPUT go : BOOL; END_VAR\n"
     "VAR t : TOF; over, later : BOOL; END_VAR\n"
     "t(IN := NOT later, PT := T#150ms); over := t.ET > T#700ms;\n"
     "later := TRUE;\n",
     "go ONLY IF NOT over"},
    {"ELAPSED_TIMES", "OVERSHOOT", "ENDLESS", ELAPSED_ENDLESS, 9,
     "VAR_INPUT go : BOOL; END_VAR\n"
     "VAR t : TP; kept : TIME; over : BOOL; END_VAR\n"
     "t(IN := TRUE, PT := T#150ms); kept := t.ET;\n"
     "over := kept > T#700ms;\n",
     "go ONLY IF NOT over"},
    {"ROUNDING", "HALVES EVEN", "HALVES AWAY", ROUNDING_AWAY, 1,
     "VAR_INPUT go : BOOL; END_VAR\nVAR n : INT; over : BOOL; END_VAR\n"
     "n := REAL_TO_INT(SEL(go, 0.0, 2.5)); over := n > 2;\n",
     "go ONLY IF NOT over"},
    {"ROUNDING", "CUT", "HALVES EVEN", ROUNDING_EVEN, 1,
     "VAR_INPUT go : BOOL; load : REAL; END_VAR\n"
     "VAR n : INT; over : BOOL; END_VAR\n"
     "n := 0; IF load > 0.0 AND load < 9.0 THEN n := REAL_TO_INT(load);\n"
     "END_IF;\n"
     "over := n > 4 AND load < 5.0;\n",
     "go ONLY IF NOT over"},
    {"PRESETS", "LIVE", "LATCHED", 1, 2,
     "VAR_INPUT go, slow : BOOL; END_VAR\n"
     "VAR q : TON; over, was : BOOL; END_VAR\n"
     "q(IN := go AND NOT (slow AND was), PT := SEL(slow, T#100ms, T#300ms));\n"
     "was := slow; over := q.Q;\n",
     "RISING over ONLY IF NOT slow"},
    {"ZERO_TIMES", "SAME CALL", "NEXT CALL", 1, 1,
     "VAR_INPUT go : BOOL; END_VAR\nVAR q : TON; late : BOOL; END_VAR\n"
     "q(IN := go, PT := T#0s); late := go AND NOT q.Q;\n",
     "go ONLY IF NOT late"},
    {"TIMERS", "CALLED", "CONTINUOUS", 0, 4,
     "VAR_INPUT go : BOOL; END_VAR\n"
     "VAR q : TON; n : INT (0..4); early : BOOL; END_VAR\n"
     "IF go THEN q(IN := TRUE, PT := T#300ms); n := MIN(4, n + 1); END_IF;\n"
     "early := q.Q AND n < 4;\n",
     "go ONLY IF NOT early"},
    /* ANY CHOICE is refused there: tests/golden/bad/ */
    {"SUBRANGES", "ZERO", "LOWER LIMIT", MODEL_NONE, 1,
     "VAR_INPUT go : BOOL; END_VAR\nVAR n : INT (-5..5); low : BOOL; END_VAR\n"
     "low := n < 0; n := n / 2;\n",
     "go ONLY IF NOT low"},
};

enum { TURNS = sizeof turns / sizeof *turns };

static void open_turn(struct trial *trial, const struct turn *turn,
                      const char *choice)
{
    struct text control = {0}, review = {0};

    text_printf(&control, "%sPROGRAM Main\n%sEND_PROGRAM\n", count,
                turn->control);
    text_printf(&review,
                "REVIEW Bench 'invented'\nSCAN T#100ms;\n"
                "CONTROLLER 'invented'\n  %s : %s;\nEND_CONTROLLER\n"
                "REQUIREMENTS\n  R1 'asked' : %s;\nEND_REQUIREMENTS\n"
                "END_REVIEW\n",
                turn->setting, choice, turn->asked);
    trial_open(trial, text_str(&control), text_str(&review));
    text_release(&control);
    text_release(&review);
}

static void a_setting_turns_the_verdict(void **state)
{
    const struct turn *turn = *state;
    struct trial trial;

    open_turn(&trial, turn, turn->safe);
    trial_judges(&trial, "R1", VERDICT_KEPT, 0);
    trial_close(&trial);
    open_turn(&trial, turn, turn->unsafe);
    trial_judges(&trial, "R1", VERDICT_BROKEN, turn->length);
    trial_explore(&trial);
    trial_replayed(&trial, "R1", turn->length);
    trial_close(&trial);
}

static uint32_t shown(const struct trial *trial, const char *setting)
{
    const struct model *model = trial->text.model;
    const struct replay *replay = trial->findings->requirements[0].sequence;

    for (uint32_t i = 0; i < model->n_choices; i++)
        if (model->choices[i].kind == CHOICE_START &&
            strcmp(model->choices[i].name, setting) == 0)
            return replay->scans[0].choices[i];
    return MODEL_NONE;
}

/* Against us: whichever choice breaks it, and the sequence says which. */
static void any_choice_finds_it(void **state)
{
    const struct turn *turn = *state;
    struct trial trial;

    open_turn(&trial, turn, "ANY CHOICE");
    trial_explore(&trial);
    if (trial.text.model->n_errors == 0) /* they are not asked for there */
        trial_enumerated(&trial);
    trial_judges(&trial, "R1", VERDICT_BROKEN, turn->length);
    assert_int_equal(shown(&trial, turn->setting), turn->found);
    trial_close(&trial);
}

/* The verdict of a text that no choice breaks stays. */
static void kept_whatever_the_controller_does(void **state)
{
    static const struct turn safe = {
        .setting = "LATCHES",
        .control =
            "VAR_INPUT go, halt : BOOL; END_VAR\n"
            "VAR q : RS; run : BOOL; END_VAR\n"
            "q(S := go AND NOT halt, R1 := halt); run := q.Q1;\n",
        .asked = "NEVER run AND halt"};
    struct trial trial;

    (void)state;
    open_turn(&trial, &safe, "ANY CHOICE");
    trial_judges(&trial, "R1", VERDICT_KEPT, 0);
    trial_close(&trial);
}

/* It must be possible on each of the controllers. */
static void possible_on_each_controller(void **state)
{
    static const struct turn only_one = {
        .setting = "LATCHES",
        .control =
            "VAR_INPUT go : BOOL; END_VAR\nVAR q : RS; run : BOOL; END_VAR\n"
            "q(S := go, R1 := TRUE); run := q.Q1;\n",
        .asked = "POSSIBLE run"};
    struct trial trial;

    (void)state;
    open_turn(&trial, &only_one, "SWAPPED");
    trial_judges(&trial, "R1", VERDICT_KEPT, 1);
    trial_close(&trial);
    open_turn(&trial, &only_one, "ANY CHOICE");
    trial_judges(&trial, "R1", VERDICT_BROKEN, 1);
    trial_close(&trial);
}

/* Texts of the review are no matter of the controller: R1 holds whatever the
 * programs do, R2 does not. */
static void the_review_is_not_the_controller(void **state)
{
    static const char control[] =
        "PROGRAM Main\nVAR_INPUT go, halt : BOOL; END_VAR\n"
        "VAR q : RS; END_VAR\nq(S := go, R1 := halt);\nEND_PROGRAM\n";
    static const char review[] =
        "REVIEW Bench 'invented'\nSCAN T#100ms;\n"
        "CONTROLLER\n  LATCHES : SWAPPED; OVERFLOW : WRAPS;\n"
        "  EDGES : SILENT;\nEND_CONTROLLER\n"
        "RECORDER Seen VAR l : RS; e : R_TRIG; s, r : BOOL; END_VAR\n"
        "  l(S := go, R1 := halt); e(CLK := go); s := l.Q1; r := e.Q;\n"
        "END_RECORDER\n"
        "REQUIREMENTS\n  R1 'asked' : NEVER s AND halt;\n"
        "  R2 'asked' : NEVER r AND cold;\nEND_REQUIREMENTS\nEND_REVIEW\n";
    struct trial trial;

    (void)state;
    trial_open(&trial, control, review);
    trial_judges(&trial, "R1", VERDICT_NOT_TESTED, 0);
    trial_judges(&trial, "R2", VERDICT_BROKEN, 1);
    trial_close(&trial);
}

/* Places that share a part on one controller and not on another one: under a
 * choice that parts them the text is judged, under one that does not it is
 * refused, and so it is where nothing is said. */
static bool is_judged(const char *declared, const char *controller)
{
    struct text control = {0}, review = {0};
    struct text_model model;
    bool judged;

    text_printf(&control,
                "PROGRAM Main VAR %s q : BOOL; END_VAR\nq := TRUE;\n"
                "END_PROGRAM\n", declared);
    text_printf(&review,
                "REVIEW Bench 'invented'\nSCAN T#100ms;\n%s\n"
                "REQUIREMENTS\n  R1 'asked' : ALWAYS q;\n"
                "END_REQUIREMENTS\nEND_REVIEW\n", controller);
    text_model_init(&model, text_str(&control), text_str(&review), true);
    judged = model.run;
    text_model_release(&model);
    text_release(&control);
    text_release(&review);
    return judged;
}

static void it_has_to_be_said_how_places_count(void **state)
{
    static const struct {
        const char *declared;
        bool widths, bytes, words; /* may be judged */
    } rows[] = {
        {"a AT %MW10 : WORD; b AT %MW11 : WORD;", true, false, true},
        {"a AT %MW10 : WORD; b AT %MW12 : WORD;", true, true, true},
        {"a AT %MD10 : DWORD; b AT %MD11 : DWORD;", true, false, false},
        {"a AT %MD10 : DWORD; b AT %MD12 : DWORD;", true, false, true},
        {"a AT %MB20 : BYTE; b AT %MW10 : WORD;", false, true, false},
        {"a AT %MB10 : BYTE; b AT %MW10 : WORD;", true, false, true},
        {"a AT %MB10 : BYTE; b AT %MB11 : BYTE;", true, true, true},
        {"a AT %MW1 : ARRAY [0..1] OF WORD; b AT %MW3 : WORD;", true, false,
         true},
        {"a AT %MW1 : DWORD; b AT %MW2 : WORD;", false, false, false},
        {"a AT %MW0 : WORD; b AT %ML1 : LWORD;", true, false, true}};
    static const char *const said[] = {
        "CONTROLLER PLACES : OWN WIDTHS; END_CONTROLLER",
        "CONTROLLER PLACES : BYTES; END_CONTROLLER",
        "CONTROLLER PLACES : WORDS; END_CONTROLLER", "",
        "CONTROLLER PLACES : ANY CHOICE; END_CONTROLLER"};

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        bool all = rows[i].widths && rows[i].bytes && rows[i].words;
        const bool judged[] = {rows[i].widths, rows[i].bytes, rows[i].words,
                               all, all};

        for (size_t k = 0; k < 5; k++)
            if (is_judged(rows[i].declared, said[k]) != judged[k])
                fail_msg("%s %s", rows[i].declared, said[k]);
    }
}

/* ---- the questions for the bench ---- */

struct reply {
    const char *setting, *choice, *variable;
    int64_t value;
};

/* The table of docs/controller-questions/README.md. */
static const struct reply answers[] = {
    {"LATCHES", "AS NAMED", "answer_sr", 1},
    {"LATCHES", "AS NAMED", "answer_rs", 0},
    {"LATCHES", "SWAPPED", "answer_sr", 0},
    {"LATCHES", "SWAPPED", "answer_rs", 1},
    {"EDGES", "STANDARD", "answer_r_trig", 1},
    {"EDGES", "STANDARD", "answer_f_trig", 1},
    {"EDGES", "F_TRIG SILENT", "answer_r_trig", 1},
    {"EDGES", "F_TRIG SILENT", "answer_f_trig", 0},
    {"EDGES", "SILENT", "answer_r_trig", 0},
    {"EDGES", "SILENT", "answer_f_trig", 0},
    {"COUNTERS", "WHOLE RANGE", "answer_counter", 4},
    {"COUNTERS", "PRESET LIMIT", "answer_counter", 2},
    {"CONDITIONS", "BOTH SIDES", "answer_conditions", 1},
    {"CONDITIONS", "AS NEEDED", "answer_conditions", 0},
    {"LOOPS", "ONE BEYOND", "answer_loop", 4},
    {"LOOPS", "LAST USED", "answer_loop", 3},
    {"SUBRANGES", "LOWER LIMIT", "answer_subrange", -5},
    {"SUBRANGES", "ZERO", "answer_subrange", 0},
    {"PRESETS", "LIVE", "answer_preset", 0},
    {"PRESETS", "LATCHED", "answer_preset", 1},
    {"ZERO_TIMES", "SAME CALL", "answer_zero", 1},
    {"ZERO_TIMES", "NEXT CALL", "answer_zero", 0},
    {"TIMERS", "CONTINUOUS", "answer_timer", 1},
    {"TIMERS", "CALLED", "answer_timer", 0},
    {"ELAPSED_TIMES", "PRESET LIMIT", "answer_elapsed", 1037},
    {"ELAPSED_TIMES", "OVERSHOOT", "answer_elapsed", 1100},
    {"ELAPSED_TIMES", "ENDLESS", "answer_elapsed", 2000},
    {"ROUNDING", "HALVES EVEN", "answer_nearest", 2},
    {"ROUNDING", "HALVES EVEN", "answer_half", 2},
    {"ROUNDING", "HALVES AWAY", "answer_nearest", 2},
    {"ROUNDING", "HALVES AWAY", "answer_half", 3},
    {"ROUNDING", "CUT", "answer_nearest", 1},
    {"ROUNDING", "CUT", "answer_half", 2},
    {"OVERFLOW", "WRAPS", "answer_overflow", -56},
    {"OVERFLOW", "SATURATES", "answer_overflow", 127},
};

enum { ANSWERS = sizeof answers / sizeof *answers };

/* Plays the text for three seconds, the last one with overflows. */
static void the_bench_answers(void **state)
{
    const struct reply *answer = *state;
    bool overflow = strcmp(answer->setting, "OVERFLOW") == 0;
    struct text control = {0}, review = {0}, path = {0};
    struct trial trial;

    assert_int_equal(os_read_file("docs/controller-questions/questions.st",
                                  1 << 20, &control), OS_OK);
    text_printf(&review,
                "REVIEW Bench 'invented'\nSCAN T#100ms;\nCONTROLLER\n"
                "  %s : %s;\nEND_CONTROLLER\nEND_REVIEW\n",
                answer->setting, answer->choice);
    text_printf(&path, "Questions.%s", answer->variable);
    trial_open(&trial, text_str(&control), text_str(&review));
    for (int i = 0; i < 30; i++) {
        text_model_choose(&trial.text, "Questions.ask_overflow",
                          overflow && i > 20);
        trial_scan(&trial);
    }
    assert_int_equal(trial_now(&trial, "Questions.done"), 1);
    assert_int_equal(trial_now(&trial, text_str(&path)), answer->value);
    trial_close(&trial);
    text_release(&control);
    text_release(&review);
    text_release(&path);
}

/* It is read for a controller that keeps the two places apart. */
static void the_bench_tells_how_places_count(void **state)
{
    struct text control = {0};
    struct trial trial;

    (void)state;
    assert_int_equal(os_read_file("docs/controller-questions/places.st",
                                  1 << 20, &control), OS_OK);
    trial_open(&trial, text_str(&control),
               "REVIEW Bench 'invented'\nSCAN T#100ms;\n"
               "CONTROLLER PLACES : OWN WIDTHS; END_CONTROLLER\n"
               "END_REVIEW\n");
    trial_scan(&trial);
    assert_int_equal(trial_now(&trial, "Places.answer_places"), 0xFFFFFFFF);
    trial_close(&trial);
    text_release(&control);
}

int main(void)
{
    struct CMUnitTest tests[2 * TURNS + ANSWERS + 5];
    size_t n = 0;

    for (size_t i = 0; i < TURNS; i++) {
        struct turn *turn = (struct turn *)&turns[i];

        tests[n++] = (struct CMUnitTest){turn->setting,
                                         a_setting_turns_the_verdict, NULL,
                                         NULL, turn};
        if (turn->found != MODEL_NONE)
            tests[n++] = (struct CMUnitTest){
                turn->setting, any_choice_finds_it, NULL, NULL, turn};
    }
    for (size_t i = 0; i < ANSWERS; i++)
        tests[n++] = (struct CMUnitTest){answers[i].choice,
                                         the_bench_answers, NULL, NULL,
                                         (void *)&answers[i]};
    tests[n++] = (struct CMUnitTest)cmocka_unit_test(
        kept_whatever_the_controller_does);
    tests[n++] =
        (struct CMUnitTest)cmocka_unit_test(possible_on_each_controller);
    tests[n++] =
        (struct CMUnitTest)cmocka_unit_test(the_review_is_not_the_controller);
    tests[n++] = (struct CMUnitTest)cmocka_unit_test(
        it_has_to_be_said_how_places_count);
    tests[n++] =
        (struct CMUnitTest)cmocka_unit_test(the_bench_tells_how_places_count);
    return _cmocka_run_group_tests("settings", tests, n, NULL, NULL);
}
