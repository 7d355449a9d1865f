#include "reference/standard.h"

#include "base/ensure.h"

static int64_t least(int64_t a, int64_t b)
{
    return a < b ? a : b;
}

/* A PT below zero counts as zero. */
static int64_t preset(const int64_t *f)
{
    return f[TIMER_PT] > 0 ? f[TIMER_PT] : 0;
}

static void start(int64_t *f)
{
    if (f[TIMER_RUNNING])
        return;
    f[TIMER_RUNNING] = 1;
    f[TIMER_AGE] = 0;
}

static void call_ton(int64_t *f)
{
    if (!f[TIMER_IN]) {
        f[TIMER_Q] = f[TIMER_ET] = f[TIMER_AGE] = f[TIMER_RUNNING] = 0;
        return;
    }
    start(f);
    f[TIMER_Q] = f[TIMER_Q] || f[TIMER_AGE] >= preset(f);
    f[TIMER_ET] = least(f[TIMER_AGE], preset(f));
}

/* TIMER_M: IN was TRUE at some call, there is something to switch off. */
static void call_tof(int64_t *f)
{
    if (f[TIMER_IN]) {
        f[TIMER_Q] = f[TIMER_M] = 1;
        f[TIMER_ET] = f[TIMER_AGE] = f[TIMER_RUNNING] = 0;
    } else if (f[TIMER_M]) {
        start(f);
        f[TIMER_ET] = least(f[TIMER_AGE], preset(f));
        if (f[TIMER_AGE] >= preset(f))
            f[TIMER_Q] = 0;
    }
}

/* TIMER_M: last IN. */
static void call_tp(int64_t *f)
{
    if (!f[TIMER_RUNNING] && f[TIMER_IN] && !f[TIMER_M] && !f[TIMER_DONE]) {
        start(f);
        f[TIMER_Q] = 1;
    }
    if (f[TIMER_RUNNING]) {
        f[TIMER_ET] = least(f[TIMER_AGE], preset(f));
        if (f[TIMER_AGE] >= preset(f)) {
            f[TIMER_RUNNING] = f[TIMER_Q] = 0;
            f[TIMER_DONE] = 1;
        }
    }
    if (f[TIMER_DONE] && !f[TIMER_IN])
        f[TIMER_DONE] = f[TIMER_ET] = f[TIMER_AGE] = 0;
    f[TIMER_M] = f[TIMER_IN];
}

void standard_call(enum code_standard which, int64_t *f)
{
    switch (which) {
    case STANDARD_TON:
        call_ton(f);
        break;
    case STANDARD_TOF:
        call_tof(f);
        break;
    case STANDARD_TP:
        call_tp(f);
        break;
    case STANDARD_R_TRIG:
        f[EDGE_Q] = f[EDGE_CLK] && !f[EDGE_M];
        f[EDGE_M] = f[EDGE_CLK];
        break;
    case STANDARD_F_TRIG:
        f[EDGE_Q] = !f[EDGE_CLK] && !f[EDGE_M];
        f[EDGE_M] = !f[EDGE_CLK];
        break;
    case STANDARD_SR:
        f[LATCH_Q1] = f[LATCH_S] || (!f[LATCH_R] && f[LATCH_Q1]);
        break;
    default:
        ENSURE(which == STANDARD_RS);
        f[LATCH_Q1] = !f[LATCH_R] && (f[LATCH_S] || f[LATCH_Q1]);
        break;
    }
}

/* Edges as R_TRIG finds them, at every call. */
static bool rises(int64_t *memory, int64_t input)
{
    bool was = *memory != 0;

    *memory = input;
    return input && !was;
}

void standard_count(const struct code_pou *pou, int64_t *f)
{
    const struct type *type = pou->vars[COUNTER_CV].type;
    bool up = rises(&f[COUNTER_MU], f[COUNTER_CU]);
    bool down = rises(&f[COUNTER_MD], f[COUNTER_CD]);

    if (f[COUNTER_R])
        f[COUNTER_CV] = 0;
    else if (f[COUNTER_LD])
        f[COUNTER_CV] = f[COUNTER_PV];
    else if (up && !down && f[COUNTER_CV] < type->high)
        f[COUNTER_CV]++;
    else if (down && !up && f[COUNTER_CV] > type->low)
        f[COUNTER_CV]--;
    if (pou->standard != STANDARD_CTD)
        f[COUNTER_QU] = f[COUNTER_CV] >= f[COUNTER_PV];
    if (pou->standard != STANDARD_CTU)
        f[COUNTER_QD] = f[COUNTER_CV] <= 0;
}

void standard_grow(int64_t *f, int64_t elapsed, int64_t most)
{
    if (f[TIMER_RUNNING])
        f[TIMER_AGE] = f[TIMER_AGE] > most - elapsed
                           ? most : f[TIMER_AGE] + elapsed;
}
