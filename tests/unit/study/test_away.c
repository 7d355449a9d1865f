/* What is too far away to be looked for, and counters that stand: verdicts of
 * small texts known by hand, and of random ones with and without. */
#include "study/away.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/arena.h"
#include "check/model.h"
#include "reference/replay.h"
#include "study/check.h"
#include "tests/support/text_model.h"

enum { SEEDS = 24 };

static const char head[] =
    "PROGRAM Main\n"
    "VAR\n"
    "  a AT %IX0.0 : BOOL; b AT %IX0.1 : BOOL;\n"
    "  q AT %QX0.0 : BOOL; r AT %QX0.1 : BOOL;\n"
    "  n, m : INT; starts, tenths : DINT; packs : CTU;\n"
    "END_VAR\n";

static const char review[] =
    "REVIEW Small 'invented'\n"
    "  CONTROL 'x.st';\n"
    "  SCAN T#100ms;\n"
    "  CONTROLS\n"
    "    a : BUTTON 'one'; b : BUTTON 'two';\n"
    "    q : MOTOR 'motor'; r : MOTOR 'other';\n"
    "  END_CONTROLS\n"
    "%s"
    "  REQUIREMENTS\n%s"
    "  END_REQUIREMENTS\n"
    "END_REVIEW\n";

static const char recorder[] =
    "  RECORDER Cycles\n"
    "    VAR n : DINT; END_VAR\n"
    "    IF q THEN n := n + 1; END_IF\n"
    "  END_RECORDER\n";

struct asked {
    struct text_model text;
    struct arena *arena;
    const struct findings *found;
};

static void ask(struct asked *asked, const char *body,
                const char *requirements, const struct study_setting *setting)
{
    char control[2048], whole[2048];

    snprintf(control, sizeof control, "%s%sEND_PROGRAM\n", head, body);
    snprintf(whole, sizeof whole, review,
             strstr(requirements, "Cycles.") != NULL ? recorder : "",
             requirements);
    text_model_init(&asked->text, control, whole, false);
    assert_non_null(asked->text.model);
    asked->arena = arena_new();
    asked->found = check_model(asked->arena, asked->text.model, setting,
                               asked->text.diags);
    if (asked->found->internal_error != NULL)
        fail_msg("%s:\n%s", asked->found->internal_error, control);
}

static void release(struct asked *asked)
{
    arena_free(asked->arena);
    text_model_release(&asked->text);
}

static const struct study_setting quick = {.quick = true};

/* ---- by hand ---- */

/* No edge in the first scan; counted at most every other scan, and the bound
 * takes every scan. */
static void far_error_and_what_is_kept(void **state)
{
    struct asked asked;

    (void)state;
    ask(&asked, "IF a THEN starts := starts + 1; END_IF\n"
                "q := a AND NOT b;\n",
        "R1 'x' : NEVER q AND b;\n"
        "R2 'x' : NEVER q;\n"
        "R3 'x' : POSSIBLE q;\n"
        "R4 'x' : ALWAYS POSSIBLE AGAIN NOT q;\n", &quick);
    assert_int_equal(asked.found->n_errors, 1);
    assert_int_equal(asked.found->errors[0].verdict, VERDICT_NOT_FINISHED);
    assert_int_equal(asked.found->errors[0].stop, STOP_AWAY);
    /* Scan k makes k at most; 2,147,483,647 fits. */
    assert_int_equal(asked.found->errors[0].away, 2147483647);
    assert_int_equal(asked.found->requirements[0].verdict, VERDICT_KEPT);
    assert_int_equal(asked.found->requirements[1].verdict, VERDICT_BROKEN);
    assert_int_equal(asked.found->requirements[2].verdict, VERDICT_KEPT);
    assert_int_equal(asked.found->requirements[3].verdict, VERDICT_KEPT);
    assert_int_equal(findings_exit_code(asked.found), 1);
    release(&asked);
    ask(&asked, "IF a THEN starts := starts + 1; END_IF\n"
                "q := a AND NOT b;\n", "R1 'x' : NEVER q AND b;\n", &quick);
    assert_int_equal(findings_nearest_away(asked.found), 0);
    assert_int_equal(findings_exit_code(asked.found), 3);
    release(&asked);
}

/* Milliseconds added up: 21,474,836 times 100 fits a DINT.  The bound may be
 * too small, and here it is by one scan: the counter is cut where the error
 * looks at it. */
static void nearest_of_two(void **state)
{
    struct asked asked;

    (void)state;
    ask(&asked, "starts := starts + 1; tenths := tenths + 100;\n"
                "IF a THEN starts := 0; END_IF\nq := a;\n",
        "R1 'x' : NEVER q AND NOT a;\n", &quick);
    assert_int_equal(asked.found->n_errors, 2);
    assert_int_equal(findings_nearest_away(asked.found), 1);
    assert_int_equal(asked.found->errors[0].away, 2147483647);
    assert_in_range(asked.found->errors[1].away, 21474835, 21474836);
    release(&asked);
}

static void bounded_it_is_excluded(void **state)
{
    static const char *const bodies[] = {
        "IF a AND starts < 30000 THEN starts := starts + 1; END_IF\n",
        "IF a THEN starts := starts + 1; END_IF\n"
        "IF starts >= 5000000 THEN starts := 0; END_IF\n",
        "IF NOT b THEN IF starts <= 2000000000 THEN starts := starts + 7;\n"
        "END_IF END_IF\n",
        "packs(CU := a, R := b, PV := 1000);\n",
    };

    (void)state;
    for (unsigned i = 0; i < sizeof bodies / sizeof *bodies; i++) {
        struct asked asked;
        char body[512];

        snprintf(body, sizeof body, "%sq := a AND NOT b;\n", bodies[i]);
        ask(&asked, body, "R1 'x' : NEVER q AND b;\n", &quick);
        assert_int_equal(asked.found->n_errors, 0);
        assert_int_equal(asked.found->requirements[0].verdict, VERDICT_KEPT);
        assert_int_equal(findings_exit_code(asked.found), 0);
        release(&asked);
    }
}

/* Near ones are walked to as ever. */
static void a_near_error_is_reached(void **state)
{
    struct asked asked;

    (void)state;
    ask(&asked, "IF a THEN starts := starts + 21474837; END_IF\nq := a;\n",
        "R1 'x' : NEVER q AND NOT a;\n", &quick);
    assert_int_equal(asked.found->errors[0].verdict, VERDICT_BROKEN);
    /* 100 times 21,474,837 is 2,147,483,700: too much. */
    assert_int_equal(asked.found->errors[0].sequence->n_scans, 100);
    assert_int_equal(asked.found->requirements[0].stop, STOP_ERROR);
    release(&asked);
}

static void a_far_breach_is_not_looked_for(void **state)
{
    struct asked asked;

    (void)state;
    ask(&asked, "IF a THEN starts := starts + 1; END_IF\nq := a;\n",
        "R1 'x' : NEVER Main.starts > 1000000000;\n"
        "R2 'x' : NEVER Main.starts > 9;\n", &quick);
    assert_int_equal(asked.found->requirements[0].verdict,
                     VERDICT_NOT_FINISHED);
    assert_int_equal(asked.found->requirements[0].stop, STOP_AWAY);
    assert_int_equal(asked.found->requirements[0].away, 1000000000);
    assert_int_equal(asked.found->requirements[1].verdict, VERDICT_BROKEN);
    assert_int_equal(asked.found->requirements[1].sequence->n_scans, 10);
    release(&asked);
}

/* Compared with 12 only, the counter has 13 values: 0 .. 12. */
static void counters_stand(void **state)
{
    struct study_setting whole = {.quick = true, .whole = true,
                                  .most_situations = 20000};
    static const char body[] =
        "IF a AND NOT q THEN starts := starts + 1; END_IF\n"
        "q := a; r := starts >= 12;\n";
    static const char asks[] = "R1 'x' : NEVER previous r AND NOT r;\n";
    struct asked asked;

    (void)state;
    ask(&asked, body, asks, &quick);
    assert_int_equal(asked.found->requirements[0].verdict, VERDICT_KEPT);
    assert_int_equal(asked.found->requirements[0].coverage.counters_cut, 1);
    /* Per number below and at 12: q and not q, but 0 only without q; at 12
     * once more: r may be new. */
    assert_true(asked.found->requirements[0].coverage.situations <= 30);
    release(&asked);
    ask(&asked, body, asks, &whole);
    assert_int_equal(asked.found->requirements[0].verdict,
                     VERDICT_NOT_FINISHED);
    assert_int_equal(asked.found->requirements[0].coverage.counters_cut, 0);
    release(&asked);
}

/* CTU: six parts are counted in 11 scans, the first in scan 1. */
static void packing_cycles(void **state)
{
    static const char body[] =
        "packs(CU := a, R := b, PV := 6); q := packs.Q;\n";
    struct asked asked;

    (void)state;
    ask(&asked, body,
        "R1 'x' : NEVER q;\n"
        "R2 'x' : ALWAYS POSSIBLE AGAIN NOT q;\n"
        "R3 'x' : NEVER q AND PRESSED b;\n", &quick);
    assert_int_equal(asked.found->n_errors, 0);
    assert_int_equal(asked.found->requirements[0].verdict, VERDICT_BROKEN);
    assert_int_equal(asked.found->requirements[0].sequence->n_scans, 11);
    assert_int_equal(asked.found->requirements[1].verdict, VERDICT_KEPT);
    assert_int_equal(asked.found->requirements[1].coverage.counters_cut, 1);
    assert_int_equal(asked.found->requirements[2].verdict, VERDICT_KEPT);
    release(&asked);
}

/* A recorder's counter: with actuators at will, too, its own error is far
 * away, so that what is asked there ends. */
static void recorders_count(void **state)
{
    struct asked asked;

    (void)state;
    ask(&asked, "r := q; q := a AND NOT b;\n",
        "R1 'x' : r ONLY IF PREVIOUS q OR Cycles.n = 20;\n", &quick);
    assert_int_equal(asked.found->n_errors, 1);
    assert_int_equal(asked.found->errors[0].stop, STOP_AWAY);
    assert_int_equal(asked.found->requirements[0].verdict, VERDICT_KEPT);
    assert_int_equal(asked.found->requirements[0].part, PART_LOGIC);
    assert_int_equal(asked.found->requirements[0].coverage.counters_cut, 1);
    release(&asked);
}

/* ---- random ones ---- */

static uint32_t pick(uint64_t *seed, uint32_t n)
{
    *seed ^= *seed << 13;
    *seed ^= *seed >> 7;
    *seed ^= *seed << 17;
    return (uint32_t)(*seed >> 33) % n;
}

static void make_body(uint64_t *seed, char *out, size_t size)
{
    static const char *const sets[] = {
        "", "IF b AND r THEN n := 0; END_IF\n",
        "IF NOT a AND b THEN n := 2; END_IF\n",
        "IF n > 4 AND a AND b THEN n := 1; END_IF\n"};
    static const char *const counts[] = {
        "IF a THEN IF n < %u THEN n := n + %u; END_IF END_IF\n",
        "IF (a OR q) AND n < %u THEN n := n + %u; END_IF\n",
        "IF a AND NOT b THEN IF NOT (n >= %u) THEN n := n + %u; END_IF "
        "END_IF\n"};
    static const char *const results[] = {
        "q := n >= %u; r := n = %u AND m < 2;\n",
        "q := n + 1 > %u AND NOT b; r := n < %u OR a;\n",
        "r := NOT (n = %u); q := a AND n >= %u AND r;\n"};
    char counting[160], result[160];

    snprintf(counting, sizeof counting, counts[pick(seed, 3)],
             4200 + pick(seed, 300), 3 + pick(seed, 5));
    snprintf(result, sizeof result, results[pick(seed, 3)], pick(seed, 20),
             pick(seed, 20));
    snprintf(out, size, "%s%s%s%s", pick(seed, 2) ? sets[pick(seed, 4)] : "",
             counting, sets[pick(seed, 4)], result);
    if (pick(seed, 2))
        strcat(out, "IF q AND m < 3 THEN m := m + 1; END_IF\n");
}

static void same_sequence(const struct replay *x, const struct replay *y,
                          uint32_t n_choices)
{
    assert_int_equal(x == NULL, y == NULL);
    if (x == NULL)
        return;
    assert_int_equal(x->n_scans, y->n_scans);
    for (uint32_t i = 0; i < x->n_scans; i++)
        assert_memory_equal(x->scans[i].choices, y->scans[i].choices,
                            n_choices * sizeof *x->scans[i].choices);
}

static void same_with_and_without(void **state)
{
    static const char asks[] =
        "R1 'x' : NEVER q AND r;\n"
        "R2 'x' : NEVER previous q AND NOT q AND NOT b;\n"
        "R3 'x' : NEVER r AND NOT q AND a;\n"
        "R4 'x' : ALWAYS POSSIBLE AGAIN q;\n"
        "R5 'x' : POSSIBLE q AND r;\n";
    const struct study_setting whole = {.quick = true, .whole = true};
    unsigned cut = 0, kept = 0, broken = 0;

    (void)state;
    for (uint64_t seed = 1; seed <= SEEDS; seed++) {
        uint64_t at = seed * 0x9e3779b97f4a7c15u;
        struct asked a, b;
        char body[1024];

        make_body(&at, body, sizeof body);
        ask(&a, body, asks, &quick);
        ask(&b, body, asks, &whole);
        assert_int_equal(a.found->n_errors, 0);
        assert_int_equal(b.found->n_errors, 0);
        for (uint32_t i = 0; i < a.found->n_requirements; i++) {
            const struct requirement_finding *x = &a.found->requirements[i];
            const struct requirement_finding *y = &b.found->requirements[i];

            if (x->verdict != y->verdict || x->stop != y->stop)
                fail_msg("R%u: %u and %u of\n%s", i + 1, x->verdict,
                         y->verdict, body);
            same_sequence(x->sequence, y->sequence,
                          a.text.model->n_choices);
            cut += x->coverage.counters_cut;
            kept += x->verdict == VERDICT_KEPT;
            broken += x->verdict == VERDICT_BROKEN;
        }
        release(&a);
        release(&b);
    }
    print_message("%u cut, %u kept, %u broken\n", cut, kept, broken);
    assert_true(cut > SEEDS && kept > SEEDS / 2 && broken > SEEDS / 2);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(far_error_and_what_is_kept),
        cmocka_unit_test(nearest_of_two),
        cmocka_unit_test(bounded_it_is_excluded),
        cmocka_unit_test(a_near_error_is_reached),
        cmocka_unit_test(a_far_breach_is_not_looked_for),
        cmocka_unit_test(counters_stand),
        cmocka_unit_test(packing_cycles),
        cmocka_unit_test(recorders_count),
        cmocka_unit_test(same_with_and_without),
    };

    return cmocka_run_group_tests_name("away", tests, NULL, NULL);
}
