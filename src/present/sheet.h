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

/* Appends the sheet, indented by `indent` columns, at most 100 wide. */
void sheet_add(struct text *out, const struct findings *findings,
               const struct replay *replay, unsigned indent);

#endif
