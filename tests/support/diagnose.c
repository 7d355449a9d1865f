#include "tests/support/diagnose.h"

#include <string.h>

#include "base/arena.h"
#include "base/name.h"
#include "base/os.h"
#include "base/text.h"
#include "check/check.h"
#include "lang/exchange.h"
#include "lang/parse.h"
#include "lang/review.h"
#include "source/diag.h"
#include "source/render.h"
#include "source/source.h"

static bool is_review(const char *path)
{
    size_t n = strlen(path);

    return n > 7 && strcmp(path + n - 7, ".review") == 0;
}

static const char *base_name(const char *path)
{
    const char *slash = strrchr(path, '/');

    return slash ? slash + 1 : path;
}

/* Parses the control texts that a review text names. */
static void parse_controls(const char *path,
                           const struct parse_context *context,
                           struct sources *sources, struct tree_run *run)
{
    size_t folder = (size_t)(base_name(path) - path);
    struct text full = {0}, content = {0};
    const struct tree_control_file *at = run->review.controls_in.first;

    for (; at; at = at->next) {
        text_clear(&full);
        text_add_bytes(&full, path, folder);
        text_add(&full, at->path.at);
        if (os_read_file(text_str(&full), 1 << 24, &content) == OS_OK) {
            exchange_unpack(&content);
            parse_text(context,
                       sources_add(sources, base_name(at->path.at),
                                   text_str(&content), content.n),
                       PARSE_CONTROL, run);
        }
    }
    text_release(&full);
    text_release(&content);
}

/* Spellings are told for files whose names begin so, or forbidden. */
static enum tree_spelling spelling_of(const char *name)
{
    return strncmp(name, "spelling-", 9) == 0 ? TREE_TELL_SPELLING
           : strncmp(name, "strict-", 7) == 0 ? TREE_STRICT
                                              : TREE_ANY_SPELLING;
}

/* The check runs where the parser has nothing against the text. */
static void diagnose(const char *path, const struct text *content,
                     struct text *out)
{
    struct arena *arena = arena_new();
    struct names *names = names_new(arena);
    struct sources *sources = sources_new(arena);
    struct diags *diags = diags_new(arena);
    struct parse_context context = {arena, names, sources, diags};
    struct check_context check = {arena, names, sources, diags};
    struct tree_run run = {.spelling = spelling_of(base_name(path))};
    uint32_t file = sources_add(sources, base_name(path), text_str(content),
                                content->n);

    parse_text(&context, file, is_review(path) ? PARSE_REVIEW
                                               : PARSE_CONTROL, &run);
    if (!diags_errors(diags))
        parse_controls(path, &context, sources, &run);
    if (!diags_errors(diags))
        check_run(&check, &run);
    render_diags(out, sources, diags);
    diags_free(diags);
    sources_free(sources);
    names_free(names);
    arena_free(arena);
}

bool diagnose_file(const char *path, struct text *out)
{
    struct text content = {0};
    bool found = os_read_file(path, 1 << 24, &content) == OS_OK;

    if (found)
        exchange_unpack(&content);
    if (found)
        diagnose(path, &content, out);
    text_release(&content);
    return found;
}
