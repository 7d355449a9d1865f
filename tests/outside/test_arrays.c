/* Arrays, structures, instances in arrays and computed indices: random
 * programs are run by the flat logic, by the reference interpreter and, as a
 * third opinion, by a translation to C that a C compiler has compiled.  After
 * every scan all variables must be equal, and a run-time error must meet all
 * three in the same scan. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include <cmocka.h>

#include "base/arena.h"
#include "base/text.h"
#include "reference/machine.h"
#include "tests/support/random_arrays.h"
#include "tests/support/text_model.h"
#include "tests/support/trial.h"

/* With sanitizers everything is many times slower. */
#ifdef __SANITIZE_ADDRESS__
enum { PROGRAMS = 20, SCANS = 20 };
#else
enum { PROGRAMS = 150, SCANS = 40 };
#endif

/* A program under way, and what has happened in all of them. */
struct trio {
    struct text_model text;
    struct machine *machine;
    int64_t *state;
    uint64_t seed;
    bool first;
    struct text *c; /* the table of this program */
    unsigned judged, errors, number;
};

static uint32_t any(struct trio *t, uint32_t below)
{
    t->seed = t->seed * UINT64_C(6364136223846793005) +
              UINT64_C(1442695040888963407);
    return (uint32_t)(t->seed >> 33) % below;
}

static void choose(struct trio *t)
{
    for (uint32_t i = 0; i < t->text.model->n_choices; i++)
        if (t->first || any(t, 3) == 0)
            t->text.run->choice[i] = any(t, t->text.model->choices[i].count);
}

static void restart(struct trio *t)
{
    flat_run_restart(t->text.run);
    t->first = true;
    choose(t);
    machine_start(t->machine, t->text.run->choice, t->state);
}

static int64_t chosen(const struct trio *t, const char *path)
{
    const struct model *model = t->text.model;
    uint32_t slot = text_model_slot(&t->text, path);
    uint32_t row = model->slots[slot].driver_index;

    /* An input that nothing reads is not chosen. */
    return model->slots[slot].driver == DRIVER_CHOICE
               ? model->choices[row].values[t->text.run->choice[row]] : 0;
}

/* What the translation is given and has to come to. */
static void note(struct trio *t, bool failed)
{
    static const char *const inputs[] = {"Main.n", "Main.k", "Main.p",
                                         "Main.q"};
    const struct model *model = t->text.model;

    text_printf(t->c, "{%d, %d, {", t->first, failed);
    for (int i = 0; i < 4; i++)
        text_printf(t->c, "%lld, ", (long long)chosen(t, inputs[i]));
    text_add(t->c, "}, {");
    for (uint32_t i = 0; i < model->n_slots && !failed; i++) {
        const struct slot *slot = &model->slots[i];

        if (slot->home != SLOT_GLOBAL && slot->home != SLOT_PROGRAM)
            continue;
        if (slot->temp || slot->driver != DRIVER_NONE)
            text_add(t->c, "ANY, "); /* what is not remembered */
        else
            text_printf(t->c, "%lld, ",
                        (long long)machine_place(
                            t->machine, t->state,
                            (struct place_id){PLACE_SLOT, i}, INT64_MAX));
    }
    text_add(t->c, "}},\n");
}

static void same_values(const struct trio *t)
{
    const struct model *model = t->text.model;

    for (uint32_t i = 0; i < model->n_slots; i++) {
        int64_t flat, reference;

        if (model->slots[i].temp || model->slots[i].driver != DRIVER_NONE)
            continue;
        flat = t->text.run->node[t->text.lowered->slot_value[i]];
        reference = machine_place(t->machine, t->state,
                                  (struct place_id){PLACE_SLOT, i},
                                  INT64_MAX);
        if (flat != reference)
            fail_msg("program %u: %s is %lld in the flat logic, %lld in the "
                     "reference", t->number, model->slots[i].path,
                     (long long)flat, (long long)reference);
    }
}

static void scan(struct trio *t)
{
    const struct flat *flat = t->text.lowered->flat;
    const struct step_setting setting = {.first = t->first};
    const struct step_result *step;
    bool fits = flat_run_scan(t->text.run, false);
    uint32_t error = flat_run_error(t->text.run);

    step = machine_step(t->machine, &setting, t->text.run->choice, t->state);
    if (step->end == STEP_ERROR) {
        if (error == FLAT_NONE || flat->watches[error].index != step->error)
            fail_msg("program %u: an error in the reference alone",
                     t->number);
        t->errors++;
        note(t, true);
        restart(t);
        return;
    }
    assert_int_equal(step->end, STEP_JUDGED);
    assert_int_equal(error, FLAT_NONE);
    assert_true(fits);
    same_values(t);
    flat_run_scan(t->text.run, true);
    t->judged++;
    note(t, false);
    t->first = false;
    choose(t);
}

static void run_program(struct trio *t, const struct random_arrays *made)
{
    struct arena *arena = arena_new();

    text_model_init(&t->text, made->control, NULL, false);
    if (!t->text.run)
        fail_msg("program %u is refused:\n%s", t->number, made->control);
    t->machine = machine_new(arena, t->text.model);
    t->state = arena_array(arena, machine_words(t->machine),
                           sizeof *t->state);
    restart(t);
    for (unsigned i = 0; i < SCANS; i++)
        scan(t);
    arena_free(arena);
    text_model_release(&t->text);
}

static void add_program(struct text *out, const struct random_arrays *made,
                        unsigned n, const struct text *table)
{
    text_add(out, made->c);
    text_printf(out,
                "static const struct { int first, failed; I in[4]; "
                "I out[sizeof(struct G%u) / sizeof(I)]; } table%u[] = "
                "{\n%s};\n",
                n, n, text_str((struct text *)table));
    text_printf(
        out,
        "static int run%u(void)\n{ static struct G%u g;\n"
        "for (unsigned i = 0; i < sizeof table%u / sizeof *table%u; i++) {\n"
        "volatile int failed = 0;\n"
        "if (table%u[i].first) start%u(&g);\n"
        "g.n = table%u[i].in[0]; g.k = table%u[i].in[1]; "
        "g.p = table%u[i].in[2]; g.q = table%u[i].in[3];\n"
        "if (setjmp(stop)) failed = 1; else scan%u(&g);\n"
        "if (failed != table%u[i].failed || (!failed && "
        "differs((const I *)&g, table%u[i].out, sizeof g / sizeof(I)))) "
        "{ printf(\"program %u, scan %%u\\n\", i); return 1; } }\n"
        "return 0; }\n",
        n, n, n, n, n, n, n, n, n, n, n, n, n, n);
}

static void compile_and_run(const struct text *c)
{
    char folder[] = "/tmp/arrays-XXXXXX", command[200];
    char path[sizeof folder + 4];
    FILE *file;
    int status;

    assert_non_null(mkdtemp(folder));
    snprintf(path, sizeof path, "%s/a.c", folder);
    file = fopen(path, "w");
    assert_non_null(file);
    assert_int_equal(fwrite(text_str((struct text *)c), 1, c->n, file), c->n);
    assert_int_equal(fclose(file), 0);
    snprintf(command, sizeof command,
             "cd %s && cc -std=gnu11 -O0 -w -o a a.c && ./a", folder);
    status = system(command);
    if (status == 0) {
        snprintf(command, sizeof command, "rm -r %s", folder);
        status = system(command);
    }
    assert_int_equal(status, 0);
}

static void three_opinions(void **state)
{
    struct arena *arena = arena_new();
    struct text c = {0}, table = {0};
    struct trio t = {.c = &table};

    (void)state;
    text_add(&c, random_arrays_prelude());
    text_add(&c, "#define ANY INT64_MIN\n"
                 "static int differs(const I *g, const I *out, size_t n)\n"
                 "{ for (size_t i = 0; i < n; i++)\n"
                 "if (out[i] != ANY && g[i] != out[i]) return 1;\n"
                 "return 0; }\n");
    for (unsigned n = 1; n <= PROGRAMS; n++) {
        struct random_arrays made = random_arrays(arena, n, n);

        t.seed = t.number = n;
        text_clear(&table);
        run_program(&t, &made);
        add_program(&c, &made, n, &table);
    }
    text_add(&c, "int main(void)\n{ int bad = 0;\n");
    for (unsigned n = 1; n <= PROGRAMS; n++)
        text_printf(&c, "bad |= run%u();\n", n);
    text_add(&c, "return bad; }\n");
    compile_and_run(&c);
    print_message("%u scans judged, %u ended by an error\n", t.judged,
                  t.errors);
    assert_true(t.judged > PROGRAMS * SCANS / 3);
    assert_true(t.errors > PROGRAMS);
    text_release(&c);
    text_release(&table);
    arena_free(arena);
}

/* ---- answers known beforehand ---- */

/* Initial values: common practice, no source, but for the defaults (0, FALSE,
 * first item, lower limit, element by element), which IEC 61131-3 has. */
static void initial_values_are_as_written(void **state)
{
    static const struct { const char *path; int64_t value; } known[] = {
        {"Main.a[0]", 1}, {"Main.a[1]", 7}, {"Main.a[2]", 7},
        {"Main.a[3]", 0}, {"Main.m[1,0]", 4}, {"Main.m[1,1]", 5},
        {"Main.s.x", 9}, {"Main.s.sub[1]", 2}, {"Main.s.sub[2]", 3},
        {"Main.r[1].x", 3}, {"Main.r[2].x", 8}, {"Main.r[3].x", 8},
        {"Main.r[3].sub[2]", 2}, {"Main.e[1]", 1}, {"Main.e[2]", 0},
        {"Main.t[2].PT", 300}, {"Main.t[1].PT", 0}, {"Main.c", 6},
        {"Main.v[1].e", 4}, {"Main.v[2].e", 0}};
    struct trial trial;

    (void)state;
    trial_open(&trial,
               "TYPE\n"
               "  R : STRUCT x : INT (3 .. 9); sub : ARRAY [1..2] OF INT\n"
               "    (2 .. 5); END_STRUCT;\n"
               "  E : (Off := 4, On := 2);\n"
               "END_TYPE\n"
               "PROGRAM Main VAR\n"
               "  a : ARRAY [0..3] OF INT := [1, 2(7)];\n"
               "  m : ARRAY [0..1, 0..1] OF INT := [[1, 2], [4, 5]];\n"
               "  s : R := (sub := [2, 3], x := 9);\n"
               "  r : ARRAY [1..3] OF R := [1(), 2((x := 8))];\n"
               "  e : ARRAY [1..2] OF E := [On];\n"
               "  t : ARRAY [1..2] OF TON := [1(), (PT := T#300ms)];\n"
               "  v : ARRAY [1..2] OF STRUCT e : INT; f : BOOL; END_STRUCT\n"
               "    := [(e := 4)];\n"
               "  c : INT; END_VAR\n"
               "VAR CONSTANT k : ARRAY [1..3] OF INT := [1, 2, 3]; END_VAR\n"
               "c := k[1] + k[2] + k[k[3]];\n"
               "IF FALSE THEN a[c] := 0; m[c, c] := 0; s := r[c];\n"
               "v[c].e := 0; v[c].f := FALSE; r[c] := s; e[c] := Off; t[c](IN := FALSE, PT := T#0s);\n"
               "END_IF;\n"
               "END_PROGRAM\n", NULL);
    trial_scan(&trial);
    for (size_t i = 0; i < sizeof known / sizeof *known; i++)
        if (trial_now(&trial, known[i].path) != known[i].value)
            fail_msg("%s", known[i].path);
    trial_close(&trial);
}

/* The place of a VAR_IN_OUT is fixed at the call, two may be one variable,
 * and one may be handed on. */
static void in_outs_keep_their_place(void **state)
{
    struct trial trial;

    (void)state;
    trial_open(&trial,
               "FUNCTION_BLOCK Inner VAR_IN_OUT z, w : INT; END_VAR\n"
               "w := w + 1; z := z + 10 * w; END_FUNCTION_BLOCK\n"
               "FUNCTION_BLOCK Outer VAR_IN_OUT z, w : INT; END_VAR\n"
               "VAR f : ARRAY [1..2] OF Inner; END_VAR\n"
               "f[2](z := z, w := w); END_FUNCTION_BLOCK\n"
               "PROGRAM Main\n"
               "VAR a, b : ARRAY [0..2] OF INT; i : INT := 1; j : INT;\n"
               "  o : Outer; END_VAR\n"
               "i := 1; o(z := a[i], w := i);\n" /* a[1] := 20, i := 2 */
               "j := 5; o(z := j, w := j);\n"    /* 6, then 6 + 60 */
               "i := 0; o(z := b[i], w := b[i]);\n"
               "a[i] := a[1] + j; b := a;\n"
               "END_PROGRAM\n", NULL);
    trial_scan(&trial);
    assert_int_equal(trial_now(&trial, "Main.a[1]"), 20);
    assert_int_equal(trial_now(&trial, "Main.j"), 66);
    assert_int_equal(trial_now(&trial, "Main.a[0]"), 86);
    assert_int_equal(trial_now(&trial, "Main.b[0]"), 86);
    assert_int_equal(trial_now(&trial, "Main.b[2]"), 0);
    trial_close(&trial);
}

/* Five places behind each other, a part that moves on by an index, a button:
 * 5 * 2 situations from the second scan on. */
static void a_shifted_row_is_explored(void **state)
{
    struct trial trial;

    (void)state;
    trial_open(&trial,
               "PROGRAM Main VAR_INPUT go : BOOL; END_VAR\n"
               "VAR row : ARRAY [1..5] OF BOOL := [TRUE, 4(FALSE)];\n"
               "  pos : INT (1 .. 5) := 1; END_VAR\n"
               "IF go AND pos < 5 THEN row[pos] := FALSE; pos := pos + 1;\n"
               "  row[pos] := TRUE; END_IF;\n"
               "END_PROGRAM\n",
               "REVIEW R CONTROL 'c.st'; SCAN T#100ms;\n"
               "REQUIREMENTS\n"
               "R1 : NEVER Main.row[5];\n"
               "R2 : NEVER NOT Main.row[Main.pos];\n"
               "R3 : NEVER Main.row[1] AND Main.row[2];\n"
               "END_REQUIREMENTS END_REVIEW\n");
    trial_explore(&trial);
    trial_judges(&trial, "R1", VERDICT_BROKEN, 4);
    trial_judges(&trial, "R2", VERDICT_KEPT, 0);
    trial_judges(&trial, "R3", VERDICT_KEPT, 0);
    trial_replayed(&trial, "R1", 4);
    assert_int_equal(trial_level(&trial, "R1"), 4);
    trial_enumerated(&trial);
    trial_close(&trial);
}

/* A free input without a range is tried at every index and once on either
 * side of the array: 0 .. 2 and two more. */
static void an_index_cuts_its_input(void **state)
{
    struct text_model text;

    (void)state;
    text_model_init(&text,
                    "PROGRAM Main VAR_INPUT n : INT; END_VAR\n"
                    "VAR a : ARRAY [0..2] OF INT; b : INT; END_VAR\n"
                    "a[0] := 1; b := a[n]; END_PROGRAM\n", NULL, false);
    assert_non_null(text.model);
    assert_int_equal(text.model->n_choices, 3); /* a[1], a[2] are free too */
    for (uint32_t i = 0; i < text.model->n_choices; i++)
        if (strcmp(text.model->choices[i].name, "Main.n") == 0)
            assert_int_equal(text.model->choices[i].count, 5);
    assert_int_equal(text.model->n_errors, 1);
    assert_int_equal(text.model->errors[0].kind, ERROR_INDEX);
    text_model_release(&text);
}

/* An index that cannot leave its array makes no place of an error. */
static void a_narrow_index_cannot_fail(void **state)
{
    struct text_model text;

    (void)state;
    text_model_init(&text,
                    "PROGRAM Main VAR_INPUT n : INT (0 .. 2); END_VAR\n"
                    "VAR a : ARRAY [0..2] OF INT; b : INT; k : USINT;\n"
                    "END_VAR b := a[n] + a[k MOD 3] + a[2 - n];\n"
                    "a[0] := 0; a[1] := 0; a[2] := 0; k := 7;\n"
                    "END_PROGRAM\n", NULL, false);
    assert_non_null(text.model);
    for (uint32_t i = 0; i < text.model->n_errors; i++)
        assert_int_not_equal(text.model->errors[i].kind, ERROR_INDEX);
    text_model_release(&text);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(initial_values_are_as_written),
        cmocka_unit_test(in_outs_keep_their_place),
        cmocka_unit_test(a_shifted_row_is_explored),
        cmocka_unit_test(an_index_cuts_its_input),
        cmocka_unit_test(a_narrow_index_cannot_fail),
        cmocka_unit_test(three_opinions),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
