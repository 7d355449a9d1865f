/* A form to be filled in, as plain text and as a page: the user's words stay
 * words, the page is well-formed XML as expat judges it, and each step has
 * its boxes. */
#include "present/sheetform.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>
#include <expat.h>

#include "base/text.h"

#define EVIL "</style></td>]]><script>&\"'"

static void make(const struct sheetform *form)
{
    const struct sheetform_step step = {
        "1.1", EVIL, "press " EVIL, "ON: " EVIL "\nOFF: all others", "R1"};

    sheetform_begin(form, "TEST SHEET  " EVIL, "0123456789abcdef0123");
    sheetform_heading(form, EVIL);
    sheetform_paragraph(form, EVIL);
    sheetform_item(form, EVIL);
    sheetform_blank(form, EVIL);
    sheetform_gap(form);
    sheetform_sequence(form, EVIL);
    sheetform_steps_begin(form);
    sheetform_step(form, &step);
    sheetform_step(form, &step);
    sheetform_steps_end(form);
    sheetform_end(form);
}

static unsigned count(const char *in, const char *what)
{
    unsigned n = 0;

    for (; (in = strstr(in, what)) != NULL; in += strlen(what))
        n++;
    return n;
}

static void as_page(void **state)
{
    struct text page = {0};
    const struct sheetform form = {&page, true};
    XML_Parser parser = XML_ParserCreate(NULL);

    (void)state;
    make(&form);
    assert_int_equal(XML_Parse(parser, page.at, (int)page.n, 1),
                     XML_STATUS_OK);
    assert_int_equal(count(page.at, "<script"), 0);
    assert_int_equal(count(page.at, "</style>"), 1);
    assert_int_equal(count(page.at, "<span class=\"box\">"), 2 * 3);
    assert_int_equal(count(page.at, "remark</td>"), 2);
    assert_int_equal(count(page.at, "fingerprint 0123456789abcdef\""), 1);
    XML_ParserFree(parser);
    text_release(&page);
}

static void as_text(void **state)
{
    struct text page = {0};
    const struct sheetform form = {&page, false};

    (void)state;
    make(&form);
    assert_int_equal(count(page.at, "[ ] not possible here"), 2);
    assert_int_equal(count(page.at, "remark ....."), 2);
    for (const char *at = page.at; *at != '\0';) {
        size_t n = strcspn(at, "\n");

        assert_in_range(n, 0, 100);
        at += n + (at[n] == '\n');
    }
    text_release(&page);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(as_page),
        cmocka_unit_test(as_text),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
