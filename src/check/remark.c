#include "check/remark.h"

const char *remark_name(enum remark_kind kind)
{
#define NAME(member, name) #name,
    static const char *const names[] = {REMARK_LIST(NAME)};
#undef NAME

    return names[kind];
}
