/* json.h - strings in JSON (RFC 8259) that may stand inside a page. */
#ifndef KEEPCLEAR_PRESENT_JSON_H
#define KEEPCLEAR_PRESENT_JSON_H

struct text;

/* In quotation marks, inert in HTML whatever it holds: `<`, `>` and `&` are
 * written as \u escapes, so no tag or comment can begin or end there.  What
 * is no valid UTF-8 and control characters become '?'; NULL becomes "". */
void json_string(struct text *out, const char *string);

/* ,"key":"string": a member behind another one. */
void json_member(struct text *out, const char *key, const char *string);

#endif
