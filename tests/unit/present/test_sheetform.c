/* A form to be filled in, as plain text and as a page: the user's words stay
 * words, the page is well-formed XML as expat judges it, and each step has
 * its boxes. */
#include "present/sheetform.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>
#include <expat.h>

#include "base/arena.h"
#include "base/text.h"
#include "present/sheetphrases.h"
#include "present/wordtable.h"

#define EVIL "</style></td>]]><script>&\"'"

static void make(const struct sheetform *form)
{
    const struct sheetform_step step = {
        "1.1", "B+C", "press " EVIL, "ON: " EVIL "\nOFF: b\n", "still ON: c\n",
        "R1"};

    sheetform_begin(form, "TEST SHEET  " EVIL, "0123456789abcdef0123");
    sheetform_heading(form, EVIL);
    sheetform_paragraph(form, EVIL);
    sheetform_item(form, EVIL);
    sheetform_entry(form, EVIL);
    sheetform_blank(form, EVIL);
    sheetform_gap(form);
    sheetform_steps_begin(form);
    sheetform_sequence(form, EVIL, EVIL);
    sheetform_step(form, &step);
    sheetform_step(form, &step);
    sheetform_sequence_end(form, EVIL);
    sheetform_sequence(form, EVIL, EVIL);
    sheetform_step(form, &step);
    sheetform_sequence_end(form, NULL);
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

/* Words of a table can be hostile too: they come from a file. */
static struct words *words_of(struct arena *arena, const char *language)
{
    static const char own[] = "foot = \"; } " EVIL " {}\n"
                              "language = \"" EVIL "\ncolumn_at = " EVIL;
    struct words *words = wordtable_language(arena, sheetphrases_table(),
                                             language == NULL ? "en"
                                                              : language);

    if (language == NULL)
        assert_null(wordtable_read(arena, words, own, sizeof own - 1));
    return words;
}

/* Each step has its boxes with their words, headings say of what they are,
 * one heading row stands above all. */
static void is_sound(const struct text *page, const char *label)
{
    XML_Parser parser = XML_ParserCreate(NULL);
    char box[64];

    snprintf(box, sizeof box, "role=\"img\" aria-label=\"%s\"", label);
    assert_int_equal(XML_Parse(parser, page->at, (int)page->n, 1),
                     XML_STATUS_OK);
    assert_int_equal(count(page->at, "<script"), 0);
    assert_int_equal(count(page->at, "</style>"), 1);
    assert_int_equal(count(page->at, "<td class=\"box\">"), 3 * 3);
    assert_int_equal(count(page->at, box), 3);
    assert_int_equal(count(page->at, "<th scope=\"row\">"), 3);
    assert_int_equal(count(page->at, "<th scope=\"rowgroup\""), 2);
    assert_int_equal(count(page->at, "<th scope=\"col\""), 9);
    assert_int_equal(count(page->at, "<thead>"), 1);
    assert_int_equal(count(page->at, "<tbody>"), 2);
    assert_int_equal(count(page->at, "<tr class=\"caution\">"), 1);
    XML_ParserFree(parser);
}

static void as_page(void **state)
{
    static const struct {
        const char *language, *label, *lang, *mark;
    } pages[] = {
        {"en", "not as expected", "<html lang=\"en\">",
         "fingerprint\\000020\\000030\\000031\\000032"},
        {"de", "nicht wie erwartet", "<html lang=\"de\">",
         "Fingerabdruck\\000020\\000030\\000031\\000032"},
        {NULL, "not as expected", "<html lang=\"&quot;&lt;/style&gt;",
         "\\000022\\00003b\\000020\\00007d"},
    };

    (void)state;
    for (size_t i = 0; i < sizeof pages / sizeof *pages; i++) {
        struct arena *arena = arena_new();
        struct text page = {0};
        const struct sheetform form = {
            &page, words_of(arena, pages[i].language), true};

        make(&form);
        is_sound(&page, pages[i].label);
        assert_int_equal(count(page.at, pages[i].lang), 1);
        assert_int_equal(count(page.at, pages[i].mark), 1);
        text_release(&page);
        arena_free(arena);
    }
}

static void is_narrow(const struct text *page)
{
    for (const char *at = page->at; *at != '\0';) {
        size_t n = strcspn(at, "\n");

        assert_in_range(text_columns(at, n), 0, 100);
        at += n + (at[n] == '\n');
    }
}

static void as_text(void **state)
{
    static const struct {
        const char *language, *box, *remark;
    } sheets[] = {{"en", "[ ] not possible here", "remark ....."},
                  {"de", "[ ] hier nicht möglich", "Bemerkung ....."}};

    (void)state;
    for (size_t i = 0; i < sizeof sheets / sizeof *sheets; i++) {
        struct arena *arena = arena_new();
        struct text page = {0};
        const struct sheetform form = {
            &page, words_of(arena, sheets[i].language), false};

        make(&form);
        assert_int_equal(count(page.at, sheets[i].box), 3);
        assert_int_equal(count(page.at, sheets[i].remark), 3);
        is_narrow(&page);
        text_release(&page);
        arena_free(arena);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(as_page),
        cmocka_unit_test(as_text),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
