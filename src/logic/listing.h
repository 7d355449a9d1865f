/* listing.h - flat logic and slices as text, for tests and developers. */
#ifndef KEEPCLEAR_LOGIC_LISTING_H
#define KEEPCLEAR_LOGIC_LISTING_H

struct flat;
struct slice;
struct text;

/* One line per choice (kind, values, rest), cell (range, initial, next),
 * assumption and watch; expressions in infix with names, shared parts
 * numbered once.  Same logic, same bytes. */
void listing_flat(struct text *out, const struct flat *flat);
void listing_slice(struct text *out, const struct flat *flat,
                   const struct slice *slice);

#endif
