/* block.h - which words open blocks, and which close them. */
#ifndef KEEPCLEAR_LANG_BLOCK_H
#define KEEPCLEAR_LANG_BLOCK_H

/* Blocks of a lower rank hold those of a higher one. */
enum block_rank {
    BLOCK_REVIEW,    /* REVIEW, TEMPLATE */
    BLOCK_UNIT,      /* PROGRAM, TYPE, CONFIGURATION, CONTROLS ... */
    BLOCK_RESOURCE,  /* RESOURCE */
    BLOCK_VARIABLES, /* VAR */
    BLOCK_STATEMENT  /* IF, CASE, MAY ...; STRUCT */
};

struct block {
    int open, close; /* tokens */
    enum block_rank rank;
    const char *open_word, *close_word;
};

/* The block that a token opens (closes), or NULL. */
const struct block *block_opened(int token);
const struct block *block_closed(int token);

/* May a statement begin behind this token? */
int block_statement_after(int token);

#endif
