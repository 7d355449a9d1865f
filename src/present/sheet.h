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

#endif
