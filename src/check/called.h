/* called.h - programs that other programs call.
 *
 * Such a program is one instance, there once however many call it.  It runs
 * where it is called and not by itself.  Only the body of a PROGRAM calls
 * one.
 */
#ifndef KEEPCLEAR_CHECK_CALLED_H
#define KEEPCLEAR_CHECK_CALLED_H

#include "check/code.h"
#include "check/env.h"

/* Marks the programs that needed programs call, when the globals are
 * declared and no program is. */
void called_mark(struct draft *draft);

/* The program that the name stands for in this text, unless a variable of
 * the name goes before it; else NULL. */
struct unit *called_named(const struct env *env, const struct name *name);

/* The frame of a program that is there once, MODEL_NONE of any other. */
uint32_t called_frame(const struct draft *draft, const struct unit *program);

/* May env call the program?  Notes the call; false when a mistake was
 * reported. */
bool called_from(struct env *env, struct unit *program, struct span span);

#endif
