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
#include "lang/chain.h"
#include "lang/exchange.h"
#include "lang/expand.h"
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

static enum os_status read_text(const struct load *load, const char *path,
                                struct text *content)
{
    const struct load_instead *instead = load->request->instead;

    if (instead == NULL || strcmp(instead->path, path) != 0)
        return os_read_file(path, LOAD_LIMIT, content);
    text_add_bytes(content, instead->text, instead->n);
    return OS_OK;
}

/* Reads one file into the sources; 0 when that failed. */
static uint32_t load_file(struct load *load, const char *path)
{
    struct text content = {0};
    enum os_status status = read_text(load, path, &content);
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

static bool begins_with(const struct sources *sources, uint32_t file,
                        const char *word)
{
    size_t n;
    const char *at = sources_text(sources, file, &n);
    const char *end = at + n;

    at = skip_blank(at, end);
    for (; *word != '\0'; word++, at++)
        if (at >= end || toupper((unsigned char)*at) != *word)
            return false;
    return at >= end || !(isalnum((unsigned char)*at) || *at == '_');
}

static bool is_review(const struct sources *sources, uint32_t file)
{
    return begins_with(sources, file, "REVIEW");
}

static bool is_template(const struct sources *sources, uint32_t file)
{
    return begins_with(sources, file, "TEMPLATE");
}

/* A template is no text to be judged. */
static bool refuse_template(struct load *load, uint32_t file)
{
    if (!is_template(load->out->sources, file))
        return false;
    load->out->failure = arena_printf(
        load->out->arena,
        "'%s' is a template\n"
        "   what to do: name it in a review text, in a line TEMPLATES "
        "'...'; and ask for it with USE",
        sources_path(load->out->sources, file));
    return true;
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

/* The path of a file named in it, relative to the review text. */
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

    if (file != 0 && !refuse_template(load, file))
        load_parse(load, file, PARSE_CONTROL);
}

/* Reads a template; its name may stand in one text only. */
static bool load_template(struct load *load, const char *path,
                          struct template *templates, size_t n)
{
    const struct parse_context context = load_context(load);
    uint32_t file = load_file(load, path);
    size_t bytes = 0;

    if (file == 0)
        return false;
    sources_text(load->out->sources, file, &bytes);
    if (!is_template(load->out->sources, file) || bytes > EXPAND_TEMPLATE) {
        load->out->failure = arena_printf(
            load->out->arena,
            bytes > EXPAND_TEMPLATE
                ? "'%s' is longer than a template may be (64 KiB)\n"
                  "   what to do: make several templates of it"
                : "'%s' is no template\n   what to do: name it in a line "
                  "CONTROL; a template begins with TEMPLATE Name", path);
        return false;
    }
    if (!template_read(&context, file, load->request->spelling,
                       &templates[n]))
        return false;
    for (size_t i = 0; i < n; i++)
        if (templates[i].tree->name->name == templates[n].tree->name->name) {
            diag_add(load->out->diags, DIAG_ERROR,
                     templates[n].tree->name->span, "keep one of them",
                     "there are two templates '%s'",
                     templates[n].tree->name->name->spelling);
            diag_also(load->out->diags, templates[i].tree->name->span,
                      "the other one stands here");
            return false;
        }
    return true;
}

/* The templates that a parsed review names, put into their places. */
static void load_templates(struct load *load)
{
    const struct parse_context context = load_context(load);
    const struct tree_review *review = &load->run->review;
    const struct tree_control_file *at = review->templates_in.first;
    struct template *templates = arena_array(
        load->out->arena, review->templates_in.n, sizeof *templates);
    size_t n = 0;

    for (; at != NULL; at = at->next) {
        if (!load_template(load, beside(load->out->arena,
                                        load->request->path, at->path.at),
                           templates, n)) {
            load->clean = false;
            return;
        }
        n++;
    }
    if (!expand_uses(&context, load->out->sources, templates, n, load->run))
        load->clean = false;
}

/* The control texts that a parsed review names; one may be given instead of
 * the first. */
static void load_controls(struct load *load)
{
    const struct tree_control_file *file = load->run->review.controls_in.first;

    if (load->request->controls != NULL) {
        for (int i = 0; i < load->request->n_controls; i++)
            load_control(load, load->request->controls[i]);
        return;
    }
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
        else if (file != 0 && !refuse_template(load, file))
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
        if (load->clean)
            load_templates(load);
        load_controls(load);
    } else if (refuse_template(load, file)) {
        return;
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

/* The numbers of the run beside it. */
static void load_numbers(struct load *load)
{
    const struct tree_run *beside = load->request->beside;

    if (beside == NULL)
        return;
    load->run->rounds |= beside->rounds;
    for (const struct tree_real *at = beside->reals.first; at != NULL;
         at = at->next) {
        struct tree_real *copy = ARENA_NEW(load->out->arena,
                                           struct tree_real);

        copy->value = at->value;
        CHAIN_APPEND(&load->run->reals, copy);
    }
}

/* No configuration says what else runs. */
static void load_alone(struct load *load)
{
    struct tree_run *run = load->run;

    if (load->request->alone == NULL)
        return;
    run->alone = names_of(load->out->names, load->request->alone);
    run->configurations.first = run->configurations.last = NULL;
    run->configurations.n = 0;
}

static void load_check(struct load *load)
{
    const struct check_context context = {
        .arena = load->out->arena,
        .names = load->out->names,
        .sources = load->out->sources,
        .diags = load->out->diags,
    };

    load_numbers(load);
    load_alone(load);
    load->out->parsed = load->clean;
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
                    is_review(loaded->sources, file)     ? PARSE_REVIEW
                    : is_template(loaded->sources, file) ? PARSE_TEMPLATE
                                                         : PARSE_CONTROL,
                    out);
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
