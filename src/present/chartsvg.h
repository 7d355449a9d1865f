/* chartsvg.h - a cause-and-effect chart as a picture.
 *
 * As wide as a page of A4 has room: inputs down, outputs across, words in the
 * cells; more columns than that come in blocks one below the other.  Black on
 * white; what always holds is set in bold letters.
 */
#ifndef KEEPCLEAR_PRESENT_CHARTSVG_H
#define KEEPCLEAR_PRESENT_CHARTSVG_H

struct chart;
struct text;

void chartsvg_add(struct text *out, const struct chart *chart);

#endif
