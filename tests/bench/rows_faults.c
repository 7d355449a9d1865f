/* Rows about faults put into a whole machine, all requirements, against one
 * check of all of them without any fault. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>

#include "base/os.h"
#include "base/text.h"
#include "tests/bench/clock.h"
#include "tests/bench/folder.h"
#include "tests/bench/report.h"
#include "tests/bench/rows.h"

#define MODEL "models/rear_body/rear_body"

enum { SOUND_ROUNDS = 3, SINGLES_GOAL = 8, PAIRS_GOAL = 60 };

/* Processor seconds; *ended: it was ended by the limit. */
static double run(const char *options, const char *path, unsigned seconds,
                  bool *ended)
{
    const char *program = os_environment("KEEPCLEAR");
    struct text command = {0};
    double start = clock_children();
    int status;

    text_printf(&command, "ulimit -t %u; exec timeout -k 1 %u %s %s %s "
                ">/dev/null 2>&1", seconds, 20 * seconds,
                program ? program : "build/keepclear", options, path);
    status = system(text_str(&command));
    text_release(&command);
    if (status < 0)
        exit(1);
    *ended = !WIFEXITED(status) || WEXITSTATUS(status) > 2;
    return clock_children() - start;
}

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

/* A run goes to a fifth beyond its goal, and is ended there. */
static void row_of_faults(struct report *report, const char *name,
                          unsigned together, struct row row)
{
    unsigned limit = (unsigned)(row.goal * row.rival_figure * 1.2) + 2;
    char options[80];
    double ratio;

    snprintf(options, sizeof options, "faults --together %u", together);
    row.name = name;
    row.our_figure = run(options, MODEL ".review", limit, &row.at_least_so);
    ratio = row.our_figure / row.rival_figure;
    row.ratio = spread_of(&ratio, 1);
    snprintf(row.note, sizeof row.note,
             "processor seconds, all faults, all requirements; how many times "
             "the check%s", row.at_least_so ? "; it was ended" : "");
    report_row(report, &row);
}

void rows_of_faults(struct report *report)
{
    struct row row = {.model = "rear_body", .ours = "keepclear faults",
                      .rival = "check --quick without faults", .unit = "s",
                      .at_most = true, .rounds = 1};
    double seconds[SOUND_ROUNDS];
    struct text path = {0};

    write_sound(&path);
    for (int i = 0; i < SOUND_ROUNDS; i++) {
        bool ended;

        seconds[i] = run("check --quick", text_str(&path), 60, &ended);
        if (ended)
            exit(1);
    }
    text_release(&path);
    row.rival_figure = spread_of(seconds, SOUND_ROUNDS).median;
    row.goal = SINGLES_GOAL;
    row_of_faults(report, "faults/singles", 1, row);
    row.goal = PAIRS_GOAL;
    row_of_faults(report, "faults/pairs", 2, row);
}
