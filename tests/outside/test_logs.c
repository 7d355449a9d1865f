/* Logs as recorders write them, through the program; long ones; and those
 * that the reference interpreter records of the machines in models/. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>

#include <cmocka.h>

#include "base/arena.h"
#include "base/text.h"
#include "check/model.h"
#include "reference/machine.h"
#include "study/load.h"
#include "study/match.h"
#include "tests/support/shell.h"

#define TABLE "models/table/table.review"

static int match(const char *options, const char *log)
{
    shell_put(shell_place(), "log.csv", log);
    return shell_run("%s match %s " TABLE " %s/log.csv 2>&1",
                     shell_program(), options, shell_place());
}

/* ---- spellings ---- */

static void spellings_are_read(void **state)
{
    (void)state;
    assert_int_equal(match("", "up_button,up\n0,0\n1,1\n0,1\n"), 0);
    assert_int_equal(match("", "\xEF\xBB\xBFUP_BUTTON;Table.up;temperature\r\n"
                               "off;FALSE;20,5\r\n\r\non;TRUE;\r\n"), 0);
    shell_expect("column 'temperature' was left out: not a name of this "
                 "review");
    assert_int_equal(match("", "time;READ up_button;COMMANDED up\n"
                               "0,0;0;0\n0,1;1;1\n0,4;0;1\n"), 0);
    assert_int_equal(match("--map K1=up,S1=up_button",
                           "\"S1\",\"K1\"\n0,0\n1,1\n"), 0);
    assert_int_equal(match("--time clock",
                           "clock,up_button,up\n"
                           "2026-05-01 23:59:59.9,0,0\n"
                           "2026-05-02 00:00:00.0,1,1\n"), 0);
    assert_int_equal(match("", "time,up_button,up\n"
                               "23:59:59.9,0,0\n00:00:00.0,1,1\n"), 0);
    assert_int_equal(match("", "up_button,up\n0,0\n,1\n"), 0);
}

/* A push must be seen before the motor runs: the first line at which that is
 * too late. */
static void differences_are_told(void **state)
{
    (void)state;
    assert_int_equal(match("", "up_button,up\n0,0\n0,1\n0,1\n"), 1);
    shell_expect("Line 3 is the first that no run of the model reaches");
    shell_expect("'up' (COMMANDED up): recorded TRUE; possible there FALSE or "
                 "TRUE");
    shell_expect("if only 'up_button' (READ Table.up_button) had another "
                 "value in this line, it would be reached; one such line is "
                 "enough for the log to fit to its end");
    shell_expect("if only 'up' (COMMANDED up) had another value in this line, "
                 "it would be reached\n");
    assert_int_equal(match("--anywhere", "up_button,up\n0,0\n0,1\n"), 1);
    assert_int_equal(match("--anywhere", "up_button,up\n0,1\n0,1\n"), 0);
    assert_int_equal(match("", "up_button,up\n0,1\n"), 1);
}

/* In 0.2 s a push may come and go unseen, in one scan it cannot; with a
 * recorder that is late it may have been two. */
static void time_between_rows_counts(void **state)
{
    static const char one[] = "t;up_button;up\n0;0;0\n0.1;0;1\n";
    static const char two[] = "t;up_button;up\n0;0;0\n0.2;0;1\n";
    static const char uneven[] = "t;up_button;up\n0;0;0\n0.15;0;1\n";

    (void)state;
    assert_int_equal(match("", one), 1);
    shell_expect("from the row before to it: 1 scan\n");
    assert_int_equal(match("--jitter 50", one), 0);
    assert_int_equal(match("", two), 0);
    assert_int_equal(match("", uneven), 0);
    assert_int_equal(match("--changes", two), 1);
    assert_int_equal(match("--changes", "t;up_button;up\n0;0;0\n5;1;1\n"
                                        "7200;;0\n"), 0);
    assert_int_equal(match("--changes", "t;up_button;up\n0;0;0\n0.1;1;\n"
                                        "0.1;;1\n0.2;0;\n"), 0);
    shell_expect("3 rows");
    assert_int_equal(match("--changes", "t;up_button;up\n0;0;0\n0.1;0;\n"
                                        "0.1;;1\n0.2;0;\n"), 1);
    shell_expect("Line 4 is the first");
    assert_int_equal(match("--changes", "t;up_button;up\n0;0;0\n0.1;1;1\n"
                                        "0.2;x;\n"), 2);
    shell_expect("log.csv:4: 'x' is no value");
}

static void mistakes_have_a_place(void **state)
{
    static const struct {
        const char *options, *log, *says;
    } rows[] = {
        {"", "", "there is no line"},
        {"", "a,b\n", "log.csv:1: no column has the name of an input"},
        {"", "up\n0\n2\n", "log.csv:3: '2' is no value of column 'up', of type "
                           "BOOL"},
        {"", "up,down\n0,0\n0\n", "log.csv:3: this row has 1 fields, the "
                                  "heading 2"},
        {"", "t,up\n1,0\n0,0\n", "log.csv:3: '0' lies before the time"},
        {"", "t,up\nnoon,0\n", "log.csv:2: 'noon' is no time"},
        {"", "up\n\"0\n", "log.csv:2: a quote is not closed"},
        {"", "up,UP\n0,0\n", "log.csv:1: 'UP' means the same as an earlier "
                             "column"},
        {"--map K1=up", "up\n0\n", "'K1=up' of --map is not COLUMN=NAME"},
        {"--map K1=ups", "K1\n0\n", "'ups' not a name of this review"},
        {"--time z", "t,up\n0,0\n", "'z' of --time is no column"},
        {"--memory 1KiB", "up\n0\n", "not finished"},
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        assert_int_equal(match(rows[i].options, rows[i].log),
                         strstr(rows[i].options, "memory") ? 3 : 2);
        shell_expect(rows[i].says);
    }
    assert_int_equal(shell_run("%s match " TABLE " 2>&1", shell_program()), 2);
    assert_int_equal(shell_run("%s match " TABLE " /tmp 2>&1", shell_program()),
                     2);
    assert_int_equal(shell_run("%s match " TABLE " /no/log.csv 2>&1",
                               shell_program()), 2);
    shell_expect("cannot read '/no/log.csv': no such file or folder");
}

/* The heading opens a file whose first bytes are no text at all. */
static void any_bytes_end_with_a_message(void **state)
{
    char log[400];
    uint32_t random = 1;

    (void)state;
    for (int trial = 0; trial < 60; trial++) {
        size_t n = (size_t)snprintf(log, sizeof log, "t,up,up_button\n");

        while (n < sizeof log - 1) {
            random = random * 1664525 + 1013904223;
            log[n++] = "01,;\"\n\t .:xT\xff-"[(random >> 16) % 14];
        }
        log[n] = '\0';
        assert_in_range(match("", log), 0, 2);
    }
}

/* ---- length ---- */

#ifndef __SANITIZE_ADDRESS__
static long kilobytes(void)
{
    struct rusage usage;

    assert_int_equal(getrusage(RUSAGE_CHILDREN, &usage), 0);
    return usage.ru_maxrss;
}
#endif

/* Written past the memory of this process, which the child begins with. */
static int match_rows(unsigned thousands)
{
    char path[200];
    FILE *out;

    snprintf(path, sizeof path, "%s/log.csv", shell_place());
    out = fopen(path, "w");
    assert_non_null(out);
    fputs("up_button,down_button,stop_ok,at_top,up,down\n", out);
    for (unsigned i = 0; i < 250 * thousands; i++)
        fputs("0,0,1,0,0,0\n1,0,1,0,1,0\n0,0,1,0,1,0\n0,0,0,0,0,0\n", out);
    assert_int_equal(fclose(out), 0);
    return shell_run("%s match " TABLE " %s", shell_program(), path);
}

/* A thousand times the rows in the same memory. */
static void memory_does_not_grow_with_rows(void **state)
{
    (void)state;
#ifdef __SANITIZE_ADDRESS__
    assert_int_equal(match_rows(10), 0);
#else
    long before;

    assert_int_equal(match_rows(1), 0);
    before = kilobytes();
    assert_int_equal(match_rows(1000), 0);
    shell_expect("1,000,000 rows");
    assert_true(kilobytes() < before + 2048);
#endif
}

/* ---- logs of models/ ---- */

struct recorder {
    struct loaded *loaded;
    const struct model *model;
    struct machine *machine;
    uint32_t *choices;
    int64_t *state;
    uint64_t random;
    const struct code_expr **asked; /* what the programs got */
    int64_t *read;
    uint32_t n_read;
};

static uint32_t pick(struct recorder *r, uint32_t n)
{
    r->random = r->random * 6364136223846793005u + 1442695040888963407u;
    return (uint32_t)((r->random >> 33) % n);
}

static void open_recorder(struct recorder *r, const char *review)
{
    const struct load_request request = {.path = review};
    struct arena *arena;

    r->loaded = load_run(&request);
    r->model = r->loaded->model;
    assert_non_null(r->model);
    arena = r->loaded->arena;
    r->machine = machine_new(arena, r->model);
    r->choices = arena_array(arena, r->model->n_choices, sizeof(uint32_t));
    r->state = arena_array(arena, machine_words(r->machine),
                           sizeof(int64_t));
    r->asked = arena_array(arena, r->model->n_slots, sizeof *r->asked);
    r->read = arena_array(arena, r->model->n_slots, sizeof *r->read);
    for (uint32_t i = 0; i < r->model->n_slots; i++) {
        struct code_expr *e = ARENA_NEW(arena, struct code_expr);

        if (!r->model->slots[i].input)
            continue;
        e->op = CODE_READ;
        e->index = i;
        e->type = r->model->slots[i].type;
        r->asked[r->n_read++] = e;
    }
}

/* Controls stay as they are most of the time, so that something happens. */
static void choose(struct recorder *r)
{
    for (uint32_t i = 0; i < r->model->n_choices; i++) {
        const struct choice *choice = &r->model->choices[i];

        if (choice->kind == CHOICE_FAULT || choice->kind == CHOICE_POWER)
            r->choices[i] = machine_rest(choice);
        else if (choice->kind != CHOICE_OPERATOR || pick(r, 6) == 0)
            r->choices[i] = pick(r, choice->count);
    }
}

static const struct step_result *scan(struct recorder *r, bool first)
{
    const struct step_question question = {r->asked, r->n_read, r->read};
    const struct step_setting setting = {.first = first,
                                         .question = &question};
    const struct step_result *step;

    do {
        choose(r);
        if (first)
            machine_start(r->machine, r->choices, r->state);
        step = machine_step(r->machine, &setting, r->choices, r->state);
    } while (step->end != STEP_JUDGED);
    return step;
}

/* Inputs and commands of so many scans of one run; flip: the value of that
 * number among those behind the heading, the commands last in each row, is
 * turned over. */
static void record(struct recorder *r, uint32_t rows, uint64_t seed,
                   uint64_t flip, struct text *log)
{
    const struct model *model = r->model;
    uint64_t number = 0;

    r->random = seed;
    text_clear(log);
    text_add(log, "nothing");
    for (uint32_t i = 0; i < model->n_slots; i++)
        if (model->slots[i].input)
            text_printf(log, ",%s", model->slots[i].path);
    for (uint32_t i = 0; i < model->n_actuators; i++)
        text_printf(log, ",%s", model->actuators[i].name->spelling);
    for (uint32_t row = 0; row < rows; row++) {
        const struct step_result *step = scan(r, row == 0);

        text_add(log, "\n");
        for (uint32_t i = 0; i < r->n_read; i++)
            text_printf(log, ",%lld",
                        (long long)(r->read[i] ^ (number++ == flip)));
        for (uint32_t i = 0; i < model->n_actuators; i++)
            text_printf(log, ",%lld",
                        (long long)(step->command[i] ^ (number++ == flip)));
    }
    text_add(log, "\n");
}

static int match_model(const char *review, const struct text *log)
{
    shell_put(shell_place(), "log.csv", text_str(log));
    return shell_run("%s match %s %s/log.csv", shell_program(), review,
                     shell_place());
}

static void logs_of_models_fit(void **state)
{
    static const char *const reviews[] = {TABLE,
                                          "models/tailgate/tailgate.review"};
    struct text log = {0};

    (void)state;
    for (size_t i = 0; i < sizeof reviews / sizeof *reviews; i++) {
        struct recorder r = {0};

        open_recorder(&r, reviews[i]);
        for (uint64_t seed = 1; seed <= 5; seed++) {
            record(&r, 300, seed, UINT64_MAX, &log);
            assert_int_equal(match_model(reviews[i], &log), 0);
        }
        loaded_free(r.loaded);
    }
    text_release(&log);
}

/* What a limit ends is not finished, and nothing else. */
static void limits_change_no_answer(void **state)
{
    static const char *const logs[] = {
        "lower_valve,close_left_on\n0,0\n0,1\n1,1\n1,1\n0,0\n",
        "lower_valve,close_left_on,lower_cab\n0,0,0\n1,1,0\n1,0,0\n"};
    unsigned finished = 0, ended = 0;

    (void)state;
    for (unsigned i = 0; i < 2; i++) {
        int sure;

        shell_put(shell_place(), "log.csv", logs[i]);
        sure = shell_run("%s match --anywhere models/tailgate/tailgate.review "
                         "%s/log.csv", shell_program(), shell_place());
        assert_in_range(sure, 0, 1);
        for (unsigned size = 64; size < 16384; size += size / 4) {
            int code = shell_run("%s match --anywhere --memory %uKiB "
                                 "models/tailgate/tailgate.review "
                                 "%s/log.csv", shell_program(), size,
                                 shell_place());

            assert_true(code == sure || code == 3);
            finished += code == sure;
            ended += code == 3;
        }
    }
    print_message("%u finished, %u not\n", finished, ended);
    assert_true(finished > 1 && ended > 1);
}

/* The table has no power failure, and all its inputs are recorded: a command
 * that is turned over is seen in its own row. */
static void turned_commands_are_seen_at_once(void **state)
{
    struct recorder r = {0};
    struct text log = {0};
    char says[80];

    (void)state;
    open_recorder(&r, TABLE);
    for (uint32_t row = 0; row < 40; row++) {
        record(&r, 40, 9, (uint64_t)row * 6 + 4 + row % 2, &log);
        assert_int_equal(match_model(TABLE, &log), 1);
        snprintf(says, sizeof says, "Line %u is the first", row + 2);
        shell_expect(says);
    }
    text_release(&log);
    loaded_free(r.loaded);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(spellings_are_read),
        cmocka_unit_test(differences_are_told),
        cmocka_unit_test(time_between_rows_counts),
        cmocka_unit_test(mistakes_have_a_place),
        cmocka_unit_test(any_bytes_end_with_a_message),
        cmocka_unit_test(memory_does_not_grow_with_rows),
        cmocka_unit_test(logs_of_models_fit),
        cmocka_unit_test(limits_change_no_answer),
        cmocka_unit_test(turned_commands_are_seen_at_once),
    };

    return cmocka_run_group_tests(tests, shell_set_up, shell_tear_down);
}
