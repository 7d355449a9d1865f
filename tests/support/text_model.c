#include "tests/support/text_model.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/arena.h"
#include "base/name.h"
#include "check/check.h"
#include "check/decision.h"
#include "lang/parse.h"
#include "lang/review.h"
#include "source/diag.h"
#include "source/source.h"

static bool parse(struct text_model *text, struct tree_run *run,
                  const char *bytes, enum parse_kind kind)
{
    struct parse_context context = {text->arena, text->names, text->sources,
                                    text->diags};
    const char *path = kind == PARSE_REVIEW ? "test.review" : "test.st";
    uint32_t file = sources_add(text->sources, path, bytes, strlen(bytes));
    return parse_text(&context, file, kind, run);
}

static void complain(const struct text_model *text)
{
    for (size_t i = 0; i < diags_count(text->diags); i++) {
        const struct diag *diag = diags_at(text->diags, i);
        struct place place = sources_place(text->sources, diag->span);
        if (diag->severity == DIAG_ERROR)
            fprintf(stderr, "%s:%u:%u: %s\n", place.path, place.line,
                    place.column, diag->message);
    }
}

static const struct model *with_decisions(struct arena *arena,
                                          const struct model *model)
{
    struct model *with = ARENA_NEW(arena, struct model);
    *with = *model;
    with->decisions = decisions_of(arena, model);
    return with;
}

void text_model_init(struct text_model *text, const char *control,
                     const char *review, bool quiet)
{
    struct tree_run run = {0};
    memset(text, 0, sizeof *text);
    text->arena = arena_new();
    text->names = names_new(text->arena);
    text->sources = sources_new(text->arena);
    text->diags = diags_new(text->arena);
    struct check_context context = {text->arena, text->names, text->sources,
                                    text->diags};
    bool good = parse(text, &run, control, PARSE_CONTROL);
    if (review)
        good = parse(text, &run, review, PARSE_REVIEW) && good;
    if (good)
        text->model = check_run(&context, &run);
    if (text->model)
        text->model = with_decisions(text->arena, text->model);
    if (text->model)
        text->lowered = lower_model(text->arena, text->model, text->diags);
    if (text->lowered)
        text->run = flat_run_new(text->arena, text->lowered->flat);
    else if (!quiet)
        complain(text);
}

void text_model_release(struct text_model *text)
{
    lowered_free(text->lowered);
    diags_free(text->diags);
    sources_free(text->sources);
    names_free(text->names);
    arena_free(text->arena);
}

static uint32_t row_of(const struct text_model *text, const char *name)
{
    for (uint32_t i = text->model->n_choices; i-- > 0;)
        if (!strcmp(text->model->choices[i].name, name))
            return i;
    fail_msg("no choice %s", name);
    return 0;
}

void text_model_choose(struct text_model *text, const char *name,
                       uint32_t value)
{
    uint32_t row = row_of(text, name);
    assert_true(value < text->model->choices[row].count);
    text->run->choice[row] = value;
}

void text_model_give(struct text_model *text, const char *name,
                     int64_t value)
{
    uint32_t row = row_of(text, name);
    const struct choice *choice = &text->model->choices[row];
    for (uint32_t i = 0; i < choice->count; i++) {
        bool cut = choice->cell_low != NULL;
        int64_t low = cut ? choice->cell_low[i] : choice->values[i];
        int64_t high = cut ? choice->cell_high[i] : choice->values[i];
        if (low <= value && value <= high) {
            text->run->choice[row] = i;
            return;
        }
    }
    fail_msg("%s cannot be %lld", name, (long long)value);
}

void text_model_scan(struct text_model *text)
{
    assert_true(flat_run_scan(text->run, true));
}

uint32_t text_model_slot(const struct text_model *text, const char *path)
{
    for (uint32_t i = 0; i < text->model->n_slots; i++)
        if (!strcmp(text->model->slots[i].path, path))
            return i;
    for (uint32_t i = 0; i < text->model->n_slots; i++)
        fprintf(stderr, "slot %s\n", text->model->slots[i].path);
    fail_msg("no slot %s", path);
    return 0;
}

int64_t text_model_value(const struct text_model *text, const char *path)
{
    uint32_t slot = text_model_slot(text, path);
    return text->run->node[text->lowered->slot_value[slot]];
}

static bool watched(const struct text_model *text, uint32_t watch)
{
    return text->run->node[text->lowered->flat->watches[watch].condition];
}

bool text_model_breach(const struct text_model *text, uint32_t requirement)
{
    return watched(text, text->lowered->breach[requirement]);
}

bool text_model_trigger(const struct text_model *text, uint32_t requirement,
                        uint32_t part)
{
    return watched(text, text->lowered->trigger[requirement] + part);
}

const struct flat_cell *text_model_cell(const struct text_model *text,
                                        enum place_kind kind, uint32_t index)
{
    const struct flat *flat = text->lowered->flat;
    for (uint32_t i = 0; i < flat->n_cells; i++)
        if (flat->cells[i].kind == kind && flat->cells[i].index == index)
            return &flat->cells[i];
    return NULL;
}
