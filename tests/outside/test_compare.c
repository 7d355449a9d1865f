/* Two versions of a control text side by side: the machines of models/, and
 * small texts whose differences are told by hand.  (Random ones:
 * test_compare_random.c.) */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/arena.h"
#include "base/os.h"
#include "base/text.h"
#include "study/asks.h"
#include "study/became.h"
#include "study/compare.h"
#include "study/load.h"
#include "study/reviews.h"
#include "tests/support/checked.h"
#include "tests/support/folder.h"

/* ---- the machines of models/ ---- */

struct two {
    struct loaded *was, *is;
    struct arena *arena;
    const struct comparison *found;
};

static struct loaded *load(const char *review, const char *control)
{
    const struct load_request request = {.path = review, .control = control};
    struct loaded *loaded = load_run(&request);

    if (loaded->model == NULL)
        print_error("%s with %s does not read\n", review,
                    control == NULL ? "its own text" : control);
    assert_non_null(loaded->model);
    return loaded;
}

static void put_side_by_side(struct two *two, const char *review,
                             const char *control, bool quick)
{
    static const struct renames none = {NULL, 0};
    const struct study_setting setting = {.quick = quick};

    two->arena = arena_new();
    two->was = load(review, NULL);
    two->is = load(review, control);
    const struct twins_asked asked = {
        .was = {two->was->model, two->was->sources},
        .is = {two->is->model, two->is->sources},
        .renames = &none, .setting = &setting};
    two->found = compare_versions(two->arena, &asked, two->is->diags);
    assert_non_null(two->found);
    assert_null(two->found->refused);
    if (two->found->internal_error != NULL)
        print_error("%s: %s\n", control, two->found->internal_error);
    assert_null(two->found->internal_error);
}

static void release(struct two *two)
{
    arena_free(two->arena);
    loaded_free(two->was);
    loaded_free(two->is);
}

static const char tailgate[] = "models/tailgate/tailgate.review";

/* The differences as lines of a table. */
static void add_lines(struct text *to, const char *name,
                      const struct comparison *found)
{
    for (uint32_t i = 0; i < found->n_differences; i++) {
        const struct difference *one = &found->differences[i];

        text_printf(to, "%s %s %s %u %u\n", name,
                    found->outputs[one->output].name,
                    one->new_ahead ? "on" : "off", (unsigned)one->faults,
                    (unsigned)one->level);
    }
}

/* The lines of a table without the word that says what its author meant; at
 * least one of a text has it. */
static void leave_judgement(struct text *to, const char *lines)
{
    static const char word[] = " meant\n";
    const char *at = lines, *next;

    for (; (next = strstr(at, word)) != NULL; at = next + strlen(word)) {
        text_add_bytes(to, at, (size_t)(next - at));
        text_add(to, "\n");
    }
    assert_true(at != lines);
    text_add(to, at);
}

static void as_listed(void *review, const char *path, const char *lines)
{
    struct text got = {0}, wanted = {0};
    struct two two;

    put_side_by_side(&two, review, path, true);
    add_lines(&got, strrchr(path, '/') + 1, two.found);
    leave_judgement(&wanted, lines);
    assert_string_equal(text_str(&got), text_str(&wanted));
    assert_int_equal(compare_exit_code(two.found), 1);
    release(&two);
    text_release(&got);
    text_release(&wanted);
}

/* What breaks a requirement comes of commands, so these must differ. */
static void differs(void *review, const char *path, const char *lines)
{
    struct two two;

    (void)lines;
    put_side_by_side(&two, review, path, true);
    if (compare_exit_code(two.found) != 1)
        print_error("%s: no difference\n", path);
    assert_int_equal(compare_exit_code(two.found), 1);
    release(&two);
}

#ifdef __SANITIZE_ADDRESS__
enum { ONE_IN = 10, ONE_IN_BODY = 50 };
#elif defined TEST_WHOLE
enum { ONE_IN = 1, ONE_IN_BODY = 1 };
#else
/* All of the body take three minutes. */
enum { ONE_IN = 5, ONE_IN_BODY = 12 };
#endif

/* Of the greater body each change shows what its author meant: the lines of
 * the table, which says with how many faults it was asked for. */
static void test_changes(void **unused)
{
    static char table[] = "models/table/table.review";
    static char body[] = "models/rear_body/rear_body.review";

    (void)unused;
    folder_table("models/tailgate/changes/", "EXPECTED", ONE_IN, differs,
                 (void *)tailgate);
    folder_table("models/table/changes/", "EXPECTED", 1, differs, table);
    folder_table("models/rear_body/changes/", "DIFFERENCES", ONE_IN_BODY,
                 as_listed, body);
}

/* Behaviour is kept by construction: renamed, reordered, other forms of the
 * same expression or statement (by the laws of Boolean algebra). */
static void test_rewritten(void **unused)
{
    static const char *const texts[] = {
        "renamed", "reordered", "flags", "de_morgan", "if_for_case",
        "expressions", "functions", "block"};

    (void)unused;
    for (size_t i = 0; i < sizeof texts / sizeof *texts; i++) {
        struct text path = {0};
        struct two two;

        text_printf(&path, "tests/outside/rewritten/%s.st", texts[i]);
        put_side_by_side(&two, tailgate, text_str(&path), false);
        if (two.found->sameness != SAME_READ)
            print_error("%s is not the same\n", texts[i]);
        assert_int_equal(two.found->sameness, SAME_READ);
        assert_int_equal(compare_exit_code(two.found), 0);
        assert_int_equal(two.found->n_differences, 0);
        release(&two);
        text_release(&path);
    }
}

/* ---- small texts ---- */

static const char switches[] =
    "REVIEW Small\n"
    "  SCAN T#100ms;\n"
    "  CONTROLS\n"
    "    go : BUTTON 'go';\n"
    "    shut_1 : SENSOR 'shut 1' ON WHEN door = Shut;\n"
    "    shut_2 : SENSOR 'shut 2' ON WHEN door = Shut;\n"
    "    drive : MOTOR 'drive';\n"
    "    lamp : LAMP 'lamp';\n"
    "  END_CONTROLS\n"
    "  MECHANISM Door\n"
    "    VAR door : (Shut, Away); END_VAR\n"
    "    MAY door := Shut; OR door := Away; END_MAY;\n"
    "    IF drive THEN door := Away; END_IF;\n"
    "  END_MECHANISM\n"
    "  FAULTS\n"
    "    F1 : shut_1 STAYS;\n"
    "    F2 : shut_2 STAYS;\n"
    "  END_FAULTS\n"
    "%s"
    "  REQUIREMENTS\n"
    "    R1 'the drive runs at a shut door only' :\n"
    "      NEVER drive AND door <> Shut AND NOT PRESSED go;\n"
    "  END_REQUIREMENTS\n"
    "END_REVIEW\n";

static const char program[] =
    "PROGRAM Main\n"
    "VAR_INPUT go, shut_1, shut_2 : BOOL; END_VAR\n"
    "VAR_OUTPUT drive, lamp : BOOL; END_VAR\n"
    "VAR n : INT; END_VAR\n"
    "    %s\n"
    "END_PROGRAM\n";

static const char asks_review[] =
    "REVIEW Small\n"
    "  SCAN T#100ms;\n"
    "  CONTROLS\n"
    "    go : BUTTON 'go';\n"
    "    shut_1 : SENSOR 'shut 1' ON WHEN door = Shut;\n"
    "    shut_2 : SENSOR 'shut 2' ON WHEN door = Shut;\n"
    "    drive : MOTOR 'drive';\n"
    "    lamp : LAMP 'lamp';\n"
    "  END_CONTROLS\n"
    "  MECHANISM Door\n"
    "    VAR door : (Shut, Away); END_VAR\n"
    "    MAY door := Shut; OR door := Away; END_MAY;\n"
    "  END_MECHANISM\n"
    "  FAULTS F1 : shut_1 STAYS; END_FAULTS\n"
    "  REQUIREMENTS R1 'it' : %s; END_REQUIREMENTS\n"
    "END_REVIEW\n";

struct small {
    struct checked was, is;
    struct arena *arena;
    const struct comparison *found;
};

static void compare_small(struct small *s, const char *section,
                          const char *was, const char *is)
{
    static const struct renames none = {NULL, 0};
    static const struct study_setting setting = {0};
    struct text review = {0}, old = {0}, new = {0};

#pragma GCC diagnostic push
#pragma GCC diagnostic ignored "-Wformat-nonliteral"
    text_printf(&review, switches, section);
    text_printf(&old, program, was);
    text_printf(&new, program, is);
#pragma GCC diagnostic pop
    checked_init(&s->was, text_str(&old), text_str(&review));
    checked_init(&s->is, text_str(&new), text_str(&review));
    assert_non_null(s->was.model);
    assert_non_null(s->is.model);
    const struct twins_asked asked = {
        .was = {s->was.model, s->was.sources},
        .is = {s->is.model, s->is.sources},
        .renames = &none, .setting = &setting};
    s->arena = arena_new();
    s->found = compare_versions(s->arena, &asked, s->is.diags);
    assert_non_null(s->found);
    assert_null(s->found->refused);
    assert_null(s->found->internal_error);
    text_release(&review);
    text_release(&old);
    text_release(&new);
}

static void release_small(struct small *s)
{
    arena_free(s->arena);
    checked_release(&s->was);
    checked_release(&s->is);
}

/* Without faults both switches say the same: only a fault tells. */
static void test_two_switches(void **unused)
{
    struct small s;

    (void)unused;
    compare_small(&s, "", "drive := go AND shut_1 AND shut_2; lamp := go;",
                  "drive := go AND shut_1; lamp := go;");
    assert_int_equal(s.found->sameness, SAME_DIFFERENT);
    assert_int_equal(s.found->n_differences, 1);
    assert_int_equal(s.found->differences[0].faults, 1);
    assert_true(s.found->differences[0].new_ahead);
    assert_int_equal(s.found->output[1], SAME_REVIEW);
    assert_int_equal(compare_exit_code(s.found), 1);
    release_small(&s);
}

/* The same for what the machine gives, though not for all that can be read:
 * with both switches alike, and no single fault of the review telling. */
static void test_same_under_review(void **unused)
{
    struct small s;

    (void)unused;
    compare_small(&s, "  ASSUMPTIONS A1 : NOT PRESSED go; END_ASSUMPTIONS\n",
                  "drive := go AND shut_1 AND shut_2; lamp := FALSE;",
                  "drive := go AND shut_1; lamp := FALSE;");
    assert_int_equal(s.found->sameness, SAME_REVIEW);
    assert_int_equal(s.found->n_differences, 0);
    assert_int_equal(compare_exit_code(s.found), 0);
    release_small(&s);
}

/* A lamp drives nothing: what differs behind its difference is found. */
static void test_lamp_drives_nothing(void **unused)
{
    struct small s;

    (void)unused;
    compare_small(&s, "", "lamp := TRUE; drive := go AND shut_1;",
                  "lamp := FALSE; drive := go AND shut_1 AND NOT shut_2;");
    assert_true(s.found->outputs[0].drives);
    assert_false(s.found->outputs[1].drives);
    assert_int_equal(s.found->output[0], SAME_DIFFERENT);
    assert_int_equal(s.found->output[1], SAME_DIFFERENT);
    release_small(&s);
}

static void test_intended(void **unused)
{
    static const char lamp[] =
        "  INTENDED D1 'the lamp shows the door' :\n"
        "    lamp MAY DIFFER WHEN door = Shut; END_INTENDED\n";
    struct small s;

    (void)unused;
    compare_small(&s, lamp, "drive := go; lamp := FALSE;",
                  "drive := go; lamp := shut_1 OR shut_2;");
    assert_int_equal(s.found->sameness, SAME_DIFFERENT);
    assert_int_equal(s.found->n_intended, 1);
    for (uint32_t i = 0; i < s.found->n_differences; i++)
        assert_true(s.found->differences[i].intended == 0 ||
                    s.found->differences[i].faults == 1);
    release_small(&s);
    compare_small(&s, lamp, "drive := go; lamp := shut_1 OR NOT shut_2;",
                  "drive := go; lamp := shut_1 OR NOT shut_2;");
    assert_int_equal(s.found->sameness, SAME_READ);
    assert_int_equal(s.found->n_intended, 0);
    assert_int_equal(compare_exit_code(s.found), 1); /* it does not occur */
    release_small(&s);
    compare_small(&s, "  INTENDED D1 : drive MAY DIFFER WHEN PRESSED go;\n"
                      "  END_INTENDED\n",
                  "drive := go; lamp := go;", "drive := FALSE; lamp := go;");
    assert_int_equal(s.found->sameness, SAME_REVIEW);
    assert_int_equal(s.found->n_intended, 1);
    assert_int_equal(compare_exit_code(s.found), 0);
    release_small(&s);
}

/* A state that the new text never reaches leaves it two values, which look
 * like FALSE and TRUE there. */
static void test_fewer_states(void **unused)
{
    struct small s;

    (void)unused;
    compare_small(&s, "",
                  "CASE n OF 0: IF go THEN n := 1; END_IF; "
                  "1: IF NOT go AND shut_1 THEN n := 2; END_IF; "
                  "ELSE IF go THEN n := 0; END_IF; END_CASE; "
                  "drive := n = 2; lamp := n = 1;",
                  "CASE n OF 0: IF go THEN n := 1; END_IF; "
                  "1: IF NOT go AND shut_1 AND go THEN n := 2; END_IF; "
                  "ELSE IF go THEN n := 0; END_IF; END_CASE; "
                  "drive := n = 2; lamp := n = 1;");
    assert_int_equal(s.found->sameness, SAME_DIFFERENT);
    assert_int_equal(compare_exit_code(s.found), 1);
    release_small(&s);
}

/* Declared outputs that the review does not speak of are compared, too; one
 * that only the new text has is not. */
static void test_outputs_by_declaration(void **unused)
{
    static const struct renames none = {NULL, 0};
    static const struct study_setting setting = {0};
    static const char *const texts[] = {
        "PROGRAM Main\nVAR_INPUT a : BOOL; END_VAR\n"
        "VAR_OUTPUT x : BOOL; END_VAR\n    x := a;\nEND_PROGRAM\n",
        "PROGRAM Main\nVAR_INPUT a : BOOL; END_VAR\n"
        "VAR_OUTPUT x, y : BOOL; END_VAR\n    x := a; y := NOT a;\n"
        "END_PROGRAM\n"};
    struct checked was, is;
    struct arena *arena = arena_new();
    const struct comparison *found;

    (void)unused;
    checked_init(&was, texts[0], NULL);
    checked_init(&is, texts[1], NULL);
    const struct twins_asked asked = {
        .was = {was.model, was.sources}, .is = {is.model, is.sources},
        .renames = &none, .setting = &setting};
    found = compare_versions(arena, &asked, is.diags);
    assert_non_null(found);
    assert_int_equal(found->n_outputs, 1);
    assert_int_equal(found->sameness, SAME_READ);
    assert_int_equal(found->n_alone, 1);
    assert_int_equal(compare_exit_code(found), 1);
    arena_free(arena);
    checked_release(&was);
    checked_release(&is);
}

/* Numbers are told apart at the limits of both texts. */
static void test_limits_of_both(void **unused)
{
    static const struct renames none = {NULL, 0};
    static const struct study_setting setting = {0};
    static const char *const limits[] = {"100", "500"};
    static const char text[] =
        "PROGRAM Main\nVAR_INPUT load : INT; END_VAR\n"
        "VAR_OUTPUT out : BOOL; END_VAR\n    out := load > %s;\n"
        "END_PROGRAM\n";
    struct checked both[2];
    struct arena *arena = arena_new();
    const struct comparison *found;

    (void)unused;
    for (int i = 0; i < 2; i++) {
        struct text control = {0};

#pragma GCC diagnostic push
#pragma GCC diagnostic ignored "-Wformat-nonliteral"
        text_printf(&control, text, limits[i]);
#pragma GCC diagnostic pop
        checked_init(&both[i], text_str(&control), NULL);
        assert_non_null(both[i].model);
        text_release(&control);
    }
    const struct twins_asked asked = {
        .was = {both[0].model, both[0].sources},
        .is = {both[1].model, both[1].sources},
        .renames = &none, .setting = &setting};
    found = compare_versions(arena, &asked, both[1].diags);
    assert_non_null(found);
    assert_null(found->internal_error);
    assert_int_equal(found->n_outputs, 1);
    assert_int_equal(found->n_differences, 1);
    assert_false(found->differences[0].new_ahead);
    arena_free(arena);
    checked_release(&both[0]);
    checked_release(&both[1]);
}

/* What the copy of the review text was made to ask less (its changes: A3
 * added, F6 excluded and so left out of R2, DESPITE of R10 left out, R12
 * removed). */
static void test_reviews(void **unused)
{
    static const struct {
        const char *kind, *name;
        enum review_change change;
    } wanted[] = {
        {"fault", "F6", REVIEW_EXCLUDED},
        {"requirement", "R2", REVIEW_CHANGED},
        {"requirement", "R10", REVIEW_FEWER_FAULTS},
        {"requirement", "R12", REVIEW_REMOVED},
        {"assumption", "A3", REVIEW_ADDED}};
    static const struct study_setting none = {0};
    struct loaded *was = load(tailgate, NULL);
    struct loaded *is = load("tests/outside/rewritten/less.review", NULL);
    struct arena *arena = arena_new();
    const struct review_differences *found = reviews_compare(arena, was, is, &none);

    (void)unused;
    assert_int_equal(found->n, 5);
    assert_int_equal(found->n_less, 5);
    for (uint32_t i = 0; i < found->n; i++) {
        assert_string_equal(found->at[i].kind, wanted[i].kind);
        assert_string_equal(found->at[i].name, wanted[i].name);
        assert_int_equal(found->at[i].change, wanted[i].change);
    }
    found = reviews_compare(arena, is, was, &none);
    assert_int_equal(found->n, 5);
    assert_int_equal(found->n_less, 3); /* what changed words may be less */
    found = reviews_compare(arena, was, was, &none);
    assert_int_equal(found->n, 0);
    arena_free(arena);
    loaded_free(was);
    loaded_free(is);
}

/* An error in one of them counts though all outputs are the same up to it. */
static void test_error_in_one(void **unused)
{
    struct small s;

    (void)unused;
    compare_small(&s, "", "drive := go; lamp := go;",
                  "drive := go; lamp := go; n := 1 / n;");
    assert_true(s.found->up_to_error);
    assert_int_not_equal(s.found->sameness, SAME_READ);
    assert_int_equal(compare_exit_code(s.found), 3);
    release_small(&s);
}

/* What came and went, as it is read off the texts: "+" is possible in the new
 * one only, "-" in the old one only. */
static void write_became(struct text *to, const struct comparison *found)
{
    const struct all_became *all = found->became;

    for (uint32_t i = 0; i < all->n; i++) {
        const struct became *one = &all->at[i];

        assert_int_not_equal(one->came, CAME_NOT_KNOWN);
        if (one->came == CAME_SAME)
            continue;
        text_add(to, one->came == CAME_NEW ? "+" : "-");
        if (one->actuator == MODEL_NONE)
            text_printf(to, "%d>%d ", (int)one->from, (int)one->value);
        else if (one->slot == MODEL_NONE)
            text_printf(to, "a%u ", (unsigned)one->actuator);
        else
            text_printf(to, "a%u@%d ", (unsigned)one->actuator,
                        (int)one->value);
    }
}

static void test_became(void **unused)
{
    static const struct {
        const char *section, *was, *is, *came;
    } cases[] = {
        /* the door is Shut (0) or Away (1); the drive is actuator 0 */
        {"", "drive := go; lamp := go;",
         "drive := go AND shut_1; lamp := go;", "-a0@1 "},
        {"", "drive := go AND NOT shut_2; lamp := FALSE;",
         "drive := go; lamp := FALSE;", "+a0@0 "},
        /* a lamp that no part has to do with */
        {"", "drive := go; lamp := FALSE;", "drive := go; lamp := go;",
         "+a1 "},
        /* a second part, which the drive alone moves */
        {"  MECHANISM Arm VAR arm : (Home, Gone) := Home; END_VAR\n"
         "    IF drive AND NOT lamp THEN arm := Gone; END_IF;\n"
         "  END_MECHANISM\n",
         "drive := go; lamp := go;", "drive := go; lamp := FALSE;",
         "-a1 +0>1 "},
        {"  MECHANISM Arm VAR arm : (Home, Gone); END_VAR\n"
         "    IF drive THEN arm := Gone; END_IF;\n"
         "  END_MECHANISM\n",
         "drive := go; lamp := TRUE;", "drive := FALSE; lamp := TRUE;",
         "-a0 -0>1 "}};

    (void)unused;
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        struct small s;
        struct text got = {0};

        compare_small(&s, cases[i].section, cases[i].was, cases[i].is);
        assert_non_null(s.found->became);
        write_became(&got, s.found);
        assert_string_equal(text_str(&got), cases[i].came);
        text_release(&got);
        release_small(&s);
    }
}

/* What is weaker, stronger or neither is read off the words by hand. */
static void test_asked_less(void **unused)
{
    static const struct {
        const char *was, *is;
        enum asks asks;
    } pairs[] = {
        {"NEVER drive AND NOT PRESSED go", "ALWAYS PRESSED go OR NOT drive",
         ASKS_SAME},
        {"NEVER drive AND NOT PRESSED go",
         "NEVER drive AND NOT PRESSED go AND door <> Shut", ASKS_LESS},
        {"NEVER drive AND lamp", "NEVER drive", ASKS_MORE},
        {"NEVER drive AND lamp", "NEVER drive AND NOT lamp", ASKS_OTHER},
        {"drive NO LONGER THAN T#500ms", "drive NO LONGER THAN T#700ms",
         ASKS_LESS},
        {"WHEN PRESSED go, THEN drive WITHIN T#500ms",
         "WHEN PRESSED go, THEN drive WITHIN T#400ms", ASKS_MORE},
        {"drive ONLY IF PRESSED go", "NEVER drive AND NOT PRESSED go",
         ASKS_SAME},
        {"NEVER drive BY ITSELF, STARTED BY PRESSED go",
         "NEVER drive BY ITSELF, STARTED BY PRESSED go, lamp", ASKS_LESS},
        {"door MOVES ONLY WHILE drive", "door MOVES ONLY WHILE drive OR lamp",
         ASKS_LESS},
        /* a way that is looked for is not compared */
        {"POSSIBLE drive", "POSSIBLE drive AND lamp", ASKS_NOT_KNOWN}};
    static const struct study_setting setting = {0};
    struct text control = {0};

    (void)unused;
#pragma GCC diagnostic push
#pragma GCC diagnostic ignored "-Wformat-nonliteral"
    text_printf(&control, program, "drive := go; lamp := shut_1;");
    for (size_t i = 0; i < sizeof pairs / sizeof *pairs; i++) {
        struct text was = {0}, is = {0};
        struct checked old, new;
        struct arena *arena = arena_new();
        struct asking *asking;

        text_printf(&was, asks_review, pairs[i].was);
        text_printf(&is, asks_review, pairs[i].is);
        checked_init(&old, text_str(&control), text_str(&was));
        checked_init(&new, text_str(&control), text_str(&is));
        assert_non_null(old.model);
        assert_non_null(new.model);
        asking = asking_open(
            arena, &(struct version){old.model, old.sources},
            &(struct version){new.model, new.sources}, &setting);
        if (asking_compare(asking, 0) != pairs[i].asks)
            print_error("%s | %s\n", pairs[i].was, pairs[i].is);
        assert_int_equal(asking_compare(asking, 0), pairs[i].asks);
        asking_close(asking);
        arena_free(arena);
        checked_release(&old);
        checked_release(&new);
        text_release(&was);
        text_release(&is);
    }
#pragma GCC diagnostic pop
    text_release(&control);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_two_switches),
        cmocka_unit_test(test_same_under_review),
        cmocka_unit_test(test_lamp_drives_nothing),
        cmocka_unit_test(test_intended),
        cmocka_unit_test(test_fewer_states),
        cmocka_unit_test(test_outputs_by_declaration),
        cmocka_unit_test(test_limits_of_both),
        cmocka_unit_test(test_reviews),
        cmocka_unit_test(test_asked_less),
        cmocka_unit_test(test_became),
        cmocka_unit_test(test_error_in_one),
        cmocka_unit_test(test_rewritten),
        cmocka_unit_test(test_changes),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
