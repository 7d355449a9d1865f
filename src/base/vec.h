/* vec.h - growable arrays of any type.
 *
 *     VEC(int) numbers = {0};
 *     vec_push(&numbers, 7);
 *     for (size_t i = 0; i < numbers.n; i++) use(numbers.at[i]);
 *     vec_release(&numbers);
 *
 * An all-zero vec is empty and valid.  Growth is checked and never returns
 * on lack of memory (base_fail).  Elements move when a vec grows: keep
 * indices, not pointers.
 */
#ifndef KEEPCLEAR_BASE_VEC_H
#define KEEPCLEAR_BASE_VEC_H

#include <stddef.h>

#define VEC(type)                                                          \
    struct {                                                               \
        type *at;                                                          \
        size_t n, cap;                                                     \
    }

/* Gives back a block that holds at least need elements of size bytes, and
 * stores its capacity; used by the macros below. */
void *vec_grow(void *at, size_t *cap, size_t need, size_t size);

#define vec_reserve(v, need)                                               \
    ((need) > (v)->cap                                                     \
         ? (void)((v)->at = vec_grow((v)->at, &(v)->cap, (need),           \
                                     sizeof *(v)->at))                     \
         : (void)0)

#define vec_push(v, value)                                                 \
    (vec_reserve((v), (v)->n + 1), (void)((v)->at[(v)->n++] = (value)))

#define vec_clear(v) ((void)((v)->n = 0))

/* Frees the block and leaves a valid empty vec. */
#define vec_release(v)                                                     \
    (vec_free((v)->at), (void)((v)->at = NULL, (v)->n = (v)->cap = 0))

/* Frees a block of vec_grow; NULL is allowed. */
void vec_free(void *at);

#endif
