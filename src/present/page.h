/* page.h - pieces of a self-contained HTML page: no script, no network, and
 * well-formed as XML too.  All words are escaped; what the user wrote is kept
 * apart from the direction of the text around it. */
#ifndef KEEPCLEAR_PRESENT_PAGE_H
#define KEEPCLEAR_PRESENT_PAGE_H

#include <stdint.h>

struct text;

/* The head of the page; unfinished: NULL, or words that stand on every page
 * of it, on screen and on paper. */
void page_begin(struct text *out, const char *title, const char *unfinished);
void page_end(struct text *out);

/* A page that is no record of a check. */
struct page_head {
    const char *language; /* of its words: "de" */
    const char *title;
    const char *foot;     /* stands under every page on paper */
    const char *rules;    /* of the style sheet, taken as they are */
};

void page_begin_as(struct text *out, const struct page_head *head);

/* class: NULL, or a class of the style sheet. */
void page_open(struct text *out, const char *tag, const char *class);
void page_close(struct text *out, const char *tag);

/* Words, escaped; also for an attribute in double quotes. */
void page_words(struct text *out, const char *words);

/* An element that holds only words. */
void page_element(struct text *out, const char *tag, const char *class,
                  const char *words);

/* A <p> for each line of `lines`, blank lines left out; lines that begin with
 * more blanks are set in further. */
void page_lines(struct text *out, const char *lines);

/* The same with a name in bold before the words, if there is one. */
void page_named(struct text *out, const char *tag, const char *name,
                const char *words);

/* Lines whose blanks count, in letters of one width. */
void page_fixed(struct text *out, const char *lines);

/* A row of a table, cells of that tag: "td" or "th"; line ends in a cell are
 * kept. */
void page_row(struct text *out, const char *tag, const char *const *cells,
              uint32_t n);

/* A table with these headings is begun. */
void page_table(struct text *out, const char *class,
                const char *const *headings, uint32_t n);

/* A picture that is a file of its own inside the page; alt: its words for
 * those who do not see it. */
void page_picture(struct text *out, const struct text *svg, const char *alt);

/* A line to be filled in by hand. */
void page_blank(struct text *out, const char *what);

#endif
