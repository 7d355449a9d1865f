#include "present/listed.h"

#include "base/text.h"
#include "check/contents.h"
#include "source/source.h"

static const char *const headings[CONTENT_STATES] = {
    [CONTENT_READ] = "read",
    [CONTENT_UNREADABLE] = "needed, and not readable",
    [CONTENT_MISSING] = "needed, and in none of the texts",
    [CONTENT_SKIPPED] = "not needed, and not readable",
    [CONTENT_IDLE] = "not needed, and not checked",
};

static void add_row(struct text *out, const struct content *row,
                    const struct sources *sources)
{
    struct place place = sources_place(sources, row->span);

    size_t n;
    const char *text = sources_text(sources, row->span.file, &n);

    text_printf(out, "  %-14s %-24.*s %s:%u\n", row->kind,
                (int)(row->span.to - row->span.from), text + row->span.from,
                place.path, (unsigned)place.line);
    if (!row->why)
        return;
    text_printf(out, "      line %u: %s\n",
                (unsigned)sources_place(sources, row->why->span).line,
                row->why->message);
}

static void add_state(struct text *out, const struct contents *contents,
                      const struct sources *sources,
                      enum content_state state)
{
    uint32_t n = 0;

    for (uint32_t i = 0; i < contents->n; i++)
        n += contents->rows[i].state == state;
    if (!n)
        return;
    text_printf(out, "%s%s: %u\n", out->n ? "\n" : "", headings[state],
                (unsigned)n);
    for (uint32_t i = 0; i < contents->n; i++)
        if (contents->rows[i].state == state)
            add_row(out, &contents->rows[i], sources);
}

void listed_add(struct text *out, const struct contents *contents,
                const struct sources *sources)
{
    for (int state = 0; state < CONTENT_STATES; state++)
        add_state(out, contents, sources, (enum content_state)state);
    if (!contents->n)
        text_add(out, "nothing was read from a control text\n");
}
