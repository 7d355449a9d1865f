/* beside.h - one sequence played on two versions, as a log sheet. */
#ifndef KEEPCLEAR_PRESENT_BESIDE_H
#define KEEPCLEAR_PRESENT_BESIDE_H

struct comparison;
struct difference;
struct text;

/* Columns time, operator, machine, old outputs, new outputs; what did not
 * change is left blank, scans in which nothing changed are drawn together. */
void beside_add(struct text *out, const struct comparison *comparison,
                const struct difference *difference, unsigned indent);

#endif
