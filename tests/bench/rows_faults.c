/* Rows about faults put into a whole machine, all requirements, against one
 * check of all of them without any fault. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/os.h"
#include "base/text.h"
#include "tests/bench/command.h"
#include "tests/bench/folder.h"
#include "tests/bench/report.h"
#include "tests/bench/rows.h"

#define MODEL "models/rear_body/rear_body"

enum { REQUIREMENTS = 50, SOUND_ROUNDS = 3, SINGLES_GOAL = 8, PAIRS_GOAL = 60 };

/* The text without its DESPITE, each of which begins a line and is the last
 * part of its requirement. */
static void leave_faults_out(const char *text, struct text *out)
{
    const char *at;
    unsigned n = 0;

    while ((at = strstr(text, "\n       DESPITE ")) != NULL) {
        text_add_bytes(out, text, (size_t)(at - text));
        text = strchr(at, ';');
        if (text == NULL)
            exit(1);
        n++;
    }
    text_add(out, text);
    if (n == 0 || strstr(text_str(out), "DESPITE") != NULL) {
        printf("bench: the DESPITE words of %s were not found\n", MODEL);
        exit(1);
    }
}

static void write_sound(struct text *path)
{
    struct text review = {0}, control = {0}, sound = {0};

    if (os_read_file(MODEL ".review", 1 << 22, &review) != OS_OK ||
        os_read_file(MODEL ".st", 1 << 22, &control) != OS_OK)
        exit(1);
    leave_faults_out(text_str(&review), &sound);
    folder_write("rear_body", ".st", &control);
    folder_write("rear_body", ".review", &sound);
    folder_path(path, "rear_body", ".review");
    text_release(&review);
    text_release(&control);
    text_release(&sound);
}

/* --only R1,R2,...: the first ones, the same for the check and for faults.
 * All of them would take the whole table beyond its five minutes. */
static void add_only(struct text *line)
{
    for (int i = 1; i <= REQUIREMENTS; i++)
        text_printf(line, "%sR%d", i == 1 ? "--only " : ",", i);
    text_add_char(line, ' ');
}

/* A run that misses its goal is ended a little beyond it: pairs would take
 * a minute of the five that the whole table may. */
static struct command start(unsigned together, const struct row *row)
{
    unsigned limit = (unsigned)(row->goal * row->rival_figure) + 1;
    struct command command;
    struct text line = {0};

    text_printf(&line, "faults --together %u ", together);
    add_only(&line);
    text_add(&line, MODEL ".review");
    command = command_start(text_str(&line), limit);
    text_release(&line);
    return command;
}

static void row_of_faults(struct report *report, struct command command,
                          struct row *row, const char *beside)
{
    double ratio;

    row->our_figure = command_end(command, &row->at_least_so);
    ratio = row->our_figure / row->rival_figure;
    row->ratio = spread_of(&ratio, 1);
    snprintf(row->note, sizeof row->note,
             "processor seconds, all faults, requirements R1 to R50; how many "
             "times the check%s%s", beside,
             row->at_least_so ? "; it was ended" : "");
    report_row(report, row);
}

/* Median of the check without faults. */
static double sound_seconds(void)
{
    double seconds[SOUND_ROUNDS];
    struct text line = {0}, path = {0};

    write_sound(&path);
    text_add(&line, "check --quick ");
    add_only(&line);
    text_add(&line, text_str(&path));
    for (int i = 0; i < SOUND_ROUNDS; i++) {
        bool ended;

        seconds[i] = command_end(command_start(text_str(&line), 60), &ended);
        if (ended)
            exit(1);
    }
    text_release(&path);
    text_release(&line);
    return spread_of(seconds, SOUND_ROUNDS).median;
}

void rows_of_faults(struct report *report)
{
    struct row row = {.model = "rear_body", .ours = "keepclear faults",
                      .rival = "check --quick without faults", .unit = "s",
                      .at_most = true, .rounds = 1,
                      .rival_figure = sound_seconds()};
    struct command pairs;

    row.name = "faults/singles";
    row.goal = SINGLES_GOAL;
    row_of_faults(report, start(1, &row), &row, "");
    row.name = "faults/pairs";
    row.goal = PAIRS_GOAL;
    pairs = start(2, &row);
    rows_of_bound(report);
    row_of_faults(report, pairs, &row,
                  "; on one core, beside the situations by hand");
}
