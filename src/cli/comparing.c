#include "cli/comparing.h"

#include <string.h>
#include <strings.h>

#include "base/arena.h"
#include "base/os.h"
#include "base/text.h"
#include "check/model.h"
#include "cli/asked.h"
#include "cli/exit.h"
#include "cli/options.h"
#include "cli/out.h"
#include "lang/review.h"
#include "present/compared.h"
#include "study/check.h"
#include "study/compare.h"
#include "study/load.h"
#include "study/reviews.h"

/* All that was loaded. */
struct comparing {
    const struct options *options; /* as of `compare` */
    struct arena *arena;
    struct loaded *was, *is;   /* each under its own review text */
    struct loaded *beside;     /* the old control text under the new review
                                  text; NULL: that is was */
    struct renames renames;
    struct text *out;
};

/* ---- options ---- */

static bool read_map(struct comparing *c)
{
    const char *at = c->options->map;
    uint32_t most = 1;
    struct renamed *pairs;

    for (const char *s = at; s != NULL && *s != '\0'; s++)
        most += *s == ',';
    pairs = arena_array(c->arena, most, sizeof *pairs);
    c->renames.at = pairs;
    while (at != NULL && *at != '\0') {
        size_t n = strcspn(at, ",");
        const char *sign = memchr(at, '=', n);

        if (sign == NULL || sign == at || sign + 1 == at + n) {
            out_complain("--map takes OLD=NEW, several with commas, not "
                         "'%.*s'", (int)n, at);
            return false;
        }
        pairs[c->renames.n++] = (struct renamed){
            arena_copy(c->arena, at, (size_t)(sign - at)),
            arena_copy(c->arena, sign + 1, n - (size_t)(sign + 1 - at))};
        at += n + (at[n] == ',');
    }
    return true;
}

/* Does some variable of either text have that name? */
static bool is_known(const struct model *model, const char *name)
{
    for (uint32_t i = 0; i < model->n_slots; i++) {
        const char *path = model->slots[i].path, *dot = strrchr(path, '.');

        if (strcasecmp(path, name) == 0 ||
            (dot != NULL && strcasecmp(dot + 1, name) == 0))
            return true;
    }
    return false;
}

static bool check_map(const struct comparing *c)
{
    const struct loaded *was = c->beside != NULL ? c->beside : c->was;

    for (uint32_t i = 0; i < c->renames.n; i++) {
        const char *old = c->renames.at[i].was, *new = c->renames.at[i].is;
        bool good = is_known(was->model, old);

        if (good && is_known(c->is->model, new))
            continue;
        out_complain("no variable of the %s text is called '%s'",
                     good ? "new" : "old", good ? new : old);
        return false;
    }
    return true;
}

/* ---- reading ---- */

/* Numbers of either text are numbers of both: so both are read a second
 * time, each beside the other. */
static struct loaded *load_beside(struct load_request request,
                                  const struct loaded *other)
{
    request.beside = other->run;
    return load_run(&request);
}

static int load_pair(const struct load_request *was,
                     const struct load_request *is, struct loaded **old,
                     struct loaded **new)
{
    struct loaded *first = load_run(was), *second = load_run(is);
    int code = out_diagnostics(first);

    if (code == 0)
        code = out_diagnostics(second);
    *old = code == 0 ? load_beside(*was, second) : NULL;
    *new = code == 0 ? load_beside(*is, first) : NULL;
    loaded_free(first);
    loaded_free(second);
    if (code == 0 && ((*old)->model == NULL || (*new)->model == NULL)) {
        out_complain("the REAL numbers of both texts together are too many");
        code = CLI_INPUT;
    }
    return code;
}

static int load_versions(struct comparing *c)
{
    struct load_request was = {.path = c->options->path,
                               .control = c->options->before};
    struct load_request is = {.path = c->options->path,
                              .control = c->options->control};

    return load_pair(&was, &is, &c->was, &c->is);
}

/* The old control texts under the new review text; where they do not fit,
 * nothing is run side by side. */
static void load_old_control(struct comparing *c)
{
    const struct tree_control_file *file =
        c->was->run->review.controls_in.first;
    const char *slash = strrchr(c->options->path, '/');
    uint32_t n = 0;
    const char **paths = arena_array(
        c->arena, (size_t)c->was->run->review.controls_in.n + 1,
        sizeof *paths);
    struct load_request request = {.path = c->options->more[0],
                                   .controls = paths};

    for (; file != NULL; file = file->next)
        paths[n++] = file->path.at[0] == '/' || slash == NULL
                         ? file->path.at
                         : arena_printf(c->arena, "%.*s%s",
                                        (int)(slash - c->options->path + 1),
                                        c->options->path, file->path.at);
    request.n_controls = (int)n;
    c->beside = load_beside(request, c->is);
}

static int load_reviews(struct comparing *c)
{
    struct load_request was = {.path = c->options->path};
    struct load_request is = {.path = c->options->more[0]};
    int code = load_pair(&was, &is, &c->was, &c->is);

    if (code == 0 && (c->was->run->review.name == NULL ||
                      c->is->run->review.name == NULL)) {
        out_complain("two files are compared as review texts, which begin "
                     "with REVIEW; for two control texts: keepclear compare "
                     "--control NEW.st FILE.review");
        code = CLI_INPUT;
    }
    if (code == 0)
        load_old_control(c);
    return code;
}

static int load_all(struct comparing *c)
{
    const struct options *options = c->options;

    if (options->before != NULL)
        return load_versions(c);
    if (options->n_more > 1 ||
        (options->control != NULL) == (options->n_more == 1)) {
        out_complain("'compare' takes a review text and --control NEW.st, or "
                     "two review texts");
        return CLI_INPUT;
    }
    return options->n_more == 1 ? load_reviews(c) : load_versions(c);
}

static void release(struct comparing *c)
{
    if (c->was != NULL)
        loaded_free(c->was);
    if (c->is != NULL)
        loaded_free(c->is);
    if (c->beside != NULL)
        loaded_free(c->beside);
    arena_free(c->arena);
}

/* ---- judging ---- */

static const struct comparison *side_by_side(struct comparing *c,
                                             const struct study_setting *how)
{
    struct loaded *was = c->beside != NULL ? c->beside : c->was;
    const struct twins_asked asked = {
        .was = {was->model, was->sources},
        .is = {c->is->model, c->is->sources},
        .renames = &c->renames, .setting = how};

    if (was->model == NULL)
        return NULL;
    return compare_versions(c->arena, &asked, c->is->diags);
}

static const char *first_control(const struct comparing *c,
                                 const struct loaded *loaded)
{
    const struct tree_control_file *file =
        loaded->run->review.controls_in.first;

    return c->options->n_more == 1 ? NULL
           : file == NULL ? c->options->path : file->path.at;
}

static int show(struct comparing *c, const struct comparison *comparison,
                const struct study_setting *setting,
                const struct findings *before, const struct findings *after)
{
    const struct review_differences *reviews =
        c->options->n_more == 0 ? NULL
                                : reviews_compare(c->arena, c->was, c->is,
                                                  setting);
    const struct compared_view view = {
        .was = c->options->n_more == 1     ? c->options->path
               : c->options->before != NULL ? c->options->before
                                            : first_control(c, c->was),
        .is = c->options->n_more == 1       ? c->options->more[0]
              : c->options->control != NULL ? c->options->control
                                            : first_control(c, c->is),
        .comparison = comparison, .before = before, .after = after,
        .old_sources = c->was->sources, .new_sources = c->is->sources,
        .reviews = reviews};
    int found;

    compared_add(c->out, &view);
    found = comparison == NULL || comparison->refused != NULL
                ? CLI_NOT_FINISHED : compare_exit_code(comparison);
    return reviews != NULL && reviews->n_less > 0 ? CLI_BROKEN : found;
}

static int judge(struct comparing *c)
{
    struct options quick = *c->options;
    const struct comparison *comparison;
    const struct findings *before, *after;
    struct study_setting setting;
    struct out_shown shown = {0};
    int code;

    if (!asked_setting(c->options, c->is, &setting))
        return CLI_INPUT;
    setting.quick = c->options->quick;
    setting.progress = out_progress;
    setting.progress_context = &shown;
    os_watch_signals();
    comparison = side_by_side(c, &setting);
    out_progress_end();
    if (comparison != NULL && comparison->internal_error != NULL) {
        out_complain("internal error, nothing is shown: %s",
                     comparison->internal_error);
        return CLI_INTERNAL;
    }
    if (comparison != NULL && comparison->refused != NULL)
        out_complain("not put side by side: %s", comparison->refused);
    if (comparison == NULL)
        out_diagnostics(c->beside != NULL && c->beside->model == NULL
                            ? c->beside : c->is);
    before = asked_judge(&quick, c->was, true, NULL, &code);
    after = before == NULL ? NULL
                           : asked_judge(&quick, c->is, true, NULL, &code);
    if (after == NULL)
        return code;
    if (before->internal_error != NULL || after->internal_error != NULL) {
        out_complain("internal error, nothing is shown: %s",
                     before->internal_error != NULL ? before->internal_error
                                                    : after->internal_error);
        return CLI_INTERNAL;
    }
    return show(c, comparison, &setting, before, after);
}

int comparing_run(const struct options *options, struct text *out)
{
    struct comparing c = {.options = options, .arena = arena_new(),
                          .out = out};
    int code = read_map(&c) ? load_all(&c) : CLI_INPUT;

    if (code == 0)
        code = check_map(&c) ? judge(&c) : CLI_INPUT;
    release(&c);
    return code;
}
