#include "reference/standard.h"

#include "base/ensure.h"

static int64_t least(int64_t a, int64_t b)
{
    return a < b ? a : b;
}

/* A timer in one call. */
struct timer {
    int64_t *f;
    const struct maker *maker;
    bool starts;
};

/* A PT below zero counts as zero. */
static int64_t preset(const struct timer *t)
{
    int64_t pt = t->f[t->maker->latched ? TIMER_HELD : TIMER_PT];

    return pt > 0 ? pt : 0;
}

static bool over(const struct timer *t)
{
    return t->f[TIMER_AGE] >= preset(t) &&
           !(t->starts && t->maker->next_call);
}

/* TON and TOF are over: the time that is shown may stop there. */
static void stop(struct timer *t)
{
    if (t->maker->shown == ELAPSED_OVERSHOOT)
        t->f[TIMER_DONE] = 1;
}

static int64_t shown(const struct timer *t)
{
    if (t->maker->shown == ELAPSED_PRESET)
        return least(t->f[TIMER_AGE], preset(t));
    return t->f[TIMER_AGE];
}

static void start(struct timer *t)
{
    if (t->f[TIMER_RUNNING])
        return;
    t->starts = true;
    t->f[TIMER_RUNNING] = 1;
    t->f[TIMER_AGE] = 0;
    if (t->maker->latched)
        t->f[TIMER_HELD] = t->f[TIMER_PT] > 0 ? t->f[TIMER_PT] : 0;
}

static void call_ton(struct timer *t)
{
    int64_t *f = t->f;

    if (!f[TIMER_IN]) {
        f[TIMER_Q] = f[TIMER_ET] = f[TIMER_AGE] = 0;
        f[TIMER_RUNNING] = f[TIMER_DONE] = 0;
        return;
    }
    start(t);
    f[TIMER_Q] = f[TIMER_Q] || over(t);
    f[TIMER_ET] = shown(t);
    if (f[TIMER_Q])
        stop(t);
}

/* TIMER_M: IN was TRUE at some call, there is something to switch off. */
static void call_tof(struct timer *t)
{
    int64_t *f = t->f;

    if (f[TIMER_IN]) {
        f[TIMER_Q] = f[TIMER_M] = 1;
        f[TIMER_ET] = f[TIMER_AGE] = 0;
        f[TIMER_RUNNING] = f[TIMER_DONE] = 0;
    } else if (f[TIMER_M]) {
        start(t);
        f[TIMER_ET] = shown(t);
        if (over(t)) {
            f[TIMER_Q] = 0;
            stop(t);
        }
    }
}

/* TIMER_M: last IN. */
static void call_tp(struct timer *t)
{
    int64_t *f = t->f;

    if (!f[TIMER_RUNNING] && f[TIMER_IN] && !f[TIMER_M] && !f[TIMER_DONE]) {
        start(t);
        f[TIMER_Q] = 1;
    }
    if (f[TIMER_RUNNING]) {
        f[TIMER_ET] = shown(t);
        if (over(t)) {
            f[TIMER_RUNNING] = f[TIMER_Q] = 0;
            f[TIMER_DONE] = 1;
        }
    } else if (f[TIMER_DONE] && t->maker->shown == ELAPSED_ENDLESS) {
        f[TIMER_ET] = shown(t);
    }
    if (f[TIMER_DONE] && !f[TIMER_IN])
        f[TIMER_DONE] = f[TIMER_ET] = f[TIMER_AGE] = 0;
    f[TIMER_M] = f[TIMER_IN];
}

static void call_timer(enum code_standard which, int64_t *f,
                       const struct maker *maker)
{
    struct timer t = {.f = f, .maker = maker};

    if (maker->called)
        standard_grow(f, maker);
    if (which == STANDARD_TON)
        call_ton(&t);
    else if (which == STANDARD_TOF)
        call_tof(&t);
    else
        call_tp(&t);
}

/* Edges, at every call.  Where the first call is to be silent, the memory
 * begins as if the input had been there: it then holds the reverse. */
static bool rises(int64_t *memory, int64_t input, bool silent)
{
    bool was = (*memory != 0) != silent;

    *memory = (input != 0) != silent;
    return input && !was;
}

static void call_latch(int64_t *f, bool set_wins)
{
    if (set_wins)
        f[LATCH_Q1] = f[LATCH_S] || (!f[LATCH_R] && f[LATCH_Q1]);
    else
        f[LATCH_Q1] = !f[LATCH_R] && (f[LATCH_S] || f[LATCH_Q1]);
}

void standard_call(enum code_standard which, int64_t *f,
                   const struct maker *maker)
{
    switch (which) {
    case STANDARD_TON:
    case STANDARD_TOF:
    case STANDARD_TP:
        call_timer(which, f, maker);
        break;
    case STANDARD_R_TRIG:
        f[EDGE_Q] = rises(&f[EDGE_M], f[EDGE_CLK], maker->silent_rise);
        break;
    case STANDARD_F_TRIG:
        f[EDGE_Q] = rises(&f[EDGE_M], !f[EDGE_CLK], maker->silent_fall);
        break;
    default:
        ENSURE(which == STANDARD_SR || which == STANDARD_RS);
        call_latch(f, (which == STANDARD_SR) != maker->swapped);
        break;
    }
}

void standard_count(const struct code_pou *pou, int64_t *f,
                    const struct maker *maker)
{
    const struct type *type = pou->vars[COUNTER_CV].type;
    bool up = rises(&f[COUNTER_MU], f[COUNTER_CU], maker->silent_rise);
    bool down = rises(&f[COUNTER_MD], f[COUNTER_CD], maker->silent_rise);

    if (f[COUNTER_R])
        f[COUNTER_CV] = 0;
    else if (f[COUNTER_LD])
        f[COUNTER_CV] = f[COUNTER_PV];
    else if (up && !down && f[COUNTER_CV] < type->high &&
             !(maker->up_to_preset && f[COUNTER_CV] >= f[COUNTER_PV]))
        f[COUNTER_CV]++;
    else if (down && !up && f[COUNTER_CV] > type->low)
        f[COUNTER_CV]--;
    if (pou->standard != STANDARD_CTD)
        f[COUNTER_QU] = f[COUNTER_CV] >= f[COUNTER_PV];
    if (pou->standard != STANDARD_CTU)
        f[COUNTER_QD] = f[COUNTER_CV] <= 0;
}

static bool goes_on(const int64_t *f, const struct maker *maker)
{
    if (f[TIMER_DONE] && maker->shown == ELAPSED_OVERSHOOT)
        return false;
    return f[TIMER_RUNNING] ||
           (f[TIMER_DONE] && maker->shown == ELAPSED_ENDLESS);
}

void standard_grow(int64_t *f, const struct maker *maker)
{
    if (goes_on(f, maker))
        f[TIMER_AGE] = f[TIMER_AGE] > maker->most - maker->elapsed
                           ? maker->most
                           : f[TIMER_AGE] + maker->elapsed;
}
