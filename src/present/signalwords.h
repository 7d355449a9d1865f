/* signalwords.h - a control, a sensor, an actuator as a plain sentence: what
 * it is, where it stands, what it does by itself. */
#ifndef KEEPCLEAR_PRESENT_SIGNALWORDS_H
#define KEEPCLEAR_PRESENT_SIGNALWORDS_H

#include "check/model.h"

struct actuator;
struct control;
struct plainly;
struct sensor;
struct text;

/* "left closing button: a button at rear panel, left, from where closing edge
 * can be seen; let go, it returns by itself.  Its contact opens when it is
 * held." */
void signalwords_control(const struct plainly *plainly,
                         const struct control *control);

void signalwords_sensor(const struct plainly *plainly,
                        const struct sensor *sensor);

void signalwords_actuator(const struct plainly *plainly,
                          const struct actuator *actuator);

/* "red lamp", "button". */
void signalwords_coloured(struct text *out, enum signal_kind kind,
                          enum colour colour);

/* "button", "valve": what it is, in one word. */
const char *signalwords_kind(enum signal_kind kind);

#endif
