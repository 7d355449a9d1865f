/* Timing diagrams: well-formed whatever the user wrote, the same bytes each
 * time, long sequences cut, text within its columns. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <ctype.h>
#include <string.h>

#include <cmocka.h>

#include "base/arena.h"
#include "base/text.h"
#include "base/utf8.h"
#include "present/lanes.h"
#include "present/timing.h"
#include "present/timing_text.h"
#include "study/outing.h"
#include "study/shown.h"
#include "tests/support/checked.h"

static const char control[] =
    "PROGRAM Main\n"
    "VAR_INPUT go, halt_ok : BOOL; load : INT; END_VAR\n"
    "VAR_OUTPUT run, bell : BOOL; END_VAR\n"
    "VAR stage : (Idle, Busy); count : INT (0 .. 20); END_VAR\n"
    "  run := (go OR run) AND halt_ok AND load < 500;\n"
    "  IF run THEN stage := Busy; ELSE stage := Idle; END_IF;\n"
    "  IF run AND count < 20 THEN count := count + 1; END_IF;\n"
    "END_PROGRAM\n";

static const char review[] =
    "REVIEW Hoist 'a hoist'\n"
    "  SCAN T#100ms; POWER MAY FAIL;\n"
    "  CONTROLS\n"
    "    go : BUTTON 'go <b>&\"$'$N a title that is far too long for one "
    "lane and for two';\n"
    "    halt_ok : STOP 'stop button' CONTACTS OPENING;\n"
    "    run : MOTOR '\xff wrong bytes \x01 in it';\n"
    "    bell : HORN 'bell';\n"
    "  END_CONTROLS\n"
    "  MECHANISM Hook\n"
    "    VAR place : (Low, Middle, High) := Low; END_VAR\n"
    "    MOVES place FROM Low TO Middle WHILE run;\n"
    "  END_MECHANISM\n"
    "  FAULTS F1 'wire touches the supply' : bell SHORT TO SUPPLY;\n"
    "  END_FAULTS\n"
    "END_REVIEW\n";

struct drawn {
    struct checked text;
    struct outing outing;
    struct lanes lanes;
    struct timing timing;
};

static void run(struct drawn *d, uint32_t scans)
{
    uint32_t which;

    while (scans-- > 0)
        assert_int_equal(outing_run(&d->outing, NULL, &which),
                         OUTING_RAN);
}

/* The story that is drawn, then idle scans up to `scans`. */
static void begin(struct drawn *d, uint32_t scans, const char *by)
{
    struct shown_list shown;
    const struct model *model;

    checked_init(&d->text, control, review);
    model = d->text.model;
    assert_non_null(model);
    outing_open(&d->outing, d->text.arena, model);
    run(d, 1);
    outing_set(&d->outing, model->controls[0].choice, 1);
    run(d, 2);
    outing_move(&d->outing,
                 (uint32_t)(checked_slot(&d->text, "place") - model->slots),
                 1);
    run(d, 1);
    outing_power(&d->outing, true);
    run(d, 1);
    outing_power(&d->outing, false);
    outing_fault(&d->outing, 0);
    run(d, scans - 5);
    shown = shown_read(d->text.arena, d->text.names, model, by);
    assert_null(shown.failure);
    d->lanes = lanes_make(d->text.arena, &d->outing.findings,
                          &d->outing.replay, &shown);
    d->timing = (struct timing){.lanes = &d->lanes,
                                .title = "R1 <&> \xff",
                                .what = "an example",
                                .at_end = "done & over"};
}

static void end(struct drawn *d)
{
    outing_close(&d->outing);
    checked_release(&d->text);
}

static const struct lane *lane(const struct drawn *d, const char *name)
{
    for (uint32_t i = 0; i < d->lanes.n; i++)
        if (!strcmp(d->lanes.at[i].name, name))
            return &d->lanes.at[i];
    return NULL;
}

static unsigned lanes_named(const struct drawn *d, const char *name)
{
    unsigned n = 0;

    for (uint32_t i = 0; i < d->lanes.n; i++)
        n += !strcmp(d->lanes.at[i].name, name);
    return n;
}

static void lanes_are_what_took_part(void **state)
{
    struct drawn d;

    (void)state;
    begin(&d, 7, "stage,load,halt_ok,place");
    assert_int_equal(lanes_named(&d, "place"), 1); /* chosen or not */
    assert_non_null(lane(&d, "power"));
    assert_non_null(lane(&d, "F1"));
    assert_non_null(lane(&d, "go"));
    assert_int_equal(lane(&d, "run")->values[0], 0);
    assert_int_equal(lane(&d, "run")->values[1], 1);
    assert_int_equal(lane(&d, "run")->values[4], 0); /* dark */
    assert_int_equal(lane(&d, "bell")->values[5], 1); /* by the fault */
    assert_int_equal(lane(&d, "stage")->values[1], 1);
    assert_int_equal(lane(&d, "place")->n_levels, 2);
    assert_string_equal(d.lanes.never_on, "");
    end(&d);
}

/* Every byte of text is UTF-8 without control characters, tags are closed in
 * order, and a & begins an entity. */
static void well_formed(const char *at, size_t n)
{
    const char *open[32];
    size_t depth = 0;

    for (size_t i = 0; i < n;) {
        struct utf8_char c = utf8_next(at + i, n - i);

        assert_true(c.valid && (c.code >= 0x20 || c.code == '\n'));
        if (at[i] == '&')
            assert_true(!strncmp(at + i, "&amp;", 5) ||
                        !strncmp(at + i, "&lt;", 4) ||
                        !strncmp(at + i, "&quot;", 6) ||
                        !strncmp(at + i, "&gt;", 4));
        if (at[i] == '<' && at[i + 1] == '/') {
            size_t length = strcspn(at + i + 2, ">");

            assert_true(depth > 0);
            depth--;
            assert_true(!strncmp(open[depth], at + i + 2, length));
        } else if (at[i] == '<' && at[i + 1] != '?') {
            const char *close = strchr(at + i, '>');

            assert_true(isalpha((unsigned char)at[i + 1]));
            assert_non_null(close);
            if (close[-1] != '/') {
                assert_true(depth < 32);
                open[depth++] = at + i + 1;
            }
        }
        i += c.bytes;
    }
    assert_int_equal(depth, 0);
}

static void picture_is_well_formed(void **state)
{
    static const struct timing_mark marks[] = {{1, "run", 1}, {4, NULL, 2},
                                               {999, "run", 3}};
    struct drawn d;
    struct text svg = {0};

    (void)state;
    begin(&d, 7, "stage,count,load");
    d.timing.marks = marks;
    d.timing.n_marks = 3;
    timing_svg(&svg, &d.timing);
    well_formed(text_str(&svg), svg.n);
    assert_non_null(strstr(text_str(&svg), "R1 &lt;&amp;&gt; ?"));
    assert_non_null(strstr(text_str(&svg), "done &amp; over"));
    assert_non_null(strstr(text_str(&svg), ">Middle<"));
    assert_non_null(strstr(text_str(&svg), "class=\"number\">1<"));
    assert_non_null(strstr(text_str(&svg), "class=\"number\">2<"));
    assert_null(strstr(text_str(&svg), "class=\"number\">3<"));
    text_release(&svg);
    end(&d);
}

static void same_bytes(void **state)
{
    struct drawn a, b;
    struct text first = {0}, second = {0};

    (void)state;
    begin(&a, 30, "count");
    begin(&b, 30, "count");
    timing_svg(&first, &a.timing);
    timing_svg(&second, &b.timing);
    assert_int_equal(first.n, second.n);
    assert_memory_equal(first.at, second.at, first.n);
    text_release(&first);
    text_release(&second);
    end(&a);
    end(&b);
}

static void long_ones_are_cut(void **state)
{
    struct drawn d;
    struct text svg = {0}, text = {0};

    (void)state;
    begin(&d, 75, "count");
    assert_int_equal(d.lanes.n_scans, LANES_MOST_SCANS);
    assert_int_equal(d.lanes.first, 15);
    timing_svg(&svg, &d.timing);
    well_formed(text_str(&svg), svg.n);
    assert_non_null(strstr(text_str(&svg), ">two<"));
    assert_non_null(strstr(text_str(&svg), "The first 15 scans are left"));
    timing_text(&text, &d.timing, true);
    assert_non_null(strstr(text_str(&text), "the first 15 scans are left"));
    assert_non_null(strstr(text_str(&text), "at 7.4 s: done & over"));
    text_release(&svg);
    text_release(&text);
    end(&d);
}

static void text_fits(void **state)
{
    struct drawn d;

    (void)state;
    for (uint32_t scans = 6; scans < 70; scans += 9) {
        struct text text = {0};
        const char *at;

        begin(&d, scans, "stage,count,load");
        timing_text(&text, &d.timing, false);
        for (at = text_str(&text); *at; at += strcspn(at, "\n") + 1)
            assert_true(text_columns(at, strcspn(at, "\n")) <= 100);
        text_release(&text);
        end(&d);
    }
}

static void text_as_drawn(void **state)
{
    struct drawn d;
    struct text text = {0};

    (void)state;
    begin(&d, 6, "stage");
    timing_text(&text, &d.timing, true);
    assert_non_null(strstr(text_str(&text),
        "power                         ################....####\n"
        "F1: wire touches the supply   ....................####\n"));
    assert_non_null(strstr(text_str(&text),
        "stage Busy                    ....############....####\n"));
    text_release(&text);
    end(&d);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(lanes_are_what_took_part),
        cmocka_unit_test(picture_is_well_formed),
        cmocka_unit_test(same_bytes),
        cmocka_unit_test(long_ones_are_cut),
        cmocka_unit_test(text_fits),
        cmocka_unit_test(text_as_drawn),
    };

    return cmocka_run_group_tests_name("timing", tests, NULL, NULL);
}
