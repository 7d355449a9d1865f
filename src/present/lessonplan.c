#include "present/lessonplan.h"

#include <stdbool.h>
#include <string.h>

#include "base/arena.h"
#include "base/vec.h"

struct reader {
    struct arena *arena;
    VEC(struct plan_line) lines;
    bool open; /* the next line goes on with the last paragraph or item */
    unsigned number;
    struct plan plan;
};

static void push(struct reader *r, enum plan_kind kind, const char *words)
{
    vec_push(&r->lines, ((struct plan_line){.kind = kind,
                                            .line = r->number,
                                            .words = words}));
}

/* The next word of a line, or NULL; *at goes behind it. */
static const char *next_word(struct reader *r, const char **at)
{
    const char *from = *at + strspn(*at, " \t");
    size_t n = strcspn(from, " \t");

    *at = from + n;
    return n == 0 ? NULL : arena_copy(r->arena, from, n);
}

static void fail(struct reader *r, const char *sentence)
{
    if (r->plan.failure == NULL) {
        r->plan.failure = sentence;
        r->plan.wrong = r->number;
    }
}

/* Behind PLAY or BREAK. */
static void read_story(struct reader *r, enum plan_kind kind, const char *at)
{
    const char *name = next_word(r, &at), *on = next_word(r, &at);
    const char *control = at + strspn(at, " \t");

    if (name == NULL || (on != NULL && (strcmp(on, "ON") != 0 ||
                                        *control == '\0'))) {
        fail(r, "write `PLAY name`, `BREAK name`, or one of them with `ON "
                "control-text` behind it");
        return;
    }
    push(r, kind, name);
    if (on != NULL)
        r->lines.at[r->lines.n - 1].control = control;
}

static void go_on(struct reader *r, const char *words)
{
    struct plan_line *last = &r->lines.at[r->lines.n - 1];

    last->words = arena_printf(r->arena, "%s %s", last->words, words);
}

/* What stands behind that word at the beginning of a line, or NULL. */
static const char *behind(const char *line, const char *word)
{
    size_t n = strlen(word);

    return strncmp(line, word, n) == 0 && strchr(" \t", line[n]) != NULL
               ? line + n : NULL;
}

static void read_line(struct reader *r, const char *line)
{
    const char *play = behind(line, "PLAY"), *way = behind(line, "BREAK");
    bool open = r->open;

    r->open = false;
    if (*line == '\0')
        return;
    if (strncmp(line, "# ", 2) == 0) {
        push(r, PLAN_HEADING, line + 2);
    } else if (play != NULL) {
        read_story(r, PLAN_PLAY, play);
    } else if (way != NULL) {
        read_story(r, PLAN_BREAK, way);
    } else if (strncmp(line, "- ", 2) == 0) {
        push(r, PLAN_ITEM, line + 2);
        r->open = true;
    } else {
        if (open)
            go_on(r, line);
        else
            push(r, PLAN_WORDS, line);
        r->open = true;
    }
}

struct plan lessonplan_read(struct arena *arena, const char *text, size_t n)
{
    struct reader r = {.arena = arena};
    struct plan_line *lines;

    for (size_t at = 0; at < n;) {
        const char *end = memchr(text + at, '\n', n - at);
        size_t length = end == NULL ? n - at : (size_t)(end - text) - at;
        size_t blanks = 0, kept = length;

        r.number++;
        while (kept > 0 && strchr(" \t\r", text[at + kept - 1]) != NULL)
            kept--;
        while (blanks < kept && strchr(" \t", text[at + blanks]) != NULL)
            blanks++;
        read_line(&r, arena_copy(arena, text + at + blanks, kept - blanks));
        at += length + 1;
    }
    lines = arena_array(arena, r.lines.n + 1, sizeof *lines);
    if (r.lines.n > 0)
        memcpy(lines, r.lines.at, r.lines.n * sizeof *lines);
    r.plan.lines = lines;
    r.plan.n = (uint32_t)r.lines.n;
    vec_release(&r.lines);
    return r.plan;
}
