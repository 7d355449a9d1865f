#include "cli/keeping.h"

#include <string.h>

#include "base/arena.h"
#include "base/digest.h"
#include "base/os.h"
#include "base/os_folder.h"
#include "base/text.h"
#include "base/vec.h"
#include "cli/exit.h"
#include "cli/options.h"
#include "cli/out.h"
#include "present/report.h"
#include "source/source.h"
#include "study/load.h"

/* A folder being filled: under another name until it is whole. */
struct keeping {
    const struct options *options;
    const struct loaded *loaded;
    const struct report *report;
    struct arena *arena;
    const char *folder;
    size_t common; /* bytes of all paths up to the folder they share */
    enum os_status status;
};

/* ---- files ---- */

static void make_folder(struct keeping *k, const char *path)
{
    if (k->status == OS_OK)
        k->status = os_make_folder(path);
    if (k->status == OS_EXISTS && strcmp(path, k->folder) != 0)
        k->status = OS_OK;
}

static void put(struct keeping *k, const char *name, const char *bytes,
                size_t n)
{
    if (k->status == OS_OK)
        k->status = os_write_file(arena_printf(k->arena, "%s/%s", k->folder,
                                               name), bytes, n);
}

/* Folders on the way to a file. */
static void make_way(struct keeping *k, const char *name)
{
    for (const char *at = name; *at != '\0'; at++)
        if (*at == '/')
            make_folder(k, arena_printf(k->arena, "%s/%.*s", k->folder,
                                        (int)(at - name), name));
}

/* ---- texts ---- */

static bool is_written(const struct sources *sources, uint32_t file)
{
    return sources_cause(sources, file).file == 0;
}

/* A path being made plain. */
struct parts {
    VEC(const char *) at;
    VEC(size_t) length;
};

static bool is_up(const struct parts *parts, size_t i)
{
    return parts->length.at[i] == 2 && memcmp(parts->at.at[i], "..", 2) == 0;
}

static void add_part(struct parts *parts, const char *at, size_t n)
{
    size_t last = parts->at.n;

    if (n == 0 || (n == 1 && *at == '.'))
        return;
    if (n == 2 && memcmp(at, "..", 2) == 0 && last > 0 &&
        !is_up(parts, last - 1)) {
        parts->at.n--;
        parts->length.n--;
        return;
    }
    vec_push(&parts->at, at);
    vec_push(&parts->length, n);
}

/* "a/../b" is "b": paths that name one folder look alike. */
static const char *plain(struct arena *arena, const char *path)
{
    struct parts parts = {0};
    struct text words = {0};
    const char *kept;

    if (*path == '/')
        text_add(&words, "/");
    while (*path != '\0') {
        size_t n = strcspn(path, "/");

        add_part(&parts, path, n);
        path += n + (path[n] == '/');
    }
    for (size_t i = 0; i < parts.at.n; i++) {
        text_add(&words, i > 0 ? "/" : "");
        text_add_bytes(&words, parts.at.at[i], parts.length.at[i]);
    }
    kept = arena_copy(arena, text_str(&words), words.n);
    text_release(&words);
    vec_release(&parts.at);
    vec_release(&parts.length);
    return kept;
}

/* How much of both, up to a slash, is the same. */
static size_t shared(const char *a, const char *b, size_t most)
{
    size_t last = 0;

    for (size_t i = 0; i < most && a[i] != '\0' && a[i] == b[i]; i++)
        if (a[i] == '/')
            last = i + 1;
    return last;
}

static void find_common(struct keeping *k)
{
    const struct sources *sources = k->loaded->sources;
    const char *first = NULL;

    for (uint32_t f = 1; f <= sources_count(sources); f++) {
        const char *path = plain(k->arena, sources_path(sources, f));

        if (!is_written(sources, f))
            continue;
        if (first == NULL) {
            first = path;
            k->common = strlen(path);
        }
        k->common = shared(first, path, k->common);
    }
}

/* Where a text lies in the folder; ".." that is left becomes "up". */
static const char *place_of(struct keeping *k, uint32_t file)
{
    const char *path = plain(k->arena,
                             sources_path(k->loaded->sources, file)) +
                       k->common;
    struct text name = {0};
    const char *kept;

    text_add(&name, "texts/");
    while (strncmp(path, "../", 3) == 0) {
        text_add(&name, "up/");
        path += 3;
    }
    text_add(&name, *path == '/' ? path + 1 : path);
    kept = arena_copy(k->arena, text_str(&name), name.n);
    text_release(&name);
    return kept;
}

static void put_texts(struct keeping *k)
{
    const struct sources *sources = k->loaded->sources;

    make_folder(k, arena_printf(k->arena, "%s/texts", k->folder));
    for (uint32_t f = 1; f <= sources_count(sources); f++) {
        size_t n;
        const char *bytes = sources_text(sources, f, &n);
        const char *name = place_of(k, f);

        if (!is_written(sources, f))
            continue;
        make_way(k, name);
        put(k, name, bytes, n);
    }
}

/* The control text that was signed before; NULL: there is none, or it is a
 * review text, which has texts of its own. */
static const char *signed_name(struct keeping *k)
{
    const char *path = k->options->before, *slash;

    if (path == NULL || options_ending(path, ".review"))
        return NULL;
    slash = strrchr(path, '/');
    return arena_printf(k->arena, "signed/%s",
                        slash == NULL ? path : slash + 1);
}

static void put_signed(struct keeping *k)
{
    const char *name = signed_name(k);
    struct text bytes = {0};

    if (name == NULL)
        return;
    make_way(k, name);
    if (k->status == OS_OK)
        k->status = os_read_file(k->options->before, LOAD_LIMIT, &bytes);
    put(k, name, text_str(&bytes), bytes.n);
    text_release(&bytes);
}

/* ---- how to repeat it ---- */

static void add_texts(struct text *out, struct keeping *k)
{
    const struct sources *sources = k->loaded->sources;

    for (uint32_t f = 1; f <= sources_count(sources); f++) {
        struct text digest = {0};
        size_t n;
        const char *bytes = sources_text(sources, f, &n);

        if (!is_written(sources, f))
            continue;
        digest_add(&digest, bytes, n);
        text_printf(out, "  %s  %s\n    read as %s\n", text_str(&digest),
                    place_of(k, f), sources_path(sources, f));
        text_release(&digest);
    }
}

static const char *place_of_path(struct keeping *k, const char *path)
{
    const struct sources *sources = k->loaded->sources;

    for (uint32_t f = 1; f <= sources_count(sources); f++)
        if (strcmp(sources_path(sources, f), path) == 0)
            return place_of(k, f);
    return path;
}

static void add_command(struct text *out, struct keeping *k)
{
    const struct options *options = k->options;

    text_add(out, "  keepclear report");
    if (options->with != NULL)
        text_printf(out, " --with %s", options->with);
    if (signed_name(k) != NULL)
        text_printf(out, " --signed %s", signed_name(k));
    if (options->control != NULL)
        text_printf(out, " --control %s",
                    place_of_path(k, options->control));
    if (options->situations != 0)
        text_printf(out, " --situations %llu",
                    (unsigned long long)options->situations);
    if (options->memory != 0)
        text_printf(out, " --memory %lluMiB",
                    (unsigned long long)(options->memory >> 20));
    text_printf(out, " -o again.html %s\n",
                place_of_path(k, options->path));
    if (options->before != NULL && signed_name(k) == NULL)
        text_printf(out, "  and, for the comparison, with --signed and the "
                         "review text that was\n  called %s; it is not in "
                         "this folder.\n", options->before);
}

static void put_explanation(struct keeping *k, const struct text *page)
{
    struct text out = {0}, digest = {0};

    digest_add(&digest, text_str(page), page->n);
    text_add(&out, "What is needed to repeat a record of a check\n\n");
    if (report_unfinished(k->report))
        text_add(&out, "NOT FINISHED: this record is no proof.\n\n");
    text_add(&out, "  record.html  the record; prints to A4\n"
                   "  record.txt   its results as plain text\n"
                   "  texts/       every text that was read, as they lay to "
                   "one another,\n               in UTF-8, as read\n");
    if (signed_name(k) != NULL)
        text_add(&out, "  signed/      the control text that it was compared "
                       "with\n");
    text_add(&out, "\n");
    text_printf(&out, "Program      %s\nFingerprint  %s\nCalled as    %s\n\n",
                k->report->tool,
                k->report->digest != NULL ? k->report->digest : "not known",
                k->report->command);
    text_add(&out, "Again, in this folder\n\n");
    add_command(&out, k);
    text_add(&out, "\nThe same version gives the same verdicts and "
                   "sequences; names of folders in the record\ncome out "
                   "otherwise.  Settings of the controller stand in the "
                   "review text and in part 8.\n\n"
                   "Fingerprints (SHA-256)\n\n");
    add_texts(&out, k);
    text_printf(&out, "  %s  record.html\n\n", text_str(&digest));
    text_add(&out, "No standard is quoted here and none is met by this; the "
                   "one who signs decides.\n");
    put(k, "README.txt", text_str(&out), out.n);
    text_release(&out);
    text_release(&digest);
}

static void fill(struct keeping *k, const struct text *page)
{
    struct text words = {0};

    make_folder(k, k->folder);
    find_common(k);
    put(k, "record.html", text_str(page), page->n);
    report_text(&words, k->report);
    put(k, "record.txt", text_str(&words), words.n);
    text_release(&words);
    put_texts(k);
    put_signed(k);
    put_explanation(k, page);
}

int keeping_write(const struct options *options, const struct loaded *loaded,
                  const struct report *report, const struct text *page)
{
    struct keeping k = {.options = options, .loaded = loaded,
                        .report = report, .arena = arena_new(),
                        .status = OS_OK};

    k.folder = arena_printf(k.arena, "%s.unfinished", options->folder);
    fill(&k, page);
    if (k.status == OS_OK)
        k.status = os_name_folder(k.folder, options->folder);
    if (k.status != OS_OK)
        out_complain("the folder '%s' could not be made whole: %s\n   what "
                     "to do: name one that is not there yet, and take away "
                     "what is left of '%s'", options->folder,
                     os_explain(k.status), k.folder);
    arena_free(k.arena);
    return k.status == OS_OK ? 0 : CLI_INTERNAL;
}
