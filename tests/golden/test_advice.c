/* Every text of tests/golden/advice/ gets exactly the remarks of its sibling
 * .expected.  KIND.st (or .review) shows the remark of that name; a name
 * with -near is as like it as may be and gets none.
 *
 * What is asked for, and why: the reading of IEC 61131-3 that the rules
 * stand on is in docs/language.md; that a latch on a motion should let the
 * reset win, that a timer belongs outside of IF, that an output is written
 * once, are common practice, no source. */
#include <dirent.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/os.h"
#include "base/text.h"
#include "check/model.h"
#include "present/remarks.h"
#include "source/render.h"
#include "study/load.h"

#define FOLDER "tests/golden/advice/"

enum { MOST_CASES = 500 };

/* The remarks of a text; how many are not accepted. */
static uint32_t remarks_at(const char *path, struct text *out)
{
    const struct load_request request = {.path = path};
    struct loaded *loaded = load_run(&request);
    uint32_t open = 0;

    if (loaded->model == NULL) {
        render_diags(out, loaded->sources, loaded->diags);
    } else {
        remarks_add(out, loaded->model, loaded->sources, true);
        for (uint32_t i = 0; i < loaded->model->n_remarks; i++)
            open += loaded->model->remarks[i].accepted == MODEL_NONE;
    }
    loaded_free(loaded);
    return open;
}

static uint32_t remarks_of(const char *name, struct text *out)
{
    struct text path = {0};
    uint32_t open;

    text_printf(&path, FOLDER "%s", name);
    open = remarks_at(text_str(&path), out);
    text_release(&path);
    return open;
}

static void says_what_is_expected(void **state)
{
    const char *name = *state;
    struct text path = {0}, said = {0}, expected = {0};
    uint32_t open = remarks_of(name, &said);

    text_printf(&path, FOLDER "%s.expected", name);
    assert_int_equal(os_read_file(text_str(&path), 1 << 20, &expected),
                     OS_OK);
    assert_string_equal(text_str(&said), text_str(&expected));
    assert_int_equal(open == 0, strstr(name, "-near.") != NULL);
    text_release(&path);
    text_release(&said);
    text_release(&expected);
}

static bool is_there(const char *name, const char *ending)
{
    struct text path = {0}, content = {0};
    bool found;

    text_printf(&path, FOLDER "%s%s", name, ending);
    found = os_read_file(text_str(&path), 1 << 20, &content) == OS_OK;
    text_release(&path);
    text_release(&content);
    return found;
}

static void each_kind_is_shown(void **state)
{
    (void)state;
    for (int k = 0; k < REMARK_KINDS; k++) {
        const char *kind = remark_name(k);
        struct text name = {0}, said = {0}, heading = {0};

        text_printf(&name, "%s%s", kind,
                    is_there(kind, ".st") ? ".st" : ".review");
        text_printf(&heading, "  %s ON ", kind);
        remarks_of(text_str(&name), &said);
        if (strstr(text_str(&said), text_str(&heading)) == NULL)
            fail_msg("%s is not shown", kind);
        if (!is_there(kind, "-near.st") && !is_there(kind, "-near.review"))
            fail_msg("%s has no near miss", kind);
        text_release(&name);
        text_release(&said);
        text_release(&heading);
    }
}

/* folder/NAME/NAME.review for each NAME; how many were read. */
static unsigned look_into(const char *folder)
{
    DIR *dir = opendir(folder);
    const struct dirent *entry;
    unsigned n = 0;

    assert_non_null(dir);
    while ((entry = readdir(dir)) != NULL) {
        struct text path = {0}, content = {0}, said = {0};

        text_printf(&path, "%s/%s/%s.review", folder, entry->d_name,
                    entry->d_name);
        if (os_read_file(text_str(&path), 1 << 20, &content) == OS_OK) {
            remarks_at(text_str(&path), &said);
            assert_string_equal(text_str(&said), "");
            n++;
        }
        text_release(&path);
        text_release(&content);
        text_release(&said);
    }
    closedir(dir);
    return n;
}

/* Logic that was written with care and judged in full: no false alarm. */
static void the_models_get_none(void **state)
{
    (void)state;
    assert_true(look_into("models") >= 3);
    assert_true(look_into("models/parts") >= 15);
}

static void each_kind_is_documented(void **state)
{
    struct text content = {0};

    (void)state;
    assert_int_equal(os_read_file("docs/language.md", 1 << 20, &content),
                     OS_OK);
    for (int k = 0; k < REMARK_KINDS; k++)
        if (strstr(text_str(&content), remark_name(k)) == NULL)
            fail_msg("%s is not in docs/language.md", remark_name(k));
    text_release(&content);
}

static bool ends_in(const char *name, const char *ending)
{
    size_t n = strlen(name), m = strlen(ending);

    return n > m && strcmp(name + n - m, ending) == 0;
}

static int is_case(const struct dirent *entry)
{
    return ends_in(entry->d_name, ".st") ||
           ends_in(entry->d_name, ".review");
}

int main(void)
{
    static struct CMUnitTest tests[MOST_CASES + 3];
    struct dirent **cases = NULL;
    int n = scandir(FOLDER, &cases, is_case, alphasort);
    size_t count = 0;
    int failed;

    for (int i = 0; i < n && count < MOST_CASES; i++)
        tests[count++] = (struct CMUnitTest){
            cases[i]->d_name, says_what_is_expected, NULL, NULL,
            cases[i]->d_name};
    tests[count++] = (struct CMUnitTest){"each kind is shown",
                                         each_kind_is_shown, NULL, NULL,
                                         NULL};
    tests[count++] = (struct CMUnitTest){"each kind is documented",
                                         each_kind_is_documented, NULL,
                                         NULL, NULL};
    tests[count++] = (struct CMUnitTest){"the models get none",
                                         the_models_get_none, NULL, NULL,
                                         NULL};
    failed = _cmocka_run_group_tests("advice", tests, count, NULL, NULL);
    for (int i = 0; i < n; i++)
        free(cases[i]);
    free(cases);
    return failed;
}
