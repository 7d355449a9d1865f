#include "tests/support/checked.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>
#include <cmocka.h>

#include "base/arena.h"
#include "base/name.h"
#include "check/check.h"
#include "lang/parse.h"
#include "lang/review.h"
#include "source/diag.h"

static void add(struct checked *checked, struct tree_run *run,
                const char *path, const char *text)
{
    struct parse_context context = {checked->arena, checked->names,
                                    checked->sources, checked->diags};
    uint32_t file = sources_add(checked->sources, path, text, strlen(text));

    assert_true(parse_text(&context, file,
                           strstr(path, ".review") ? PARSE_REVIEW
                                                   : PARSE_CONTROL,
                           run));
}

void checked_init(struct checked *checked, const char *control,
                  const char *review)
{
    struct tree_run run = {0};
    struct check_context context;

    checked->arena = arena_new();
    checked->names = names_new(checked->arena);
    checked->sources = sources_new(checked->arena);
    checked->diags = diags_new(checked->arena);
    if (review)
        add(checked, &run, "test.review", review);
    add(checked, &run, "test.st", control);
    context = (struct check_context){checked->arena, checked->names,
                                     checked->sources, checked->diags};
    checked->model = check_run(&context, &run);
}

void checked_release(struct checked *checked)
{
    diags_free(checked->diags);
    sources_free(checked->sources);
    names_free(checked->names);
    arena_free(checked->arena);
}

bool checked_says(const struct checked *checked, const char *message)
{
    for (size_t i = 0; i < diags_count(checked->diags); i++)
        if (!strcmp(diags_at(checked->diags, i)->message, message))
            return true;
    return false;
}

const struct slot *checked_slot(const struct checked *checked,
                                const char *path)
{
    for (uint32_t i = 0; i < checked->model->n_slots; i++)
        if (!strcmp(checked->model->slots[i].path, path))
            return &checked->model->slots[i];
    fail_msg("no slot %s", path);
    return NULL;
}

const struct choice *checked_choice(const struct checked *checked,
                                    enum choice_kind kind, const char *name)
{
    for (uint32_t i = 0; i < checked->model->n_choices; i++)
        if (checked->model->choices[i].kind == kind &&
            !strcmp(checked->model->choices[i].name, name))
            return &checked->model->choices[i];
    fail_msg("no choice %s", name);
    return NULL;
}

const struct requirement *checked_requirement(const struct checked *checked,
                                              const char *name)
{
    const struct model *model = checked->model;

    for (uint32_t i = 0; i < model->n_requirements; i++)
        if (!strcmp(model->requirements[i].name->spelling, name))
            return &model->requirements[i];
    fail_msg("no requirement %s", name);
    return NULL;
}
