/* svgsheet.h - a sheet 190 mm wide as SVG: words, paragraphs and lines, from
 * the top down.  All words are escaped. */
#ifndef KEEPCLEAR_PRESENT_SVGSHEET_H
#define KEEPCLEAR_PRESENT_SVGSHEET_H

#include <stddef.h>

#include "base/text.h"

/* Units of the sheet: 4 to a millimetre on paper. */
enum { SVGSHEET_WIDTH = 760, SVGSHEET_MARGIN = 10, SVGSHEET_LINE = 17 };

/* All zero to begin with, but top. */
struct svgsheet {
    struct text out;
    int top; /* the free part begins here */
};

/* kind: class of the style sheet: title, always, act, note, group, input,
 * output, small, motion. */
void svgsheet_say(struct svgsheet *sheet, const int at[2], const char *kind,
                  const char *what);

/* Broken at blanks into lines of so many letters, from `at` on; the lines
 * used. */
int svgsheet_paragraph(struct svgsheet *sheet, const int at[2],
                       size_t letters, const char *kind, const char *what);

/* A straight line, class thin, thick or plain. */
void svgsheet_line(struct svgsheet *sheet, const int from[2],
                   const int to[2], const char *kind);

/* The whole picture, as high as it was filled; frees the sheet. */
void svgsheet_end(struct text *out, struct svgsheet *sheet,
                  const char *title);

#endif
