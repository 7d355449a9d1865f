/* What is broken although values are left open is broken however they come
 * out: each sequence is replayed by the reference interpreter with other
 * answers. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/arena.h"
#include "check/model.h"
#include "engine/explore.h"
#include "engine/sequence.h"
#include "lower/lower.h"
#include "reference/naive.h"
#include "reference/replay.h"
#include "study/check.h"
#include "tests/support/left_out.h"
#include "tests/support/subject.h"

/* With sanitizers everything is many times slower: fewer machines then. */
#ifdef __SANITIZE_ADDRESS__
enum { OPEN = 20 };
#else
enum { OPEN = 300 };
#endif

static bool check_that(const struct subject *s, bool holds, const char *what)
{
    if (!holds)
        subject_complain(s, what);
    return holds;
}

/* ---- what is broken is broken however open places come out ---- */

struct answers {
    const struct subject *s;
    const struct replay *sequence;
    const struct requirement *asked;
    uint32_t requirement;
    uint32_t *rows; /* one scan's choices */
    uint64_t draws;
};

enum { MOST_ANSWERS = 3000 };

/* Does it break at the last judging, with what was drawn? */
static bool breaks(const struct answers *a, uint64_t draw)
{
    const struct model *model = a->s->model;
    struct step_setting setting = {.fault_limit = a->asked->despite,
                                   .allowed = a->asked->despite_of};
    int64_t state[512];
    uint64_t left = draw;
    bool random = draw > MOST_ANSWERS / 2;

    assert_true(machine_words(a->s->machine) <= 512);
    for (uint32_t scan = 0; scan < a->sequence->n_scans; scan++) {
        const struct step_result *step;

        for (uint32_t i = 0; i < model->n_choices; i++) {
            const struct choice *row = &model->choices[i];

            a->rows[i] = a->sequence->scans[scan].choices[i];
            if (row->kind != CHOICE_ANY)
                continue;
            if (random)
                left = left * 6364136223846793005u + 1442695040888963407u;
            a->rows[i] = (uint32_t)((random ? left >> 33 : left) %
                                    row->count);
            if (!random)
                left /= row->count;
        }
        setting.first = scan == 0;
        if (scan == 0)
            machine_start(a->s->machine, a->rows, state);
        step = machine_step(a->s->machine, &setting, a->rows, state);
        if (step->end != STEP_JUDGED)
            return false;
        if (scan + 1 == a->sequence->n_scans)
            return step->breach[a->requirement];
    }
    return false;
}

static bool sure(const struct subject *s,
                 const struct requirement_finding *finding)
{
    struct answers a = {
        .s = s, .sequence = finding->sequence,
        .asked = &s->model->requirements[finding->requirement],
        .requirement = finding->requirement,
        .rows = arena_array(s->arena, s->model->n_choices + 1,
                            sizeof(uint32_t)),
    };

    for (uint64_t draw = 0; draw < MOST_ANSWERS; draw++)
        if (!breaks(&a, draw))
            return false;
    return true;
}

/* A sequence that leans on something is lost by at least one answer. */
static bool leans(const struct subject *s,
                  const struct requirement_finding *finding)
{
    return check_that(s, finding->leaning.n > 0 && finding->sequence != NULL,
                      "it leans on nothing") &&
           check_that(s, finding->stop == STOP_LEANS, "another reason");
}

static void broken_means_broken(void **state)
{
    const struct study_setting setting = {.most_situations = 60000,
                                          .quick = true};
    unsigned broken = 0, leaning = 0, kept = 0, lost = 0;
    bool same = true;

    (void)state;
    for (uint64_t seed = 9001; same && seed < 9001 + OPEN; seed++) {
        struct subject s = {.seed = seed, .open = true};
        const struct findings *findings;

        subject_read(&s, false);
        findings = check_model(s.arena, s.model, &setting, s.diags);
        assert_non_null(findings);
        same = findings->internal_error == NULL ||
               check_that(&s, false, findings->internal_error);
        for (uint32_t i = 0; same && i < findings->n_requirements; i++) {
            const struct requirement_finding *f = &findings->requirements[i];

            kept += f->verdict == VERDICT_KEPT;
            if (f->verdict == VERDICT_BROKEN) {
                broken++;
                same = check_that(&s, sure(&s, f),
                                  "broken for some answers only");
            } else if (f->stop == STOP_LEANS) {
                leaning++;
                same = leans(&s, f);
                lost += !sure(&s, f);
            }
        }
        subject_release(&s);
    }
    print_message("broken whatever comes out %u, leaning %u (%u of them lost "
                  "by some answer), kept %u\n", broken, leaning, lost, kept);
    assert_true(same);
    assert_true(broken > OPEN / 4 && leaning > OPEN / 40 && kept > OPEN / 12);
    assert_true(lost > leaning / 2);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(broken_means_broken),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
