#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>
#include <cmocka.h>

#include "base/arena.h"
#include "base/name.h"
#include "lang/word.h"

static void sorted(void **state)
{
    size_t n;
    const struct word *words = word_list(&n);

    (void)state;
    assert_true(n > 100);
    for (size_t i = 1; i < n; i++)
        assert_true(strcmp(words[i - 1].folded, words[i].folded) < 0);
}

static void found_by_kind(void **state)
{
    struct arena *arena = arena_new();
    struct names *names = names_new(arena);

    (void)state;
    assert_non_null(word_find(names_of(names, "End_If"), PARSE_CONTROL));
    assert_non_null(word_find(names_of(names, "end_if"), PARSE_REVIEW));
    assert_null(word_find(names_of(names, "STOP"), PARSE_CONTROL));
    assert_non_null(word_find(names_of(names, "STOP"), PARSE_REVIEW));
    assert_null(word_find(names_of(names, "gate"), PARSE_REVIEW));
    names_free(names);
    arena_free(arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(sorted),
        cmocka_unit_test(found_by_kind),
    };

    return cmocka_run_group_tests_name("word", tests, NULL, NULL);
}
