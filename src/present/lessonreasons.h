/* lessonreasons.h - why: how values come about, as data of the trainer's
 * page. */
#ifndef KEEPCLEAR_PRESENT_LESSONREASONS_H
#define KEEPCLEAR_PRESENT_LESSONREASONS_H

struct lesson_machine;
struct text;

/* Member `written`, begun by a comma: a list of [value, expression, place],
 * one for each variable of two values, items or a whole number that something
 * assigns.
 *
 * An expression: ["c", number] · ["v", value] now · ["b", value] one scan
 * before · ["h", control] its position · ["k", value, control, kind,
 * position] a contact (kind: 0 closing, 1 opening, 2 at that position, 3 the
 * position itself) · ["g", row, value] as others left it: the choice of that
 * row · ["o"] what the model leaves open · ["u", more, leaf, ..]
 * reckoned from these, and from more if that is 1 · ["t", kind, IN, Q, ET, PT]
 * the set time has run (kind: 0 TON, 1 TOF, 2 a pulse runs; without Q and what
 * follows where it is called more than once) · ["n", down, counted, back, CV,
 * PV] a counter has come to its end (likewise; back may be null) · ["!", a] ·
 * ["&", a, b] · ["|", a, b] · ["^", a, b] · ["?", a, b, c] · ["=", a, b] ·
 * ["<", a, b] · ["<=", a, b] · "+", "-", "*", "/", "%" of a and b · ["bit", a,
 * number] · ["~", a, low, high] a, where it lies between them */
void lessonreasons_add(struct text *out, const struct lesson_machine *machine);

#endif
