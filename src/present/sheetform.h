/* sheetform.h - the parts of a form that is filled in by hand, as plain text
 * of at most 100 columns or as a page of HTML for paper of A4.
 */
#ifndef KEEPCLEAR_PRESENT_SHEETFORM_H
#define KEEPCLEAR_PRESENT_SHEETFORM_H

#include <stdbool.h>

struct text;
struct words;

struct sheetform {
    struct text *out;
    const struct words *words; /* those of sheetphrases.h */
    bool paper; /* HTML; else plain text */
};

/* mark: hexadecimal digits that stand at the foot of each page of paper. */
void sheetform_begin(const struct sheetform *form, const char *title,
                     const char *mark);
void sheetform_end(const struct sheetform *form);

/* Of a part. */
void sheetform_heading(const struct sheetform *form, const char *words);

void sheetform_paragraph(const struct sheetform *form, const char *words);
void sheetform_item(const struct sheetform *form, const char *words);

/* A short item: on paper two stand side by side. */
void sheetform_entry(const struct sheetform *form, const char *words);

/* A line to be filled in. */
void sheetform_blank(const struct sheetform *form, const char *what);

/* Behind the last line of a part. */
void sheetform_gap(const struct sheetform *form);

/* ---- steps ---- */

/* Steps of a round; on paper one table whose headings stand on every page. */
void sheetform_steps_begin(const struct sheetform *form);
void sheetform_steps_end(const struct sheetform *form);

/* The line before the steps of a sequence, and what it says besides. */
void sheetform_sequence(const struct sheetform *form, const char *title,
                        const char *besides);

/* Behind its last step; caution: words, or NULL. */
void sheetform_sequence_end(const struct sheetform *form,
                            const char *caution);

/* Cells of a step; what must be seen in lines, those of what is other than
 * before and the rest.  Boxes and room for a remark are added. */
struct sheetform_step {
    const char *number, *station, *what, *changed, *still, *reached;
};

void sheetform_step(const struct sheetform *form,
                    const struct sheetform_step *step);

#endif
