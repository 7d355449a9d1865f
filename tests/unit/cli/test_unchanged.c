/* A file that is written to while a run looks at it is noticed; one that is
 * not, and one that was never there, are not. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

#include <cmocka.h>

#include "base/arena.h"
#include "base/os.h"
#include "cli/unchanged.h"
#include "source/source.h"

static void put(const char *path, const char *words)
{
    assert_int_equal(os_write_file(path, words, strlen(words)), OS_OK);
}

static void a_changed_file(void **state)
{
    struct arena *arena = arena_new();
    struct sources *sources = sources_new(arena);
    const struct unchanged *noted;
    char path[64];

    (void)state;
    snprintf(path, sizeof path, "build/unchanged-%ld.st", (long)getpid());
    put(path, "PROGRAM p END_PROGRAM");
    sources_add(sources, "a text that was made", "x", 1);
    sources_add(sources, path, "PROGRAM p END_PROGRAM", 21);
    noted = unchanged_note(arena, sources);
    assert_null(unchanged_first(noted));
    put(path, "PROGRAM p END_PROGRAM");
    assert_null(unchanged_first(noted));
    put(path, "PROGRAM q END_PROGRAM");
    assert_string_equal(unchanged_first(noted), path);
    unlink(path);
    assert_string_equal(unchanged_first(noted), path);
    sources_free(sources);
    arena_free(arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_changed_file),
    };

    return cmocka_run_group_tests_name("unchanged", tests, NULL, NULL);
}
