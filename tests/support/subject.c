#include "tests/support/subject.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>

#include <cmocka.h>

#include "base/arena.h"
#include "base/name.h"
#include "check/check.h"
#include "lang/parse.h"
#include "lang/review.h"
#include "lower/lower.h"
#include "reference/machine.h"
#include "source/diag.h"
#include "source/render.h"
#include "source/source.h"

void subject_complain(const struct subject *s, const char *what)
{
    struct text control = {0}, review = {0};
    struct random_parts parts = {.possible = s->possible,
                                 .again = s->again,
                                 .despite = s->despite,
                                 .leaning = s->leaning,
                                 .range = s->range, .every = s->every,
                                 .loops = s->loops,
                                 .settings = s->settings,
                                 .noticing = s->noticing,
                                 .open = s->open};

    random_review(s->seed, &control, &review, &parts);
    print_message("seed %u: %s\n", (unsigned)s->seed, what);
    print_message("%.900s\n", text_str(&control));
    print_message("%.900s\n", text_str(&review));
    if (review.n > 900)
        print_message("%s\n", text_str(&review) + 900);
    text_release(&control);
    text_release(&review);
}

static void read_text(struct subject *s, struct tree_run *run,
                      const char *name, const struct text *text,
                      enum parse_kind kind)
{
    const struct parse_context context = {s->arena, s->names, s->sources,
                                          s->diags};
    uint32_t file = sources_add(s->sources, name, text_str(text), text->n);

    parse_text(&context, file, kind, run);
}

static void check_subject(struct subject *s, struct tree_run *run)
{
    const struct check_context context = {s->arena, s->names, s->sources,
                                          s->diags};
    struct text words = {0};

    if (diags_errors(s->diags) == 0)
        s->model = check_run(&context, run);
    if (s->model == NULL) {
        render_diags(&words, s->sources, s->diags);
        subject_complain(s, text_str(&words));
    }
    text_release(&words);
    assert_non_null(s->model);
}

void subject_read(struct subject *s, bool possible)
{
    struct text control = {0}, review = {0};
    struct tree_run *run;

    s->possible = s->parts.possible = possible;
    s->parts.again = s->again;
    s->parts.despite = s->despite;
    s->parts.leaning = s->leaning;
    s->parts.range = s->range;
    s->parts.every = s->every;
    s->parts.open = s->open;
    s->parts.loops = s->loops;
    s->parts.settings = s->settings;
    s->parts.noticing = s->noticing;
    s->arena = arena_new();
    s->names = names_new(s->arena);
    s->sources = sources_new(s->arena);
    s->diags = diags_new(s->arena);
    run = ARENA_NEW(s->arena, struct tree_run);
    random_review(s->seed, &control, &review, &s->parts);
    read_text(s, run, "random.st", &control, PARSE_CONTROL);
    read_text(s, run, "random.review", &review, PARSE_REVIEW);
    text_release(&control);
    text_release(&review);
    check_subject(s, run);
    s->lowered = lower_model(s->arena, s->model, s->diags);
    assert_non_null(s->lowered);
    s->machine = machine_new(s->arena, s->model);
}

void subject_release(struct subject *s)
{
    lowered_free(s->lowered);
    names_free(s->names);
    diags_free(s->diags);
    sources_free(s->sources);
    arena_free(s->arena);
}
