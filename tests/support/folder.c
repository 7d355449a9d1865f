#include "tests/support/folder.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/arena.h"
#include "base/name.h"
#include "base/os.h"
#include "base/text.h"
#include "check/model.h"
#include "reference/replay.h"
#include "source/diag.h"
#include "source/render.h"
#include "study/check.h"
#include "study/load.h"
#include "study/scenario.h"

/* One review checked, with its own control text or another. */
struct checked {
    struct loaded *loaded;
    struct arena *arena;
    const struct findings *findings;
};

static void explain(const struct loaded *loaded)
{
    struct text text = {0};

    render_diags(&text, loaded->sources, loaded->diags);
    print_error("%s%s\n", loaded->failure ? loaded->failure : "",
                text_str(&text));
    text_release(&text);
}

static uint32_t find(const struct model *model, const char *requirement)
{
    for (uint32_t i = 0; i < model->n_requirements; i++)
        if (!strcmp(model->requirements[i].name->spelling, requirement))
            return i;
    fail_msg("no requirement %s", requirement);
    return 0;
}

/* only: the requirement that is asked, or NULL for all. */
static void check(struct checked *c, const char *review, const char *control,
                  const char *only)
{
    struct load_request request = {.path = review, .control = control};
    struct study_setting setting = {.quick = only != NULL};

    c->loaded = load_run(&request);
    if (!c->loaded->model)
        explain(c->loaded);
    assert_non_null(c->loaded->model);
    c->arena = arena_new();
    if (only) {
        bool *asked = arena_array(c->arena, c->loaded->model->n_requirements,
                                  sizeof *asked);

        asked[find(c->loaded->model, only)] = true;
        setting.only = asked;
    }
    c->findings = check_model(c->arena, c->loaded->model, &setting,
                              c->loaded->diags);
    assert_non_null(c->findings);
    assert_null(c->findings->internal_error);
}

static void release(struct checked *c)
{
    arena_free(c->arena);
    loaded_free(c->loaded);
}

void folder_kept(const char *review)
{
    struct checked c;

    check(&c, review, NULL, NULL);
    for (uint32_t i = 0; i < c.findings->n_requirements; i++)
        if (c.findings->requirements[i].verdict != VERDICT_KEPT)
            fail_msg("%s: %s is %s", review,
                     c.loaded->model->requirements[i].name->spelling,
                     verdict_words(c.findings->requirements[i].verdict));
    assert_int_equal(findings_exit_code(c.findings), 0);
    release(&c);
}

/* A POSSIBLE that is broken is exhausted: it has no shortest way. */
static void length_agrees(const struct checked *c, unsigned long length)
{
    const struct requirement_finding *found = &c->findings->requirements[0];
    const struct model *model = c->loaded->model;

    if (model->requirements[found->requirement].form == FORM_POSSIBLE) {
        assert_int_equal(length, 0);
        return;
    }
    assert_non_null(found->sequence);
    assert_int_equal(found->sequence->n_scans, length);
}

/* One line of EXPECTED: file, requirement, length, with blanks between. */
static void broken_as_expected(const char *review, const char *folder,
                               const char *line)
{
    char file[64], requirement[64];
    unsigned long length;
    struct text control = {0};
    struct checked c;

    assert_int_equal(sscanf(line, "%63s %63s %lu", file, requirement,
                            &length), 3);
    text_printf(&control, "%s%s", folder, file);
    check(&c, review, text_str(&control), requirement);
    if (c.findings->requirements[0].verdict != VERDICT_BROKEN)
        fail_msg("%s: %s is %s", file, requirement,
                 verdict_words(c.findings->requirements[0].verdict));
    length_agrees(&c, length);
    release(&c);
    text_release(&control);
}

void folder_changes_break(const char *review, const char *folder,
                          unsigned one_in)
{
    struct text list = {0}, path = {0};
    unsigned lines = 0;

    text_printf(&path, "%sEXPECTED", folder);
    assert_int_equal(os_read_file(text_str(&path), 1 << 20, &list), OS_OK);
    for (char *at = strtok(list.at, "\n"); at; at = strtok(NULL, "\n")) {
        if (*at == '#')
            continue;
        if (lines++ % one_in == 0)
            broken_as_expected(review, folder, at);
    }
    assert_true(lines > 0);
    text_release(&list);
    text_release(&path);
}

static void play_all(const struct checked *c, const char *review)
{
    const struct model *model = c->loaded->model;

    for (uint32_t i = 0; i < model->n_scenarios; i++) {
        struct scenario_result *result =
            scenario_play(c->arena, model, &model->scenarios[i]);

        if (!result->as_expected)
            fail_msg("%s: scenario %s is not as expected", review,
                     model->scenarios[i].name->spelling);
        scenario_release(result);
    }
}

unsigned folder_plays(const char *review)
{
    struct load_request request = {.path = review};
    struct checked c = {.loaded = load_run(&request), .arena = arena_new()};
    unsigned n;

    assert_non_null(c.loaded->model);
    play_all(&c, review);
    n = c.loaded->model->n_scenarios;
    release(&c);
    return n;
}
