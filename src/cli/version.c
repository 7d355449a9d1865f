#include "cli/version.h"

const char *version_words(void)
{
    return "keepclear 0.1";
}
