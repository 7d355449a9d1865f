/* A test sheet that comes back filled in: taken as it was printed, whatever
 * separator a spreadsheet wrote (RFC 4180 names the comma; semicolons are
 * common practice, no source), and refused where it is not the sheet of these
 * texts or not as it was printed. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/arena.h"
#include "base/text.h"
#include "check/model.h"
#include "present/byhandwords.h"
#include "present/sheetphrases.h"
#include "present/testedwords.h"
#include "present/testsheetwords.h"
#include "present/wordtable.h"
#include "study/load.h"
#include "study/tested.h"
#include "study/testsheet.h"

#define REVIEW "models/table/table.review"
#define CHANGED "models/table/changes/start_beats_stop.st"

static struct loaded *loaded;
static struct text printed; /* the CSV */
static struct text german;  /* the same, its cells in German */

static void print(struct text *out, const struct testsheet *sheet,
                  const char *language)
{
    const struct byhand_view view = {
        sheet, loaded->sources,
        wordtable_language(loaded->arena, sheetphrases_table(), language)};

    testsheetwords_csv(out, &view);
}

static int make(void **state)
{
    const struct load_request request = {.path = REVIEW};
    const struct testsheet_setting setting = {0};
    const struct testsheet *sheet;

    (void)state;
    loaded = load_run(&request);
    if (loaded->model == NULL)
        return 1;
    sheet = testsheet_study(loaded->arena, loaded->model, &setting,
                            loaded->diags);
    if (sheet == NULL || sheet->internal_error != NULL)
        return 1;
    print(&printed, sheet, "en");
    print(&german, sheet, "de");
    return 0;
}

static int release(void **state)
{
    (void)state;
    text_release(&printed);
    text_release(&german);
    loaded_free(loaded);
    return 0;
}

/* Puts `with` where `what` stands for the first time. */
static void put(struct text *sheet, const char *what, const char *with)
{
    struct text all = {0};
    const char *at = strstr(text_str(sheet), what);

    assert_non_null(at);
    text_add_bytes(&all, sheet->at, (size_t)(at - sheet->at));
    text_add(&all, with);
    text_add(&all, at + strlen(what));
    text_clear(sheet);
    text_add(sheet, text_str(&all));
    text_release(&all);
}

static void fill_in(struct text *sheet, const struct text *blank)
{
    text_add(sheet, text_str(blank));
    put(sheet, "date of the test,", "date of the test,2026-03-14");
    put(sheet, "tested by,", "tested by,\"A. \"\"Person\"\", invented\"");
    put(sheet, ",,,,\r\n", ",,x,,\"no lamp, at all\"\r\n");
    while (strstr(text_str(sheet), ",,,,\r\n") != NULL)
        put(sheet, ",,,,\r\n", ",x,,,\r\n");
}

static void fill(struct text *sheet)
{
    fill_in(sheet, &printed);
}

static const struct tested *read_as(const struct text *sheet,
                                    const struct loaded *texts)
{
    char path[] = "/tmp/keepclear_tested_XXXXXX";
    int handle = mkstemp(path);
    const struct tested *tested;
    FILE *file;

    assert_true(handle >= 0);
    file = fdopen(handle, "wb");
    assert_non_null(file);
    assert_int_equal(fwrite(text_str(sheet), 1, sheet->n, file), sheet->n);
    assert_int_equal(fclose(file), 0);
    tested = tested_read(loaded->arena, texts->model, texts->sources, path);
    remove(path);
    return tested;
}

static void is_refused(const struct text *sheet, const char *why)
{
    const struct tested *tested = read_as(sheet, loaded);

    assert_non_null(tested->failure);
    if (strstr(tested->failure, why) == NULL)
        fail_msg("%s", tested->failure);
}

/* R1 is what the first step is for. */
static void is_taken(const struct text *sheet)
{
    const struct tested *tested = read_as(sheet, loaded);
    struct text words = {0};

    if (tested->failure != NULL)
        fail_msg("%s", tested->failure);
    assert_string_equal(tested->date, "2026-03-14");
    assert_string_equal(tested->by, "A. \"Person\", invented");
    assert_int_equal(tested->n_open, 0);
    assert_int_equal(tested->n_wrong, 1);
    assert_string_equal(tested->wrong[0].sequence, "1");
    assert_string_equal(tested->wrong[0].step, "1");
    assert_string_equal(tested->wrong[0].remark, "no lamp, at all");
    assert_int_equal(tested->requirements[0].n_not, 1);
    assert_int_equal(tested->requirements[1].n_not, 0);
    assert_true(tested->requirements[1].n_as_expected > 0);
    testedwords_requirement(&words, tested, 0);
    assert_non_null(strstr(text_str(&words), "not as expected, in 1 of "));
    text_clear(&words);
    testedwords_requirement(&words, tested, 1);
    assert_non_null(strstr(text_str(&words), ": as expected, "));
    text_release(&words);
}

static void a_filled_sheet_is_taken(void **state)
{
    struct text sheet = {0}, other = {0};
    bool quoted = false;

    (void)state;
    fill(&sheet);
    is_taken(&sheet);
    text_add(&other, "\xEF\xBB\xBF");
    for (size_t i = 0; i < sheet.n; i++) {
        quoted ^= sheet.at[i] == '"';
        if (sheet.at[i] != '\r')
            text_add_char(&other, sheet.at[i] == ',' && !quoted
                                      ? ';' : sheet.at[i]);
    }
    is_taken(&other);
    text_release(&sheet);
    text_release(&other);
}

/* Headings are names, the same in each language; what the fingerprint is
 * taken of is what was printed. */
static void a_german_sheet_is_taken(void **state)
{
    struct text sheet = {0};

    (void)state;
    fill_in(&sheet, &german);
    assert_non_null(strstr(text_str(&sheet), "bis zum Einrasten drücken"));
    assert_null(strstr(text_str(&sheet), "until it latches"));
    is_taken(&sheet);
    put(&sheet, "AUS: alle", "EIN: alle");
    is_refused(&sheet, "the printed columns are not as they were");
    text_release(&sheet);
}

static void other_sheets_are_refused(void **state)
{
    static const struct {
        const char *what, *with, *why;
    } wrong[] = {
        {"2026-03-14", "", ":4: the date of the test is not filled in"},
        {"\"A. \"\"Person\"\", invented\"", "", ":5: the name of who tested"},
        {"OFF: all", "ON: all", "the printed columns are not as they were"},
        {"test sheet,", "sheet,", ":1: this is no filled test sheet"},
        {",,x,,", ",x,x,,", ":7: more than one of"},
        {"must be,for", "for,must be", ":6: column 8 is not 'must be'"},
        {"press", "\"press", "a quote is not closed"},
    };

    (void)state;
    for (size_t i = 0; i < sizeof wrong / sizeof *wrong; i++) {
        struct text sheet = {0};

        fill(&sheet);
        put(&sheet, wrong[i].what, wrong[i].with);
        is_refused(&sheet, wrong[i].why);
        text_release(&sheet);
    }
}

static void parts_are_refused(void **state)
{
    struct text sheet = {0}, part = {0};
    size_t at;

    (void)state;
    fill(&sheet);
    for (at = sheet.n - 2; sheet.at[at] != '\n'; at--)
        ;
    text_add_bytes(&part, sheet.at, at + 1);
    is_refused(&part, "the printed columns are not as they were printed");
    text_clear(&part);
    text_add_bytes(&part, sheet.at,
                   (size_t)(strstr(sheet.at, "round,") - sheet.at));
    is_refused(&part, "the steps are missing");
    text_clear(&part);
    is_refused(&part, "this is no filled test sheet");
    text_add_bytes(&part, "a\0b", 3);
    is_refused(&part, "a byte of 0");
    text_release(&sheet);
    text_release(&part);
}

static void other_texts_refuse_it(void **state)
{
    const struct load_request request = {.path = REVIEW, .control = CHANGED};
    struct loaded *other = load_run(&request);
    struct text sheet = {0};
    const struct tested *tested;

    (void)state;
    assert_non_null(other->model);
    fill(&sheet);
    tested = read_as(&sheet, other);
    assert_non_null(strstr(tested->failure, ":2: this sheet was made from "
                                            "other texts"));
    text_release(&sheet);
    loaded_free(other);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_filled_sheet_is_taken),
        cmocka_unit_test(a_german_sheet_is_taken),
        cmocka_unit_test(other_sheets_are_refused),
        cmocka_unit_test(parts_are_refused),
        cmocka_unit_test(other_texts_refuse_it),
    };

    return cmocka_run_group_tests(tests, make, release);
}
