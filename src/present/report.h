/* report.h - the record of a check as one self-contained page, in the form of
 * a paper test record.  Made from what was found and from nothing else; the
 * same bytes whenever it is the same. */
#ifndef KEEPCLEAR_PRESENT_REPORT_H
#define KEEPCLEAR_PRESENT_REPORT_H

#include <stdbool.h>

struct arena;
struct caught;
struct chart;
struct fault_findings;
struct findings;
struct fittings;
struct sources;
struct stopmap;
struct tested;
struct text;
struct unguarded_findings;

/* The comparison with an earlier version, told. */
struct report_compared {
    const char *before;  /* its name; NULL: there is none */
    const char *words;   /* what `compare` says */
    bool finished;
};

struct report {
    struct arena *arena;
    const struct findings *findings;
    const struct sources *sources;
    const struct chart *chart;     /* cause and effect, or NULL: left out */
    const struct stopmap *stops;   /* what stops what, or NULL: left out */
    const struct fittings *fittings; /* or NULL: not looked for */
    const struct fault_findings *faults; /* or NULL: left out */
    const struct unguarded_findings *unguarded; /* or NULL: left out */
    const struct caught *caught;   /* with it, per requirement of the model */
    struct report_compared compared;
    const char *loaded;  /* the user's words on how the text that was looked
                            at and the one in the controller agree, or NULL */
    const struct tested *tested; /* a filled test sheet, or NULL */
    const char *tool;    /* name and version */
    const char *digest;  /* fingerprint of the program, or NULL: not known */
    const char *command; /* as it was called, without folders */
};

/* The page. */
void report_add(struct text *out, const struct report *report);

/* The record once more as plain text, for what reads no page. */
void report_text(struct text *out, const struct report *report);

/* What beside the requirements is not finished: the words of each; how many. */
enum { REPORT_UNFINISHED = 5 };
unsigned report_unfinished_parts(const struct report *report,
                                 const char *parts[REPORT_UNFINISHED]);

/* Is something in it not finished, so that it is no proof? */
bool report_unfinished(const struct report *report);

/* The plain sentences alone, as text of at most 100 columns. */
void report_sentences(struct text *out, const struct report *report);

#endif
