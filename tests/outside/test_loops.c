/* Loops, what leaves them, and conditions in turn, three times over: the flat
 * logic, the reference interpreter, and a translation to C that gcc compiles.
 * Source of the third opinion: the meaning of for, while, do, break,
 * continue, return, && and || in ISO C. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/arena.h"
#include "base/hash.h"
#include "base/text.h"
#include "reference/machine.h"
#include "tests/support/random_loops.h"
#include "tests/support/text_model.h"

#ifdef __SANITIZE_ADDRESS__
enum { TEXTS = 60, SCANS = 12 };
#else
enum { TEXTS = 400, SCANS = 30 };
#endif

struct trio {
    struct text_model text;
    struct arena *arena;
    struct machine *machine;
    int64_t *state;
    struct step_setting setting;
    uint64_t seed;
    unsigned number;
    bool anew;
};

struct tally {
    unsigned runs, errors, loop_errors;
};

static unsigned any(struct trio *trio, unsigned below)
{
    trio->seed = hash_word(trio->seed + 1);
    return (unsigned)((trio->seed >> 20) % below);
}

static uint32_t row_of(const struct model *model, const char *name)
{
    for (uint32_t i = 0; i < model->n_choices; i++)
        if (strcmp(model->choices[i].name, name) == 0)
            return i;
    return MODEL_NONE;
}

/* Chooses all inputs, and writes the line that C reads. */
static void choose(struct trio *trio, struct text *inputs)
{
    const struct model *model = trio->text.model;
    const char *name;

    text_printf(inputs, "%d", trio->anew);
    for (unsigned i = 0; (name = random_loops_input(i)); i++) {
        uint32_t row = row_of(model, name);

        if (row == MODEL_NONE) {
            text_add(inputs, " 0");
            continue;
        }
        trio->text.run->choice[row] = any(trio, model->choices[row].count);
        text_printf(inputs, " %lld",
                    (long long)model->choices[row]
                        .values[trio->text.run->choice[row]]);
    }
    text_add(inputs, "\n");
}

static void restart(struct trio *trio)
{
    flat_run_restart(trio->text.run);
    machine_start(trio->machine, trio->text.run->choice, trio->state);
    trio->anew = true;
}

static void same_values(const struct trio *trio)
{
    const struct model *model = trio->text.model;

    for (uint32_t i = 0; i < model->n_slots; i++) {
        struct place_id place = {PLACE_SLOT, i};
        int64_t flat = trio->text.run->node
                           [trio->text.lowered->slot_value[i]];
        int64_t plain = machine_place(trio->machine, trio->state, place,
                                      INT64_MAX);

        if (model->slots[i].driver == DRIVER_NONE && flat != plain)
            fail_msg("text %u: %s is %lld in the flat logic, %lld in the "
                     "reference", trio->number, model->slots[i].path,
                     (long long)flat, (long long)plain);
    }
}

/* One scan in both; what C should answer. */
static void scan(struct trio *trio, struct text *wanted, struct tally *tally)
{
    const struct model *model = trio->text.model;
    const struct step_result *step;
    uint32_t error;
    const char *name;

    flat_run_scan(trio->text.run, false);
    trio->setting.first = trio->anew;
    if (trio->anew)
        machine_start(trio->machine, trio->text.run->choice, trio->state);
    step = machine_step(trio->machine, &trio->setting,
                        trio->text.run->choice, trio->state);
    error = flat_run_error(trio->text.run);
    tally->runs++;
    if ((error != FLAT_NONE) != (step->end == STEP_ERROR))
        fail_msg("text %u: error in one only", trio->number);
    if (error != FLAT_NONE) {
        assert_int_equal(trio->text.lowered->flat->watches[error].index,
                         step->error);
        tally->errors++;
        tally->loop_errors += model->errors[step->error].kind >= ERROR_LOOP;
        text_add(wanted, "error\n");
        restart(trio);
        return;
    }
    assert_int_equal(step->end, STEP_JUDGED);
    for (uint32_t i = 0; i < model->n_branches; i++)
        assert_int_equal(trio->text.run->node
                             [trio->text.lowered->flat
                                  ->watches[trio->text.lowered->branch[i]]
                                  .condition] != 0, step->branch[i]);
    for (uint32_t i = 0; i < model->n_stretches; i++)
        assert_int_equal(trio->text.run->node
                             [trio->text.lowered->flat
                                  ->watches[trio->text.lowered->stretch[i]]
                                  .condition] != 0, step->stretch[i]);
    same_values(trio);
    for (unsigned i = 0; (name = random_loops_name(i)); i++)
        text_printf(wanted, "%s%lld", i ? " " : "",
                    (long long)text_model_value(&trio->text, name));
    text_add(wanted, "\n");
    flat_run_scan(trio->text.run, true);
    trio->anew = false;
}

static void run_text(unsigned number, struct text *c, struct text *inputs,
                     struct text *wanted, struct tally *tally)
{
    struct trio trio = {.seed = number, .number = number};
    struct text control = {0};

    random_loops(number, &control, c);
    text_model_init(&trio.text, text_str(&control), NULL, false);
    if (!trio.text.run)
        fail_msg("text %u is refused:\n%s", number, text_str(&control));
    trio.arena = arena_new();
    trio.machine = machine_new(trio.arena, trio.text.model);
    trio.state = arena_array(trio.arena, machine_words(trio.machine),
                             sizeof *trio.state);
    restart(&trio);
    for (unsigned i = 0; i < SCANS; i++) {
        choose(&trio, inputs);
        scan(&trio, wanted, tally);
    }
    text_add(inputs, "2\n");
    text_release(&control);
    arena_free(trio.arena);
    text_model_release(&trio.text);
}

/* ---- the third opinion ---- */

static void write_file(const char *folder, const char *name,
                       const struct text *text)
{
    char path[200];
    FILE *file;

    snprintf(path, sizeof path, "%s/%s", folder, name);
    file = fopen(path, "w");
    assert_non_null(file);
    assert_int_equal(fwrite(text->at, 1, text->n, file), text->n);
    assert_int_equal(fclose(file), 0);
}

static void run_command(const char *folder, const char *format)
{
    char command[600];

    snprintf(command, sizeof command, format, folder, folder, folder);
    if (system(command) != 0)
        fail_msg("failed: %s", command);
}

static void same_lines(const char *folder, const struct text *wanted)
{
    const char *at = wanted->at, *end = at + wanted->n;
    char path[200], line[200];
    unsigned number = 0;
    FILE *file;

    snprintf(path, sizeof path, "%s/results", folder);
    file = fopen(path, "r");
    assert_non_null(file);
    for (; at < end; number++) {
        size_t n = (size_t)((const char *)memchr(at, '\n',
                                                 (size_t)(end - at)) - at) + 1;

        assert_non_null(fgets(line, sizeof line, file));
        if (strlen(line) != n || memcmp(line, at, n) != 0)
            fail_msg("text %u, line %u: C says %sand we say %.*s",
                     number / SCANS + 1, number % SCANS, line, (int)n, at);
        at += n;
    }
    assert_null(fgets(line, sizeof line, file));
    fclose(file);
}

static void three_agree(void **state)
{
    struct text c = {0}, inputs = {0}, wanted = {0};
    struct tally tally = {0};
    char folder[] = "/tmp/keepclear-loops-XXXXXX";

    (void)state;
    random_loops_prologue(&c);
    for (unsigned i = 1; i <= TEXTS; i++)
        run_text(i, &c, &inputs, &wanted, &tally);
    text_add(&c, "int main(void) {\n");
    for (unsigned i = 1; i <= TEXTS; i++)
        text_printf(&c, "text_%u();\n", i);
    text_add(&c, "return 0; }\n");
    assert_non_null(mkdtemp(folder));
    write_file(folder, "loops.c", &c);
    write_file(folder, "inputs", &inputs);
    run_command(folder, "gcc -std=gnu11 -w -O0 -o %s/loops %s/loops.c");
    run_command(folder, "%s/loops <%s/inputs >%s/results");
    same_lines(folder, &wanted);
    run_command(folder, "rm -r %s");
    print_message("%u texts, %u scans: %u ended by an error, %u of them by a "
                  "loop\n", (unsigned)TEXTS, tally.runs, tally.errors,
                  tally.loop_errors);
    assert_true(tally.runs == TEXTS * SCANS);
    assert_true(tally.errors > tally.runs / 50 &&
                tally.errors < tally.runs / 2);
    assert_true(tally.loop_errors > tally.runs / 500);
    text_release(&c);
    text_release(&inputs);
    text_release(&wanted);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(three_agree),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
