/* stopsvg.h - a stop map as a sheet of SVG. */
#ifndef KEEPCLEAR_PRESENT_STOPSVG_H
#define KEEPCLEAR_PRESENT_STOPSVG_H

struct stopmap;
struct text;

/* Readable on A4, and without colour.  Where motion remains possible, the
 * cell has a thick frame. */
void stopsvg_add(struct text *out, const struct stopmap *map);

#endif
