/* Two-hand control, types I, II and III.
 *
 * Source of what is asked: characteristics 5.2 to 5.4, 5.7 and 5.8 of ISO
 * 13851:2019 as allotted to the types (allotment from memory): both hands,
 * held; letting go of either ends it (all types); again only after both were
 * let go (II, III); the second press at most 0.5 s after the first (III).
 * "At most": 0.5 s itself counts, from memory.  The traces follow from these
 * sentences and were checked by hand.
 *
 * Times are sampled: a scan of 100 ms sees 500 ms exactly, and a press at
 * 501 ms at 600 ms.  Where the limit itself is tried a scan of 1 ms is used. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <string.h>

#include <cmocka.h>

#include "base/os.h"
#include "base/text.h"
#include "tests/support/timeline.h"
#include "tests/support/trial.h"

enum { MOST_SPANS = 5, LONGEST = 1300 };

/* Pressed, or on, from .. to, ms; to 0: for good. */
struct span_ms {
    int from, to;
};

/* One row of the table.  `rest`: one scan with both let go before 0 ms. */
struct row {
    const char *title;
    int scan, end;
    bool rest;
    struct span_ms b1[MOST_SPANS], b2[MOST_SPANS];
    struct span_ms three[MOST_SPANS], two[MOST_SPANS]; /* out, type III, II */
    int apart; /* ms at which type II is first on and III is not; 0: never */
};

#define FOR_GOOD(from) {{from, 0}}
#define NEVER_ON {{-1, -1}}

static const struct row rows[] = {
    {"1, 500 ms", 1, 600, true, FOR_GOOD(0), FOR_GOOD(500),
     FOR_GOOD(500), FOR_GOOD(500), 0},
    {"1, 500 ms, scan 100 ms", 100, 800, true, FOR_GOOD(0), FOR_GOOD(500),
     FOR_GOOD(500), FOR_GOOD(500), 0},
    {"1, the other hand first", 1, 600, true, FOR_GOOD(500), FOR_GOOD(0),
     FOR_GOOD(500), FOR_GOOD(500), 0},
    {"2, 501 ms", 1, 700, true, FOR_GOOD(0), FOR_GOOD(501),
     NEVER_ON, FOR_GOOD(501), 501},
    {"2, 501 ms is seen at 600 ms", 100, 900, true, FOR_GOOD(0),
     FOR_GOOD(501), NEVER_ON, FOR_GOOD(600), 600},
    {"2, one let go does not help, both do", 1, 1200, true,
     {{0, 900}, {1000, 0}}, {{501, 700}, {800, 900}, {1000, 0}},
     FOR_GOOD(1000), {{501, 700}, {1000, 0}}, 501},
    {"3", 100, 1400, true, {{0, 900}, {1000, 0}}, FOR_GOOD(100),
     {{100, 900}}, {{100, 900}}, 0},
    {"4", 100, 1700, true, {{0, 900}, {1000, 1200}, {1300, 0}},
     {{100, 1200}, {1300, 0}}, {{100, 900}, {1300, 0}},
     {{100, 900}, {1300, 0}}, 0},
    {"5, both", 100, 1000, false, FOR_GOOD(0), FOR_GOOD(0), NEVER_ON,
     NEVER_ON, 0},
    {"5, one, then the other, then both anew", 100, 1000, false,
     {{0, 600}, {700, 0}}, {{300, 600}, {700, 0}}, FOR_GOOD(700),
     FOR_GOOD(700), 0},
    {"6", 50, 800, true, {{0, 200}, {300, 0}}, FOR_GOOD(350), FOR_GOOD(350),
     FOR_GOOD(350), 0},
    {"7", 100, 1000, false, FOR_GOOD(0),
     {{100, 200}, {300, 500}, {600, 700}, {800, 0}}, NEVER_ON, NEVER_ON, 0},
    {"10 s", 100, 10500, true, FOR_GOOD(0), FOR_GOOD(10000), NEVER_ON,
     FOR_GOOD(10000), 10000},
};

/* Two texts of each type: one written for this test, one the ready-made
 * piece with a program around it. */
enum source { WRITTEN_HERE, READY_MADE, SOURCES };

static void read_control(struct text *text, enum source source, char type)
{
    struct text path = {0};

    if (source == WRITTEN_HERE)
        text_printf(&path, "tests/outside/texts/two_hand_%c.st", type);
    else
        text_printf(&path, "models/parts/two_hand_%c/two_hand_%c.st", type,
                    type);
    assert_int_equal(os_read_file(text_str(&path), 1 << 16, text), OS_OK);
    if (source == READY_MADE)
        text_printf(text, "PROGRAM Main VAR_INPUT b1, b2 : BOOL; END_VAR\n"
                    "VAR_OUTPUT out : BOOL; END_VAR\n"
                    "VAR part : TwoHandType%s; END_VAR\n"
                    "part(left := b1, right := b2); out := part.out;\n"
                    "END_PROGRAM\n", type == '2' ? "II" : "III");
    text_release(&path);
}

static bool within(const struct span_ms *spans, int at)
{
    for (unsigned i = 0; i < MOST_SPANS; i++)
        if ((i == 0 || spans[i].from > 0) && at >= spans[i].from &&
            (at < spans[i].to || spans[i].to == 0))
            return true;
    return false;
}

static void draw(char *line, const struct row *row,
                 const struct span_ms *spans)
{
    int n = 0;

    if (row->rest)
        line[n++] = '_';
    for (int at = 0; at < row->end; at += row->scan) {
        assert_true(n + 1 < LONGEST);
        line[n++] = within(spans, at) ? '-' : '_';
    }
    line[n] = '\0';
}

static uint32_t scans_until(const struct row *row, int at)
{
    return (uint32_t)(row->rest + at / row->scan + 1);
}

/* broken: the ms at which the output is first other than drawn, -1 never. */
static void judge_row(const struct row *row, const char *control,
                      const struct span_ms *out, int broken)
{
    char b1[LONGEST], b2[LONGEST], shown[LONGEST];
    const struct timeline timeline = {
        row->title, control, (uint32_t)row->scan,
        {{"b1", b1}, {"b2", b2}}, {{"out", shown}}};

    draw(b1, row, row->b1);
    draw(b2, row, row->b2);
    draw(shown, row, out);
    if (broken < 0)
        timeline_holds(&timeline);
    else
        timeline_breaks(&timeline, scans_until(row, broken));
}

static void traces(enum source source)
{
    struct text two = {0}, three = {0};

    read_control(&two, source, '2');
    read_control(&three, source, '3');
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        judge_row(&rows[i], text_str(&three), rows[i].three, -1);
        judge_row(&rows[i], text_str(&two), rows[i].two, -1);
        if (rows[i].apart)
            judge_row(&rows[i], text_str(&two), rows[i].three,
                      rows[i].apart);
    }
    text_release(&two);
    text_release(&three);
}

static void test_traces(void **unused)
{
    (void)unused;
    traces(WRITTEN_HERE);
}

static void test_traces_of_the_pieces(void **unused)
{
    (void)unused;
    traces(READY_MADE);
}

/* ---- requirements, with hands that do what they like ---- */

#define BEGIN                                                                 \
    "REVIEW TwoHand 'two-hand control'\n  SCAN T#100ms;\n"                    \
    "  POWER MAY FAIL;\n"                                                     \
    "  CONTROLS b1 : BUTTON; b2 : BUTTON; out : VALVE; END_CONTROLS\n"

static const char review[] = BEGIN
    "  REQUIREMENTS\n"
    "    Held : out ONLY IF b1 AND b2;\n"
    "    Again : AFTER FALLING out AND (b1 OR b2),\n"
    "            NO out UNTIL NOT b1 AND NOT b2;\n"
    "    Start : NEVER out BY ITSELF, STARTED BY b1, b2;\n"
    "    TooLate : NEVER RISING out AND ((b1 TRUE FOR T#600ms SAMPLED)\n"
    "                                 OR (b2 TRUE FOR T#600ms SAMPLED));\n"
    "    AtLimit : NEVER RISING out AND ((b1 TRUE FOR T#500ms SAMPLED)\n"
    "                                    OR (b2 TRUE FOR T#500ms SAMPLED));\n"
    "    VeryLate : NEVER RISING out AND ((b1 TRUE FOR T#10s SAMPLED)\n"
    "                                     OR (b2 TRUE FOR T#10s SAMPLED));\n"
    "    Alive : POSSIBLE out;\n"
    "  END_REQUIREMENTS\nEND_REVIEW\n";

/* Per requirement: the length of the shortest way to break it, 0: kept. */
struct expected {
    uint32_t again, start, late, at_limit, very_late, alive;
};

static void judge(struct trial *t, const char *requirement, uint32_t length)
{
    trial_judges(t, requirement, length ? VERDICT_BROKEN : VERDICT_KEPT,
                 length);
}

static void judged(const char *control, struct expected expected)
{
    struct trial t;

    trial_open(&t, control, review);
    judge(&t, "Held", 0);
    judge(&t, "Again", expected.again);
    judge(&t, "Start", expected.start);
    judge(&t, "TooLate", expected.late);
    judge(&t, "AtLimit", expected.at_limit);
    judge(&t, "VeryLate", expected.very_late);
    trial_judges(&t, "Alive", VERDICT_KEPT, expected.alive);
    trial_close(&t);
}

/* Type I: on again after one was let go (scan 3); on at power-up for hands
 * that were there before; the second press whenever it likes. */
static void test_type_one(void **unused)
{
    (void)unused;
    judged("PROGRAM Main VAR_INPUT b1, b2 : BOOL; END_VAR\n"
           "VAR_OUTPUT out : BOOL; END_VAR\n"
           "out := b1 AND b2; END_PROGRAM\n",
           (struct expected){3, 1, 7, 6, 101, 1});
}

/* Type II: one scan with both let go, the first press in scan 2, the second
 * 600 ms or 10 s later.  Type III: 500 ms later, and never after that. */
static void test_types_two_and_three(void **unused)
{
    (void)unused;
    for (enum source source = 0; source < SOURCES; source++) {
        struct text two = {0}, three = {0};

        read_control(&two, source, '2');
        judged(text_str(&two), (struct expected){0, 0, 8, 7, 102, 2});
        read_control(&three, source, '3');
        judged(text_str(&three), (struct expected){0, 0, 0, 7, 0, 2});
        text_release(&two);
        text_release(&three);
    }
}

/* One button tied down from power-up on, the other free: row 7 for every way
 * of tapping. */
static void tied_down(enum source source)
{
    static const char tied[] =
        "REVIEW TiedDown SCAN T#100ms;\n"
        "  FIXED b1 := TRUE BECAUSE 'tied down';\n"
        "  CONTROLS b2 : BUTTON; out : VALVE; END_CONTROLS\n"
        "  REQUIREMENTS Off : NEVER out; END_REQUIREMENTS\nEND_REVIEW\n";

    for (char type = '2'; type <= '3'; type++) {
        struct text control = {0};
        struct trial t;

        read_control(&control, source, type);
        trial_open(&t, text_str(&control), tied);
        trial_judges(&t, "Off", VERDICT_KEPT, 0);
        trial_close(&t);
        text_release(&control);
    }
}

static void test_tied_down(void **unused)
{
    (void)unused;
    tied_down(WRITTEN_HERE);
    tied_down(READY_MADE);
}

int main(void)
{
    static const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_traces),
        cmocka_unit_test(test_traces_of_the_pieces),
        cmocka_unit_test(test_type_one),
        cmocka_unit_test(test_types_two_and_three),
        cmocka_unit_test(test_tied_down),
    };

    return cmocka_run_group_tests_name("two hands", tests, NULL, NULL);
}
