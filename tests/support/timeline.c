#include "tests/support/timeline.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <string.h>

#include <cmocka.h>

#include "base/text.h"
#include "tests/support/trial.h"

/* What the text shows here: TRUE is 1, a number of scans a time. */
static int64_t drawn(const struct timeline *timeline, char mark)
{
    if (mark == '-' || mark == '_')
        return mark == '-';
    assert_true(mark >= '0' && mark <= '9');
    return (mark - '0') * (int64_t)timeline->scan_ms;
}

static size_t scans(const struct timeline *timeline)
{
    size_t n = strlen(timeline->outputs[0].line);

    for (unsigned i = 0; i < TIMELINE_ROWS; i++) {
        const struct timeline_row *in = &timeline->inputs[i];
        const struct timeline_row *out = &timeline->outputs[i];

        assert_true(!in->name || strlen(in->line) == n);
        assert_true(!out->name || strlen(out->line) == n);
    }
    assert_true(n > 0);
    return n;
}

/* ---- by hand ---- */

static void begin(const struct timeline *timeline, struct text *review)
{
    text_printf(review, "REVIEW Diagram\n  SCAN TIME#%ums;\n",
                (unsigned)timeline->scan_ms);
}

static void one_scan(const struct timeline *timeline, struct trial *t,
                     size_t at)
{
    for (unsigned i = 0; i < TIMELINE_ROWS && timeline->inputs[i].name; i++)
        text_model_choose(&t->text, timeline->inputs[i].name,
                          timeline->inputs[i].line[at] == '-');
    trial_scan(t);
    for (unsigned i = 0; i < TIMELINE_ROWS && timeline->outputs[i].name; i++) {
        const struct timeline_row *out = &timeline->outputs[i];
        struct text path = {0};
        int64_t value, wanted = drawn(timeline, out->line[at]);

        text_printf(&path, "Main.%s", out->name);
        value = trial_now(t, text_str(&path));
        text_release(&path);
        if (value != wanted)
            fail_msg("%s: %s is %d in scan %d, not %d", timeline->title,
                     out->name, (int)value, (int)at + 1, (int)wanted);
    }
}

static void run_by_hand(const struct timeline *timeline)
{
    struct text review = {0};
    struct trial t;

    begin(timeline, &review);
    text_add(&review, "  CONTROLS\n");
    for (unsigned i = 0; i < TIMELINE_ROWS && timeline->inputs[i].name; i++)
        text_printf(&review, "    %s : BUTTON;\n", timeline->inputs[i].name);
    text_add(&review, "  END_CONTROLS\nEND_REVIEW\n");
    trial_open(&t, timeline->control, text_str(&review));
    for (size_t at = 0; at < scans(timeline); at++)
        one_scan(timeline, &t, at);
    trial_close(&t);
    text_release(&review);
}

/* ---- as a requirement ---- */

/* Scans in which a line shows the mark, as an expression. */
static void when(struct text *out, const char *line, char mark)
{
    const char *join = "";

    text_add(out, "(");
    for (size_t at = 0, next; line[at]; at = next) {
        for (next = at + 1; line[next] && line[next] == line[at]; next++)
            continue;
        if (line[at] != mark)
            continue;
        text_printf(out, "%stick >= %u AND tick < %u", join, (unsigned)at + 1,
                    (unsigned)next + 1);
        join = " OR ";
    }
    text_add(out, *join ? ")" : "FALSE)");
}

/* The output is other than drawn. */
static void differs(struct text *out, const struct timeline *timeline,
                    const struct timeline_row *row)
{
    const char *join = "";

    text_printf(out, "    off_%s := ", row->name);
    if (strspn(row->line, "-_") == strlen(row->line)) {
        text_printf(out, "tick <= %u AND Main.%s <> ",
                    (unsigned)strlen(row->line), row->name);
        when(out, row->line, '-');
        text_add(out, ";\n");
        return;
    }
    for (char mark = '0'; mark <= '9'; mark++) {
        if (!strchr(row->line, mark))
            continue;
        text_printf(out, "%sMain.%s <> TIME#%dms AND ", join, row->name,
                    (int)drawn(timeline, mark));
        when(out, row->line, mark);
        join = "\n      OR ";
    }
    text_add(out, ";\n");
}

static void script(const struct timeline *timeline, struct text *review)
{
    unsigned n = (unsigned)scans(timeline);

    begin(timeline, review);
    text_add(review, "  CONTROLS\n");
    for (unsigned i = 0; i < TIMELINE_ROWS && timeline->inputs[i].name; i++) {
        text_printf(review, "    %s : SENSOR ON WHEN ",
                    timeline->inputs[i].name);
        when(review, timeline->inputs[i].line, '-');
        text_add(review, ";\n");
    }
    text_printf(review, "  END_CONTROLS\n  MECHANISM Script\n"
                "    VAR tick : INT (1 .. %u) := 1; END_VAR\n"
                "    IF tick < %u THEN tick := tick + 1; END_IF;\n"
                "  END_MECHANISM\n", n + 1, n + 1);
}

/* Behind the end of the diagram nothing is drawn. */
static void judge(const struct timeline *timeline, struct text *review)
{
    text_add(review, "  RECORDER Drawn\n    VAR\n");
    for (unsigned i = 0; i < TIMELINE_ROWS && timeline->outputs[i].name; i++)
        text_printf(review, "      off_%s : BOOL;\n",
                    timeline->outputs[i].name);
    text_add(review, "    END_VAR\n");
    for (unsigned i = 0; i < TIMELINE_ROWS && timeline->outputs[i].name; i++)
        differs(review, timeline, &timeline->outputs[i]);
    text_add(review, "  END_RECORDER\n  REQUIREMENTS\n");
    for (unsigned i = 0; i < TIMELINE_ROWS && timeline->outputs[i].name; i++)
        text_printf(review, "    As_%s : NEVER off_%s;\n",
                    timeline->outputs[i].name, timeline->outputs[i].name);
    text_add(review, "  END_REQUIREMENTS\nEND_REVIEW\n");
}

static void open_script(const struct timeline *timeline, struct trial *t)
{
    struct text review = {0};

    script(timeline, &review);
    judge(timeline, &review);
    trial_open(t, timeline->control, text_str(&review));
    text_release(&review);
}

static void ask(const struct timeline *timeline)
{
    struct trial t;

    open_script(timeline, &t);
    trial_explore(&t);
    trial_enumerated(&t);
    for (uint32_t r = 0; r < t.text.model->n_requirements; r++)
        trial_judges(&t, t.text.model->requirements[r].name->spelling,
                     VERDICT_KEPT, 0);
    trial_close(&t);
}

void timeline_holds(const struct timeline *timeline)
{
    run_by_hand(timeline);
    ask(timeline);
}

void timeline_breaks(const struct timeline *timeline, uint32_t scan)
{
    struct text asked = {0};
    struct trial t;

    open_script(timeline, &t);
    text_printf(&asked, "As_%s", timeline->outputs[0].name);
    trial_judges(&t, text_str(&asked), VERDICT_BROKEN, scan);
    text_release(&asked);
    trial_close(&t);
}
