/* Test sheets against the reference interpreter, which has no part in making
 * them: whatever the machine answers, however late a hand is and whatever
 * went before, each step reaches what it is said to reach and shows what it
 * is said to show; wrong control texts fail a step, as far as hands can
 * tell. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/arena.h"
#include "base/os.h"
#include "base/text.h"
#include "present/byhandwords.h"
#include "present/sheetphrases.h"
#include "present/testsheetwords.h"
#include "present/wordtable.h"
#include "reference/machine.h"
#include "study/load.h"
#include "study/scenario.h"
#include "study/testsheet.h"
#include "tests/support/checked.h"
#include "tests/support/not_by_hand.h"
#include "tests/support/sheet_play.h"

#ifdef __SANITIZE_ADDRESS__
enum { PLAYS = 4 };
#else
enum { PLAYS = 40 };
#endif

enum { PRELUDE = 60 };

#define TABLE "models/table/table.review"
#define TAILGATE "models/tailgate/tailgate.review"

struct made {
    struct loaded *loaded;
    const struct testsheet *sheet;
};

static struct made make(const char *review)
{
    const struct load_request request = {.path = review};
    const struct testsheet_setting setting = {0};
    struct made made = {.loaded = load_run(&request)};

    assert_non_null(made.loaded->model);
    made.sheet = testsheet_study(made.loaded->arena, made.loaded->model,
                                 &setting, made.loaded->diags);
    assert_non_null(made.sheet);
    assert_null(made.sheet->internal_error);
    assert_int_equal(made.sheet->end, EXPLORE_COMPLETE);
    return made;
}

/* ---- what is reached and expected ---- */

/* How many plays came to their end; others waited for what never came. */
static unsigned play_sequence(const struct made *made, uint32_t number,
                              uint64_t seed)
{
    const struct sheet_plays plays = {seed, PLAYS, PRELUDE};
    const struct sheet_played played =
        sheet_play(made->sheet, number, &plays);

    assert_int_equal(played.wrong, 0);
    assert_int_equal(played.errors, 0);
    return played.ended;
}

/* Steps that expect something to be on, and duties that are reached. */
static void count(const struct testsheet *sheet, unsigned *on,
                  unsigned *reached)
{
    *on = *reached = 0;
    for (uint32_t s = 0; s < sheet->n_sequences; s++)
        for (uint32_t k = 0; k < sheet->sequences[s].n_steps; k++) {
            const struct hand_step *step = &sheet->sequences[s].steps[k];

            for (uint32_t a = 0; a < sheet->model->n_actuators; a++)
                *on += step->expected[a].sure && step->expected[a].value != 0;
            for (uint32_t i = 0; i < step->n_reached; i++)
                *reached += step->reached[i] < sheet->obligations.n_watched;
        }
}

static void is_right(const struct made *made, unsigned least_on,
                     unsigned least_reached)
{
    unsigned on, reached;

    count(made->sheet, &on, &reached);
    assert_in_range(on, least_on, 100000);
    assert_in_range(reached, least_reached, 100000);
    for (uint32_t i = 0; i < made->sheet->n_sequences; i++)
        assert_in_range(play_sequence(made, i, 77 + i), 1, PLAYS);
}

/* Both are made once for all tests. */
struct sheets {
    struct made table, tailgate;
};

/* Plays by random answers, of which some wait for what never comes and some
 * pick what the assumptions forbid. */
static void the_parts(void **state)
{
    FILE *list = popen("ls models/parts/*/*.review models/safe_gap/*.review "
                       "models/guard_pair/*.review", "r");
    char path[256];
    unsigned n = 0, ended = 0;

    (void)state;
    assert_non_null(list);
    for (; fgets(path, sizeof path, list) != NULL; n++) {
        struct made made;

        path[strcspn(path, "\n")] = '\0';
        made = make(path);
        for (uint32_t i = 0; i < made.sheet->n_sequences; i++)
            ended += play_sequence(&made, i, 5 + i);
        loaded_free(made.loaded);
    }
    pclose(list);
    assert_in_range(n, 20, 1000);
    assert_in_range(ended, 45 * PLAYS, 100000);
}

static void the_table(void **state)
{
    const struct sheets *sheets = *state;

    is_right(&sheets->table, 4, 5);
}

static void the_tailgate(void **state)
{
    const struct sheets *sheets = *state;

    is_right(&sheets->tailgate, 25, 31);
}

/* ---- reasons ---- */

static unsigned count_state(const struct testsheet *sheet,
                            enum obligation_state state)
{
    unsigned n = 0;

    for (uint32_t i = 0; i < sheet->obligations.first_vector; i++)
        n += sheet->obligations.at[i].state == state;
    return n;
}

/* R1 and R10 of the tailgate leave out one of two valves that the text always
 * moves together: without a fault that part never comes to bear. */
static void what_hands_cannot(void **state)
{
    const struct testsheet *sheet =
        ((const struct sheets *)*state)->tailgate.sheet;

    assert_int_equal(count_state(sheet, OBLIGATION_FAULT), 4);
    assert_int_equal(count_state(sheet, OBLIGATION_OPEN), 0);
    assert_int_equal(count_state(sheet, OBLIGATION_BY_HAND),
                     sheet->obligations.first_vector - 4);
}

/* ---- machines that move by themselves ---- */

static const char slide_control[] =
    "PROGRAM Slide\n"
    "VAR_INPUT go AT %IX0.0 : BOOL; there AT %IX0.1 : BOOL; END_VAR\n"
    "VAR_OUTPUT out AT %QX0.0 : BOOL; END_VAR\n"
    "out := go AND NOT there;\n"
    "END_PROGRAM\n";

/* changes: what stands in the mechanism besides the variable. */
static void slide_review(struct text *review, const char *changes)
{
    text_printf(review,
                "REVIEW Slide 'slide'\n  SCAN T#100ms;\n"
                "  CONTROLS\n"
                "    go : BUTTON 'go button';\n"
                "    there : SENSOR 'end switch' ON WHEN way = Back;\n"
                "    out : MOTOR 'slide goes back';\n"
                "  END_CONTROLS\n"
                "  MECHANISM Rail\n"
                "    VAR way : (Front, Back) := Front; END_VAR\n"
                "    %s\n"
                "  END_MECHANISM\n"
                "END_REVIEW\n", changes);
}

/* Is the motor said to be on, for sure, while the button is held in a round
 * in which nothing can move? */
static bool promises_motion(const char *changes, bool *can_stand)
{
    const struct testsheet_setting setting = {0};
    const struct testsheet *sheet;
    struct text review = {0};
    struct checked c;
    bool on = false;

    slide_review(&review, changes);
    checked_init(&c, slide_control, review.at);
    assert_non_null(c.model);
    sheet = testsheet_study(c.arena, c.model, &setting, c.diags);
    assert_non_null(sheet);
    assert_null(sheet->internal_error);
    *can_stand = sheet->can_stand;
    for (uint32_t s = 0; s < sheet->n_sequences; s++)
        for (uint32_t k = 0; k < sheet->sequences[s].n_steps; k++)
            on = on || (sheet->sequences[s].round == ROUND_STANDING &&
                        sheet->sequences[s].steps[k].expected[0].value != 0);
    checked_release(&c);
    text_release(&review);
    return on;
}

/* A slide that cannot move leaves its motor on; one that the text moves is
 * another machine than one that cannot move. */
static void moving_by_itself(void **state)
{
    bool can_stand;

    (void)state;
    assert_true(promises_motion("MOVES way FROM Front TO Back IN T#300ms .. "
                                "T#500ms WHILE out;", &can_stand));
    assert_true(can_stand);
    assert_false(promises_motion("IF out THEN way := Back; END_IF;",
                                 &can_stand));
    assert_false(can_stand);
    assert_true(promises_motion("MOVES way FROM Back TO Front WHILE NOT out;"
                                " IF out THEN MAY way := Back; END_MAY; "
                                "END_IF;", &can_stand));
    assert_true(can_stand);
}

/* ---- wrong texts ---- */

/* Does some step fail, with usual answers or picked ones? */
static bool fails(const struct made *made, const char *control)
{
    const struct load_request request = {
        .path = TAILGATE, .control = control};
    struct loaded *wrong = load_run(&request);
    bool failed = false;

    assert_non_null(wrong->model);
    for (uint32_t s = 0; s < made->sheet->n_sequences && !failed; s++) {
        struct arena *arena = arena_new();
        const struct handplay_answers answers = {
            .start = made->sheet->start[s]};
        struct handplay played = handplay_run(
            arena, machine_new(arena, wrong->model),
            &made->sheet->sequences[s], &made->sheet->obligations, &answers);

        failed = played.end != HANDPLAY_DONE;
        for (uint32_t i = 0; i < played.n_steps; i++)
            failed = failed || played.steps[i].wrong != MODEL_NONE;
        arena_free(arena);
    }
    loaded_free(wrong);
    return failed;
}

/* Either it fails a step, or models/tailgate/changes/NOT_BY_HAND says why
 * not. */
static void wrong_texts_fail(void **state)
{
    const struct made *made = &((const struct sheets *)*state)->tailgate;
    FILE *list = popen("ls models/tailgate/changes/*.st", "r");
    struct not_by_hand not_by_hand;
    char path[256];
    unsigned n = 0;

    assert_non_null(list);
    not_by_hand_read("models/tailgate/changes/", &not_by_hand);
    for (; fgets(path, sizeof path, list) != NULL; n++) {
        path[strcspn(path, "\n")] = '\0';
        if (fails(made, path) == not_by_hand_has(&not_by_hand, path))
            fail_msg("%s", path);
    }
    pclose(list);
    assert_in_range(n, 20, 100);
    assert_false(fails(made, "models/tailgate/tailgate.st"));
}

/* ---- small machines with a mistake ---- */

/* Is a machine with this text told from the one of the sheet? */
static bool is_told(const struct testsheet *sheet, const char *control,
                    const char *review)
{
    struct checked wrong;
    bool told = false;

    checked_init(&wrong, control, review);
    assert_non_null(wrong.model);
    for (uint32_t s = 0; s < sheet->n_sequences && !told; s++) {
        const struct handplay_answers answers = {.start = sheet->start[s]};
        struct handplay played = handplay_run(
            wrong.arena, machine_new(wrong.arena, wrong.model),
            &sheet->sequences[s], &sheet->obligations, &answers);

        told = played.end != HANDPLAY_DONE;
        for (uint32_t k = 0; k < played.n_steps; k++)
            told = told || played.steps[k].wrong != MODEL_NONE;
    }
    checked_release(&wrong);
    return told;
}

/* Two texts under one review text, the first one right. */
static void are_told_apart(const char *right, const char *wrong,
                           const char *review)
{
    const struct testsheet_setting setting = {0};
    const struct testsheet *sheet;
    struct checked c;

    checked_init(&c, right, review);
    assert_non_null(c.model);
    sheet = testsheet_study(c.arena, c.model, &setting, c.diags);
    assert_non_null(sheet);
    assert_null(sheet->internal_error);
    assert_false(is_told(sheet, right, review));
    assert_true(is_told(sheet, wrong, review));
    checked_release(&c);
}

#define PRESS(rescue)                                                      \
    "PROGRAM Press\n"                                                      \
    "VAR_INPUT pack AT %IX0.0 : BOOL; free AT %IX0.1 : BOOL;\n"            \
    "  full AT %IX0.2 : BOOL; END_VAR\n"                                   \
    "VAR_OUTPUT plate AT %QX0.0 : BOOL; away AT %QX0.1 : BOOL; END_VAR\n"  \
    "plate := pack AND NOT full AND NOT free;\n"                           \
    "away := " rescue ";\n"                                                \
    "END_PROGRAM\n"

/* Over the limit nothing is packed, and somebody can still be freed. */
static void still_works(void **state)
{
    static const char review[] =
        "REVIEW Press 'press (invented)'\n  SCAN T#100ms;\n"
        "  CONTROLS\n"
        "    pack : BUTTON 'packing button';\n"
        "    free : BUTTON 'rescue button';\n"
        "    full : SWITCH 'at the limit';\n"
        "    plate : VALVE 'plate closes';\n"
        "    away : VALVE 'plate opens';\n"
        "  END_CONTROLS\nEND_REVIEW\n";

    (void)state;
    are_told_apart(PRESS("free"), PRESS("free AND NOT full"), review);
}

#define LATCH(shut)                                                        \
    "PROGRAM Latch\n"                                                      \
    "VAR_INPUT go AT %IX0.0 : BOOL; again AT %IX0.1 : BOOL;\n"             \
    "  well AT %IX0.2 : BOOL; END_VAR\n"                                   \
    "VAR_OUTPUT run AT %QX0.0 : BOOL; END_VAR\n"                           \
    "VAR stopped : BOOL := TRUE; seen : BOOL; held : BOOL; END_VAR\n"      \
    "IF NOT well THEN stopped := TRUE; " shut "\n"                         \
    "ELSIF again THEN held := seen;\n"                                     \
    "ELSE\n"                                                               \
    "  IF held THEN stopped := FALSE; END_IF;\n"                           \
    "  seen := TRUE; held := FALSE;\n"                                     \
    "END_IF;\n"                                                            \
    "run := go AND NOT stopped;\n"                                         \
    "END_PROGRAM\n"

/* A reset that was pressed before the stop was let out does nothing: it must
 * be seen let go with the stop out, pressed and let go. */
static void pressed_too_early(void **state)
{
    static const char review[] =
        "REVIEW Latch 'latch (invented)'\n  SCAN T#100ms;\n"
        "  CONTROLS\n"
        "    go : BUTTON 'go button';\n"
        "    again : BUTTON 'reset button';\n"
        "    stop : STOP 'stop' LATCHING CONTACTS well OPENING;\n"
        "    run : MOTOR 'it runs';\n"
        "  END_CONTROLS\nEND_REVIEW\n";

    (void)state;
    are_told_apart(LATCH("seen := FALSE; held := FALSE;"),
                   LATCH("held := held OR seen AND again;"), review);
    are_told_apart(LATCH("seen := FALSE; held := FALSE;"), LATCH(""), review);
}

#define GATE(seen)                                                         \
    "PROGRAM Gate\n"                                                       \
    "VAR_INPUT a AT %IX0.0 : BOOL; b AT %IX0.1 : BOOL; END_VAR\n"          \
    "VAR_OUTPUT run AT %QX0.0 : BOOL; END_VAR\n"                           \
    "VAR seen : BOOL := " seen "; END_VAR\n"                               \
    "IF NOT a AND NOT b THEN seen := TRUE; END_IF;\n"                      \
    "run := seen AND a AND b;\n"                                           \
    "END_PROGRAM\n"

/* Hands that were there before power came move nothing: only a sheet that
 * lets power return under them tells. */
static void held_while_power_returns(void **state)
{
    static const char review[] =
        "REVIEW Gate 'gate (invented)'\n  SCAN T#100ms;\n  POWER MAY FAIL;\n"
        "  CONTROLS\n"
        "    a : BUTTON 'left button';\n"
        "    b : BUTTON 'right button';\n"
        "    run : MOTOR 'it runs';\n"
        "  END_CONTROLS\nEND_REVIEW\n";

    (void)state;
    are_told_apart(GATE("FALSE"), GATE("TRUE"), review);
}

/* ---- as scenarios ---- */

/* The review text with the scenarios of its sheet in it. */
static void insert(const char *review, const struct made *made,
                   struct text *whole)
{
    const struct byhand_view view = {
        made->sheet, made->loaded->sources,
        wordtable_language(made->loaded->arena, sheetphrases_table(), "en")};
    struct text text = {0};
    const char *end;

    assert_int_equal(os_read_file(review, LOAD_LIMIT, &text), OS_OK);
    end = strstr(text.at, "END_REVIEW");
    assert_non_null(end);
    text_add_bytes(whole, text.at, (size_t)(end - text.at));
    testsheetwords_scenarios(whole, &view);
    text_add(whole, end);
    text_release(&text);
}

static void play_as_scenarios(const struct made *made, const char *review)
{
    struct text whole = {0};
    struct load_instead instead = {.path = review};
    const struct load_request request = {.path = review,
                                         .instead = &instead};
    struct loaded *again;
    uint32_t played = 0;

    insert(review, made, &whole);
    instead.text = whole.at;
    instead.n = whole.n;
    again = load_run(&request);
    assert_non_null(again->model);
    for (uint32_t i = 0; i < again->model->n_scenarios; i++) {
        struct scenario_result *result = scenario_play(
            again->arena, again->model, &again->model->scenarios[i]);

        if (!result->as_expected)
            fail_msg("%s", again->model->scenarios[i].title);
        played += strncmp(again->model->scenarios[i].name->spelling,
                          "Sheet", 5) == 0;
        scenario_release(result);
    }
    assert_int_equal(played, made->sheet->n_sequences);
    loaded_free(again);
    text_release(&whole);
}

static void sequences_play_as_scenarios(void **state)
{
    const struct sheets *sheets = *state;

    play_as_scenarios(&sheets->table, TABLE);
    play_as_scenarios(&sheets->tailgate, TAILGATE);
}

static int make_both(void **state)
{
    static struct sheets sheets;

    sheets.table = make(TABLE);
    sheets.tailgate = make(TAILGATE);
    *state = &sheets;
    return 0;
}

static int release_both(void **state)
{
    struct sheets *sheets = *state;

    loaded_free(sheets->table.loaded);
    loaded_free(sheets->tailgate.loaded);
    return 0;
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_parts),
        cmocka_unit_test(the_table),
        cmocka_unit_test(the_tailgate),
        cmocka_unit_test(what_hands_cannot),
        cmocka_unit_test(moving_by_itself),
        cmocka_unit_test(wrong_texts_fail),
        cmocka_unit_test(still_works),
        cmocka_unit_test(pressed_too_early),
        cmocka_unit_test(held_while_power_returns),
        cmocka_unit_test(sequences_play_as_scenarios),
    };

    return cmocka_run_group_tests(tests, make_both, release_both);
}
