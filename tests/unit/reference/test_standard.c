/* The standard blocks against their published behaviour.
 *
 * Source: behaviour of IEC 61131-3 standard blocks as described in public
 * timing diagrams.  PT = 0, where such diagrams are silent or differ: Q in
 * the same call, as docs/notes/step.md says. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include <string.h>

#include "reference/standard.h"

static const struct maker plain = {0};

/* One character per call, a call per scan of 100 ms: IN, expected Q, and ET
 * in scans. */
struct diagram {
    const char *title;
    enum code_standard block;
    int64_t pt;
    const char *in, *q, *et;
};

static const struct diagram timers[] = {
    {"TON: Q when IN was TRUE for PT, FALSE at once with IN",
     STANDARD_TON, 300, "0111111010", "0000111000", "0012333000"},
    {"TON: IN falls before PT, Q is never set",
     STANDARD_TON, 300, "1110111010", "0000000000", "0120012000"},
    {"TON: PT between two scans, at the first call that has reached it",
     STANDARD_TON, 250, "111111", "000111", "012222"},
    {"TON: PT = 0, Q in the same call",
     STANDARD_TON, 0, "01101", "01101", "00000"},
    {"TON: PT below zero counts as zero",
     STANDARD_TON, -100, "0110", "0110", "0000"},
    {"TOF: Q stays for PT after IN, ET stays at PT",
     STANDARD_TOF, 300, "0110000010", "0111110011", "0000123300"},
    {"TOF: before the first IN TRUE, Q is FALSE and nothing runs",
     STANDARD_TOF, 300, "000000", "000000", "000000"},
    {"TOF: IN again before PT, Q stays, ET back to 0",
     STANDARD_TOF, 300, "1001000000", "1111111000", "0010012333"},
    {"TOF: PT = 0, Q falls with IN",
     STANDARD_TOF, 0, "0110100", "0110100", "0000000"},
    {"TP: a pulse of PT, then ET stays while IN stays, 0 after",
     STANDARD_TP, 300, "0111111001", "0111000001", "0012333000"},
    {"TP: edges and falls during the pulse are ignored",
     STANDARD_TP, 300, "1010000100", "1110000111", "0120000012"},
    {"TP: IN FALSE at the end, ET 0 at once, ready for the next edge",
     STANDARD_TP, 300, "1000100", "1110111", "0120012"},
    {"TP: IN rises during the pulse and stays: no second pulse",
     STANDARD_TP, 300, "10111110", "11100000", "01233330"},
    {"TP: PT = 0, no pulse is seen",
     STANDARD_TP, 0, "01101", "00000", "00000"},
};

static int64_t in_scans(int64_t ms)
{
    return ms / 100;
}

static void play_timer(const struct diagram *diagram)
{
    int64_t frame[TIMER_SIZE] = {0};

    for (size_t i = 0; diagram->in[i]; i++) {
        if (i > 0)
            standard_grow(frame, &(const struct maker){.elapsed = 100, .most = 10000});
        frame[TIMER_IN] = diagram->in[i] == '1';
        frame[TIMER_PT] = diagram->pt;
        standard_call(diagram->block, frame, &plain);
        if (frame[TIMER_Q] != diagram->q[i] - '0' ||
            in_scans(frame[TIMER_ET]) != diagram->et[i] - '0')
            fail_msg("%s: call %zu gives Q %d, ET %d ms", diagram->title,
                     i + 1, (int)frame[TIMER_Q], (int)frame[TIMER_ET]);
    }
}

static void timers_follow_their_diagrams(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof timers / sizeof *timers; i++)
        play_timer(&timers[i]);
}

/* Called in the first and the fourth scan only: the age grew in between. */
static void a_timer_grows_where_it_is_not_called(void **state)
{
    int64_t frame[TIMER_SIZE] = {[TIMER_IN] = 1, [TIMER_PT] = 300};

    (void)state;
    standard_call(STANDARD_TON, frame, &plain);
    for (int i = 0; i < 3; i++)
        standard_grow(frame, &(const struct maker){.elapsed = 100, .most = 10000});
    assert_int_equal(frame[TIMER_Q], 0);
    assert_int_equal(frame[TIMER_ET], 0);
    standard_call(STANDARD_TON, frame, &plain);
    assert_int_equal(frame[TIMER_Q], 1);
    assert_int_equal(frame[TIMER_ET], 300);
}

static void pt_is_read_at_every_call(void **state)
{
    int64_t frame[TIMER_SIZE] = {[TIMER_IN] = 1, [TIMER_PT] = 100};

    (void)state;
    standard_call(STANDARD_TON, frame, &plain);
    standard_grow(frame, &(const struct maker){.elapsed = 100, .most = 10000});
    standard_call(STANDARD_TON, frame, &plain);
    assert_int_equal(frame[TIMER_Q], 1);
    frame[TIMER_PT] = 500;
    standard_call(STANDARD_TON, frame, &plain);
    assert_int_equal(frame[TIMER_Q], 1);
    assert_int_equal(frame[TIMER_ET], 100);
}

static void ages_saturate(void **state)
{
    int64_t frame[TIMER_SIZE] = {[TIMER_IN] = 1, [TIMER_PT] = 300};

    (void)state;
    standard_call(STANDARD_TON, frame, &plain);
    for (int i = 0; i < 50; i++)
        standard_grow(frame, &(const struct maker){.elapsed = 100, .most = 400});
    assert_int_equal(frame[TIMER_AGE], 400);
    frame[TIMER_RUNNING] = 0;
    frame[TIMER_AGE] = 0;
    standard_grow(frame, &(const struct maker){.elapsed = 100, .most = 400});
    assert_int_equal(frame[TIMER_AGE], 0);
}

/* Edges and bistables: inputs a and b, expected Q. */
struct table {
    const char *title;
    enum code_standard block;
    const char *a, *b, *q;
};

static const struct table tables[] = {
    {"R_TRIG: one call after a rise", STANDARD_R_TRIG, "0110100", NULL,
     "0100100"},
    {"R_TRIG: CLK TRUE at the first call is a rise", STANDARD_R_TRIG, "1101",
     NULL, "1001"},
    {"F_TRIG: one call after a fall", STANDARD_F_TRIG, "1100100", NULL,
     "0010010"},
    {"F_TRIG: CLK FALSE at the first call is a fall", STANDARD_F_TRIG, "0001",
     NULL, "1000"},
    {"SR: set wins", STANDARD_SR, "01001100", "00010111", "01101100"},
    {"RS: reset wins", STANDARD_RS, "01001100", "00010110", "01101000"},
};

static void play_table(const struct table *table)
{
    int64_t frame[LATCH_SIZE] = {0};
    int q_at = table->b ? LATCH_Q1 : EDGE_Q;

    for (size_t i = 0; table->a[i]; i++) {
        frame[0] = table->a[i] == '1';
        if (table->b)
            frame[LATCH_R] = table->b[i] == '1';
        standard_call(table->block, frame, &plain);
        if (frame[q_at] != table->q[i] - '0')
            fail_msg("%s: call %zu gives %d", table->title, i + 1,
                     (int)frame[q_at]);
    }
}

static void edges_and_bistables(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof tables / sizeof *tables; i++)
        play_table(&tables[i]);
}

/* Counters: inputs up, down, reset, load per call, expected count and which
 * of QU and QD are on: '-' none, 'u', 'd', 'b' both.
 *
 * Source: IEC 61131-3, third edition, table 45, whose bodies the trade quotes
 * as: R over LD over counting; CU and CD together count nothing; the count
 * stops at the ends of its type; edges as R_TRIG finds them.  From memory. */
struct count {
    const char *title;
    enum code_standard block;
    int64_t pv, least, most;
    const char *up, *down, *reset, *load, *count, *outputs;
};

static const struct count counts[] = {
    {"CTU: counts edges, the first call with CU TRUE is one", STANDARD_CTU, 2,
     -9, 9, "1101101", "0000000", "0000000", "0000000", "1112223", "---uuuu"},
    {"CTU: R goes before an edge, and the edge is lost", STANDARD_CTU, 1, -9,
     9, "0111011", "0000000", "0110000", "0000000", "0000011", "-----uu"},
    {"CTU: stops at the end of the type", STANDARD_CTU, 9, -2, 2, "1010101",
     "0000000", "0000000", "0000000", "1122222", "-------"},
    {"CTU: PV 0 and below is reached at once", STANDARD_CTU, 0, -9, 9, "00",
     "00", "00", "00", "00", "uu"},
    {"CTD: Q where the count is 0 or below", STANDARD_CTD, 2, -9, 9,
     "0000000", "0010101", "0000000", "0100000", "0211009", "d---ddd"},
    {"CTUD: both at once count nothing", STANDARD_CTUD, 2, -9, 9, "0101010",
     "0101000", "0000000", "0000000", "0000011", "ddddd--"},
    {"CTUD: R over LD over counting", STANDARD_CTUD, 3, -9, 9, "0101010",
     "0000000", "0011000", "0110100", "0300344", "dudduuu"},
};

static char shown(const int64_t *frame)
{
    if (frame[COUNTER_QU])
        return frame[COUNTER_QD] ? 'b' : 'u';
    return frame[COUNTER_QD] ? 'd' : '-';
}

static void play_count(const struct count *count)
{
    const struct type type = {.kind = TYPE_INTEGER, .low = count->least,
                              .high = count->most};
    struct code_frame_var vars[COUNTER_SIZE];
    const struct code_pou pou = {.standard = count->block, .vars = vars};
    int64_t frame[COUNTER_SIZE] = {[COUNTER_PV] = count->pv};

    memset(vars, 0, sizeof vars);
    vars[COUNTER_CV].type = &type;
    for (size_t i = 0; count->up[i]; i++) {
        int64_t want = count->count[i] == '9' ? -1 : count->count[i] - '0';

        frame[COUNTER_CU] = count->up[i] == '1';
        frame[COUNTER_CD] = count->down[i] == '1';
        frame[COUNTER_R] = count->reset[i] == '1';
        frame[COUNTER_LD] = count->load[i] == '1';
        standard_count(&pou, frame, &plain);
        if (frame[COUNTER_CV] != want || shown(frame) != count->outputs[i])
            fail_msg("%s: call %zu gives %d, outputs %c", count->title,
                     i + 1, (int)frame[COUNTER_CV], shown(frame));
    }
}

static void counters_follow_their_tables(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof counts / sizeof *counts; i++)
        play_count(&counts[i]);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(timers_follow_their_diagrams),
        cmocka_unit_test(a_timer_grows_where_it_is_not_called),
        cmocka_unit_test(pt_is_read_at_every_call),
        cmocka_unit_test(ages_saturate),
        cmocka_unit_test(edges_and_bistables),
        cmocka_unit_test(counters_follow_their_tables),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
