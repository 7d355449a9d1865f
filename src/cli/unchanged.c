#include "cli/unchanged.h"

#include <stdint.h>
#include <string.h>

#include "base/arena.h"
#include "base/digest.h"
#include "base/os.h"
#include "base/text.h"
#include "source/source.h"

enum { MOST = 256 << 20 };

struct noted {
    const char *path, *digest;
};

struct unchanged {
    struct noted *at;
    uint32_t n;
};

/* Fingerprint of what the file holds; empty: it cannot be read. */
static void look_at(const char *path, struct text *digest)
{
    struct text bytes = {0};

    text_clear(digest);
    if (os_read_file(path, MOST, &bytes) == OS_OK)
        digest_add(digest, text_str(&bytes), bytes.n);
    text_release(&bytes);
}

const struct unchanged *unchanged_note(struct arena *arena,
                                       const struct sources *sources)
{
    struct unchanged *noted = ARENA_NEW(arena, struct unchanged);
    uint32_t files = sources_count(sources);
    struct text digest = {0};

    noted->at = arena_array(arena, (size_t)files + 1, sizeof *noted->at);
    for (uint32_t f = 1; f <= files; f++) {
        look_at(sources_path(sources, f), &digest);
        if (digest.n > 0) /* else it was made, and stands in no file */
            noted->at[noted->n++] = (struct noted){
                sources_path(sources, f),
                arena_copy(arena, text_str(&digest), digest.n)};
    }
    text_release(&digest);
    return noted;
}

const char *unchanged_first(const struct unchanged *noted)
{
    struct text digest = {0};
    const char *changed = NULL;

    for (uint32_t i = 0; i < noted->n && changed == NULL; i++) {
        look_at(noted->at[i].path, &digest);
        if (strcmp(text_str(&digest), noted->at[i].digest) != 0)
            changed = noted->at[i].path;
    }
    text_release(&digest);
    return changed;
}
