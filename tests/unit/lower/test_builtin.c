/* Every standard block on scripted inputs, against tables worked out by hand
 * from docs/notes/step.md, section 4.  The model is built by hand: a program
 * that calls one block. */
#include "lower/builtin.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/arena.h"
#include "lower/lower.h"
#include "source/diag.h"
#include "tests/support/flat_run.h"

enum { IN, SECOND, BLOCK, SLOTS = BLOCK + TIMER_SIZE, SCAN = 100 };

static const struct type boolean = {
    .kind = TYPE_BOOL, .low = 0, .high = 1, .size = 1};
static const struct type duration = {
    .kind = TYPE_TIME, .low = -(INT64_C(1) << 53), .high = INT64_C(1) << 53,
    .size = 1};

static const int64_t no_yes[] = {0, 1};
static const int64_t presets[] = {-100, 0, 150, 300};

/* One program with one call of one block. */
struct bench {
    struct arena *arena;
    struct diags *diags;
    struct slot slots[SLOTS];
    struct choice choices[2];
    struct code_pou block, main;
    struct code_expr value[2];
    struct code_arg args[2];
    struct code_stmt call;
    struct program program;
    struct model model;
    struct lowered *lowered;
    struct flat_run *run;
};

static const struct type *type_at(bool timer, uint32_t offset)
{
    bool time = timer && (offset == TIMER_PT || offset == TIMER_ET ||
                          offset == TIMER_AGE);
    return time ? &duration : &boolean;
}

static void make_slots(struct bench *b, bool timer, uint32_t size)
{
    for (uint32_t i = 0; i < BLOCK + size; i++)
        b->slots[i] = (struct slot){
            .path = arena_printf(b->arena, "Main.t.%u", i), .type = &boolean,
            .home = SLOT_PROGRAM, .start = MODEL_NONE};
    for (uint32_t i = 0; i < size; i++)
        b->slots[BLOCK + i].type = type_at(timer, i);
    b->slots[BLOCK + TIMER_AGE].clock = timer;
    b->choices[0] = (struct choice){.kind = CHOICE_INPUT, .name = "in",
                                    .count = 2, .values = no_yes};
    b->choices[1] = b->choices[0];
    if (timer) {
        b->slots[SECOND].type = &duration;
        b->choices[1].values = presets;
        b->choices[1].count = 4;
    }
    for (uint32_t i = 0; i < 2; i++) {
        b->slots[i].driver = DRIVER_CHOICE;
        b->slots[i].driver_index = i;
    }
}

static void make_call(struct bench *b)
{
    for (uint32_t i = 0; i < 2; i++) {
        b->value[i] = (struct code_expr){
            .op = CODE_VARIABLE, .type = b->slots[i].type,
            .variable = {.base = CODE_LOCAL, .index = i}, .site = CODE_NO_SITE};
        b->args[i] = (struct code_arg){
            .kind = ARG_INPUT, .parameter = i, .value = &b->value[i],
            .target_type = b->slots[i].type, .site = CODE_NO_SITE};
    }
    b->call = (struct code_stmt){
        .kind = CODE_INVOKE, .pou = &b->block, .instance.index = BLOCK,
        .args = b->args, .n_args = 2, .site = CODE_NO_SITE};
}

static void make_model(struct bench *b, enum code_standard standard,
                       uint32_t size)
{
    b->block = (struct code_pou){.kind = POU_BLOCK, .standard = standard,
                                 .size = size};
    b->main = (struct code_pou){.kind = POU_PROGRAM, .size = BLOCK + size,
                                .body = &b->call, .n_body = 1};
    b->program = (struct program){.pou = &b->main};
    b->model = (struct model){
        .scan = SCAN, .slots = b->slots, .n_slots = BLOCK + size,
        .choices = b->choices, .n_choices = 2, .programs = &b->program,
        .n_programs = 1};
}

static void bench_init(struct bench *b, enum code_standard standard,
                       uint32_t size)
{
    memset(b, 0, sizeof *b);
    b->arena = arena_new();
    b->diags = diags_new(b->arena);
    make_slots(b, size == TIMER_SIZE, size);
    make_call(b);
    if (size == EDGE_SIZE && (standard == STANDARD_R_TRIG ||
                              standard == STANDARD_F_TRIG))
        b->call.n_args = 1;
    make_model(b, standard, size);
    b->lowered = lower_model(b->arena, &b->model, b->diags);
    assert_non_null(b->lowered);
    b->run = flat_run_new(b->arena, b->lowered->flat);
}

static void bench_release(struct bench *b)
{
    lowered_free(b->lowered);
    diags_free(b->diags);
    arena_free(b->arena);
}

static int64_t held(const struct bench *b, uint32_t offset)
{
    return b->run->node[b->lowered->slot_value[BLOCK + offset]];
}

static void give(struct bench *b, uint32_t in, uint32_t second)
{
    b->run->choice[0] = in;
    b->run->choice[1] = second;
    assert_true(flat_run_scan(b->run, true));
}

/* in, preset: one digit per scan; q the same; et in hundreds of ms, where
 * 'h' stands for 150. */
static void timer_goes(enum code_standard standard, const char *in,
                       const char *preset, const char *q, const char *et)
{
    struct bench b;
    bench_init(&b, standard, TIMER_SIZE);
    for (size_t i = 0; in[i]; i++) {
        give(&b, (uint32_t)(in[i] - '0'), (uint32_t)(preset[i] - '0'));
        int64_t want = et[i] == 'h' ? 150 : (et[i] - '0') * 100;
        assert_int_equal(held(&b, TIMER_Q), q[i] - '0');
        assert_int_equal(held(&b, TIMER_ET), want);
    }
    bench_release(&b);
}

static void on_delay(void **state)
{
    (void)state;
    timer_goes(STANDARD_TON, "0111110", "3333333", "0000110", "0012330");
    timer_goes(STANDARD_TON, "0111100", "2222222", "0001100", "001hh00");
    /* no time at all, and less than none */
    timer_goes(STANDARD_TON, "010011", "110001", "010011", "000000");
    /* interrupted: the age begins anew */
    timer_goes(STANDARD_TON, "110110", "333333", "000000", "010010");
    /* once reached it holds though PT grows */
    timer_goes(STANDARD_TON, "1111110", "2223333", "0011110", "01h3330");
    timer_goes(STANDARD_TON, "11110", "13333", "11110", "01230");
}

static void off_delay(void **state)
{
    (void)state;
    timer_goes(STANDARD_TOF, "0010000", "3333333", "0011110", "0000123");
    /* stays over until IN comes again */
    timer_goes(STANDARD_TOF, "100000100", "333333333", "111100111",
               "001233001");
    /* IN comes back before the end */
    timer_goes(STANDARD_TOF, "10010000", "33333333", "11111110",
               "00100123");
    timer_goes(STANDARD_TOF, "10", "11", "10", "00");
}

static void pulse(void **state)
{
    (void)state;
    timer_goes(STANDARD_TP, "0111111001", "3333333333", "0111000001",
               "0012333000");
    /* a second edge within the pulse does nothing */
    timer_goes(STANDARD_TP, "1010000", "3333333", "1110000", "0120000");
    timer_goes(STANDARD_TP, "1000010", "2222222", "1100011", "0100001");
    timer_goes(STANDARD_TP, "110", "111", "000", "000");
}

static void two_goes(enum code_standard standard, const char *first,
                     const char *second, const char *q)
{
    struct bench b;
    bool edge = standard == STANDARD_R_TRIG || standard == STANDARD_F_TRIG;
    bench_init(&b, standard, edge ? EDGE_SIZE : LATCH_SIZE);
    for (size_t i = 0; first[i]; i++) {
        give(&b, (uint32_t)(first[i] - '0'), (uint32_t)(second[i] - '0'));
        assert_int_equal(held(&b, edge ? EDGE_Q : LATCH_Q1), q[i] - '0');
    }
    bench_release(&b);
}

static void edges_and_latches(void **state)
{
    (void)state;
    two_goes(STANDARD_R_TRIG, "1100110", "0000000", "1000100");
    two_goes(STANDARD_F_TRIG, "0011001", "0000000", "1000100");
    two_goes(STANDARD_SR, "0101000", "0011010", "0101100");
    two_goes(STANDARD_RS, "0101000", "0011010", "0100000");
}

static const struct flat_cell *cell_at(const struct bench *b, uint32_t slot)
{
    const struct flat *flat = b->lowered->flat;
    for (uint32_t i = 0; i < flat->n_cells; i++)
        if (flat->cells[i].kind == PLACE_SLOT && flat->cells[i].index == slot)
            return &flat->cells[i];
    return NULL;
}

static void stored_in_whole_scans(void **state)
{
    struct bench b;
    (void)state;
    bench_init(&b, STANDARD_TON, TIMER_SIZE);
    const struct flat_cell *age = cell_at(&b, BLOCK + TIMER_AGE);
    assert_non_null(age);
    assert_int_equal(age->high, 300);
    assert_int_equal(age->unit, SCAN);
    const struct flat_cell *et = cell_at(&b, BLOCK + TIMER_ET);
    assert_non_null(et);
    assert_int_equal(et->unit, 50);
    assert_null(cell_at(&b, BLOCK + TIMER_DONE)); /* TON has no use for it */
    bench_release(&b);
}

static void without_bound(void **state)
{
    struct bench b;
    static const int64_t for_ever[] = {0, INT64_C(1) << 53};
    (void)state;
    bench_init(&b, STANDARD_TON, TIMER_SIZE);
    lowered_free(b.lowered);
    b.choices[1].values = for_ever;
    b.choices[1].count = 2;
    b.lowered = lower_model(b.arena, &b.model, b.diags);
    assert_null(b.lowered);
    assert_int_equal(diags_errors(b.diags), 1);
    const struct diag *diag = diags_at(b.diags, 0);
    assert_string_equal(diag->message,
                        "the time of timer \"Main.t\" has no largest value");
    bench_release(&b);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(on_delay),
        cmocka_unit_test(off_delay),
        cmocka_unit_test(pulse),
        cmocka_unit_test(edges_and_latches),
        cmocka_unit_test(stored_in_whole_scans),
        cmocka_unit_test(without_bound),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
