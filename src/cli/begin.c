#include <string.h>

#include "base/arena.h"
#include "base/path.h"
#include "base/text.h"
#include "base/vec.h"
#include "check/configuration.h"
#include "cli/asked.h"
#include "cli/exit.h"
#include "cli/options.h"
#include "cli/out.h"
#include "cli/verbs.h"
#include "present/begun.h"
#include "present/faultlist.h"
#include "source/diag.h"
#include "study/beginning.h"
#include "study/load.h"
#include "study/usual.h"

static const char help[] =
    "keepclear begin [-o FILE] FILE.st ...\n"
    "keepclear begin --faults [-o FILE] FILE.review\n\n"
    "Writes a first review text of control texts.  It runs as it is; what it "
    "says of the\nmachine is guessed from names, comments and use, in English, "
    "German, French or\nItalian, and each guess says so.  Nothing is claimed: "
    "go through it line by line.\nBlocks without a text are declared UNKNOWN; "
    "FILE_unknown.st beside the result then\nholds what is used of them.\n\n"
    "With --faults, writes a section FAULTS for a review text: the usual "
    "faults of its\ncontacts, sensors, conductors, actuators, relays and "
    "programs, each with where it\ncomes from.  Take it into the text, and "
    "go through it.\n\n"
    "  --faults          the usual faults of what a review text names\n"
    "  -o FILE           write the result there, whole or not at all\n";

/* Without these the control text has mistakes. */
struct remedies {
    struct arena *arena;
    VEC(const char *) lines;  /* of the review text */
    struct text declarations; /* one more control text */
};

enum { MOST_ROUNDS = 40 };

/* ---- reading ---- */

static struct loaded *load(const struct options *options,
                           const struct remedies *remedies,
                           const char *review)
{
    struct load_request request = asked_request(options);

    request.review = review;
    if (remedies->declarations.n)
        request.declared = text_str(&remedies->declarations);
    return load_run(&request);
}

static bool is_known(const struct remedies *remedies, const char *line)
{
    for (size_t i = 0; i < remedies->lines.n; i++)
        if (strcmp(remedies->lines.at[i], line) == 0)
            return true;
    return false;
}

/* As it stands in the message, but not indented. */
static void add_declaration(struct text *out, const char *declaration)
{
    text_add_char(out, '\n');
    for (const char *at = declaration; *at;) {
        size_t n = strcspn(at, "\n");

        text_add_bytes(out, at, n);
        text_add_char(out, '\n');
        at += n + (at[n] == '\n');
        at += strspn(at, " ");
    }
}

static void take(struct remedies *remedies, const struct diag *diag)
{
    bool known = is_known(remedies, diag->remedy);

    for (const char *at = diag->remedy; *at;) {
        size_t n = strcspn(at, "\n");
        const char *line = arena_copy(remedies->arena, at, n);

        if (!is_known(remedies, line))
            vec_push(&remedies->lines, line);
        at += n + (at[n] == '\n');
    }
    if (!known && diag->declaration)
        add_declaration(&remedies->declarations, diag->declaration);
}

/* Has every mistake a remedy, and is there a new one? */
static bool mend(struct remedies *remedies, const struct loaded *loaded)
{
    size_t before = remedies->lines.n;

    for (size_t i = 0; i < diags_count(loaded->diags); i++) {
        const struct diag *diag = diags_at(loaded->diags, i);

        if (diag->severity == DIAG_ERROR && !diag->remedy)
            return false;
        if (diag->severity == DIAG_ERROR)
            take(remedies, diag);
    }
    return remedies->lines.n > before;
}

/* A review text of nothing but these lines. */
static void bare(struct text *out, const struct remedies *remedies,
                 const struct loaded *loaded)
{
    text_clear(out);
    text_add(out, "REVIEW First\n");
    if (!configuration_interval(loaded->run))
        text_add(out, "SCAN T#100ms;\n");
    for (size_t i = 0; i < remedies->lines.n; i++)
        text_printf(out, "%s\n", remedies->lines.at[i]);
    text_add(out, "END_REVIEW\n");
}

/* Under a review text more has to be said than where there is none. */
static bool goes_on(const struct loaded *loaded, struct remedies *remedies)
{
    if (loaded->failure)
        return false;
    return loaded->model ? loaded->run->review.name == NULL
                         : mend(remedies, loaded);
}

/* Reads the texts until nothing is wrong that a line could put right; NULL
 * after a complaint. */
static struct loaded *read(const struct options *options,
                           struct remedies *remedies)
{
    struct loaded *loaded = load(options, remedies, NULL);
    bool reviewed = loaded->run != NULL && loaded->run->review.name != NULL;
    struct text text = {0};

    for (int i = 0; !reviewed && i < MOST_ROUNDS &&
                    goes_on(loaded, remedies); i++) {
        bare(&text, remedies, loaded);
        loaded_free(loaded);
        loaded = load(options, remedies, text_str(&text));
    }
    text_release(&text);
    if (reviewed)
        out_complain("'%s' is a review text already; `begin` takes control "
                     "texts", options->path);
    else if (out_diagnostics(loaded) == 0)
        return loaded;
    loaded_free(loaded);
    return NULL;
}

/* ---- paths ---- */

static const char *full_path(struct arena *arena, const char *path)
{
    struct text full = {0};
    const char *found = path_full(path, &full)
                            ? arena_copy(arena, full.at, full.n) : path;

    text_release(&full);
    return found;
}

/* The path of a control text as seen from the folder of the result. */
static const char *seen_from(struct arena *arena, const char *output,
                             const char *path)
{
    const char *slash = output ? strrchr(output, '/') : NULL, *up = "";
    size_t n = slash ? (size_t)(slash - output + 1) : 0;

    if (!n || path[0] == '/')
        return path;
    if (strncmp(path, output, n) == 0)
        return path + n;
    if (output[0] == '/' || strstr(output, ".."))
        return full_path(arena, path);
    for (const char *at = output; at <= slash; at++)
        if (*at == '/')
            up = arena_printf(arena, "../%s", up);
    return arena_printf(arena, "%s%s", up, path);
}

/* "press_unknown.st" for "press.review". */
static const char *declarations_path(struct arena *arena,
                                     const char *output)
{
    const char *slash = strrchr(output, '/');
    const char *point = strrchr(slash ? slash : output, '.');
    size_t n = point ? (size_t)(point - output) : strlen(output);

    return arena_printf(arena, "%.*s_unknown.st", (int)n, output);
}

/* ---- writing ---- */

static void write_text(struct text *out, const struct options *options,
                       struct loaded *loaded,
                       const struct beginning *begun)
{
    struct arena *arena = loaded->arena;
    size_t n = (size_t)options->n_more + 1;
    const char **paths = arena_array(arena, n + 1, sizeof *paths);

    for (size_t i = 0; i < n; i++)
        paths[i] = seen_from(arena, options->output,
                             i ? options->more[i - 1] : options->path);
    if (begun->declares) {
        const char *path = declarations_path(arena, options->output);
        const char *slash = strrchr(path, '/');

        paths[n++] = slash ? slash + 1 : path;
    }
    text_clear(out);
    begun_add(out, begun, paths, n);
}

/* The boldest text that can be read. */
static bool compose(struct text *out, const struct options *options,
                    struct loaded *loaded, const struct remedies *remedies)
{
    bool good = false;

    for (int bold = BEGUN_MACHINE; bold >= BEGUN_PLAIN && !good; bold--) {
        struct beginning *begun =
            beginning_of(loaded, (enum begun_boldness)bold);
        struct loaded *again;

        begun->lines = remedies->lines.at;
        begun->n_lines = (uint32_t)remedies->lines.n;
        begun->declares = remedies->declarations.n != 0;
        write_text(out, options, loaded, begun);
        again = load(options, remedies, text_str(out));
        good = again->model != NULL;
        if (!good && bold == BEGUN_PLAIN)
            out_diagnostics(again);
        loaded_free(again);
    }
    return good;
}

static int write_declarations(const struct options *options,
                              const struct remedies *remedies)
{
    struct text text = {0};
    int code;

    text_add(&text, "(* Blocks of which no text was there, with what is used "
                    "of them.  Written by\n   `keepclear begin`; put the "
                    "texts in their place and take UNKNOWN out. *)\n");
    text_add(&text, text_str(&remedies->declarations));
    code = out_file(declarations_path(remedies->arena, options->output),
                    &text);
    text_release(&text);
    return code;
}

static int write_all(const struct options *options,
                     const struct remedies *remedies,
                     const struct text *review)
{
    int code = 0;

    if (remedies->declarations.n)
        code = write_declarations(options, remedies);
    if (code != 0)
        return code;
    return out_result(options->output, review);
}

static int begin(const struct options *options)
{
    struct remedies remedies = {.arena = arena_new()};
    struct loaded *loaded = read(options, &remedies);
    struct text text = {0};
    int code = CLI_INPUT;

    if (loaded && remedies.declarations.n && !options->output)
        out_complain("blocks without a text are declared in a file beside "
                     "the review text: say with -o FILE where that is to be");
    else if (loaded && compose(&text, options, loaded, &remedies))
        code = write_all(options, &remedies, &text);
    if (loaded)
        loaded_free(loaded);
    text_release(&text);
    text_release(&remedies.declarations);
    vec_release(&remedies.lines);
    arena_free(remedies.arena);
    return code;
}

/* ---- --faults ---- */

static int list_faults(const struct options *options)
{
    struct load_request request = asked_request(options);
    struct loaded *loaded = load_run(&request);
    struct text text = {0};
    int code = out_diagnostics(loaded);

    if (code == 0 && !loaded->run->review.name) {
        out_complain("'%s' is a control text; `begin --faults` takes a "
                     "review text: write one with `begin` first",
                     options->path);
        code = CLI_INPUT;
    }
    if (code == 0) {
        struct usual_list list = usual_faults(loaded);

        faultlist_add(&text, loaded->model, &list);
        code = out_result(options->output, &text);
    }
    text_release(&text);
    loaded_free(loaded);
    return code;
}

int verb_begin(int argc, char **argv)
{
    struct options options = {0};
    int code = options_read(&options, " files output faults ", argc, argv);

    if (code != 0)
        return code;
    if (options.help)
        return asked_help(help);
    return options.faults ? list_faults(&options) : begin(&options);
}
