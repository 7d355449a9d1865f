/* What unguarded says of changes, by a slow road that shares none of its short
 * cuts: each changed text, from a file of its own, is checked as a whole, and
 * put beside the text as it stands.  With KEEPCLEAR_SAMPLE=long, as `make
 * test-changes` sets it, of more than a hundred changes of three machines;
 * else of a few of the greater body. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/arena.h"
#include "base/text.h"
#include "check/model.h"
#include "study/check.h"
#include "study/compare.h"
#include "study/load.h"
#include "study/unguarded.h"
#include "tests/support/shell.h"

/* Each of the body takes some seconds, once by either road. */
enum { ONE_IN = 110, ONE_IN_LONG = 35 };

static bool is_long(void)
{
    const char *sample = getenv("KEEPCLEAR_SAMPLE");

    return sample != NULL && strcmp(sample, "long") == 0;
}

/* Is every requirement that guards still kept, and no new error possible? */
static bool all_kept(const struct unguarded_findings *found,
                     const struct loaded *loaded)
{
    const struct study_setting setting = {.quick = true, .threads = 1};
    const struct findings *findings = check_model(
        loaded->arena, loaded->model, &setting, loaded->diags);

    assert_non_null(findings);
    assert_null(findings->internal_error);
    for (uint32_t r = 0; r < findings->n_requirements; r++)
        if (found->guards[r] &&
            findings->requirements[r].verdict != VERDICT_KEPT)
            return false;
    return findings->n_errors == 0;
}

static bool differs(const struct loaded *was, const struct loaded *is)
{
    static const struct renames none = {NULL, 0};
    const struct study_setting setting = {.quick = true, .threads = 1};
    struct arena *arena = arena_new();
    const struct twins_asked asked = {
        .was = {was->model, was->sources}, .is = {is->model, is->sources},
        .renames = &none, .setting = &setting};
    const struct comparison *found =
        compare_versions(arena, &asked, is->diags);
    bool different;

    assert_non_null(found);
    assert_null(found->refused);
    assert_null(found->internal_error);
    assert_true(found->sameness == SAME_DIFFERENT ||
                found->sameness >= SAME_REVIEW);
    different = found->sameness == SAME_DIFFERENT;
    arena_free(arena);
    return different;
}

static void look(const struct loaded *was, const struct load_request *asked,
                 const struct unguarded_findings *found,
                 const struct change_finding *change)
{
    struct loaded *is = load_run(asked);

    assert_int_equal(is->model == NULL, change->state == CHANGE_REFUSED);
    if (is->model != NULL) {
        bool noticed = !all_kept(found, is);

        assert_int_equal(noticed, change->state == CHANGE_NOTICED);
        if (!noticed && change->state != CHANGE_NOT_KNOWN)
            assert_int_equal(differs(was, is),
                             change->state == CHANGE_UNGUARDED ||
                                 change->state == CHANGE_HARMLESS);
    }
    loaded_free(is);
}

static void slow_road(const char *review, uint32_t one_in)
{
    char folder[] = "/tmp/keepclear-test-XXXXXX";
    const struct load_request request = {.path = review};
    const struct unguarded_setting setting = {.study = {.threads = 1},
                                              .one_in = one_in};
    struct loaded *loaded = load_run(&request);
    const struct unguarded_findings *found;
    struct text text = {0}, path = {0};
    struct load_request changed = request;

    assert_non_null(loaded->model);
    found = unguarded_study(loaded, &request, &setting);
    assert_non_null(found);
    assert_null(found->internal_error);
    assert_int_equal(found->n_asked, found->n);
    assert_int_equal(found->n, (found->n_all + one_in - 1) / one_in);
    print_message("%s: %u noticed, %u the same, %u unguarded, %u harmless, "
                  "%u not known\n", review,
                  found->count[CHANGE_NOTICED], found->count[CHANGE_SAME],
                  found->count[CHANGE_UNGUARDED],
                  found->count[CHANGE_HARMLESS],
                  found->count[CHANGE_NOT_KNOWN]);
    assert_int_equal(shell_folder(folder), 0);
    text_printf(&path, "%s/changed.st", folder);
    changed.control = text_str(&path);
    for (uint32_t i = 0; i < found->n; i++) {
        text_clear(&text);
        changes_text(loaded, found->changes[i].change, &text);
        shell_put(folder, "changed.st", text_str(&text));
        look(loaded, &changed, found, &found->changes[i]);
    }
    text_release(&text);
    text_release(&path);
    loaded_free(loaded);
    shell_remove(folder);
}

static void the_body(void **state)
{
    (void)state;
    slow_road("models/rear_body/rear_body.review",
              is_long() ? ONE_IN_LONG : ONE_IN);
}

static void smaller_machines(void **state)
{
    (void)state;
    if (!is_long())
        skip();
    slow_road("models/table/table.review", 1);
    slow_road("models/tailgate/tailgate.review", 1);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(smaller_machines),
        cmocka_unit_test(the_body),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
