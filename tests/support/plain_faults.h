/* plain_faults.h - faults of flat logic that each are a cause: number i has
 * choice row i and cell i. */
#ifndef KEEPCLEAR_TESTS_SUPPORT_PLAIN_FAULTS_H
#define KEEPCLEAR_TESTS_SUPPORT_PLAIN_FAULTS_H

#include "logic/flat.h"

enum { PLAIN_FAULTS_MOST = 3 };

void plain_faults(struct flat *flat, uint32_t n);

#endif
