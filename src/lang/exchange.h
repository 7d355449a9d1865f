/* exchange.h - whole projects in the XML format that is published for the
 * exchange between programming systems (TC6 XML, version 2.01, written from
 * memory): POUs with their variables, data types, globals and tasks.
 *
 * The project becomes one control text.  What stands on a line of the file
 * stands, as far as may be, on the same line of the text, so that messages
 * lead to the place.  What is not read leaves a mark: {not read: ...}
 * (noise.h).
 */
#ifndef KEEPCLEAR_LANG_EXCHANGE_H
#define KEEPCLEAR_LANG_EXCHANGE_H

struct text;

/* A file of that format becomes its text; anything else stays, also a
 * malformed one, of which the parser says why (container.h). */
void exchange_unpack(struct text *content);

#endif
