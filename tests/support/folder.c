#include "tests/support/folder.h"

#include <dirent.h>
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

static void load(struct checked *c, const char *review, const char *control)
{
    struct load_request request = {.path = review, .control = control};

    c->loaded = load_run(&request);
    if (!c->loaded->model)
        explain(c->loaded);
    assert_non_null(c->loaded->model);
    c->arena = arena_new();
}

static void judge(struct checked *c, const struct study_setting *setting)
{
    c->findings = check_model(c->arena, c->loaded->model, setting,
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

    load(&c, review, NULL);
    judge(&c, &(struct study_setting){.quick = false});
    for (uint32_t i = 0; i < c.findings->n_requirements; i++)
        if (c.findings->requirements[i].verdict != VERDICT_KEPT)
            fail_msg("%s: %s is %s", review,
                     c.loaded->model->requirements[i].name->spelling,
                     verdict_words(c.findings->requirements[i].verdict));
    assert_int_equal(findings_exit_code(c.findings), 0);
    release(&c);
}

/* A POSSIBLE that is broken is exhausted: it has no shortest way. */
static unsigned length_of(const struct checked *c,
                          const struct requirement_finding *found)
{
    const struct model *model = c->loaded->model;

    if (model->requirements[found->requirement].form == FORM_POSSIBLE)
        return 0;
    assert_non_null(found->sequence);
    return found->sequence->n_scans;
}

static void broken_as_expected(void *review, const char *path,
                               const char *requirement, unsigned long length)
{
    struct checked c;
    bool *asked;

    load(&c, review, path);
    asked = arena_array(c.arena, c.loaded->model->n_requirements,
                        sizeof *asked);
    asked[find(c.loaded->model, requirement)] = true;
    judge(&c, &(struct study_setting){.quick = true, .only = asked});
    if (c.findings->requirements[0].verdict != VERDICT_BROKEN)
        fail_msg("%s: %s is %s", path, requirement,
                 verdict_words(c.findings->requirements[0].verdict));
    assert_int_equal(length_of(&c, &c.findings->requirements[0]), length);
    release(&c);
}

void folder_changes_break(const char *review, const char *folder,
                          unsigned one_in)
{
    folder_expected(folder, one_in, broken_as_expected, (void *)review);
}

void folder_expected(const char *folder, unsigned one_in,
                     void (*each)(void *context, const char *path,
                                  const char *requirement,
                                  unsigned long length),
                     void *context)
{
    struct text list = {0}, path = {0};
    char *rest = NULL;
    unsigned n = 0;

    text_printf(&path, "%sEXPECTED", folder);
    assert_int_equal(os_read_file(text_str(&path), 1 << 20, &list), OS_OK);
    for (char *at = strtok_r(list.at, "\n", &rest); at;
         at = strtok_r(NULL, "\n", &rest)) {
        char file[64], requirement[64];
        unsigned long length;

        if (*at == '#' || n++ % one_in != 0)
            continue;
        assert_int_equal(sscanf(at, "%63s %63s %lu", file, requirement,
                                &length), 3);
        text_clear(&path);
        text_printf(&path, "%s%s", folder, file);
        each(context, text_str(&path), requirement, length);
    }
    assert_true(n > 0);
    text_release(&list);
    text_release(&path);
}

/* Length of what speaks of the text that `at` begins with. */
static size_t lines_of_one(const char *at)
{
    size_t name = strcspn(at, " \n"), n = 0;

    while (strncmp(at + n, at, name + 1) == 0)
        n += strcspn(at + n, "\n") + 1;
    return n;
}

static unsigned control_texts(const char *folder)
{
    DIR *list = opendir(folder);
    unsigned n = 0;

    assert_non_null(list);
    for (struct dirent *at = readdir(list); at; at = readdir(list)) {
        size_t length = strlen(at->d_name);

        n += length > 3 && !strcmp(at->d_name + length - 3, ".st");
    }
    closedir(list);
    return n;
}

unsigned folder_table(const char *folder, const char *table, unsigned one_in,
                      void (*each)(void *context, const char *path,
                                   const char *lines), void *context)
{
    struct text path = {0}, list = {0};
    const char *at;
    unsigned n = 0;

    text_printf(&path, "%s%s", folder, table);
    assert_int_equal(os_read_file(text_str(&path), 1 << 20, &list), OS_OK);
    for (at = text_str(&list); *at == '#';)
        at += strcspn(at, "\n") + 1;
    for (size_t length; *at != '\0'; at += length) {
        char *lines;

        length = lines_of_one(at);
        if (n++ % one_in != 0)
            continue;
        lines = strndup(at, length);
        text_clear(&path);
        text_printf(&path, "%s%.*s", folder, (int)strcspn(at, " \n"), at);
        each(context, text_str(&path), lines);
        free(lines);
    }
    assert_int_equal(n, control_texts(folder));
    text_release(&path);
    text_release(&list);
    return n;
}

/* A line for each requirement that is broken. */
static void write_broken(struct text *to, const char *file,
                         const struct checked *c)
{
    const struct model *model = c->loaded->model;

    for (uint32_t i = 0; i < c->findings->n_requirements; i++) {
        const struct requirement_finding *found =
            &c->findings->requirements[i];

        if (found->verdict == VERDICT_BROKEN)
            text_printf(to, "%s %s %u\n", file,
                        model->requirements[found->requirement]
                            .name->spelling,
                        length_of(c, found));
    }
}

static void breaks_just(void *review, const char *path, const char *lines)
{
    struct text got = {0};
    struct checked c;

    load(&c, review, path);
    judge(&c, &(struct study_setting){.quick = true});
    write_broken(&got, strrchr(path, '/') + 1, &c);
    assert_string_equal(text_str(&got), lines);
    release(&c);
    text_release(&got);
}

void folder_changes_break_just(const char *review, const char *folder,
                               unsigned one_in)
{
    folder_table(folder, "EXPECTED", one_in, breaks_just, (void *)review);
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
