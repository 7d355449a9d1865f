/* Both engines, run to their end: they must agree on every count, level and
 * range, and on the canonical sequences.  That they do is asked of them by
 * ENGINE_BOTH, which makes an internal error of every difference; here it is
 * asked on the machines of models/, on each change of them, and on random
 * machines with power loss, faults, movements and assumptions. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/arena.h"
#include "base/name.h"
#include "base/os.h"
#include "base/text.h"
#include "check/model.h"
#include "study/check.h"
#include "study/load.h"
#include "tests/support/folder.h"
#include "tests/support/subject.h"

#ifdef __SANITIZE_ADDRESS__
enum { RANDOM = 40, ONE_IN = 12, ONE_IN_BODY = 60 };
#elif defined TEST_WHOLE
enum { RANDOM = 320, ONE_IN = 1, ONE_IN_BODY = 1 };
#else
enum { RANDOM = 160, ONE_IN = 4, ONE_IN_BODY = 24 };
#endif

/* Asks both; only: per requirement, or NULL for all. */
static void agree(struct arena *arena, const struct model *model,
                  struct diags *diags, const bool *only)
{
    const struct study_setting setting = {
        .most_situations = 200000, .engine = ENGINE_BOTH, .only = only,
        .quick = only != NULL};
    const struct findings *findings =
        check_model(arena, model, &setting, diags);

    assert_non_null(findings);
    if (findings->internal_error != NULL)
        fail_msg("%s", findings->internal_error);
}

/* control: NULL for the review's own; requirement: NULL for all. */
static void text(const char *review, const char *control,
                 const char *requirement)
{
    struct load_request request = {.path = review, .control = control};
    struct loaded *loaded = load_run(&request);
    struct arena *arena = arena_new();
    bool *only = NULL;

    assert_non_null(loaded->model);
    if (requirement != NULL)
        only = arena_array(arena, loaded->model->n_requirements,
                           sizeof *only);
    for (uint32_t i = 0; only && i < loaded->model->n_requirements; i++)
        only[i] = strcmp(loaded->model->requirements[i].name->spelling,
                         requirement) == 0;
    agree(arena, loaded->model, loaded->diags, only);
    arena_free(arena);
    loaded_free(loaded);
}

static void change(void *review, const char *path, const char *requirement,
                   unsigned long length)
{
    (void)length;
    text(review, path, requirement);
}

static void test_models(void **unused)
{
    (void)unused;
    text("models/table/table.review", NULL, NULL);
    text("models/tailgate/tailgate.review", NULL, NULL);
    if (RANDOM > 100) /* without sanitizers */
        text("models/rear_body/rear_body.review", NULL, NULL);
}

static void test_changes(void **unused)
{
    (void)unused;
    folder_expected("models/table/changes/", ONE_IN, change,
                    (void *)"models/table/table.review");
    folder_expected("models/tailgate/changes/", ONE_IN, change,
                    (void *)"models/tailgate/tailgate.review");
    folder_expected("models/rear_body/changes/", ONE_IN_BODY, change,
                    (void *)"models/rear_body/rear_body.review");
}

static void random_like(const struct subject *like)
{
    unsigned with[4] = {0};

    for (uint64_t seed = like->seed; seed < like->seed + RANDOM; seed++) {
        struct subject s = *like;

        s.seed = seed;
        s.leaning = !s.open && seed % 4 == 0;

        subject_read(&s, false);
        agree(s.arena, s.model, s.diags, NULL);
        with[0] += s.parts.power;
        with[1] += s.parts.faults;
        with[2] += s.parts.movements;
        with[3] += s.parts.assumptions;
        subject_release(&s);
    }
    for (int i = 0; i < 4; i++)
        assert_true(with[i] > RANDOM / 16);
}

static void test_random(void **unused)
{
    (void)unused;
    random_like(&(struct subject){.seed = 70001});
}

/* With REALs, texts and an UNKNOWN block. */
static void test_open_values(void **unused)
{
    (void)unused;
    random_like(&(struct subject){.seed = 72001, .open = true});
}

/* What is noticed, pairs of faults that are left out, exceptions. */
static void test_noticing(void **unused)
{
    (void)unused;
    random_like(&(struct subject){.seed = 74001, .noticing = true});
}

int main(void)
{
    static const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_models),
        cmocka_unit_test(test_changes),
        cmocka_unit_test(test_random),
        cmocka_unit_test(test_open_values),
        cmocka_unit_test(test_noticing),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
