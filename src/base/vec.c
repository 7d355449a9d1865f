#include "base/vec.h"

#include <stdint.h>
#include <stdlib.h>

#include "base/ensure.h"

enum { FIRST_CAPACITY = 8 };

void *vec_grow(void *at, size_t *cap, size_t need, size_t size)
{
    size_t wanted = *cap > SIZE_MAX / 2 ? need : *cap * 2;
    void *grown = NULL;

    ENSURE(size > 0);
    if (wanted < FIRST_CAPACITY)
        wanted = FIRST_CAPACITY;
    if (wanted < need)
        wanted = need;
    if (wanted <= SIZE_MAX / 2 / size)
        grown = realloc(at, wanted * size);
    if (!grown)
        base_fail(BASE_OUT_OF_MEMORY, "no memory left", __FILE__, __LINE__);
    *cap = wanted;
    return grown;
}

void vec_free(void *at)
{
    free(at);
}
