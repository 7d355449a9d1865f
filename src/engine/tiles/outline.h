/* outline.h - one form of a slice, made ready to be cut into sections.
 *
 * Choices that are fixed have become constants, and chosen cell bits ("tile
 * bits") have become choices: they are read on demand just like inputs.
 * Some inner nodes are marks: what is computed once, in a section before
 * those that read it, and remembered in between.
 *
 * What can be read is numbered in one row, the items: choice rows first,
 * then the tile bits, the cells (a cell that is a tile bit is never read as a
 * cell), and the marks.
 */
#ifndef KEEPCLEAR_ENGINE_TILES_OUTLINE_H
#define KEEPCLEAR_ENGINE_TILES_OUTLINE_H

#include <stdbool.h>
#include <stdint.h>

#include "logic/slice.h"

struct arena;

/* The cells whose bits are carried in bitmaps. */
struct tile_bits {
    uint32_t n;
    const uint32_t *cell;  /* per bit: its cell; two values each */
    const uint32_t *of;    /* per cell: its bit, FLAT_NONE: none */
};

struct scan_form {
    bool first;
    const struct slice *slice;
    const struct tile_bits *bits;
    const struct flat_node *nodes;     /* as many as the slice has */
    const struct flat_choice *choices; /* rows, then tile bits */
    uint32_t n_rows;     /* choice rows and tile bits */
    uint32_t n_marks, n_items;
    const flat_expr *mark;   /* per mark: its node */
    const uint32_t *mark_of; /* per node: its mark, FLAT_NONE: none */
};

/* Lies in the arena and borrows slice and bits; fixed: per choice row a
 * value index or FLAT_NONE, NULL: none.  It has no marks (marks.h). */
struct scan_form *outline_new(struct arena *arena, const struct slice *slice,
                           bool first, const struct tile_bits *bits,
                           const uint32_t *fixed);

/* Notes in reads, one byte per item, what the value of a node may depend
 * on.  Marks are read as they are, except those in `open` (per mark). */
void outline_reads(const struct scan_form *form, flat_expr root,
                const bool *open, uint8_t *reads);

/* The part of a form that n roots read, as nodes of their own: cells keep
 * their numbers and marks that are not open are cells behind them.  The roots
 * are renumbered. */
struct slice outline_extract(struct arena *arena, const struct scan_form *form,
                          flat_expr *roots, uint32_t n, const bool *open);

/* Bits that tell the values of an item apart: a choice may be undecided. */
uint32_t outline_width(const struct scan_form *form, uint32_t item);

/* The number of the item of a cell or of a mark. */
uint32_t outline_cell_item(const struct scan_form *form, uint32_t cell);
uint32_t outline_mark_item(const struct scan_form *form, uint32_t mark);

/* The root of this form. */
flat_expr outline_root(const struct scan_form *form,
                    const struct slice_root *root);
flat_expr outline_next(const struct scan_form *form, uint32_t cell);

#endif
