/* sheet.h - a sequence as a log sheet.
 *
 * Columns time, operator, machine, outputs; time runs down in seconds; what
 * did not change is left blank; scans in which nothing changed are drawn
 * together.
 */
#ifndef KEEPCLEAR_PRESENT_SHEET_H
#define KEEPCLEAR_PRESENT_SHEET_H

struct findings;
struct replay;
struct text;
struct why;

/* Appends the sheet, indented by `indent` columns, at most 100 wide with
 * them. */
void sheet_add(struct text *out, const struct findings *findings,
               const struct replay *replay, unsigned indent);

/* The same with the numbers of a chain of causes at the lines that its
 * sentences lead back to. */
void sheet_add_marked(struct text *out, const struct findings *findings,
                      const struct replay *replay, const struct why *why,
                      unsigned indent);

/* The rows of a sheet, for a view that has tables of its own.  Cells hold
 * lines ended by \n; a row whose cells are all NULL is a note between two:
 * `note` then is a sentence. */
enum { SHEET_COLUMNS = 4 };

struct sheet_row {
    const char *cell[SHEET_COLUMNS];
    const char *note;
};

/* Calls `row` for each row, in order; what it is given lives until it
 * returns.  why as above, or NULL. */
void sheet_each(const struct findings *findings, const struct replay *replay,
                const struct why *why,
                void (*row)(void *context, const struct sheet_row *row),
                void *context);

const char *sheet_heading(int column);

#endif
