/* report.h - the record of a check as one self-contained page, in the form of
 * a paper test record.  Made from the findings of the check and from nothing
 * else; the same bytes whenever they are the same. */
#ifndef KEEPCLEAR_PRESENT_REPORT_H
#define KEEPCLEAR_PRESENT_REPORT_H

struct arena;
struct chart;
struct findings;
struct sources;
struct tested;
struct text;

struct report {
    struct arena *arena;
    const struct findings *findings;
    const struct sources *sources;
    const struct chart *chart; /* cause and effect, or NULL: left out */
    const struct tested *tested; /* a filled test sheet, or NULL */
    const char *tool;    /* name and version */
    const char *digest;  /* fingerprint of the program, or NULL: not known */
    const char *command; /* as it was called, without folders */
};

/* The page. */
void report_add(struct text *out, const struct report *report);

/* The plain sentences alone, as text of at most 100 columns. */
void report_sentences(struct text *out, const struct report *report);

#endif
