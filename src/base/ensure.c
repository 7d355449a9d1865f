#include "base/ensure.h"

#include <stdlib.h>

/* The one handler of the process: set once by cli/, or by a test. */
static base_handler *installed;

void base_on_failure(base_handler *handler)
{
    installed = handler;
}

_Noreturn void base_fail(enum base_failure kind, const char *what,
                         const char *file, int line)
{
    if (installed)
        installed(kind, what, file, line);
    abort(); /* no handler, or one that broke its contract and returned */
}
