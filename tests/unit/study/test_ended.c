/* Runs that a signal or a limit ends at whatever moment: what is said is
 * right or "not finished", and nothing breaks off. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/arena.h"
#include "base/name.h"
#include "check/model.h"
#include "study/check.h"
#include "study/load.h"

#define TAILGATE "models/tailgate/"
#define BODY "models/rear_body/"

#ifdef __SANITIZE_ADDRESS__
enum { STRIDE = 8 };
#elif defined TEST_WHOLE
enum { STRIDE = 1 };
#else
enum { STRIDE = 3 };
#endif

static uint32_t asked, passes; /* questions after a signal; before the first */

static bool signalled(void)
{
    return ++asked > passes;
}

struct subject {
    const char *review, *control, *requirement;
    enum verdict verdict;
};

/* A safety form that breaks, POSSIBLE that never is, POSSIBLE AGAIN whose
 * ways are walked, and what is kept. */
static const struct subject subjects[] = {
    {TAILGATE "tailgate.review", TAILGATE "changes/single_contacts.st", "R1",
     VERDICT_BROKEN},
    {TAILGATE "tailgate.review", TAILGATE "changes/raising_locked_out.st",
     "R16", VERDICT_BROKEN},
    {BODY "rear_body.review", NULL, "R50", VERDICT_KEPT},
    {TAILGATE "tailgate.review", NULL, "R2", VERDICT_KEPT},
};

static void judge(const struct subject *subject, enum engine engine,
                  uint64_t most_bytes, bool *finished)
{
    struct load_request request = {.path = subject->review,
                                   .control = subject->control};
    struct loaded *loaded = load_run(&request);
    struct arena *arena = arena_new();
    const struct model *model = loaded->model;
    bool *only = arena_array(arena, model->n_requirements, sizeof *only);
    const struct study_setting setting = {
        .quick = true, .only = only, .engine = engine,
        .interrupted = most_bytes == 0 ? signalled : NULL,
        .most_bytes = most_bytes};
    const struct findings *findings;
    const struct requirement_finding *found;

    for (uint32_t i = 0; i < model->n_requirements; i++)
        only[i] = !strcmp(model->requirements[i].name->spelling,
                          subject->requirement);
    asked = 0;
    findings = check_model(arena, model, &setting, loaded->diags);
    if (findings->internal_error != NULL)
        fail_msg("%s", findings->internal_error);
    found = &findings->requirements[0];
    *finished = found->verdict == subject->verdict;
    if (!*finished)
        assert_int_equal(found->verdict, VERDICT_NOT_FINISHED);
    if (found->verdict == VERDICT_BROKEN)
        assert_non_null(found->sequence);
    arena_free(arena);
    loaded_free(loaded);
}

/* More and more is let pass, until it comes to its end. */
static void signal_at(const struct subject *subject, enum engine engine)
{
    bool finished = false;
    unsigned ended = 0;

    for (passes = 0; !finished && passes < 1 << 22;
         passes = passes < 8 ? passes + 1 : passes + passes / 2 * STRIDE) {
        judge(subject, engine, 0, &finished);
        ended += !finished;
    }
    assert_true(finished);
    assert_true(ended > 0);
}

static void a_signal_at_any_moment(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof subjects / sizeof *subjects; i++) {
        signal_at(&subjects[i], ENGINE_SETS);
        signal_at(&subjects[i], ENGINE_TILES);
    }
}

static void any_limit_of_bytes(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof subjects / sizeof *subjects; i++)
        for (int engine = ENGINE_SETS; engine <= ENGINE_BOTH; engine++) {
            bool finished = false;
            uint64_t most;

            for (most = 1 << 14; !finished && most < (uint64_t)1 << 32;
                 most += most / 2 * STRIDE)
                judge(&subjects[i], (enum engine)engine, most, &finished);
            assert_true(finished);
        }
}

int main(void)
{
    static const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_signal_at_any_moment),
        cmocka_unit_test(any_limit_of_bytes),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
