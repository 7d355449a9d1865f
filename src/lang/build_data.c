#include "lang/build_data.h"

#include "base/arena.h"
#include "lang/build_decl.h"
#include "lang/build_type.h"
#include "lang/reading.h"
#include "lang/spelling.h"

/* The variables of all sections, one behind the other. */
static struct chain all_of(const struct chain sections)
{
    struct chain all = {0};
    struct tree_var_block *block = sections.first;

    for (; block; block = block->next)
        all = chain_join(all, (struct chain){block->vars.first,
                                             block->vars.last,
                                             block->vars.n});
    return all;
}

/* Without a word the block is kept when power goes, as by the controllers
 * that have it. */
static bool is_kept(struct reading *reading, struct build_data data)
{
    const struct tree_var_block *block = data.sections.first;
    bool kept = false, lost = false;

    for (; block; block = block->next) {
        kept |= block->retain;
        lost |= !block->retain;
        if (block->section != TREE_VAR || block->constant)
            reading_error(reading, block->span, "write VAR, or VAR RETAIN",
                          "a DATA_BLOCK has no such section");
    }
    if (kept && lost)
        reading_error(reading, ((struct tree_var_block *)
                                    data.sections.first)->span,
                      "make two of it: one that is kept, one that is not",
                      "of a DATA_BLOCK either all is RETAIN or nothing, in "
                      "this version");
    return kept || !(data.bits & BUILD_NON_RETAIN);
}

void build_data_block(struct reading *reading, struct tree_ident *name,
                      struct build_data data, struct chain starts,
                      struct span span)
{
    struct tree_var_block *block = ARENA_NEW(reading->context->arena,
                                             struct tree_var_block);
    struct chain names = chain_add((struct chain){0}, name);
    struct tree_var *var;

    spelling_seen(reading, SPELLING_DATA, name->span);
    if (!data.type)
        data.type = build_structure(reading, all_of(data.sections), span);
    names = build_vars(build_located(reading, names,
                                     (struct tree_string){0}),
                       data.type, NULL);
    var = names.first;
    var->starts = starts.first;
    var->whole = span;
    CHAIN_INTO(&block->vars, names);
    block->section = TREE_VAR_GLOBAL;
    block->retain = is_kept(reading, data);
    block->span = span;
    CHAIN_APPEND(&reading->run->globals, block);
}
