/* What the program says of counters: an error too far away to be looked for,
 * what is kept up to it, and how it is excluded. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "tests/support/folder.h"
