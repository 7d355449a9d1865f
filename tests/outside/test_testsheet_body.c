/* The test sheet of the rear-loading body, which is too large to be looked at
 * whole: it reaches nearly all that hands can bring about, the machine that it
 * was made for passes it wherever it stands, and machines with a mistake in
 * their control text fail a step, as far as hands can tell. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "base/arena.h"
#include "check/model.h"
#include "reference/machine.h"
#include "study/load.h"
#include "study/testsheet.h"
#include "tests/support/not_by_hand.h"
#include "tests/support/sheet_play.h"

#define REVIEW "models/rear_body/rear_body.review"
#define CHANGES "models/rear_body/changes/"

#ifdef TEST_WHOLE
enum { TRIED = 0 }; /* as many steps as usual */
#else
enum { TRIED = 1000 }; /* fewer: time is dear */
#endif

enum {
    STARTS = 2, /* places where the machine may stand */
    PLAYS = 4, PRELUDE = 100
};

static struct loaded *loaded;
static const struct testsheet *sheet;

static int make(void **state)
{
    const struct load_request request = {.path = REVIEW};
    const struct testsheet_setting setting = {.most_tried = TRIED};

    (void)state;
    loaded = load_run(&request);
    if (loaded->model != NULL)
        sheet = testsheet_study(loaded->arena, loaded->model, &setting,
                                loaded->diags);
    return sheet == NULL || sheet->internal_error != NULL;
}

static int release(void **state)
{
    (void)state;
    loaded_free(loaded);
    return 0;
}

static unsigned count(enum obligation_kind kind, enum obligation_state state)
{
    unsigned n = 0;

    for (uint32_t i = 0; i < sheet->obligations.n_watched; i++)
        n += sheet->obligations.at[i].kind == kind &&
             sheet->obligations.at[i].state == state;
    return n;
}

/* Lines 228 and 234, and R26 and R33 in part, need a hand within the 0.3 s of a
 * movement that is watched; parts of R1, R7, R26, R27, R41, R48 and what R62 to
 * R65 ask of switches need a fault, and one needs power to go. */
static void what_is_reached(void **state)
{
    (void)state;
    assert_int_equal(sheet->end, EXPLORE_COMPLETE);
    assert_true(sheet->from_power_up);
    assert_in_range(count(OBLIGATION_TRIGGER, OBLIGATION_BY_HAND), 65, 100);
    assert_in_range(count(OBLIGATION_BRANCH, OBLIGATION_BY_HAND), 47, 64);
    assert_int_equal(count(OBLIGATION_TRIGGER, OBLIGATION_FAULT), 18);
    assert_int_equal(count(OBLIGATION_TRIGGER, OBLIGATION_POWER), 1);
    assert_int_equal(count(OBLIGATION_TRIGGER, OBLIGATION_NOT_KNOWN), 0);
    assert_in_range(sheet->n_pairs, 20, 1000);
}

/* Of the pairs of decisions on which movements depend. */
static unsigned count_pairs(enum obligation_state state)
{
    const struct decisions *all = sheet->model->decisions;
    unsigned n = 0;

    for (uint32_t i = 0; i < all->n; i++)
        for (uint32_t k = 0; k < all->at[i].n_pairs; k++)
            n += obligations_pair(&sheet->obligations, &all->at[i],
                                  &all->at[i].pairs[k]) == state;
    return n;
}

/* With fewer steps than usual fewer are found by hand; what cannot occur does
 * not depend on steps. */
static void what_is_decided(void **state)
{
    (void)state;
    assert_in_range(count_pairs(OBLIGATION_BY_HAND), 120, 220);
    assert_int_equal(count_pairs(OBLIGATION_FAULT), 10);
    assert_int_equal(count_pairs(OBLIGATION_NEVER), 37);
    assert_int_equal(count_pairs(OBLIGATION_NOT_KNOWN), 0);
    assert_int_equal(count_pairs(OBLIGATION_OPEN), 0);
}

/* Does a machine with this text fail a step, with the machine standing as
 * often as it may? */
static bool fails_from(struct machine *machine, uint32_t number,
                       uint32_t start)
{
    const struct hand_sequence *sequence = &sheet->sequences[number];
    struct arena *arena = arena_new();
    const struct handplay_answers answers = {
        .start = start, .lively = sheet->lively[number]};
    struct handplay played = handplay_run(arena, machine, sequence,
                                          &sheet->obligations, &answers);
    bool failed = start == sheet->start[number] &&
                  played.end != HANDPLAY_DONE;

    for (uint32_t i = 0; i < played.n_steps; i++)
        failed = failed || played.steps[i].wrong != MODEL_NONE;
    arena_free(arena);
    return failed;
}

static bool fails(const char *control)
{
    const struct load_request request = {.path = REVIEW, .control = control};
    struct loaded *wrong = load_run(&request);
    struct machine *machine;
    bool failed = false;

    assert_non_null(wrong->model);
    machine = machine_new(wrong->arena, wrong->model);
    for (uint32_t i = 0; i < sheet->n_sequences && !failed; i++) {
        failed = fails_from(machine, i, sheet->start[i]);
        for (uint32_t s = 0; s < STARTS && !failed; s++)
            failed = fails_from(machine, i, s);
    }
    loaded_free(wrong);
    return failed;
}

static void the_right_text_passes(void **state)
{
    (void)state;
    assert_false(fails(NULL));
}

/* Listed or not, of which some are looked at; all with TEST_WHOLE.  They are
 * where fewer steps than usual are looked for, too. */
static const char *const sample[] = {
    "one_hand_closes.st", "raising_locked_out.st", "rescue_closes.st",
    "reset_remembers_the_press.st", "lag_too_long.st",
    "one_footboard_contact.st",
};

static bool is_looked_at(const char *path)
{
#ifdef TEST_WHOLE
    (void)path;
    return true;
#else
    for (size_t i = 0; i < sizeof sample / sizeof *sample; i++)
        if (strcmp(strrchr(path, '/') + 1, sample[i]) == 0)
            return true;
    return false;
#endif
}

/* Either it fails a step, or NOT_BY_HAND says why not. */
static void wrong_texts_fail(void **state)
{
    FILE *list = popen("ls " CHANGES "*.st", "r");
    struct not_by_hand not_by_hand;
    char path[256];
    size_t n = 0;

    (void)state;
    assert_non_null(list);
    not_by_hand_read(CHANGES, &not_by_hand);
    while (fgets(path, sizeof path, list) != NULL) {
        path[strcspn(path, "\n")] = '\0';
        if (!is_looked_at(path))
            continue;
        n++;
        if (fails(path) == not_by_hand_has(&not_by_hand, path))
            fail_msg("%s", path);
    }
    pclose(list);
    assert_in_range(n, sizeof sample / sizeof *sample, 1000);
}

/* The supply goes off and on before each sequence, and anything may have been
 * going on before. */
static void steps_are_right_whatever_went_before(void **state)
{
    unsigned ended = 0, on = 0;

    (void)state;
    for (uint32_t i = 0; i < sheet->n_sequences; i++) {
        const struct sheet_plays plays = {1 + i, PLAYS, PRELUDE};
        const struct sheet_played played = sheet_play(sheet, i, &plays);

        assert_int_equal(played.wrong, 0);
        assert_int_equal(played.errors, 0);
        ended += played.ended;
        for (uint32_t k = 0; k < sheet->sequences[i].n_steps; k++)
            for (uint32_t a = 0; a < sheet->model->n_actuators; a++) {
                const struct hand_expected *expected =
                    &sheet->sequences[i].steps[k].expected[a];

                on += expected->sure && expected->value != 0;
            }
    }
    print_message("%u plays to the end, of %u sequences; %u times something "
                  "is said to be on\n", ended, (unsigned)sheet->n_sequences,
                  on);
    assert_in_range(ended, sheet->n_sequences, 100000);
    assert_in_range(on, 100, 100000);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_is_reached),
        cmocka_unit_test(what_is_decided),
        cmocka_unit_test(the_right_text_passes),
        cmocka_unit_test(wrong_texts_fail),
        cmocka_unit_test(steps_are_right_whatever_went_before),
    };

    return cmocka_run_group_tests(tests, make, release);
}
