/* Puzzles whose numbers of situations, depths and answers are published,
 * written in the review language: scanner, parser, meaning and search are
 * tried together against values that were not made here.  The source of each
 * value stands in the text itself, or in tests/support/generate.h. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include <cmocka.h>

#include "base/arena.h"
#include "base/name.h"
#include "base/os.h"
#include "base/text.h"
#include "check/model.h"
#include "source/diag.h"
#include "source/render.h"
#include "study/load.h"
#include "study/study.h"
#include "tests/support/generate.h"

#define TEXTS "tests/outside/texts/"

enum { MOST_ASKED = 4 };

/* What is published. */
struct published {
    const char *path;
    uint64_t situations;
    const uint32_t *levels; /* sizes of the levels, 0-ended, or NULL */
    uint32_t n_levels;      /* 0: not published */
    uint32_t first[MOST_ASKED]; /* per requirement: level, 0 never */
};

/* One puzzle explored. */
struct puzzle {
    struct loaded *loaded;
    struct arena *arena;
    struct study study;
    struct answer answer;
    uint32_t watch[MOST_ASKED];
};

static void explain(const struct loaded *loaded)
{
    struct text text = {0};

    render_diags(&text, loaded->sources, loaded->diags);
    print_error("%s%s\n", loaded->failure ? loaded->failure : "",
                text_str(&text));
    text_release(&text);
}

static void open_puzzle(struct puzzle *p, const char *path)
{
    struct load_request request = {.path = path};
    struct study_setting setting = {0};

    memset(p, 0, sizeof *p);
    p->loaded = load_run(&request);
    if (!p->loaded->model)
        explain(p->loaded);
    assert_non_null(p->loaded->model);
    p->arena = arena_new();
    assert_true(study_open(&p->study, p->arena, p->loaded->model, &setting,
                           p->loaded->diags));
}

/* All requirements in one question, so that their slice is the puzzle. */
static void explore_puzzle(struct puzzle *p)
{
    const struct model *model = p->loaded->model;
    struct question question = {.watches = p->watch};

    assert_true(model->n_requirements <= MOST_ASKED);
    for (uint32_t i = 0; i < model->n_requirements; i++)
        p->watch[i] = p->study.lowered->breach[i];
    question.n_watches = model->n_requirements;
    answer_find(&p->study, &question, &p->answer);
    assert_true(answer_complete(&p->answer));
}

static void close_puzzle(struct puzzle *p)
{
    answer_release(&p->answer);
    study_close(&p->study);
    arena_free(p->arena);
    loaded_free(p->loaded);
}

static void levels_agree(const struct puzzle *p, const struct published *known)
{
    const struct exploration *e = p->answer.exploration;

    if (known->n_levels)
        assert_int_equal(exploration_levels(e), known->n_levels);
    for (uint32_t i = 0; known->levels && known->levels[i]; i++)
        assert_int_equal(exploration_level_size(e, i + 1), known->levels[i]);
}

static void agrees(const struct published *known)
{
    struct puzzle p;
    uint32_t n;

    open_puzzle(&p, known->path);
    explore_puzzle(&p);
    assert_int_equal(exploration_situations(p.answer.exploration),
                     known->situations);
    levels_agree(&p, known);
    n = p.loaded->model->n_requirements;
    for (uint32_t i = 0; i < n; i++)
        assert_int_equal(
            exploration_watch_level(p.answer.exploration,
                                    answer_watch(&p.answer, p.watch[i])),
            known->first[i]);
    close_puzzle(&p);
}

/* ---- texts in files ---- */

static void test_tiles_from_the_corner(void **unused)
{
    static const uint32_t a089473[] = {
        1, 2, 4, 8, 16, 20, 39, 62, 116, 152, 286, 396, 748, 1024, 1893,
        2512, 4485, 5638, 9529, 10878, 16993, 17110, 23952, 20224, 24047,
        15578, 14560, 6274, 3910, 760, 221, 2, 0};

    (void)unused;
    agrees(&(struct published){TEXTS "puzzle8_corner.review", 181440,
                               a089473, 32, {32, 32, 0}});
}

static void test_tiles_from_the_centre(void **unused)
{
    static const uint32_t a089474[] = {
        1, 4, 8, 8, 16, 32, 60, 72, 136, 200, 376, 512, 964, 1296, 2368,
        3084, 5482, 6736, 11132, 12208, 18612, 18444, 24968, 19632, 22289,
        13600, 11842, 4340, 2398, 472, 148, 0};

    (void)unused;
    agrees(&(struct published){TEXTS "puzzle8_centre.review", 181440,
                               a089474, 31, {31, 0}});
}

static void test_wolf_goat_cabbage(void **unused)
{
    (void)unused;
    agrees(&(struct published){TEXTS "river.review", 10, NULL, 8, {8}});
}

static void test_missionaries_and_cannibals(void **unused)
{
    (void)unused;
    agrees(&(struct published){TEXTS "missionaries2.review", 12, NULL, 0,
                               {6}});
    agrees(&(struct published){TEXTS "missionaries3.review", 16, NULL, 0,
                               {12}});
    agrees(&(struct published){TEXTS "missionaries4.review", 11, NULL, 0,
                               {0}});
}

static void test_jugs(void **unused)
{
    static const uint32_t levels[] = {1, 2, 3, 2, 2, 2, 2, 2, 0};

    (void)unused;
    agrees(&(struct published){TEXTS "jugs.review", 16, levels, 8, {7}});
}

static void test_nine_lamps(void **unused)
{
    static const uint32_t levels[] = {1, 9, 36, 84, 126, 126, 84, 36, 9, 1,
                                      0};

    (void)unused;
    agrees(&(struct published){TEXTS "lamps.review", 512, levels, 10, {10}});
}

/* ---- families ---- */

static void generated_agrees(const struct text *text, struct published known)
{
    char path[] = "/tmp/keepclear-puzzle-XXXXXX.review";
    int file = mkstemps(path, (int)strlen(".review"));

    assert_true(file >= 0);
    close(file);
    assert_int_equal(os_write_file(path, text->at, text->n), OS_OK);
    known.path = path;
    agrees(&known);
    unlink(path);
}

static void test_towers_of_hanoi(void **unused)
{
    uint64_t situations = 1;

    (void)unused;
    for (unsigned discs = 1; discs <= 8; discs++) {
        struct text text = {0};

        situations *= 3;
        generate_hanoi(&text, discs);
        generated_agrees(&text, (struct published){
            NULL, situations, NULL, UINT32_C(1) << discs,
            {UINT32_C(1) << discs}});
        text_release(&text);
    }
}

static void test_dining_philosophers(void **unused)
{
    static const uint64_t left[] = {6, 14, 34, 82, 198};
    static const uint64_t mixed[] = {5, 12, 29, 70, 169};

    (void)unused;
    for (unsigned n = 2; n <= 6; n++) {
        struct text text = {0};

        generate_philosophers(&text, n, false);
        generated_agrees(&text, (struct published){
            NULL, left[n - 2], NULL, 0, {n + 1}});
        text_clear(&text);
        generate_philosophers(&text, n, true);
        generated_agrees(&text, (struct published){
            NULL, mixed[n - 2], NULL, 0, {0}});
        text_release(&text);
    }
}

/* ---- two hands ---- */

/* The traces are kept: the output is never other than written. */
static void test_two_hand_traces(void **unused)
{
    (void)unused;
    for (unsigned trace = 1; trace <= 7; trace++) {
        struct text path = {0};
        struct puzzle p;

        text_printf(&path, TEXTS "two_hand/trace%u.review", trace);
        open_puzzle(&p, text_str(&path));
        explore_puzzle(&p);
        assert_int_equal(
            exploration_watch_level(p.answer.exploration,
                                    answer_watch(&p.answer, p.watch[0])), 0);
        close_puzzle(&p);
        text_release(&path);
    }
}

int main(void)
{
    static const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_tiles_from_the_corner),
        cmocka_unit_test(test_tiles_from_the_centre),
        cmocka_unit_test(test_wolf_goat_cabbage),
        cmocka_unit_test(test_missionaries_and_cannibals),
        cmocka_unit_test(test_jugs),
        cmocka_unit_test(test_nine_lamps),
        cmocka_unit_test(test_towers_of_hanoi),
        cmocka_unit_test(test_dining_philosophers),
        cmocka_unit_test(test_two_hand_traces),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
