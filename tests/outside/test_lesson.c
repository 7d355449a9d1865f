/* The evaluator of the trainer's page, plain JavaScript run by node, against
 * the reference interpreter: the same random choices, scan by scan, must give
 * the same values of everything the page shows, the same refusals and the
 * same errors.  LESSON_SCANS=1000000 in the environment makes the walks
 * longer. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/arena.h"
#include "base/text.h"
#include "check/model.h"
#include "logic/build.h"
#include "logic/flatdata.h"
#include "reference/machine.h"
#include "study/lesson.h"
#include "study/load.h"
#include "tests/support/agreement_texts.h"
#include "tests/support/shell.h"
#include "tests/support/subject.h"
#include "tests/support/text_model.h"

#ifdef __SANITIZE_ADDRESS__
enum { SCANS = 10000, TEXTS = 10 };
#else
enum { SCANS = 100000, TEXTS = 60 };
#endif
enum { WALK = 20000, FROM_POWER_UP = 400 };

/* A machine that is walked. */
struct walker {
    struct arena *arena;
    const struct model *model;
    const struct lesson_logic *logic;
    struct machine *machine;
    int64_t *state;
    uint32_t *choice;
    bool *compared; /* per slot */
    uint64_t seed;
    bool first;
    unsigned judged, refused, errors;
};

static uint32_t any(struct walker *w, uint32_t below)
{
    w->seed = w->seed * UINT64_C(6364136223846793005) +
              UINT64_C(1442695040888963407);
    return (uint32_t)(w->seed >> 33) % below;
}

/* ---- what is compared ---- */

static uint32_t value_number(const struct walker *w, const flat_expr *at)
{
    return (uint32_t)(at - w->logic->lowered->flat->value);
}

static void list_values(struct walker *w, struct text *out)
{
    const struct model *model = w->model;
    const struct lowered *lowered = w->logic->lowered;

    for (uint32_t i = 0; i < model->n_slots; i++)
        if (w->compared[i])
            text_printf(out, "%u,", value_number(w, &lowered->slot_value[i]));
    for (uint32_t i = 0; i < model->n_actuators; i++)
        text_printf(out, "%u,", value_number(w, &lowered->command[i]));
    for (uint32_t i = 0; i < model->n_contacts; i++)
        if (model->contacts[i].kind != CONTACT_VALUE)
            text_printf(out, "%u,", value_number(w, &lowered->contact[i]));
    for (uint32_t i = 0; i < model->n_sensors; i++)
        text_printf(out, "%u,", value_number(w, &lowered->sensor[i]));
    text_printf(out, "%u", value_number(w, lowered->dark));
}

static uint32_t mix(uint32_t hash, int64_t value)
{
    hash = (hash ^ (uint32_t)value) * 16777619u;
    return (hash ^ (uint32_t)((uint64_t)value >> 32)) * 16777619u;
}

static uint32_t hash_of(const struct walker *w, const struct step_result *step)
{
    const struct model *model = w->model;
    uint32_t hash = 2166136261u;

    for (uint32_t i = 0; i < model->n_requirements; i++)
        hash = mix(hash, step->breach[i]);
    for (uint32_t i = 0; i < model->n_slots; i++)
        if (w->compared[i])
            hash = mix(hash, machine_place(w->machine, w->state,
                                           (struct place_id){PLACE_SLOT, i},
                                           INT64_MAX));
    for (uint32_t i = 0; i < model->n_actuators; i++)
        hash = mix(hash, step->command[i]);
    for (uint32_t i = 0; i < model->n_contacts; i++)
        if (model->contacts[i].kind != CONTACT_VALUE)
            hash = mix(hash, step->contact[i]);
    for (uint32_t i = 0; i < model->n_sensors; i++)
        hash = mix(hash, step->sensor[i]);
    return mix(hash, step->dark);
}

/* ---- a walk ---- */

/* Hands mostly stay, faults and power loss are rare. */
static void choose(struct walker *w)
{
    for (uint32_t i = 0; i < w->model->n_choices; i++) {
        const struct choice *choice = &w->model->choices[i];
        bool rare = choice->kind == CHOICE_FAULT ||
                    choice->kind == CHOICE_POWER;

        if (rare)
            w->choice[i] = any(w, 40) == 0;
        else if (w->first || any(w, 4) == 0)
            w->choice[i] = any(w, 4) == 0 ? choice->rest
                                          : any(w, choice->count);
    }
}

static void put(struct text *out, uint32_t value, unsigned bytes)
{
    for (unsigned i = 0; i < bytes; i++)
        text_add_char(out, (char)(value >> (8 * i) & 0xff));
}

static void walk_scan(struct walker *w, struct text *out)
{
    struct step_setting setting = {.first = w->first,
                                   .fault_limit = w->model->n_causes};
    const struct step_result *step;
    uint32_t hash = 0;

    choose(w);
    put(out, w->first, 1);
    if (w->first)
        machine_start(w->machine, w->choice, w->state);
    for (uint32_t i = 0; i < w->model->n_choices; i++)
        put(out, w->choice[i], 2);
    step = machine_step(w->machine, &setting, w->choice, w->state);
    put(out, step->end, 1);
    if (step->end == STEP_JUDGED)
        hash = hash_of(w, step);
    put(out, hash, 4);
    w->judged += step->end == STEP_JUDGED;
    w->refused += step->end == STEP_NOT_ALLOWED;
    w->errors += step->end == STEP_ERROR;
    w->first = step->end == STEP_ERROR || any(w, FROM_POWER_UP) == 0 ||
               (w->first && step->end != STEP_JUDGED);
}

static void write_logic(struct walker *w)
{
    struct text out = {0};

    text_add(&out, "{\"logic\":");
    flatdata_add(&out, w->logic->slice);
    text_add(&out, ",\"watches\":[");
    for (uint32_t i = 0; i < w->model->n_requirements; i++)
        text_printf(&out, i > 0 ? ",%u" : "%u", i);
    text_add(&out, "],\"values\":[");
    list_values(w, &out);
    text_printf(&out, "],\"first_error\":%u}", w->model->n_requirements);
    shell_put(shell_place(), "logic.json", text_str(&out));
    text_release(&out);
}

static void write_walk(const struct text *out)
{
    char path[128];
    FILE *file;

    snprintf(path, sizeof path, "%s/walk", shell_place());
    file = fopen(path, "wb");
    assert_non_null(file);
    assert_int_equal(fwrite(out->at, 1, out->n, file), out->n);
    assert_int_equal(fclose(file), 0);
}

static void walk(struct walker *w, const char *name, unsigned scans)
{
    struct text out = {0};

    while (scans > 0) {
        unsigned n = scans < WALK ? scans : WALK;

        w->first = true;
        text_clear(&out);
        for (unsigned i = 0; i < n; i++)
            walk_scan(w, &out);
        write_walk(&out);
        if (shell_run("node tests/pages/agree.js %s/logic.json %s/walk 2>&1",
                      shell_place(), shell_place()) != 0)
            fail_msg("%s: %s", name, shell_output());
        scans -= n;
    }
    text_release(&out);
}

/* The logic is made ready, walked and let go. */
static void agree(struct walker *w, const char *name, unsigned scans)
{
    w->machine = machine_new(w->arena, w->model);
    w->state = arena_array(w->arena, machine_words(w->machine) + 1,
                           sizeof *w->state);
    w->choice = arena_array(w->arena, w->model->n_choices + 1,
                            sizeof *w->choice);
    w->compared = arena_array(w->arena, w->model->n_slots + 1,
                              sizeof *w->compared);
    for (uint32_t i = 0; i < w->model->n_slots; i++)
        w->compared[i] = !w->model->slots[i].clock &&
                         w->model->slots[i].driver == DRIVER_NONE;
    write_logic(w);
    walk(w, name, scans);
    lesson_release(w->logic);
}

static unsigned scans_wanted(void)
{
    const char *said = getenv("LESSON_SCANS");

    return said != NULL ? (unsigned)strtoul(said, NULL, 10) : SCANS;
}

/* ---- machines ---- */

static void file_agrees(const char *path, unsigned share)
{
    struct load_request request = {.path = path};
    struct loaded *loaded = load_run(&request);
    struct walker w = {.seed = 7};

    assert_non_null(loaded->model);
    w.arena = loaded->arena;
    w.model = loaded->model;
    w.logic = lesson_logic(loaded->arena, loaded->model, loaded->diags);
    assert_non_null(w.logic);
    agree(&w, path, scans_wanted() / 100 * share);
    assert_true(w.judged > w.refused);
    print_message("%s: %u scans judged, %u refused, %u errors\n", path,
                  w.judged, w.refused, w.errors);
    loaded_free(loaded);
}

static void test_tailgate(void **unused)
{
    (void)unused;
    shell_need("node --version");
    file_agrees("models/tailgate/tailgate.review", 30);
}

static void test_rear_body(void **unused)
{
    (void)unused;
    shell_need("node --version");
    file_agrees("models/rear_body/rear_body.review", 20);
}

static void test_others(void **unused)
{
    (void)unused;
    shell_need("node --version");
    file_agrees("models/guard_pair/apart.review", 10);
    file_agrees("models/safe_gap/two_switches.review", 10);
    file_agrees("models/table/table.review", 10);
}

/* Random texts have what no machine of models/ has: integers up to 64 bits,
 * loops, REALs, time that varies. */
static void test_random_machines(void **unused)
{
    unsigned judged = 0, errors = 0, refused = 0;

    (void)unused;
    shell_need("node --version");
    for (uint64_t seed = 1; seed <= TEXTS; seed++) {
        struct subject s = {.seed = seed, .range = seed % 5 == 1,
                            .open = seed % 5 == 2, .loops = seed % 5 == 3,
                            .every = seed % 5 == 4};
        struct walker w = {.seed = seed};
        char name[32];

        subject_read(&s, false);
        w.arena = s.arena;
        w.model = s.model;
        w.logic = lesson_logic(s.arena, s.model, s.diags);
        assert_non_null(w.logic);
        snprintf(name, sizeof name, "random machine %u", (unsigned)seed);
        agree(&w, name, scans_wanted() / 5 / TEXTS);
        judged += w.judged;
        errors += w.errors;
        refused += w.refused;
        subject_release(&s);
    }
    print_message("random machines: %u scans judged, %u refused, %u errors\n",
                  judged, refused, errors);
    assert_true(judged > 0 && errors > 0 && refused > 0);
}

/* Texts with integers of all widths, wrapping and bits. */
static void test_hand_written(void **unused)
{
    const struct agreement_text *text;

    (void)unused;
    shell_need("node --version");
    for (size_t i = 0; (text = agreement_text(i)) != NULL; i++) {
        struct text_model read;
        struct walker w = {.seed = i + 1};

        text_model_init(&read, text->control, text->review, false);
        assert_non_null(read.model);
        w.arena = read.arena;
        w.model = read.model;
        w.logic = lesson_logic(read.arena, read.model, read.diags);
        assert_non_null(w.logic);
        agree(&w, text->name, scans_wanted() / 500);
        assert_true(w.judged > 0);
        text_model_release(&read);
    }
}

/* ---- operators ---- */

enum { ROWS = 4, VALUES = 8, NODES = 160, TABLES = 40, LOOKS = 50 };

static const int64_t row_values[ROWS][VALUES] = {
    {0, 1, 0, 1, 0, 1, 0, 1},
    {-7, -2, -1, 0, 1, 2, 3, 8},
    {-((int64_t)1 << 40) - 1, -4294967297, -65537, 5, 2147483648, 4294967295,
     4294967296, (int64_t)1 << 45},
    {INT64_MIN, -9007199254740993, -9007199254740992, -3, 9007199254740991,
     9007199254740993, INT64_MAX - 1, INT64_MAX},
};

struct operators {
    struct arena *arena;
    struct flat_builder *builder;
    flat_expr at[NODES]; /* made so far */
    uint32_t n;
    struct walker random;
};

static flat_expr pick(struct operators *o, bool truth)
{
    for (;;) {
        flat_expr expr = o->at[any(&o->random, o->n)];
        const struct flat_node *node = flat_node(o->builder, expr);

        if (!truth || (node->low >= 0 && node->high <= 1))
            return expr;
    }
}

static flat_expr operate(struct operators *o)
{
    enum flat_op op = FLAT_NOT + any(&o->random, FLAT_ITE - FLAT_NOT + 1);
    bool truth = op <= FLAT_XOR;
    flat_expr a = pick(o, truth || op == FLAT_ITE), b = pick(o, truth);

    if (op == FLAT_NOT)
        return flat_not(o->builder, a);
    if (op == FLAT_ITE)
        return flat_ite(o->builder, a, b, pick(o, false));
    if (op == FLAT_MEET)
        while (flat_node(o->builder, a)->low < 0)
            a = pick(o, false);
    return flat_binary(o->builder, op, a, b);
}

static void make_operators(struct operators *o)
{
    for (uint32_t row = 0; row < ROWS; row++)
        o->at[o->n++] = flat_leaf(o->builder, FLAT_CHOICE, row,
                                  row_values[row][0],
                                  row_values[row][VALUES - 1]);
    for (uint32_t i = 0; i < VALUES; i++)
        o->at[o->n++] = flat_const(o->builder, row_values[3][i]);
    while (o->n < NODES)
        o->at[o->n++] = operate(o);
}

static int64_t value_of(const struct flat_node *node, const int64_t *value,
                        const uint32_t *choice)
{
    if (node->op == FLAT_CONST)
        return node->value;
    if (node->op == FLAT_CHOICE)
        return row_values[node->a][choice[node->a]];
    return flat_apply(node->op, value[node->a],
                      node->b == FLAT_NONE ? 0 : value[node->b],
                      node->c == FLAT_NONE ? 0 : value[node->c]);
}

static void write_looks(struct operators *o, const struct slice *slice)
{
    int64_t *value = arena_array(o->arena, slice->n_nodes, sizeof *value);
    struct text out = {0};

    for (unsigned look = 0; look < LOOKS; look++) {
        uint32_t choice[ROWS], hash = 2166136261u;

        put(&out, 1, 1);
        for (uint32_t row = 0; row < ROWS; row++) {
            choice[row] = any(&o->random, VALUES);
            put(&out, choice[row], 2);
        }
        for (uint32_t i = 0; i < slice->n_nodes; i++) {
            value[i] = value_of(&slice->nodes[i], value, choice);
            assert_true(value[i] >= slice->nodes[i].low &&
                        value[i] <= slice->nodes[i].high);
            hash = mix(hash, value[i]);
        }
        put(&out, STEP_JUDGED, 1);
        put(&out, hash, 4);
    }
    write_walk(&out);
    text_release(&out);
}

/* Every node of the table is a value that is compared. */
static void write_table(const struct slice *slice)
{
    struct text out = {0};

    text_add(&out, "{\"logic\":");
    flatdata_add(&out, slice);
    text_add(&out, ",\"watches\":[],\"values\":[");
    for (uint32_t i = 0; i < slice->n_values; i++)
        text_printf(&out, i > 0 ? ",%u" : "%u", i);
    text_add(&out, "],\"first_error\":0}");
    shell_put(shell_place(), "logic.json", text_str(&out));
    text_release(&out);
}

static void look_at_table(struct operators *o)
{
    struct flat_choice choices[ROWS] = {0};
    uint32_t n = flat_builder_count(o->builder);
    struct slice_root *roots = arena_array(o->arena, n, sizeof *roots);
    const struct slice slice = {
        .nodes = flat_nodes(o->builder), .n_nodes = n, .choices = choices,
        .n_choices = ROWS, .values = roots, .n_values = n};

    for (uint32_t row = 0; row < ROWS; row++)
        choices[row] = (struct flat_choice){
            .kind = FLAT_INPUT, .count = VALUES, .values = row_values[row]};
    for (uint32_t i = 0; i < n; i++)
        roots[i] = (struct slice_root){i, i, i};
    write_table(&slice);
    write_looks(o, &slice);
    if (shell_run("node tests/pages/agree.js %s/logic.json %s/walk 2>&1",
                  shell_place(), shell_place()) != 0)
        fail_msg("%s", shell_output());
}

/* Random expressions over values of up to 64 bits, against what the operators
 * mean (logic/apply.h). */
static void test_operators(void **unused)
{
    (void)unused;
    shell_need("node --version");
    for (uint64_t seed = 1; seed <= TABLES; seed++) {
        struct operators o = {.arena = arena_new(), .random = {.seed = seed}};

        o.builder = flat_builder_new(o.arena);
        make_operators(&o);
        look_at_table(&o);
        flat_builder_free(o.builder);
        arena_free(o.arena);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_tailgate),
        cmocka_unit_test(test_rear_body),
        cmocka_unit_test(test_others),
        cmocka_unit_test(test_random_machines),
        cmocka_unit_test(test_hand_written),
        cmocka_unit_test(test_operators),
    };
    return cmocka_run_group_tests(tests, shell_set_up,
                                  shell_tear_down);
}
