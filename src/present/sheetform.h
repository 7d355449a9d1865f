/* sheetform.h - the parts of a form that is filled in by hand, as plain text
 * of at most 100 columns or as a page of HTML for paper of A4.
 */
#ifndef KEEPCLEAR_PRESENT_SHEETFORM_H
#define KEEPCLEAR_PRESENT_SHEETFORM_H

#include <stdbool.h>

struct text;

struct sheetform {
    struct text *out;
    bool paper; /* HTML; else plain text */
};

/* mark: hexadecimal digits that stand at the foot of each page of paper. */
void sheetform_begin(const struct sheetform *form, const char *title,
                     const char *mark);
void sheetform_end(const struct sheetform *form);

/* Of a part; of a sequence within a part. */
void sheetform_heading(const struct sheetform *form, const char *words);
void sheetform_sequence(const struct sheetform *form, const char *words);

void sheetform_paragraph(const struct sheetform *form, const char *words);
void sheetform_item(const struct sheetform *form, const char *words);

/* A line to be filled in. */
void sheetform_blank(const struct sheetform *form, const char *what);

/* Behind the last line of a part. */
void sheetform_gap(const struct sheetform *form);

/* Cells of a step; line ends in a cell are kept.  Boxes and a line for a
 * remark are added. */
struct sheetform_step {
    const char *number, *station, *what, *expected, *reached;
};

void sheetform_steps_begin(const struct sheetform *form);
void sheetform_step(const struct sheetform *form,
                    const struct sheetform_step *step);
void sheetform_steps_end(const struct sheetform *form);

#endif
