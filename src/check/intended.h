/* intended.h - the section INTENDED: where two versions may differ. */
#ifndef KEEPCLEAR_CHECK_INTENDED_H
#define KEEPCLEAR_CHECK_INTENDED_H

struct draft;

/* Reads the section; signals and machine are declared. */
void intended_read(struct draft *draft);

#endif
