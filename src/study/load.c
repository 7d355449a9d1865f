#include "study/load.h"

#include <ctype.h>
#include <stdlib.h>
#include <string.h>

#include "base/arena.h"
#include "base/ensure.h"
#include "base/name.h"
#include "base/os.h"
#include "base/text.h"
#include "check/check.h"
#include "lang/exchange.h"
#include "lang/format.h"
#include "lang/parse.h"
#include "lang/review.h"
#include "source/diag.h"
#include "source/source.h"

/* A load under way. */
struct load {
    struct loaded *out;
    const struct load_request *request;
    struct tree_run *run;
    bool clean;
    bool unpacks; /* projects in XML become text */
};

/* Reads one file into the sources; 0 when that failed. */
static uint32_t load_file(struct load *load, const char *path)
{
    struct text content = {0};
    enum os_status status = os_read_file(path, LOAD_LIMIT, &content);
    uint32_t file = 0;

    if (status == OS_OK && load->unpacks)
        exchange_unpack(&content);
    if (status == OS_OK)
        file = sources_add(load->out->sources, path, text_str(&content),
                           content.n);
    else if (load->out->failure == NULL)
        load->out->failure = arena_printf(
            load->out->arena,
            "cannot read '%s': %s\n"
            "   what to do: check the path and the rights to read it", path,
            os_explain(status));
    text_release(&content);
    return file;
}

/* Skips blanks and comments; comments do not nest here: the first word of a
 * review text follows plain ones. */
static const char *skip_blank(const char *at, const char *end)
{
    for (;;) {
        const char *start = at;

        while (at < end && isspace((unsigned char)*at))
            at++;
        if (end - at >= 2 && at[0] == '/' && at[1] == '/')
            while (at < end && *at != '\n')
                at++;
        if (end - at >= 2 && at[0] == '(' && at[1] == '*') {
            size_t depth = 0;

            do {
                if (end - at >= 2 && at[0] == '(' && at[1] == '*')
                    depth++, at += 2;
                else if (end - at >= 2 && at[0] == '*' && at[1] == ')')
                    depth--, at += 2;
                else
                    at++;
            } while (depth > 0 && at < end);
        }
        if (at == start)
            return at;
    }
}

static bool is_review(const struct sources *sources, uint32_t file)
{
    size_t n;
    const char *at = sources_text(sources, file, &n);
    const char *end = at + n;
    const char *word = "REVIEW";

    at = skip_blank(at, end);
    for (; *word != '\0'; word++, at++)
        if (at >= end || toupper((unsigned char)*at) != *word)
            return false;
    return at >= end || !(isalnum((unsigned char)*at) || *at == '_');
}

static struct parse_context load_context(const struct load *load)
{
    return (struct parse_context){
        .arena = load->out->arena,
        .names = load->out->names,
        .sources = load->out->sources,
        .diags = load->out->diags,
    };
}

static void load_parse(struct load *load, uint32_t file, enum parse_kind kind)
{
    const struct parse_context context = load_context(load);

    if (!parse_text(&context, file, kind, load->run))
        load->clean = false;
}

/* The path of a CONTROL file, relative to the review text. */
static const char *beside(struct arena *arena, const char *review,
                          const char *path)
{
    const char *slash = strrchr(review, '/');

    if (path[0] == '/' || slash == NULL)
        return path;
    return arena_printf(arena, "%.*s%s", (int)(slash - review + 1), review,
                        path);
}

static void load_control(struct load *load, const char *path)
{
    uint32_t file = load_file(load, path);

    if (file != 0)
        load_parse(load, file, PARSE_CONTROL);
}

/* The control texts that a parsed review names; one may be given instead of
 * the first. */
static void load_controls(struct load *load)
{
    const struct tree_control_file *file = load->run->review.controls_in.first;

    if (load->request->control != NULL) {
        load_control(load, load->request->control);
        file = file != NULL ? file->next : NULL;
    }
    for (; file != NULL; file = file->next)
        load_control(load, beside(load->out->arena, load->request->path,
                                  file->path.at));
}

static void load_more(struct load *load)
{
    for (int i = 0; i < load->request->n_more; i++) {
        uint32_t file = load_file(load, load->request->more[i]);

        if (file != 0 && is_review(load->out->sources, file))
            load->out->failure = arena_printf(
                load->out->arena,
                "'%s' is a review text and stands behind a control text\n"
                "   what to do: give the review text alone; it names its "
                "control texts after CONTROL", load->request->more[i]);
        else if (file != 0)
            load_parse(load, file, PARSE_CONTROL);
    }
}

/* Texts that are in no file yet. */
static void load_unwritten(struct load *load)
{
    struct sources *sources = load->out->sources;
    const char *declared = load->request->declared;
    const char *review = load->request->review;

    if (declared != NULL)
        load_parse(load, sources_add(sources, "(what no text declares)",
                                     declared, strlen(declared)),
                   PARSE_CONTROL);
    if (review != NULL)
        load_parse(load, sources_add(sources, "(the first review text)",
                                     review, strlen(review)), PARSE_REVIEW);
}

static void load_texts(struct load *load)
{
    uint32_t file = load_file(load, load->request->path);

    if (file == 0)
        return;
    if (is_review(load->out->sources, file) && load->request->n_more > 0) {
        load->out->failure = arena_printf(
            load->out->arena,
            "'%s' is a review text and '%s' is a second file\n"
            "   what to do: name the control texts in the review text, each "
            "after CONTROL", load->request->path, load->request->more[0]);
    } else if (is_review(load->out->sources, file)) {
        load_parse(load, file, PARSE_REVIEW);
        load_controls(load);
    } else if (load->request->control != NULL) {
        load->out->failure = arena_printf(
            load->out->arena,
            "'%s' is not a review text, so no control text can be replaced "
            "in it\n   what to do: leave --control away, or name a review "
            "text, which begins with REVIEW", load->request->path);
    } else {
        load_parse(load, file, PARSE_CONTROL);
        load_more(load);
        load_unwritten(load);
    }
}

static void load_check(struct load *load)
{
    const struct check_context context = {
        .arena = load->out->arena,
        .names = load->out->names,
        .sources = load->out->sources,
        .diags = load->out->diags,
    };

    if (load->clean && load->out->failure == NULL)
        load->out->model = check_run(&context, load->run);
}

/* An empty run. */
static struct loaded *load_begin(struct load *load,
                                 const struct load_request *request)
{
    struct arena *arena = arena_new();
    struct loaded *loaded = ARENA_NEW(arena, struct loaded);

    *load = (struct load){
        .out = loaded,
        .request = request,
        .run = ARENA_NEW(arena, struct tree_run),
        .clean = true,
    };
    load->run->spelling = request->spelling;
    loaded->run = load->run;
    loaded->arena = arena;
    loaded->names = names_new(arena);
    loaded->sources = sources_new(arena);
    loaded->diags = diags_new(arena);
    return loaded;
}

struct loaded *load_run(const struct load_request *request)
{
    struct load load;
    struct loaded *loaded = load_begin(&load, request);

    load.unpacks = true;
    load_texts(&load);
    load_check(&load);
    return loaded;
}

struct loaded *load_layout(const char *path, struct text *out)
{
    const struct load_request request = {.path = path};
    struct load load;
    struct loaded *loaded = load_begin(&load, &request);
    const struct parse_context context = load_context(&load);
    uint32_t file = load_file(&load, path);

    if (file != 0)
        format_text(&context, file,
                    is_review(loaded->sources, file) ? PARSE_REVIEW
                                                     : PARSE_CONTROL, out);
    return loaded;
}

void loaded_free(struct loaded *loaded)
{
    struct arena *arena = loaded->arena;

    names_free(loaded->names);
    diags_free(loaded->diags);
    sources_free(loaded->sources);
    arena_free(arena);
}
