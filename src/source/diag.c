#include "source/diag.h"

#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/arena.h"
#include "base/ensure.h"
#include "base/hash.h"
#include "base/vec.h"

enum { MOST_ERRORS = 50, FIRST_SLOTS = 64 };

/* known is an open-addressing set of hashes of severity, place and message,
 * 0 where a slot is free, at most half full.  It holds the errors left out
 * too, so that the count of them is right.  Two different records of one
 * hash cost a message, never the knowledge that something is wrong: the
 * severity is part of the hash, and an equal one was counted before. */
struct diags {
    struct arena *arena;
    VEC(struct diag *) kept;
    VEC(uint64_t) known;
    size_t known_count;
    size_t errors;
    struct diag *newest; /* NULL when the newest was not kept */
};

static void make_slots(struct diags *diags, size_t n)
{
    vec_reserve(&diags->known, n);
    memset(diags->known.at, 0, n * sizeof *diags->known.at);
    diags->known.n = n;
}

struct diags *diags_new(struct arena *arena)
{
    struct diags *diags = calloc(1, sizeof *diags);

    if (!diags)
        base_fail(BASE_OUT_OF_MEMORY, "no memory left", __FILE__, __LINE__);
    diags->arena = arena;
    make_slots(diags, FIRST_SLOTS);
    return diags;
}

void diags_free(struct diags *diags)
{
    if (!diags)
        return;
    vec_release(&diags->kept);
    vec_release(&diags->known);
    free(diags);
}

static uint64_t hash_of(const struct diag *diag)
{
    uint64_t words[] = {diag->severity, diag->span.file, diag->span.from,
                        diag->span.to,
                        hash_bytes(diag->message, strlen(diag->message))};
    uint64_t hash = hash_words(words, sizeof words / sizeof *words);

    return hash ? hash : 1;
}

/* Puts a hash into the set; false when it was there. */
static bool put(struct diags *diags, uint64_t hash)
{
    size_t mask = diags->known.n - 1;
    size_t slot = hash & mask;

    while (diags->known.at[slot] && diags->known.at[slot] != hash)
        slot = (slot + 1) & mask;
    if (diags->known.at[slot] == hash)
        return false;
    diags->known.at[slot] = hash;
    return true;
}

static void grow(struct diags *diags)
{
    VEC(uint64_t) old = {0};

    for (size_t i = 0; i < diags->known.n; i++)
        if (diags->known.at[i])
            vec_push(&old, diags->known.at[i]);
    make_slots(diags, diags->known.n * 2);
    for (size_t i = 0; i < old.n; i++)
        put(diags, old.at[i]);
    vec_release(&old);
}

/* False when a record of the same hash is known already. */
static bool remember(struct diags *diags, uint64_t hash)
{
    if (!put(diags, hash))
        return false;
    if (++diags->known_count > diags->known.n / 2)
        grow(diags);
    return true;
}

static char *copy_string(struct arena *arena, const char *string)
{
    return string ? arena_copy(arena, string, strlen(string)) : NULL;
}

static char *print(struct arena *arena, const char *format, va_list args)
{
    va_list again;
    char *out;
    int n;

    va_copy(again, args);
    n = vsnprintf(NULL, 0, format, again);
    va_end(again);
    ENSURE(n >= 0);
    out = arena_alloc(arena, (size_t)n + 1);
    vsnprintf(out, (size_t)n + 1, format, args);
    return out;
}

static void keep(struct diags *diags, struct diag record)
{
    struct diag *kept;

    diags->newest = NULL;
    if (!remember(diags, hash_of(&record)))
        return;
    if (record.severity == DIAG_ERROR && ++diags->errors > MOST_ERRORS)
        return;
    kept = ARENA_NEW(diags->arena, struct diag);
    *kept = record;
    vec_push(&diags->kept, kept);
    diags->newest = kept;
}

void diag_add(struct diags *diags, enum severity severity, struct span span,
              const char *hint, const char *format, ...)
{
    struct diag record = {.severity = severity, .span = span};
    va_list args;

    ENSURE(hint || severity == DIAG_NOTE);
    va_start(args, format);
    record.message = print(diags->arena, format, args);
    va_end(args);
    record.hint = copy_string(diags->arena, hint);
    keep(diags, record);
}

void diag_also(struct diags *diags, struct span span, const char *message)
{
    if (!diags->newest)
        return;
    diags->newest->also = span;
    diags->newest->also_message = copy_string(diags->arena, message);
}

void diag_remedy(struct diags *diags, const char *line,
                 const char *declaration)
{
    if (!diags->newest)
        return;
    diags->newest->remedy = copy_string(diags->arena, line);
    if (declaration)
        diags->newest->declaration = copy_string(diags->arena, declaration);
}

static void add_remedy(struct arena *arena, struct diag *diag,
                       const char *line)
{
    size_t n = strlen(diag->remedy), m = strlen(line);
    char *lines = arena_array(arena, n + m + 2, 1);

    memcpy(lines, diag->remedy, n);
    lines[n] = '\n';
    memcpy(lines + n + 1, line, m + 1);
    diag->remedy = lines;
}

bool diag_told(struct diags *diags, struct span also, const char *remedy)
{
    for (size_t i = 0; i < diags->kept.n; i++) {
        struct diag *at = diags->kept.at[i];

        if (at->severity != DIAG_ERROR || !at->also_message ||
            at->also.file != also.file || at->also.from != also.from ||
            at->also.to != also.to)
            continue;
        if (at->remedy && remedy)
            add_remedy(diags->arena, at, remedy);
        return true;
    }
    return false;
}

size_t diags_count(const struct diags *diags)
{
    return diags->kept.n;
}

const struct diag *diags_at(const struct diags *diags, size_t index)
{
    ENSURE(index < diags->kept.n);
    return diags->kept.at[index];
}

size_t diags_errors(const struct diags *diags)
{
    return diags->errors;
}
