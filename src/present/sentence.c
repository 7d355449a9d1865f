#include "present/sentence.h"

#include <string.h>

#include "base/arena.h"
#include "base/name.h"

static const char *kept(struct arena *arena, const struct text *words)
{
    return arena_copy(arena, text_str(words), words->n);
}

void sentence_end(struct sentence_writer *w, const struct name *name)
{
    vec_push(&w->at, ((struct sentence){
        .name = name != NULL ? name->spelling : NULL,
        .words = kept(w->arena, &w->words)}));
    text_clear(&w->words);
}

void sentence_group_end(struct sentence_writer *w, const char *heading)
{
    struct sentence *at = arena_array(w->arena, w->at.n + 1, sizeof *at);

    if (w->at.n == 0)
        return;
    memcpy(at, w->at.at, w->at.n * sizeof *at);
    vec_push(&w->groups, ((struct sentence_group){
        .heading = heading, .at = at, .n = (uint32_t)w->at.n}));
    w->at.n = 0;
}

void sentence_reason(struct sentence_writer *w, const char *because,
                     const char *confirmed_by)
{
    if (because != NULL)
        text_printf(&w->words, ", because %s", because);
    if (confirmed_by != NULL)
        text_printf(&w->words, "; confirmed by %s.", confirmed_by);
    else
        text_add(&w->words, "; not confirmed by anybody.");
}
