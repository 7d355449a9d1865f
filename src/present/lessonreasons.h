/* lessonreasons.h - why: how values come about, as data of the trainer's
 * page. */
#ifndef KEEPCLEAR_PRESENT_LESSONREASONS_H
#define KEEPCLEAR_PRESENT_LESSONREASONS_H

struct lesson_machine;
struct text;

/* Member `written`, begun by a comma: a list of [value, expression, place],
 * one for each variable of two values whose statements can be followed.
 *
 * An expression: ["c", number] · ["v", value] now · ["b", value] one scan
 * before · ["h", control] its position · ["k", value, control, kind,
 * position] a contact (kind: 0 closing, 1 opening, 2 at that position, 3 the
 * position itself) · ["u"] not followed · ["t"] the set
 * time has run · ["!", a] · ["&", a, b] · ["|", a,
 * b] · ["^", a, b] · ["?", a, b, c] · ["=", a, b] · ["<", a, b] · ["<=", a,
 * b] */
void lessonreasons_add(struct text *out, const struct lesson_machine *machine);

#endif
