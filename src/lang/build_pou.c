#include "lang/build_pou.h"

#include "base/arena.h"
#include "lang/build_edge.h"
#include "lang/build_elsewhere.h"
#include "lang/reading.h"

void build_pou(struct reading *reading, enum tree_pou_kind kind,
               struct tree_ident *name, struct build_parts parts,
               struct span span)
{
    struct tree_pou *pou = ARENA_NEW(reading->context->arena,
                                     struct tree_pou);
    struct tree_var_block *next, *block = parts.blocks.first;

    pou->kind = kind;
    pou->name = name;
    pou->result = parts.result;
    for (; block; block = next) {
        next = block->next;
        block->next = NULL;
        if (!build_elsewhere(reading, block, kind, name))
            CHAIN_APPEND(&pou->blocks, block);
    }
    CHAIN_INTO(&pou->body, parts.body);
    build_edge_calls(reading, pou);
    pou->span = span;
    CHAIN_APPEND(&reading->run->pous, pou);
}
