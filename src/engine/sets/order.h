/* order.h - in which order cells and choices are decided.
 *
 * Diagrams stay small where what is read together lies together: each next
 * value, assumption, end and watch pulls what it reads towards its middle,
 * until nothing gets nearer.  Where each cell reads a small part of all there
 * is, as of bodies side by side, that tears bodies apart; there the order of
 * declaration stands.
 */
#ifndef KEEPCLEAR_ENGINE_SETS_ORDER_H
#define KEEPCLEAR_ENGINE_SETS_ORDER_H

#include <stdint.h>

struct arena;
struct slice;

/* The cells (0 to n_cells - 1) and choice rows (n_cells + row) of the slice
 * in order, each once; *n gets their number.  Choice rows that nothing reads
 * are left out.  Lies in the arena. */
const uint32_t *order_find(struct arena *arena, const struct slice *slice,
                           uint32_t *n);

#endif
