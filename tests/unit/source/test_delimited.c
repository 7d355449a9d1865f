#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "source/delimited.h"

enum { MOST = 4 };

/* The fields of a line, joined by |; NULL: it cannot be cut. */
static const char *cut(const char *line, char separator, char *joined,
                       uint32_t *n)
{
    char copy[200], *fields[MOST];

    strcpy(copy, line);
    *joined = '\0';
    if (!delimited_cut(copy, separator, fields, MOST, n))
        return NULL;
    for (uint32_t i = 0; i < *n && i < MOST; i++) {
        strcat(joined, fields[i]);
        strcat(joined, "|");
    }
    return joined;
}

/* Quotes, doubled quotes and separators within them: RFC 4180, section 2,
 * rules 5 to 7. */
static void lines_are_cut(void **state)
{
    static const struct {
        const char *line;
        char separator;
        const char *fields; /* NULL: refused */
        uint32_t n;
    } rows[] = {
        {"a,b,c", ',', "a|b|c|", 3},
        {"", ',', "|", 1},
        {",", ',', "||", 2},
        {" a ; b ", ';', "a|b|", 2},
        {"0,5;1", ';', "0,5|1|", 2},
        {"a\t\tb", '\t', "a||b|", 3},
        {"\"a,b\",c", ',', "a,b|c|", 2},
        {"\"a\"\"b\" ,c", ',', "a\"b|c|", 2},
        {"\"\",x", ',', "|x|", 2},
        {"1,2,3,4,5", ',', "1|2|3|4|", 5},
        {"\"a", ',', NULL, 0},
        {"\"a\"b", ',', NULL, 0},
    };
    char joined[300];
    uint32_t n;

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        const char *got = cut(rows[i].line, rows[i].separator, joined, &n);

        if (rows[i].fields == NULL) {
            assert_null(got);
            continue;
        }
        assert_non_null(got);
        assert_string_equal(got, rows[i].fields);
        assert_int_equal(n, rows[i].n);
    }
}

static void separators_are_found(void **state)
{
    (void)state;
    assert_int_equal(delimited_separator("a,b;c"), ';');
    assert_int_equal(delimited_separator("a\tb,c"), '\t');
    assert_int_equal(delimited_separator("a,b"), ',');
    assert_int_equal(delimited_separator("a"), ',');
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(lines_are_cut),
        cmocka_unit_test(separators_are_found),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
