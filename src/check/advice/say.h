/* say.h - adding remarks, and what they are about. */
#ifndef KEEPCLEAR_CHECK_ADVICE_SAY_H
#define KEEPCLEAR_CHECK_ADVICE_SAY_H

#include "check/draft.h"

/* Adds a remark: kind, subject, span, hint and also are taken from `what`,
 * the message from the format. */
void say(struct draft *draft, const struct remark *what,
         const char *format, ...) __attribute__((format(printf, 3, 4)));

/* The variable as ACCEPTED names it: "Main.watch.Q", or a global's name;
 * the unit's name where it has none. */
const char *say_variable(struct draft *draft, const struct unit *unit,
                         struct code_variable variable);

/* The same for a variable or instance that the unit declares. */
const char *say_declared(struct draft *draft, const struct unit *unit,
                         const struct code_frame_var *row);

/* "line 9", with the file if it is another one than that of `from`. */
const char *say_line(struct draft *draft, struct span from,
                     struct span line);

/* The row of the unit in whose slots the offset lies, or NULL. */
const struct code_frame_var *say_row(const struct code_pou *pou,
                                     uint32_t offset);

#endif
