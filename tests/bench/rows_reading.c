/* Rows about the reading of long control texts, all invented. */
#include <stdio.h>
#include <stdlib.h>

#include "base/arena.h"
#include "base/text.h"
#include "study/load.h"
#include "tests/bench/clock.h"
#include "tests/bench/folder.h"
#include "tests/bench/report.h"
#include "tests/bench/rows.h"

enum { LINES = 100000, SHAPES = 10 };

static const char heading[] =
    "(* Block %u of a text that is long, invented. *)\n"
    "FUNCTION_BLOCK Block_%u\n"
    "VAR_INPUT\n"
    "  enable, stop_1, stop_2 : BOOL; // inputs\n"
    "  speed : INT := 5;\n"
    "END_VAR\n"
    "VAR_OUTPUT\n"
    "  run : BOOL;\n"
    "  count : INT;\n"
    "END_VAR\n"
    "VAR\n"
    "  delay : TON;\n"
    "  edge : R_TRIG;\n"
    "  latch : BOOL;\n"
    "END_VAR\n";

static const char shape[] =
    "  edge(CLK := enable AND NOT stop_%u);\n"
    "  IF edge.Q AND (speed > %u OR latch) THEN\n"
    "    latch := enable AND NOT (stop_1 OR stop_2);\n"
    "    count := count + %u;\n"
    "  ELSIF stop_1 THEN\n"
    "    latch := FALSE;\n"
    "    count := 0;\n"
    "  END_IF\n"
    "  delay(IN := latch, PT := T#%ums);\n";

static unsigned count_lines(const struct text *text, size_t *at)
{
    unsigned n = 0;

    for (; *at < text->n; ++*at)
        n += text->at[*at] == '\n';
    return n;
}

/* Blocks of about a hundred lines, and a program that calls each of them. */
static void write_text(const char *name, unsigned lines)
{
    struct text text = {0}, calls = {0};
    unsigned block = 0, n = 0;
    size_t at = 0;

    while (n + 2 * block + 4 < lines) {
        block++;
        text_printf(&text, heading, block, block);
        for (unsigned i = 0; i < SHAPES; i++)
            text_printf(&text, shape, i % 2 + 1, i, i + 1, 100 * i + 100);
        text_add(&text, "  run := delay.Q;\nEND_FUNCTION_BLOCK\n\n");
        n += count_lines(&text, &at);
    }
    text_add(&text, "PROGRAM Main\nVAR start AT %IX0.0 : BOOL;\n");
    for (unsigned i = 1; i <= block; i++) {
        text_printf(&text, "  b_%u : Block_%u;\n", i, i);
        text_printf(&calls, "  b_%u(enable := start);\n", i);
    }
    text_add(&text, "END_VAR\n");
    text_add(&text, text_str(&calls));
    text_add(&text, "END_PROGRAM\n");
    folder_write(name, "st", &text);
    text_release(&text);
    text_release(&calls);
}

/* Processor seconds to read, parse and check; *bytes: of all that is kept. */
static double read_once(const char *name, double *bytes)
{
    struct text path = {0};
    struct load_request request = {0};
    struct loaded *loaded;
    double start;

    folder_path(&path, name, "st");
    request.path = text_str(&path);
    start = clock_processor();
    loaded = load_run(&request);
    start = clock_processor() - start;
    if (!loaded->model) {
        fprintf(stderr, "bench: the long text is not read\n");
        exit(1);
    }
    *bytes = (double)arena_used(loaded->arena);
    loaded_free(loaded);
    text_release(&path);
    return start;
}

static void row_seconds(struct report *report, double *bytes)
{
    double seconds[ROUNDS];
    struct row row = {.name = "reading/seconds", .model = "long text",
                      .ours = "keepclear", .rival = "goal", .unit = "s",
                      .goal = 2, .at_most = true, .rival_figure = 2};

    while (row.rounds < ROUNDS)
        seconds[row.rounds++] = read_once("long", bytes);
    row.ratio = spread_of(seconds, row.rounds);
    row.our_figure = row.ratio.median;
    snprintf(row.note, sizeof row.note,
             "processor seconds to scan, parse and check %d lines, every "
             "block needed; the ratio is the figure itself", LINES);
    report_row(report, &row);
}

static void row_growth(struct report *report, double bytes)
{
    struct row row = {.name = "reading/growth", .model = "long text",
                      .ours = "twice the lines", .rival = "once",
                      .unit = "bytes", .goal = 2.1, .at_most = true,
                      .rounds = 1};
    double twice;

    read_once("longer", &twice);
    row.our_figure = twice;
    row.rival_figure = bytes;
    row.ratio = (struct spread){twice / bytes, twice / bytes, twice / bytes};
    snprintf(row.note, sizeof row.note,
             "bytes kept for twice the lines over those for %d, %.0f a line",
             LINES, bytes / LINES);
    report_row(report, &row);
}

void rows_of_reading(struct report *report)
{
    double bytes = 0;

    write_text("long", LINES);
    write_text("longer", 2 * LINES);
    row_seconds(report, &bytes);
    row_growth(report, bytes);
}
