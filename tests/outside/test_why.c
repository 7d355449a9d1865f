/* The chains of causes of the changed control texts in models/: each names a
 * line that was changed, or the one that should have prevented the breach
 * (why_expected.txt).  What was changed is computed here, from the texts. */
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
#include "source/source.h"
#include "study/check.h"
#include "study/load.h"
#include "study/needs.h"
#include "study/why.h"
#include "tests/support/folder.h"

enum { LINES_MOST = 1000 };

/* One change in so many. */
#ifdef TEST_WHOLE
enum { ONE_IN = 1 };
#else
enum { ONE_IN = 2 };
#endif

/* ---- what was changed ---- */

struct lines {
    struct text text;
    char *at[LINES_MOST];
    unsigned n;
};

static void read_lines(struct lines *lines, const char *path)
{
    memset(lines, 0, sizeof *lines);
    assert_int_equal(os_read_file(path, 1 << 20, &lines->text), OS_OK);
    for (char *at = lines->text.at; at != NULL && *at != '\0';) {
        char *end = strchr(at, '\n');

        assert_true(lines->n < LINES_MOST);
        lines->at[lines->n++] = at;
        if (end != NULL)
            *end++ = '\0';
        at = end;
    }
}

/* Longest common part from a[i], b[j] on. */
static unsigned common[LINES_MOST + 1][LINES_MOST + 1];

static void compare(const struct lines *a, const struct lines *b)
{
    memset(common, 0, sizeof common);
    for (unsigned i = a->n; i-- > 0;)
        for (unsigned j = b->n; j-- > 0;) {
            unsigned skip = common[i + 1][j] > common[i][j + 1]
                                ? common[i + 1][j] : common[i][j + 1];

            common[i][j] = strcmp(a->at[i], b->at[j]) == 0
                               ? common[i + 1][j + 1] + 1 : skip;
        }
}

/* changed[n]: line n of b, from 1, is not in a, or a line of a is missing
 * before or behind it.  The heading line of a changed text does not count. */
static void mark_changed(const struct lines *a, const struct lines *b,
                         bool *changed)
{
    unsigned i = 0, j = 0;

    compare(a, b);
    while (j < b->n || i < a->n) {
        if (i < a->n && j < b->n && strcmp(a->at[i], b->at[j]) == 0 &&
            common[i][j] == common[i + 1][j + 1] + 1) {
            i++, j++;
        } else if (j < b->n &&
                   (i == a->n || common[i][j] == common[i][j + 1])) {
            changed[++j] = true;
        } else {
            changed[j] = changed[j + 1] = true;
            i++;
        }
    }
    changed[1] = false;
}

/* ---- what was named ---- */

struct trial {
    struct loaded *loaded;
    struct arena *arena;
    const struct findings *findings;
    const char *file;       /* of the changed text */
    bool named[LINES_MOST]; /* lines of it */
};

static void name_place(struct trial *trial, struct span span)
{
    const struct sources *sources = trial->loaded->sources;
    struct span last = span;

    if (span.file == 0 ||
        strcmp(sources_path(sources, span.file), trial->file) != 0)
        return;
    last.from = span.to > span.from ? span.to - 1 : span.from;
    for (uint32_t line = sources_place(sources, span).line;
         line <= sources_place(sources, last).line; line++)
        trial->named[line] = true;
}

static void name_chain(struct trial *trial,
                       const struct requirement_finding *finding)
{
    const struct why *why = why_broken(trial->arena, trial->loaded->model,
                                       finding->requirement,
                                       finding->sequence);

    assert_true(why->n_steps > 1 && why->n_steps <= WHY_TOLD);
    assert_int_equal(why->steps[0].account.kind, ACCOUNT_JUDGED);
    for (uint32_t i = 0; i < why->n_steps; i++)
        for (uint32_t k = 0; k < why->steps[i].account.n_places; k++)
            name_place(trial, why->steps[i].account.places[k]);
    for (uint32_t i = 0; i < why->n_rest; i++)
        for (uint32_t k = 0; k < why->rest[i].account.n_places; k++)
            name_place(trial, why->rest[i].account.places[k]);
}

static void name_needs(struct trial *trial,
                       const struct requirement_finding *finding)
{
    const struct need_list *list = needs_of(
        trial->arena, trial->loaded->model, finding->requirement);

    for (uint32_t i = 0; i < list->n; i++)
        for (uint32_t k = 0; k < list->at[i].n_sites; k++)
            name_place(trial, list->at[i].sites[k].place);
    for (uint32_t i = 0; i < list->n; i++)
        for (uint32_t k = 0; k < list->at[i].n_lost; k++)
            name_place(trial, list->at[i].lost[k].place);
}

/* ---- the trial ---- */

static void ask(struct trial *trial, const char *review, const char *name)
{
    struct load_request request = {.path = review, .control = trial->file};
    struct study_setting setting = {.quick = true};
    const struct model *model;
    bool *only;

    trial->loaded = load_run(&request);
    model = trial->loaded->model;
    assert_non_null(model);
    trial->arena = arena_new();
    only = arena_array(trial->arena, model->n_requirements, sizeof *only);
    for (uint32_t i = 0; i < model->n_requirements; i++)
        only[i] = strcmp(model->requirements[i].name->spelling, name) == 0;
    setting.only = only;
    trial->findings = check_model(trial->arena, model, &setting,
                                  trial->loaded->diags);
    assert_non_null(trial->findings);
    assert_int_equal(trial->findings->n_requirements, 1);
    assert_int_equal(trial->findings->requirements[0].verdict,
                     VERDICT_BROKEN);
}

/* Adds the lines that why_expected.txt allows besides. */
static void allow(const char *file, const char *requirement, bool *changed)
{
    struct text list = {0};
    char *rest = NULL;

    assert_int_equal(os_read_file("tests/outside/why_expected.txt", 1 << 20,
                                  &list), OS_OK);
    for (char *at = strtok_r(list.at, "\n", &rest); at;
         at = strtok_r(NULL, "\n", &rest)) {
        char path[128], name[16];
        unsigned line;

        if (*at == '#')
            continue;
        assert_int_equal(sscanf(at, "%127s %15s %u", path, name, &line), 3);
        assert_true(line < LINES_MOST);
        if (strstr(file, path) != NULL && strcmp(name, requirement) == 0)
            changed[line] = true;
    }
    text_release(&list);
}

static bool names_the_change(const struct lines *original,
                             const char *review, const char *file,
                             const char *requirement)
{
    bool changed[LINES_MOST + 1] = {false}, hit = false;
    struct trial trial = {.file = file};
    struct lines lines;
    const struct requirement_finding *finding;

    read_lines(&lines, file);
    mark_changed(original, &lines, changed);
    allow(file, requirement, changed);
    ask(&trial, review, requirement);
    finding = &trial.findings->requirements[0];
    if (trial.loaded->model->requirements[finding->requirement].form <
        FORM_POSSIBLE)
        name_chain(&trial, finding);
    else
        name_needs(&trial, finding);
    for (unsigned i = 1; i < LINES_MOST; i++)
        hit = hit || (changed[i] && trial.named[i]);
    if (!hit)
        print_error("%s, %s: no line that was changed is named\n", file,
                    requirement);
    text_release(&lines.text);
    arena_free(trial.arena);
    loaded_free(trial.loaded);
    return hit;
}

struct changes {
    const char *review;
    struct lines original;
    unsigned missed;
};

static void change(void *context, const char *path, const char *requirement,
                   unsigned long length)
{
    struct changes *changes = context;

    (void)length;
    changes->missed += !names_the_change(&changes->original, changes->review,
                                         path, requirement);
}

static void all_changes(const char *review, const char *control,
                        const char *folder)
{
    struct changes changes = {.review = review};

    read_lines(&changes.original, control);
    folder_expected(folder, ONE_IN, change, &changes);
    assert_int_equal(changes.missed, 0);
    text_release(&changes.original.text);
}

static void test_tailgate(void **unused)
{
    (void)unused;
    all_changes("models/tailgate/tailgate.review",
                "models/tailgate/tailgate.st", "models/tailgate/changes/");
}

static void test_table(void **unused)
{
    (void)unused;
    all_changes("models/table/table.review", "models/table/table.st",
                "models/table/changes/");
}

static void test_rear_body(void **unused)
{
    (void)unused;
    all_changes("models/rear_body/rear_body.review",
                "models/rear_body/rear_body.st",
                "models/rear_body/changes/");
}

int main(void)
{
    static const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_tailgate),
        cmocka_unit_test(test_table),
        cmocka_unit_test(test_rear_body),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
