/* Unique-cause pairs of decisions (ISO/IEC/IEEE 29119-4; the definition from
 * memory: two evaluations that differ in one condition alone and in how the
 * decision comes out), against truth tables that are gone through here, and
 * against machines all of whose situations the reference interpreter
 * enumerates. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "base/arena.h"
#include "base/text.h"
#include "reference/naive.h"
#include "study/testsheet.h"
#include "tests/support/checked.h"

enum { MOST_STATES = 100000, MOST_HELD = 3 };

/* ---- truth tables ---- */

/* Inputs are bits of v: a 0, b 1, ... */
#define A (v & 1)
#define B (v >> 1 & 1)
#define C (v >> 2 & 1)
#define D (v >> 3 & 1)
#define E (v >> 4 & 1)
#define TABLE(name, value)                                                 \
    static bool name(unsigned v) { return value; }

TABLE(both, A && B)
TABLE(either, A || B)
TABLE(one, A != B)
TABLE(negated, !A)
TABLE(shared, (A && B) || (A && C))
TABLE(mixed, A && (B || C))
TABLE(against, !(A && !B) || (C && !A))
TABLE(equal, (A && B) == (C || D))
TABLE(idle, (A && !A) || B)
TABLE(five, (A || B) && C && !(D && E))
TABLE(constant, (A && B) || false)
TABLE(many, A && (B || (C && (D || E))))

static const struct {
    const char *text;
    unsigned inputs;
    bool (*value)(unsigned v);
    unsigned pairs; /* of all conditions, counted by hand */
} tables[] = {
    {"a AND b", 2, both, 2},
    {"a OR b", 2, either, 2},
    {"a XOR b", 2, one, 4},
    {"NOT a", 1, negated, 1},
    {"(a AND b) OR (a AND c)", 3, shared, 5},
    {"a AND (b OR c)", 3, mixed, 5},
    {"NOT (a AND NOT b) OR (c AND NOT a)", 3, against, 4},
    {"(a AND b) = (c OR d)", 4, equal, 16},
    {"(a AND NOT a) OR b", 2, idle, 2},
    {"(a OR b) AND c AND NOT (d AND e)", 5, five, 21},
    {"(a AND b) OR FALSE", 2, constant, 2},
    {"a AND (b OR (c AND (d OR e)))", 5, many, 21},
};

static void tell_machine(struct text *control, struct text *review,
                         const char *expression, unsigned inputs)
{
    text_add(control, "PROGRAM P\nVAR_INPUT\n");
    for (unsigned i = 0; i < inputs; i++)
        text_printf(control, "  %c AT %%IX0.%u : BOOL;\n", 'a' + i, i);
    text_printf(control, "END_VAR\nVAR_OUTPUT out AT %%QX0.0 : BOOL; "
                         "END_VAR\nout := %s;\nEND_PROGRAM\n", expression);
    text_add(review, "REVIEW R 'r'\n  SCAN T#100ms;\n  CONTROLS\n");
    for (unsigned i = 0; i < inputs; i++)
        text_printf(review, "    %c : BUTTON 'button %c';\n", 'a' + i,
                    'a' + i);
    text_add(review, "    out : MOTOR 'drive';\n  END_CONTROLS\n"
                     "END_REVIEW\n");
}

/* Which input a condition is. */
static unsigned input_of(const struct checked *c, const struct decision *d,
                         uint32_t condition)
{
    uint32_t slot = c->model->programs[0].frame +
                    d->conditions[condition]->variable.index;

    return (unsigned)(strrchr(c->model->slots[slot].path, '.')[1] - 'a');
}

/* The inputs of a vector. */
static unsigned inputs_of(const struct checked *c, const struct decision *d,
                          uint32_t row)
{
    unsigned v = 0;

    for (uint32_t i = 0; i < d->n_conditions; i++)
        v |= (d->vectors[row] >> i & 1) << input_of(c, d, i);
    return v;
}

/* Each pair that is listed is one of the table, once; with as many of them as
 * the table has that is all. */
static void same_pairs(const struct checked *c, const struct decision *d,
                       unsigned table)
{
    unsigned n = 0;

    for (unsigned i = 0; i < tables[table].inputs; i++)
        for (unsigned v = 0; v < 1u << tables[table].inputs; v++)
            n += !(v >> i & 1) && tables[table].value(v) !=
                                      tables[table].value(v | 1u << i);
    assert_int_equal(n, tables[table].pairs);
    assert_int_equal(d->n_pairs, n);
    for (uint32_t i = 0; i < d->n_pairs; i++) {
        unsigned off = inputs_of(c, d, d->pairs[i].row[0]);
        unsigned on = inputs_of(c, d, d->pairs[i].row[1]);

        assert_int_equal(off ^ on,
                         1u << input_of(c, d, d->pairs[i].condition));
        assert_true(on > off);
        assert_true(tables[table].value(on) != tables[table].value(off));
        for (uint32_t k = 0; k < i; k++)
            assert_true(d->pairs[k].row[0] != d->pairs[i].row[0] ||
                        d->pairs[k].row[1] != d->pairs[i].row[1]);
    }
}

static unsigned ones(unsigned v)
{
    return v == 0 ? 0 : (v & 1) + ones(v >> 1);
}

/* With each input a button of its own every vector is on the sheet for which
 * no more than three of them are held at once, and the reference interpreter
 * counts it. */
static void are_shown(const struct testsheet *sheet, const struct decision *d)
{
    for (uint32_t i = 0; i < d->n_pairs; i++)
        assert_int_equal(obligations_pair(&sheet->obligations, d,
                                          &d->pairs[i]),
                         ones(d->vectors[d->pairs[i].row[1]]) <= MOST_HELD
                             ? OBLIGATION_BY_HAND : OBLIGATION_TIMING);
    for (uint32_t row = 0; row < d->n_vectors; row++) {
        uint32_t number = sheet->obligations.first_vector + row;
        bool met = false;

        for (uint32_t s = 0; s < sheet->n_sequences; s++)
            for (uint32_t k = 0; k < sheet->played[s].n_steps; k++)
                met = met || sheet->played[s].steps[k].met[number];
        assert_true(met == (ones(d->vectors[row]) <= MOST_HELD));
    }
}

static void truth_tables(void **state)
{
    (void)state;
    for (unsigned i = 0; i < sizeof tables / sizeof *tables; i++) {
        const struct testsheet_setting setting = {0};
        struct text control = {0}, review = {0};
        const struct testsheet *sheet;
        struct checked c;

        tell_machine(&control, &review, tables[i].text, tables[i].inputs);
        checked_init(&c, text_str(&control), text_str(&review));
        assert_non_null(c.model);
        sheet = testsheet_study(c.arena, c.model, &setting, c.diags);
        assert_non_null(sheet);
        assert_null(sheet->internal_error);
        assert_int_equal(sheet->model->decisions->n, 1);
        same_pairs(&c, &sheet->model->decisions->at[0], i);
        are_shown(sheet, &sheet->model->decisions->at[0]);
        checked_release(&c);
        text_release(&control);
        text_release(&review);
    }
}

/* ---- which decisions there are ---- */

static const char roads[] =
    "FUNCTION Held : BOOL\n"
    "VAR_INPUT on : BOOL; off : BOOL; END_VAR\n"
    "Held := on AND NOT off;\n"                                   /* 1 */
    "END_FUNCTION\n"
    "FUNCTION_BLOCK Latch\n"
    "VAR_INPUT set : BOOL; END_VAR\n"
    "VAR_OUTPUT out : BOOL; END_VAR\n"
    "VAR phase : INT; late : TON; END_VAR\n"
    "late(IN := phase = 1 AND set, PT := T#300ms);\n"             /* 2 */
    "CASE phase OF\n"
    "0: IF set THEN phase := 1; END_IF;\n"                        /* 1 */
    "1: IF late.Q THEN phase := 0; END_IF;\n"                     /* 1 */
    "END_CASE;\n"
    "out := phase = 1;\n"                                         /* 1 */
    "END_FUNCTION_BLOCK\n"
    "PROGRAM P\n"
    "VAR_INPUT a AT %IX0.0 : BOOL; b AT %IX0.1 : BOOL; END_VAR\n"
    "VAR_OUTPUT out AT %QX0.0 : BOOL; lamp AT %QX0.1 : BOOL; END_VAR\n"
    "VAR latch : Latch; seen : BOOL; END_VAR\n"
    "lamp := a OR b;\n"                       /* nothing that moves */
    "seen := a XOR b;\n"                      /* the same */
    "latch(set := Held(a, b) OR NOT b);\n"                        /* 2 */
    "IF NOT latch.out THEN\n"                                     /* 1 */
    "  out := FALSE;\n"
    "  RETURN;\n"
    "END_IF;\n"
    "out := TRUE;\n"
    "END_PROGRAM\n";

static const char roads_review[] =
    "REVIEW R 'r'\n  SCAN T#100ms;\n  CONTROLS\n"
    "    a : BUTTON 'button a';\n    b : BUTTON 'button b';\n"
    "    out : VALVE 'valve';\n    lamp : LAMP 'lamp';\n"
    "  END_CONTROLS\nEND_REVIEW\n";

static void what_movement_depends_on(void **state)
{
    static const uint32_t conditions[] = {2, 2, 1, 1, 1, 2, 1};
    const struct decisions *all;
    struct checked c;

    (void)state;
    checked_init(&c, roads, roads_review);
    assert_non_null(c.model);
    all = decisions_of(c.arena, c.model);
    assert_int_equal(all->n, sizeof conditions / sizeof *conditions);
    for (uint32_t i = 0; i < all->n; i++)
        assert_int_equal(all->at[i].n_conditions, conditions[i]);
    checked_release(&c);
}

/* ---- machines whose inputs are tied ---- */

static const struct {
    const char *what, *control, *review;
    unsigned by_hand, fault, never; /* pairs, by what is possible */
} machines[] = {
    {"two contacts of one button never agree without a fault",
     "out := p AND NOT q;",
     "a : BUTTON 'a' CONTACTS p CLOSING, q OPENING;",
     0, 2, 0},
    {"a latch, and what it is set by",
     "IF p AND NOT q THEN kept := TRUE; END_IF; out := kept AND NOT q;",
     "p : BUTTON 'p'; q : SWITCH 'q';",
     3, 0, 0}, /* before the first press, which nobody can tell: the fourth */
    {"a condition that says the same as another one",
     "other := NOT q; out := (p OR q) AND other;",
     "p : BUTTON 'p'; q : SWITCH 'q';",
     2, 0, 4}, /* p without q, and q for `other`; q is never TRUE while
                   `other` is, nor both FALSE */
};

static void tell_tied(struct text *control, struct text *review, size_t i)
{
    text_printf(control,
                "PROGRAM P\nVAR_INPUT p AT %%IX0.0 : BOOL; "
                "q AT %%IX0.1 : BOOL; END_VAR\n"
                "VAR_OUTPUT out AT %%QX0.0 : BOOL; END_VAR\n"
                "VAR kept : BOOL; other : BOOL; END_VAR\n%s\nEND_PROGRAM\n",
                machines[i].control);
    text_printf(review,
                "REVIEW R 'r'\n  SCAN T#100ms;\n  CONTROLS\n    %s\n"
                "    out : MOTOR 'drive';\n  END_CONTROLS\n"
                "  FAULTS\n    F1 : p DOES NOT OPEN;\n"
                "    F2 : q DOES NOT OPEN;\n"
                "    F3 : p DOES NOT CLOSE;\n  END_FAULTS\n"
                "END_REVIEW\n", machines[i].review);
}

static const bool *enumerate(struct arena *arena, const struct model *model,
                             uint32_t faults)
{
    const struct naive_setting setting = {
        .step = {.fault_limit = faults}, .requirement = MODEL_NONE,
        .most_states = MOST_STATES};
    const struct naive_result *result =
        naive_explore(arena, machine_new(arena, model), &setting);

    assert_true(result->complete);
    return result->vector;
}

/* Hands are as fast as they like there, so that what needs timing or not is
 * for the sheet to say. */
static void same_reasons(const struct testsheet *sheet, struct arena *arena)
{
    const struct decisions *all = sheet->model->decisions;
    const bool *sound = enumerate(arena, sheet->model, 0);
    const bool *broken = enumerate(arena, sheet->model, 1);

    for (uint32_t i = 0; i < all->n_vectors; i++) {
        enum obligation_state found =
            sheet->obligations.at[sheet->obligations.first_vector + i].state;

        if (sound[i])
            assert_in_range(found, OBLIGATION_BY_HAND, OBLIGATION_ELSEWHERE);
        else
            assert_int_equal(found, broken[i] ? OBLIGATION_FAULT
                                              : OBLIGATION_NEVER);
    }
}

static void count_pairs(const struct testsheet *sheet, unsigned *states)
{
    const struct decisions *all = sheet->model->decisions;

    for (uint32_t i = 0; i < all->n; i++)
        for (uint32_t k = 0; k < all->at[i].n_pairs; k++)
            states[obligations_pair(&sheet->obligations, &all->at[i],
                                    &all->at[i].pairs[k])]++;
}

static void tied_inputs(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof machines / sizeof *machines; i++) {
        const struct testsheet_setting setting = {0};
        unsigned states[OBLIGATION_STATES] = {0};
        struct text control = {0}, review = {0};
        const struct testsheet *sheet;
        struct checked c;

        tell_tied(&control, &review, i);
        checked_init(&c, text_str(&control), text_str(&review));
        assert_non_null(c.model);
        sheet = testsheet_study(c.arena, c.model, &setting, c.diags);
        assert_non_null(sheet);
        assert_null(sheet->internal_error);
        same_reasons(sheet, c.arena);
        count_pairs(sheet, states);
        if (states[OBLIGATION_BY_HAND] != machines[i].by_hand ||
            states[OBLIGATION_FAULT] != machines[i].fault ||
            states[OBLIGATION_NEVER] != machines[i].never)
            fail_msg("%s: %u by hand, %u with a fault, %u never",
                     machines[i].what, states[OBLIGATION_BY_HAND],
                     states[OBLIGATION_FAULT], states[OBLIGATION_NEVER]);
        checked_release(&c);
        text_release(&control);
        text_release(&review);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(truth_tables),
        cmocka_unit_test(what_movement_depends_on),
        cmocka_unit_test(tied_inputs),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
