/* chain.h - lists while they are being parsed.
 *
 * Every node of the tree has its `next` as its first member, so one type
 * serves for the lists of all of them.
 */
#ifndef KEEPCLEAR_LANG_CHAIN_H
#define KEEPCLEAR_LANG_CHAIN_H

#include <stdint.h>

/* All zero is the empty list. */
struct chain {
    void *first, *last;
    uint32_t n;
};

/* The list with node at its end; NULL adds nothing. */
struct chain chain_add(struct chain chain, void *node);

/* The list a followed by the list b. */
struct chain chain_join(struct chain a, struct chain b);

/* Moves a chain into a TREE_LIST, whose old content is forgotten. */
#define CHAIN_INTO(list, chain)                                            \
    ((void)((list)->first = (chain).first, (list)->last = (chain).last,    \
            (list)->n = (chain).n))

/* Adds one node to the end of a TREE_LIST. */
#define CHAIN_APPEND(list, node)                                           \
    ((void)(*((list)->first ? &(list)->last->next : &(list)->first) =      \
                (node),                                                    \
            (list)->last = (node), (list)->n++))

#endif
