/* Slices are a reduction: with the whole machine in every question nothing
 * that counts may be another.  Verdicts, lengths, sequences, what was put to
 * the test and which assumptions are needed are compared on the machines of
 * models/, on changes of them, and on random machines. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "base/arena.h"
#include "base/name.h"
#include "base/os.h"
#include "base/text.h"
#include "check/model.h"
#include "reference/replay.h"
#include "study/check.h"
#include "study/load.h"
#include "tests/support/folder.h"
#include "tests/support/subject.h"

#ifdef __SANITIZE_ADDRESS__
enum { RANDOM = 24, ONE_IN = 4 };
#elif defined TEST_WHOLE
enum { RANDOM = 160, ONE_IN = 1 };
#else
enum { RANDOM = 80, ONE_IN = 2 };
#endif

/* What was seen over all texts. */
struct tally {
    unsigned most_situations, most_mebibytes; /* the whole may be far too
                                                 large: nothing is compared */
    unsigned verdicts[VERDICT_NOT_FINISHED + 1];
    unsigned limited;   /* a limit met the whole, or a signal */
    unsigned stricter;  /* the slice counts a dead end that the whole has not */
    unsigned larger;    /* the whole had more situations */
    unsigned sequences; /* compared */
};

/* An end by a limit, not by what the machine does. */
static bool is_limit(enum stop_reason stop)
{
    return stop == STOP_SITUATIONS || stop == STOP_MEMORY ||
           stop == STOP_ERROR_OPEN;
}

static bool is_open(enum part part)
{
    return part == PART_NOT_KNOWN || part == PART_NOT_KNOWN_WIRING;
}

/* A way that leans on nothing is looked for under the same limit, and what
 * leans is all that is left where that is met. */
static bool not_looked_for(const struct requirement_finding *part,
                           const struct requirement_finding *whole)
{
    return part->verdict == VERDICT_BROKEN && whole->stop == STOP_LEANS;
}

/* Assumptions outside a slice are asked once, with the most faults of any
 * requirement; the whole has no outside, and no more faults than the
 * requirement allows. */
static bool is_stricter(const struct model *model,
                        const struct requirement_finding *part,
                        const struct requirement_finding *whole)
{
    const struct requirement *asked = &model->requirements[part->requirement];
    bool most = asked->despite_of == NULL;

    for (uint32_t i = 0; i < model->n_requirements; i++)
        most = most && model->requirements[i].despite <= asked->despite;
    return !most && part->stop != whole->stop &&
           (part->stop == STOP_DEAD_END || part->stop == STOP_DEAD_END_LEANS);
}

/* Choices that had no influence are nobody's. */
static void same_sequence(const struct model *model, const struct replay *a,
                          const struct replay *b, struct tally *tally)
{
    assert_int_equal(a == NULL, b == NULL);
    if (a == NULL)
        return;
    tally->sequences++;
    assert_int_equal(a->n_scans, b->n_scans);
    for (uint32_t s = 0; s < a->n_scans; s++)
        for (uint32_t i = 0; i < model->n_choices; i++)
            if (a->scans[s].read[i] || b->scans[s].read[i])
                assert_int_equal(a->scans[s].choices[i],
                                 b->scans[s].choices[i]);
}

static void same_requirement(const struct model *model,
                             const struct requirement_finding *part,
                             const struct requirement_finding *whole,
                             struct tally *tally)
{
    uint32_t n = model->requirements[part->requirement].n_triggers;

    if (is_limit(whole->stop) || is_limit(part->stop) ||
        is_open(part->part) || is_open(whole->part) ||
        not_looked_for(part, whole)) {
        tally->limited++;
        return;
    }
    if (is_stricter(model, part, whole)) {
        tally->stricter++;
        return;
    }
    assert_int_equal(part->verdict, whole->verdict);
    assert_int_equal(part->stop, whole->stop);
    tally->verdicts[part->verdict]++;
    tally->larger += whole->coverage.situations > part->coverage.situations;
    same_sequence(model, part->sequence, whole->sequence, tally);
    assert_int_equal(part->part, whole->part);
    for (uint32_t i = 0; part->verdict == VERDICT_KEPT && i < n; i++)
        assert_int_equal(part->trigger_seen[i], whole->trigger_seen[i]);
    if (part->need_state != NEED_KNOWN || whole->need_state != NEED_KNOWN)
        return;
    for (uint32_t i = 0; i < model->n_assumptions; i++)
        assert_int_equal(part->need[i], whole->need[i]);
}

static void same_errors(const struct findings *part,
                        const struct findings *whole, struct tally *tally)
{
    for (uint32_t i = 0; i < whole->n_errors; i++)
        if (is_limit(whole->errors[i].stop))
            return;
    assert_int_equal(part->n_errors, whole->n_errors);
    for (uint32_t i = 0; i < part->n_errors; i++) {
        assert_int_equal(part->errors[i].site, whole->errors[i].site);
        assert_int_equal(part->errors[i].verdict, whole->errors[i].verdict);
        same_sequence(part->model, part->errors[i].sequence,
                      whole->errors[i].sequence, tally);
    }
}

static const struct findings *judged(struct arena *arena,
                                     const struct model *model,
                                     struct diags *diags,
                                     const struct study_setting *setting)
{
    const struct findings *findings =
        check_model(arena, model, setting, diags);

    assert_non_null(findings);
    if (findings->internal_error != NULL)
        fail_msg("%s", findings->internal_error);
    assert_int_equal(findings->entire, setting->entire);
    return findings;
}

static void compare(struct arena *arena, const struct model *model,
                    struct diags *diags, const bool *only,
                    struct tally *tally)
{
    struct study_setting setting = {
        .most_situations = tally->most_situations,
        .most_bytes = (uint64_t)tally->most_mebibytes << 20,
        .engine = ENGINE_SETS, .only = only};
    const struct findings *part, *whole;

    part = judged(arena, model, diags, &setting);
    setting.entire = true;
    whole = judged(arena, model, diags, &setting);
    assert_int_equal(part->n_requirements, whole->n_requirements);
    same_errors(part, whole, tally);
    for (uint32_t i = 0; i < part->n_requirements; i++)
        same_requirement(model, &part->requirements[i],
                         &whole->requirements[i], tally);
}

/* control: NULL for the review's own; requirement: NULL for all. */
static void text(const char *review, const char *control,
                 const char *requirement, struct tally *tally)
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
    compare(arena, loaded->model, loaded->diags, only, tally);
    arena_free(arena);
    loaded_free(loaded);
}

struct changes {
    const char *review;
    struct tally *tally;
};

static void change(void *context, const char *path, const char *requirement,
                   unsigned long length)
{
    const struct changes *changes = context;

    (void)length;
    text(changes->review, path, requirement, changes->tally);
}

static void all_changes(const char *review, const char *folder,
                        struct tally *tally)
{
    struct changes changes = {review, tally};

    folder_expected(folder, ONE_IN, change, &changes);
}

static void print_tally(const char *what, const struct tally *tally)
{
    print_message("%s: kept %u, broken %u, not put to the test %u, not "
                  "decided %u, not finished %u; larger %u, limits %u, "
                  "stricter %u, sequences %u\n",
                  what, tally->verdicts[VERDICT_KEPT],
                  tally->verdicts[VERDICT_BROKEN],
                  tally->verdicts[VERDICT_NOT_TESTED],
                  tally->verdicts[VERDICT_NOT_DECIDED],
                  tally->verdicts[VERDICT_NOT_FINISHED], tally->larger,
                  tally->limited, tally->stricter, tally->sequences);
}

static void test_table(void **unused)
{
    struct tally tally = {.most_situations = 20000, .most_mebibytes = 16};

    (void)unused;
    text("models/table/table.review", NULL, NULL, &tally);
    all_changes("models/table/table.review", "models/table/changes/", &tally);
    print_tally("table", &tally);
    assert_int_equal(tally.limited, 0);
    assert_true(tally.larger > 0 && tally.sequences > 0);
}

/* Those whose whole is small enough: others take many minutes. */
static void test_tailgate(void **unused)
{
    static const char *const small[] = {"R5", "R6", "R8", "R9", "R11"};
    struct tally tally = {.most_situations = 20000, .most_mebibytes = 16};

    (void)unused;
    for (size_t i = 0; i < sizeof small / sizeof *small; i += ONE_IN)
        text("models/tailgate/tailgate.review", NULL, small[i], &tally);
    all_changes("models/tailgate/tailgate.review", "models/tailgate/changes/",
                &tally);
    print_tally("tailgate", &tally);
    assert_true(tally.larger > 0 && tally.sequences > 0);
}

static void random_like(const struct subject *like, const char *what)
{
    struct tally tally = {.most_situations = 5000, .most_mebibytes = 4};

    for (uint64_t seed = like->seed; seed < like->seed + RANDOM; seed++) {
        struct subject s = *like;

        s.seed = seed;
        s.leaning = !s.open && seed % 4 == 0;
        subject_read(&s, false);
        compare(s.arena, s.model, s.diags, NULL, &tally);
        subject_release(&s);
    }
    print_tally(what, &tally);
    assert_true(tally.verdicts[VERDICT_KEPT] > RANDOM / 32);
    assert_true(tally.verdicts[VERDICT_BROKEN] > RANDOM / 8);
    assert_true(tally.larger > RANDOM / 8);
    assert_true(tally.sequences > RANDOM / 8);
}

static void test_random(void **unused)
{
    (void)unused;
    random_like(&(struct subject){.seed = 81001}, "random");
}

/* With REALs, texts and an UNKNOWN block. */
static void test_open_values(void **unused)
{
    (void)unused;
    random_like(&(struct subject){.seed = 82001, .open = true}, "open");
}

int main(void)
{
    static const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_table),
        cmocka_unit_test(test_tailgate),
        cmocka_unit_test(test_random),
        cmocka_unit_test(test_open_values),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
