/* Test sheets of random machines against the reference interpreter, which has
 * no part in making them: whatever the machine answers, however late a hand
 * is and whatever went before, each step shows what it is said to show and
 * reaches what it is said to reach.
 *
 * Of some machines more than can be kept may have gone before: their sheets
 * begin with power that goes and returns. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "base/text.h"
#include "tests/support/checked.h"
#include "tests/support/random_review.h"
#include "tests/support/sheet_play.h"

#ifdef __SANITIZE_ADDRESS__
enum { SEEDS = 15, PLAYS = 3 };
#elif defined TEST_WHOLE
enum { SEEDS = 400, PLAYS = 20 };
#else
enum { SEEDS = 26, PLAYS = 8 };
#endif

enum { PRELUDE = 60, TRIED = 60 };

struct tally {
    unsigned sheets, from_power_up, plays, steps, sure, on;
};

/* Two counters of presses, so that no more than a part of what can be reached
 * is kept.  A loss of power clears them: where it did not go behind many
 * presses, z is the contrary of what a sheet from power-up says.  And something
 * that outlives it. */
static void add_counters(struct text *control)
{
    static const char variables[] = "VAR mode : Mode;";
    static const char end[] = "END_PROGRAM";
    const char *all = text_str(control), *at = strstr(all, variables), *last;
    struct text made = {0};

    assert_non_null(at);
    last = strstr(at, end);
    assert_non_null(last);
    text_add_bytes(&made, all, (size_t)(at - all));
    text_add(&made, "VAR n1, n2 : INT (0 .. 300); a1, c1 : BOOL; END_VAR\n"
                    "VAR RETAIN last : BOOL; END_VAR\n");
    text_add_bytes(&made, at, (size_t)(last - at));
    text_printf(&made,
                "  IF a AND NOT a1 AND n1 < 300 THEN n1 := n1 + 1; END_IF;\n"
                "  IF c AND NOT c1 AND n2 < 300 THEN n2 := n2 + 1; END_IF;\n"
                "  a1 := a;\n  c1 := c;\n"
                "  IF n1 > 8 AND NOT (n1 = 300 AND n2 = 300) THEN "
                "z := NOT z; END_IF;\n"
                "  IF last THEN z := z AND b; END_IF;\n"
                "  last := a OR last AND NOT c;\n%s",
                last);
    text_clear(control);
    text_add(control, text_str(&made));
    text_release(&made);
}

static void count_sure(const struct testsheet *sheet, uint32_t number,
                       struct tally *tally)
{
    const struct hand_sequence *sequence = &sheet->sequences[number];

    for (uint32_t k = 0; k < sequence->n_steps; k++)
        for (uint32_t a = 0; a < sheet->model->n_actuators; a++) {
            const struct hand_expected *one = &sequence->steps[k].expected[a];

            tally->sure += one->sure;
            tally->on += one->sure && one->value != 0;
        }
}

/* A run-time error is not looked for here: what comes before it counts. */
static bool holds(const struct testsheet *sheet, uint64_t seed,
                  struct tally *tally)
{
    for (uint32_t i = 0; i < sheet->n_sequences; i++) {
        const struct sheet_plays plays = {seed + i, PLAYS, PRELUDE};
        const struct sheet_played played = sheet_play(sheet, i, &plays);

        if (played.wrong > 0)
            return false;
        tally->plays += played.ended;
        tally->steps += played.steps;
        count_sure(sheet, i, tally);
    }
    tally->sheets += sheet->n_sequences > 0;
    tally->from_power_up += sheet->n_sequences > 0 && sheet->from_power_up;
    return true;
}

static bool try_seed(uint64_t seed, struct tally *tally)
{
    const struct testsheet_setting setting = {.most_tried = TRIED};
    struct random_parts parts = {.every = seed % 7 == 2,
                                 .range = seed % 7 == 5};
    struct text control = {0}, review = {0};
    struct checked c;
    bool good = true;

    random_review(seed, &control, &review, &parts);
    if (seed % 12 == 0)
        add_counters(&control);
    checked_init(&c, text_str(&control), text_str(&review));
    if (c.model != NULL) {
        const struct testsheet *sheet =
            testsheet_study(c.arena, c.model, &setting, c.diags);

        if (sheet != NULL && sheet->internal_error != NULL) {
            print_message("%s\n", sheet->internal_error);
            good = false;
        } else if (sheet != NULL && sheet->end == EXPLORE_COMPLETE) {
            good = holds(sheet, seed, tally);
        }
    }
    if (!good)
        print_message("seed %u\n%s\n---\n%s\n", (unsigned)seed,
                      text_str(&control), text_str(&review));
    checked_release(&c);
    text_release(&control);
    text_release(&review);
    return good;
}

static void random_sheets_hold(void **state)
{
    struct tally tally = {0};

    (void)state;
    for (uint64_t seed = 1; seed <= SEEDS; seed++)
        assert_true(try_seed(seed, &tally));
    print_message("%u sheets, %u of them from power-up; %u plays to the end, "
                  "%u steps; %u times it is sure what is seen, %u times that "
                  "something is on\n", tally.sheets, tally.from_power_up,
                  tally.plays, tally.steps, tally.sure, tally.on);
    assert_true(tally.sheets >= SEEDS / 3);
    assert_true(tally.from_power_up > 0);
    assert_true(tally.on > 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(random_sheets_hold),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
