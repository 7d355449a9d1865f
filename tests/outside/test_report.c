/* The record of a check as a page: well-formed in the eyes of an XML library,
 * inert whatever names hold, the same bytes each time, and nobody can take an
 * unfinished run for a proof. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>
#include <expat.h>

#include "tests/support/shell.h"

static char folder[] = "/tmp/keepclear-report-XXXXXX";

/* Words that lie in elements of the page, and what must not be there. */
struct seen {
    unsigned scripts, links, handlers, rows, pictures;
    bool in_title;
    char title[400];
};

static void opened(void *context, const XML_Char *name,
                   const XML_Char **attributes)
{
    struct seen *seen = context;

    seen->scripts += strcmp(name, "script") == 0;
    seen->rows += strcmp(name, "tr") == 0;
    seen->pictures += strcmp(name, "img") == 0;
    seen->in_title = strcmp(name, "title") == 0;
    for (; *attributes != NULL; attributes += 2) {
        seen->handlers += strncmp(attributes[0], "on", 2) == 0;
        if (strcmp(attributes[0], "src") == 0 ||
            strcmp(attributes[0], "href") == 0)
            seen->links += strncmp(attributes[1], "data:", 5) != 0;
    }
}

static void closed(void *context, const XML_Char *name)
{
    struct seen *seen = context;

    if (strcmp(name, "title") == 0)
        seen->in_title = false;
}

static void words(void *context, const XML_Char *at, int n)
{
    struct seen *seen = context;
    size_t used = strlen(seen->title);

    if (seen->in_title && used + (size_t)n < sizeof seen->title)
        memcpy(seen->title + used, at, (size_t)n);
}

static char *read_page(const char *name, size_t *n)
{
    enum { MOST = 5 << 20 }; /* a record stays below 5 MB */
    char path[200], *page = malloc(MOST);
    FILE *in;

    assert_non_null(page);
    snprintf(path, sizeof path, "%s/%s", folder, name);
    in = fopen(path, "rb");
    assert_non_null(in);
    *n = fread(page, 1, MOST, in);
    fclose(in);
    assert_true(*n > 1000 && *n < MOST);
    return page;
}

static struct seen looked_at(const char *name)
{
    XML_Parser parser = XML_ParserCreate("UTF-8");
    struct seen seen = {0};
    size_t n;
    char *page = read_page(name, &n);

    XML_SetUserData(parser, &seen);
    XML_SetElementHandler(parser, opened, closed);
    XML_SetCharacterDataHandler(parser, words);
    if (XML_Parse(parser, page, (int)n, 1) != XML_STATUS_OK)
        fail_msg("line %lu: %s",
                 (unsigned long)XML_GetCurrentLineNumber(parser),
                 XML_ErrorString(XML_GetErrorCode(parser)));
    XML_ParserFree(parser);
    free(page);
    assert_int_equal(seen.scripts, 0);
    assert_int_equal(seen.links, 0);
    assert_int_equal(seen.handlers, 0);
    return seen;
}

static void page_holds(const char *name, const char *what, bool holds)
{
    size_t n;
    char *page = read_page(name, &n);

    page[n - 1] = '\0';
    if ((strstr(page, what) != NULL) != holds)
        fail_msg("%s: '%s' is %sthere", name, what, holds ? "not " : "");
    free(page);
}

static void of_a_machine(void **state)
{
    struct seen seen;

    (void)state;
    assert_int_equal(shell_run("%s report -o %s/kept.html "
                               "models/tailgate/tailgate.review",
                               shell_program(), folder), 0);
    seen = looked_at("kept.html");
    assert_string_equal(seen.title, "Record of a check: Tailgate, "
                                    "Rear-loading body: raising, lowering and "
                                    "closing the tailgate");
    assert_true(seen.pictures >= 1); /* what is possible has an example */
    page_holds("kept.html", "Of 16 requirements 16 kept.", true);
    page_holds("kept.html", "NOT CONFIRMED BY ANYBODY", true);
    page_holds("kept.html", "<b><bdi>left rear stop, right rear stop, pressed"
                            "</bdi></b> <bdi>no actuator that can move "
                            "something</bdi>", true);
    page_holds("kept.html", "<th><bdi>stop in the cab, pressed</bdi></th>",
               true);
    page_holds("kept.html", "<td><bdi>tailgate lowers</bdi></td><td><bdi>off: "
                            "both</bdi></td><td><bdi>off: program</bdi></td>",
               true);
    page_holds("kept.html", "Where it comes to bear: the shortest sequence",
               true);
    page_holds("kept.html", "LEFT OUT OF THIS RECORD: what each single fault",
               true);
    page_holds("kept.html", "LEFT OUT OF THIS RECORD: no version signed", true);
    page_holds("kept.html", "LEFT OUT OF THIS RECORD: which small changes",
               true);
    page_holds("kept.html", "How far the requirements protect the logic: left "
                            "out of this record.", true);
    page_holds("kept.html", "What each input alone does to each output", true);
    page_holds("kept.html", "NOT FINISHED", false);
}

static void same_bytes(void **state)
{
    (void)state;
    for (int i = 0; i < 2; i++)
        assert_int_equal(shell_run("%s report -o %s/same.html "
                                   "models/table/table.review && mv "
                                   "%s/same.html %s/%d.html",
                                   shell_program(), folder, folder, folder,
                                   i), 0);
    assert_int_equal(shell_run("cmp %s/0.html %s/1.html", folder, folder), 0);
}

/* Sequence, diagram and causes stand with what is broken. */
static void of_a_broken_one(void **state)
{
    struct seen seen;

    (void)state;
    assert_int_equal(shell_run("%s report --control "
                               "models/tailgate/changes/single_contacts.st "
                               "-o %s/broken.html "
                               "models/tailgate/tailgate.review",
                               shell_program(), folder), 1);
    seen = looked_at("broken.html");
    assert_true(seen.pictures >= 2);
    page_holds("broken.html", "R1: broken: ", true);
    page_holds("broken.html", "R1 breaks, because", true);
    page_holds("broken.html", "closing button", true);
}

static void unfinished_is_no_proof(void **state)
{
    (void)state;
    assert_int_equal(shell_run("%s report --situations 10 -o %s/limit.html "
                               "models/tailgate/tailgate.review",
                               shell_program(), folder), 3);
    looked_at("limit.html");
    page_holds("limit.html", "<div class=\"unfinished\"><bdi>NOT FINISHED: "
                             "this record is no proof", true);
    page_holds("limit.html", "16 kept", false);
}

/* Titles, names of places and a file that would like to be markup. */
static void put_hostile(void)
{
    enum { LONG = 10000 };
    char *review = malloc(LONG + 2000), *title = malloc(LONG + 1);

    assert_non_null(review);
    assert_non_null(title);
    memset(title, 'x', LONG);
    title[LONG] = '\0';
    shell_put(folder, "evil.st",
              "PROGRAM Main\nVAR_INPUT b, ok : BOOL; END_VAR\n"
              "VAR_OUTPUT m : BOOL; END_VAR\nm := b OR NOT ok;\n"
              "END_PROGRAM\n");
    snprintf(review, LONG + 2000,
             "REVIEW Evil 'x\"><script>alert(1)</script>&amp;'\n"
             "  CONTROL 'evil.st';\n  SCAN T#100ms;\n  CONTROLS\n"
             "    b : BUTTON '<img src=x onerror=alert(2)>%s'\n"
             "        AT '\"onload=\"alert(3)';\n"
             "    halt : STOP '\\\\\"];}}</title><script>\\n%s'\n"
             "        CONTACTS ok OPENING;\n"
             "    m : MOTOR '\xe2\x80\xaeright-to-left\xe2\x81\xa7 \x01 "
             "\xff\xfe';\n"
             "  END_CONTROLS\n"
             "  MECHANISM M VAR pos : (Near, Far); END_VAR\n"
             "    MOVES pos FROM Near TO Far WHILE m;\n  END_MECHANISM\n"
             "  HAZARDS H1 '</style></head><script>'; END_HAZARDS\n"
             "  REQUIREMENTS\n    R1 ']]><!-- <script>' AGAINST H1\n"
             "       REFERS TO 'javascript:alert(4)' : NEVER m;\n"
             "  END_REQUIREMENTS\nEND_REVIEW\n", title, "<b>&\x22$'");
    shell_put(folder, "evil.review", review);
    free(review);
    free(title);
}

static void names_are_inert(void **state)
{
    (void)state;
    put_hostile();
    assert_int_equal(shell_run("%s report --loaded '</p><script>&' --with "
                               "faults,unguarded -o %s/evil.html "
                               "%s/evil.review",
                               shell_program(), folder, folder), 1);
    assert_string_equal(looked_at("evil.html").title,
                        "Record of a check: Evil, "
                        "x\"><script>alert(1)</script>&amp;");
    page_holds("evil.html", "<bdi>&lt;/p&gt;&lt;script&gt;&amp;</bdi>", true);
}

/* The same for every picture. */
static void pictures_are_inert(void **state)
{
    static const char *const pictures[] = {
        "draw --stops", "draw --signal halt", "draw --signal m",
        "draw --signal halt,m", "draw --by pos,b", "draw --sequence R1",
        "effects"};

    (void)state;
    put_hostile();
    for (size_t i = 0; i < sizeof pictures / sizeof *pictures; i++) {
        assert_int_equal(shell_run("%s %s -o %s/evil.svg %s/evil.review",
                                   shell_program(), pictures[i], folder,
                                   folder), 0);
        looked_at("evil.svg");
    }
}

/* DOT is read back by the library that lays it out: as many boxes. */
static void dot_is_inert(void **state)
{
    (void)state;
    put_hostile();
    assert_int_equal(shell_run("%s draw --signal halt --as dot %s/evil.review",
                               shell_program(), folder), 0);
    shell_expect("\\\\\\\\\\\"];}}</title><script>\\\\n");
    assert_int_equal(shell_run("%s draw --signal halt --as svg %s/evil.review "
                               "| grep -c '<g id=\"p[0-9]*\" class=\"node\"'",
                               shell_program(), folder), 0);
    shell_expect("4\n"); /* stop, contact, motor, part */
}

/* What a record may hold on request, of a machine with one valve and one
 * fault; and the folder that repeats it. */
static void put_small(void)
{
    shell_put(folder, "small.st",
              "PROGRAM Main\nVAR_INPUT b, ok : BOOL; END_VAR\n"
              "VAR_OUTPUT m : BOOL; END_VAR\nm := b AND ok;\n"
              "END_PROGRAM\n");
    shell_put(folder, "old.st",
              "PROGRAM Main\nVAR_INPUT b, ok : BOOL; END_VAR\n"
              "VAR_OUTPUT m : BOOL; END_VAR\nm := b;\nEND_PROGRAM\n");
    shell_put(folder, "small.review",
              "REVIEW Small 'invented'\n  CONTROL 'small.st';\n"
              "  SCAN T#100ms;\n  CONTROLS\n    b : BUTTON 'go';\n"
              "    halt : STOP 'halt' CONTACTS ok OPENING;\n"
              "    m : MOTOR 'motor';\n  END_CONTROLS\n"
              "  FAULTS F1 'halt welded' : ok DOES NOT OPEN; END_FAULTS\n"
              "  REQUIREMENTS\n"
              "    R1 'halt' : NEVER m AND PRESSED halt;\n"
              "  END_REQUIREMENTS\nEND_REVIEW\n");
}

static void parts_on_request(void **state)
{
    (void)state;
    put_small();
    assert_int_equal(shell_run("%s report --with faults,unguarded --signed "
                               "%s/old.st --loaded 'read back, sheet 7' -o "
                               "%s/small.html %s/small.review",
                               shell_program(), folder, folder, folder), 0);
    looked_at("small.html");
    page_holds("small.html", "LEFT OUT OF THIS RECORD", false);
    page_holds("small.html", "halt welded", true);
    page_holds("small.html", "They do NOT do the same.", true);
    page_holds("small.html", "What each requirement notices", true);
    page_holds("small.html", "A wrong change that it catches: ", true);
    page_holds("small.html", "With the text so changed: broken.", true);
    page_holds("small.html", "<bdi>read back, sheet 7</bdi>", true);
}

static void what_goes_together(void **state)
{
    (void)state;
    put_small();
    assert_int_equal(shell_run("%s report --with fault -o %s/no.html "
                               "%s/small.review 2>&1",
                               shell_program(), folder, folder), 2);
    shell_expect("--with takes faults and unguarded");
    assert_int_equal(shell_run("%s report --folder %s -o %s/no.html "
                               "%s/small.review 2>&1", shell_program(),
                               folder, folder, folder), 2);
    assert_int_equal(shell_run("%s report --folder %s %s/small.review 2>&1",
                               shell_program(), folder, folder), 2);
    shell_expect("is there already");
}

/* Repeated from the folder alone, all verdicts are the same. */
static void a_folder_repeats_it(void **state)
{
    (void)state;
    put_small();
    assert_int_equal(shell_run("mkdir -p %s/in/models && cp %s/small.st "
                               "%s/in/small.st && sed s,small.st,../small.st, "
                               "%s/small.review > %s/in/models/s.review",
                               folder, folder, folder, folder, folder), 0);
    assert_int_equal(shell_run("%s report --signed %s/old.st --folder "
                               "%s/kept %s/in/models/s.review",
                               shell_program(), folder, folder, folder), 0);
    assert_int_equal(shell_run("cat %s/kept/README.txt", folder), 0);
    shell_expect("  keepclear report --signed signed/old.st -o again.html "
                 "texts/models/s.review");
    assert_int_equal(shell_run("cd %s/kept && test -f texts/small.st && "
                               "test ! -e %s/kept.unfinished && "
                               "%s report --signed signed/old.st --folder "
                               "again texts/models/s.review && grep -v 'called as\\|^  old' "
                               "record.txt > a && grep -v "
                               "'called as\\|^  old' again/record.txt > b && cmp a b && "
                               "sha256sum texts/small.st | cut -c1-64 | "
                               "grep -q -f - README.txt",
                               folder, folder, shell_program()), 0);
    assert_int_equal(shell_run("cat %s/kept/record.txt", folder), 0);
    shell_expect("R1    kept");
    shell_expect("off: program");
    shell_expect("left out of this record");
}

/* Every page that is printed says that it is no proof. */
static void each_page_says_so(void **state)
{
    (void)state;
    page_holds("limit.html", "@top-right { font-weight: bold; content: "
                             "\"NOT\\000020FINISHED", true);
    page_holds("kept.html", "@top-right { font-weight: bold; content: \"\"",
               true);
}

/* A path that ends at a run-time error is no proof that nothing moves behind
 * it: the first page says so. */
static void cut_short_by_an_error(void **state)
{
    (void)state;
    shell_put(folder, "cut.st",
              "PROGRAM Main\nVAR_INPUT b, halt_ok : BOOL; END_VAR\n"
              "VAR_OUTPUT m : BOOL; END_VAR\n"
              "VAR n : INT (0 .. 3); END_VAR\n"
              "IF b THEN n := n + 1; END_IF;\nm := n = 3 AND b;\n"
              "END_PROGRAM\n");
    shell_put(folder, "cut.review",
              "REVIEW Cut 'invented'\n  CONTROL 'cut.st';\n"
              "  SCAN T#100ms;\n  CONTROLS\n    b : BUTTON 'go';\n"
              "    halt_ok : STOP 'halt' CONTACTS OPENING;\n"
              "    m : MOTOR 'motor';\n  END_CONTROLS\n"
              "  REQUIREMENTS\n    R1 'r' : NEVER m AND NOT b;\n"
              "  END_REQUIREMENTS\nEND_REVIEW\n");
    assert_int_equal(shell_run("%s report -o %s/cut.html %s/cut.review",
                               shell_program(), folder, folder), 1);
    looked_at("cut.html");
    page_holds("cut.html", "up to a run-time error or a dead end only", true);
    page_holds("cut.html", "what comes behind was not looked at", true);
    page_holds("cut.html", "<b><bdi>halt, pressed</bdi></b> <bdi>motor"
                           "</bdi>", true);
}

static void needs_a_review(void **state)
{
    (void)state;
    assert_int_equal(shell_run("%s report -o %s/no.html "
                               "models/tailgate/tailgate.st 2>&1",
                               shell_program(), folder), 2);
    shell_expect("a record is made of a review text");
    assert_int_equal(shell_run("test -e %s/no.html", folder), 1);
}

static int make_folder(void **state)
{
    (void)state;
    return shell_folder(folder);
}

static int remove_folder(void **state)
{
    (void)state;
    return shell_remove(folder);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(of_a_machine),
        cmocka_unit_test(same_bytes),
        cmocka_unit_test(of_a_broken_one),
        cmocka_unit_test(unfinished_is_no_proof),
        cmocka_unit_test(each_page_says_so),
        cmocka_unit_test(names_are_inert),
        cmocka_unit_test(pictures_are_inert),
        cmocka_unit_test(dot_is_inert),
        cmocka_unit_test(parts_on_request),
        cmocka_unit_test(what_goes_together),
        cmocka_unit_test(a_folder_repeats_it),
        cmocka_unit_test(cut_short_by_an_error),
        cmocka_unit_test(needs_a_review),
    };

    return cmocka_run_group_tests_name("report", tests, make_folder,
                                       remove_folder);
}
