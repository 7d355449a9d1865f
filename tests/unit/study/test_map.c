#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "base/arena.h"
#include "base/os.h"
#include "base/text.h"
#include "check/model.h"
#include "present/mapwords.h"
#include "source/diag.h"
#include "source/render.h"
#include "study/load.h"
#include "study/map.h"

static const char control[] =
    "PROGRAM Hoist\n"
    "VAR_INPUT go : BOOL; halt_ok : BOOL; down : BOOL; END_VAR\n"
    "VAR_OUTPUT run : BOOL; bell : BOOL; sink : BOOL; END_VAR\n"
    "VAR count : INT (0 .. 3); one : Step; two : Step; END_VAR\n"
    "  run := (go OR run) AND halt_ok;\n"
    "  bell := go AND halt_ok;\n"
    "  sink := down;\n"
    "  IF go AND count < 3 THEN count := count + 1; END_IF;\n"
    "  one(go := go);\n"
    "  two(go := down);\n"
    "END_PROGRAM\n"
    "FUNCTION_BLOCK Step\n"
    "VAR_INPUT go : BOOL; END_VAR\n"
    "VAR stage : (Idle, Busy); END_VAR\n"
    "  IF go THEN stage := Busy; ELSE stage := Idle; END_IF;\n"
    "END_FUNCTION_BLOCK\n";

/* %s: further lines of the review. */
static const char review[] =
    "REVIEW Hoist 'a hoist'\n"
    "  CONTROL '%s';\n"
    "  SCAN T#100ms;\n"
    "  %s\n"
    "  CONTROLS\n"
    "    go      : BUTTON 'go button';\n"
    "    down    : BUTTON 'down button';\n"
    "    halt_ok : STOP 'stop button' CONTACTS OPENING;\n"
    "    run     : MOTOR 'hoist rises';\n"
    "    sink    : VALVE 'hoist sinks';\n"
    "    bell    : HORN 'bell';\n"
    "  END_CONTROLS\n"
    "  MECHANISM Hook\n"
    "    VAR place : (Low, High) := Low; END_VAR\n"
    "    MOVES place FROM Low TO High IN T#200ms .. WHILE run;\n"
    "    MOVES place FROM High TO Low WHILE sink AND NOT run;\n"
    "  END_MECHANISM\n"
    "  FAULTS F1 'motor wire touches the supply'\n"
    "    : run SHORT TO SUPPLY; END_FAULTS\n"
    "  REQUIREMENTS R1 : NEVER run AND PRESSED halt_ok; END_REQUIREMENTS\n"
    "END_REVIEW\n";

/* A model read from texts that were written to files. */
struct bench {
    char path[2][64];
    struct loaded *loaded;
    struct study study;
    const struct map *map;
};

static void write_text(char *path, const char *ending, const char *bytes)
{
    int at;

    snprintf(path, 64, "/tmp/map-XXXXXX%s", ending);
    at = mkstemps(path, (int)strlen(ending));
    assert_true(at >= 0);
    close(at);
    assert_int_equal(os_write_file(path, bytes, strlen(bytes)), OS_OK);
}

static void open_bench(struct bench *bench, const char *lines)
{
    struct text text = {0}, what = {0};
    struct load_request request = {.path = bench->path[1]};

    memset(bench, 0, sizeof *bench);
    write_text(bench->path[0], ".st", control);
    text_printf(&text, review, strrchr(bench->path[0], '/') + 1, lines);
    write_text(bench->path[1], ".review", text_str(&text));
    bench->loaded = load_run(&request);
    if (bench->loaded->model == NULL) {
        render_diags(&what, bench->loaded->sources, bench->loaded->diags);
        fail_msg("%s", text_str(&what));
    }
    text_release(&text);
}

static void close_bench(struct bench *bench)
{
    study_close(&bench->study);
    loaded_free(bench->loaded);
    unlink(bench->path[0]);
    unlink(bench->path[1]);
}

static void build(struct bench *bench, const char *by, uint32_t faults,
                  uint64_t most)
{
    const struct study_setting setting = {.most_situations = most};
    struct shown_list shown = shown_read(
        bench->loaded->arena, bench->loaded->names, bench->loaded->model,
        by);

    assert_null(shown.failure);
    assert_true(study_open(&bench->study, bench->loaded->arena,
                           bench->loaded->model, &setting,
                           bench->loaded->diags));
    bench->map = map_build(&bench->study, &shown, faults);
}

/* The whole map: "gap Low*; gap High | 1>2 only with ...; 2>1 ..." where *
 * is power-up. */
static void assert_map(const char *lines, const char *by, uint32_t faults,
                       const char *wanted)
{
    struct bench bench;
    struct text text = {0};

    open_bench(&bench, lines);
    build(&bench, by, faults, 0);
    for (uint32_t i = 0; i < bench.map->n_nodes; i++) {
        text_add(&text, i == 0 ? "" : "; ");
        mapwords_node(&text, bench.map, i, ", ");
        text_add(&text, bench.map->nodes[i].first ? "*" : "");
    }
    for (uint32_t i = 0; i < bench.map->n_edges; i++) {
        const struct map_edge *edge = &bench.map->edges[i];

        text_printf(&text, "%s%u>%u ", i == 0 ? " | " : "; ",
                    edge->from + 1, edge->to + 1);
        mapwords_sentence(&text, bench.map, edge);
    }
    assert_string_equal(text_str(&text), wanted);
    assert_int_equal(bench.map->stop, STOP_NONE);
    text_release(&text);
    close_bench(&bench);
}

static void an_actuator_by_hands(void **state)
{
    (void)state;
    assert_map("", "run", 0,
               "run off*; run on* | "
               "1>2 only with go button held and stop button not pressed; "
               "2>1 only with stop button pressed");
}

static void power_is_named(void **state)
{
    (void)state;
    assert_map("POWER MAY FAIL;", "run", 0,
               "run off*; run on* | "
               "1>2 only with go button held and stop button not pressed; "
               "2>1 only with either stop button pressed, or power off");
}

static void faults_are_named(void **state)
{
    (void)state;
    assert_map("", "run", 1,
               "run off*; run on* | "
               "1>2 only with either go button held and stop button not "
               "pressed, or F1 (motor wire touches the supply) appearing; "
               "2>1 only with stop button pressed");
}

static void the_machine_by_what_drove_it(void **state)
{
    (void)state;
    assert_map("", "place", 0,
               "place Low*; place High | 1>2 only with run on before; "
               "2>1 only with sink on before");
}

/* Nothing remembers the bell: one situation shows both its values. */
static void what_is_not_remembered_is_shown_too(void **state)
{
    (void)state;
    assert_map("", "Hoist.bell", 0,
               "Hoist.bell FALSE*; Hoist.bell TRUE* | "
               "1>2 only with go button held and stop button not pressed; "
               "2>1 only with either go button released, or stop button "
               "pressed");
}

/* What a chosen hand shows stands in the box, not on the arrow. */
static void hands_stand_in_boxes(void **state)
{
    (void)state;
    assert_map("", "down,sink", 0,
               "down button released, sink off*; down button held, sink on* "
               "| 1>2 whatever is operated; 2>1 whatever is operated");
}

/* An assumption of the review needs no word. */
static void what_is_assumed_is_not_repeated(void **state)
{
    (void)state;
    assert_map("ASSUMPTIONS A1 : NOT (PRESSED go AND PRESSED down); "
               "END_ASSUMPTIONS", "run", 0,
               "run off*; run on* | "
               "1>2 only with go button held and stop button not pressed; "
               "2>1 only with stop button pressed");
    assert_map("ASSUMPTIONS A1 : NOT (PRESSED go AND PRESSED down); "
               "END_ASSUMPTIONS", "run,sink", 0,
               "run off, sink off*; run off, sink on*; run on, sink off*; "
               "run on, sink on | 1>2 only with down button held; "
               "1>3 only with go button held and stop button not pressed; "
               "2>1 only with down button released, and either go button "
               "released, or stop button pressed; "
               "2>3 only with go button held and stop button not pressed; "
               "3>1 only with down button released and stop button pressed; "
               "3>2 only with down button held and stop button pressed; "
               "3>4 only with down button held and stop button not pressed; "
               "4>1 only with down button released and stop button pressed; "
               "4>2 only with down button held and stop button pressed; "
               "4>3 only with down button released and stop button not "
               "pressed");
}

static void an_integer_counts_up(void **state)
{
    (void)state;
    assert_map("", "count", 0,
               "count 0*; count 1*; count 2; count 3 | 1>2 only with go "
               "button held; 2>3 only with go button held; 3>4 only with go "
               "button held");
}

static void a_limit_leaves_it_incomplete(void **state)
{
    struct bench bench;

    (void)state;
    open_bench(&bench, "");
    build(&bench, "place,count", 0, 3);
    assert_int_equal(bench.map->stop, STOP_SITUATIONS);
    close_bench(&bench);
}

/* Which of the chosen variables are left at most two nodes. */
static void a_coarser_one_leaves_out_what_saves_most(void **state)
{
    struct bench bench;
    const bool *kept;

    (void)state;
    open_bench(&bench, "");
    build(&bench, "count,place", 0, 0);
    assert_int_equal(bench.map->n_nodes, 7);
    kept = map_coarser(bench.map, 2, 9999, bench.loaded->arena);
    assert_false(kept[0]);
    assert_true(kept[1]);
    kept = map_coarser(bench.map, 7, 9999, bench.loaded->arena);
    assert_true(kept[0] && kept[1]);
    kept = map_coarser(bench.map, 7, 2, bench.loaded->arena);
    assert_true(!kept[0] && kept[1]);
    close_bench(&bench);
}

static void assert_refused(const char *by, const char *piece)
{
    struct bench bench;
    struct shown_list shown;

    open_bench(&bench, "");
    shown = shown_read(bench.loaded->arena, bench.loaded->names,
                       bench.loaded->model, by);
    if (shown.failure == NULL || strstr(shown.failure, piece) == NULL)
        fail_msg("%s: %s", by, shown.failure == NULL ? "" : shown.failure);
    close_bench(&bench);
}

static void names_are_found_or_refused(void **state)
{
    (void)state;
    assert_refused("plase", "did you mean 'place'?");
    assert_refused("place,quite_different", "no variable 'quite_different'");
    assert_refused("place,,run", "commas between them");
    assert_refused("", "commas between them");
    assert_refused("stage", "no variable 'stage'");
}

static void the_usual_choice_is_the_machine(void **state)
{
    struct bench bench;
    struct shown_list shown;

    (void)state;
    open_bench(&bench, "");
    shown = shown_usual(bench.loaded->arena, bench.loaded->model);
    assert_null(shown.failure);
    assert_int_equal(shown.n, 1);
    assert_string_equal(shown.at[0].name, "place");
    shown = shown_read(bench.loaded->arena, bench.loaded->names,
                       bench.loaded->model, "ONE.STAGE, PLACE ,place");
    assert_null(shown.failure);
    assert_int_equal(shown.n, 2);
    assert_string_equal(shown.at[0].name, "one.stage");
    close_bench(&bench);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(an_actuator_by_hands),
        cmocka_unit_test(power_is_named),
        cmocka_unit_test(faults_are_named),
        cmocka_unit_test(the_machine_by_what_drove_it),
        cmocka_unit_test(what_is_not_remembered_is_shown_too),
        cmocka_unit_test(hands_stand_in_boxes),
        cmocka_unit_test(what_is_assumed_is_not_repeated),
        cmocka_unit_test(an_integer_counts_up),
        cmocka_unit_test(a_limit_leaves_it_incomplete),
        cmocka_unit_test(a_coarser_one_leaves_out_what_saves_most),
        cmocka_unit_test(names_are_found_or_refused),
        cmocka_unit_test(the_usual_choice_is_the_machine),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
