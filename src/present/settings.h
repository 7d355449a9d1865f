/* settings.h - what results take for granted of the controller. */
#ifndef KEEPCLEAR_PRESENT_SETTINGS_H
#define KEEPCLEAR_PRESENT_SETTINGS_H

struct model;
struct text;

/* A line for each setting that the control text comes across; none without a
 * section CONTROLLER. */
void settings_add(struct text *out, const struct model *model);

#endif
