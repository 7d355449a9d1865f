/* A result that is written piece by piece, as it becomes known, is the same
 * text as the whole. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/text.h"
#include "check/model.h"
#include "present/result.h"
#include "study/check.h"
#include "study/load.h"

/* What a listener saw. */
struct seen {
    const struct loaded *loaded;
    struct text text;
    struct result_told told;
    uint32_t calls, requirements;
};

static void listen(void *context, const struct findings *so_far)
{
    struct seen *seen = context;
    const struct view view = {.findings = so_far,
                              .sources = seen->loaded->sources};
    size_t before = seen->text.n;

    assert_null(so_far->taken);
    assert_int_equal(so_far->n_requirements, seen->calls);
    seen->calls++;
    seen->requirements = so_far->n_requirements;
    result_go_on(&seen->text, &view, &seen->told);
    assert_true(seen->text.n > before);
}

/* Gives the number of requirements. */
static uint32_t told_as_the_whole(const char *path)
{
    const struct load_request request = {.path = path};
    struct seen seen = {.loaded = load_run(&request)};
    const struct study_setting setting = {
        .quick = true, .found = listen, .found_context = &seen};
    const struct findings *findings;
    struct text whole = {0};
    struct view view = {.sources = seen.loaded->sources};
    uint32_t n;

    assert_non_null(seen.loaded->model);
    n = seen.loaded->model->n_requirements;
    findings = check_model(seen.loaded->arena, seen.loaded->model, &setting,
                           seen.loaded->diags);
    assert_non_null(findings);
    assert_non_null(findings->taken);
    assert_int_equal(seen.calls, n + 1);
    assert_int_equal(seen.requirements, n);
    view.findings = findings;
    result_end(&seen.text, &view, &seen.told);
    result_add(&whole, &view);
    assert_string_equal(text_str(&seen.text), text_str(&whole));
    text_release(&whole);
    text_release(&seen.text);
    loaded_free((struct loaded *)seen.loaded);
    return n;
}

static void a_review(void **state)
{
    (void)state;
    assert_true(told_as_the_whole("models/table/table.review") > 1);
}

static void a_control_text_alone(void **state)
{
    (void)state;
    assert_int_equal(told_as_the_whole("models/table/table.st"), 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_review),
        cmocka_unit_test(a_control_text_alone),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
