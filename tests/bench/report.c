#include "tests/bench/report.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "base/os.h"
#include "base/text.h"

#define CSV "build/bench.csv"

struct report {
    struct text csv;
    int rows, met, missed, skipped, different;
};

static int ascending(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;

    return (x > y) - (x < y);
}

struct spread spread_of(const double *values, int n)
{
    double sorted[64];

    memcpy(sorted, values, (size_t)n * sizeof *sorted);
    qsort(sorted, (size_t)n, sizeof *sorted, ascending);
    return (struct spread){sorted[n / 2], sorted[0], sorted[n - 1]};
}

/* What /proc/cpuinfo says behind "model name", or "unknown". */
static void find_cpu(char *out, size_t size)
{
    FILE *file = fopen("/proc/cpuinfo", "r");
    char line[256], *colon;

    snprintf(out, size, "unknown");
    while (file && fgets(line, sizeof line, file)) {
        colon = strchr(line, ':');
        if (strncmp(line, "model name", 10) || !colon)
            continue;
        line[strcspn(line, "\n")] = 0;
        snprintf(out, size, "%s", colon + 2);
        break;
    }
    if (file)
        fclose(file);
}

struct report *report_open(void)
{
    struct report *report = calloc(1, sizeof *report);
    double gib = (double)sysconf(_SC_PHYS_PAGES) *
                 (double)sysconf(_SC_PAGESIZE) / (1 << 30);
    char cpu[256];

    find_cpu(cpu, sizeof cpu);
    printf("bench: machine cpu='%s' cores=%ld memory=%.1fGiB\n", cpu,
           sysconf(_SC_NPROCESSORS_ONLN), gib);
    fflush(stdout);
    text_printf(&report->csv,
                "# cpu %s; cores %ld; memory %.1f GiB; figures are medians\n"
                "name,model,ours,rival,unit,our figure,rival figure,ratio,"
                "least,most,rounds,goal,state,note\n",
                cpu, sysconf(_SC_NPROCESSORS_ONLN), gib);
    return report;
}

static const char *state_of(const struct row *row)
{
    bool met = row->at_most
                   ? row->ratio.median <= row->goal && !row->at_least_so
                   : row->ratio.median >= row->goal;

    return row->goal == 0 ? "info" : met ? "met" : "missed";
}

static void count(struct report *report, const char *state)
{
    report->rows++;
    report->met += !strcmp(state, "met");
    report->missed += !strcmp(state, "missed");
}

void report_row(struct report *report, const struct row *row)
{
    const char *state = state_of(row);
    const char *sign = row->at_least_so ? ">" : "";

    count(report, state);
    printf("bench: name=%-22s model=%-14s ratio=%s%-9.4g goal=%s%-5g "
           "state=%-6s min=%.4g max=%.4g n=%d | %s %.4g %s, %s %.4g %s%s%s\n",
           row->name, row->model, sign, row->ratio.median,
           row->goal == 0 ? "" : row->at_most ? "<=" : ">=", row->goal,
           state, row->ratio.least, row->ratio.most, row->rounds, row->ours,
           row->our_figure, row->unit, row->rival, row->rival_figure,
           row->unit, *row->note ? " | " : "", row->note);
    fflush(stdout);
    text_printf(&report->csv,
                "%s,%s,%s,%s,%s,%.6g,%.6g,%s%.6g,%.6g,%.6g,%d,%s%g,%s,"
                "\"%s\"\n",
                row->name, row->model, row->ours, row->rival, row->unit,
                row->our_figure, row->rival_figure, sign, row->ratio.median,
                row->ratio.least, row->ratio.most, row->rounds,
                row->at_most ? "<=" : "", row->goal, state, row->note);
}

void report_skipped(struct report *report, const char *name,
                    const char *model, const char *why)
{
    report->rows++;
    report->skipped++;
    printf("bench: name=%-22s model=%-14s ratio=none goal=0 state=skipped "
           "| %s\n", name, model, why);
    fflush(stdout);
    text_printf(&report->csv, "%s,%s,,,,,,,,,,,skipped,\"%s\"\n", name, model,
                why);
}

void report_different(struct report *report, const char *model)
{
    report->different++;
    printf("bench: GATE: explorers differ on %s\n", model);
}

int report_close(struct report *report)
{
    int different = report->different;
    enum os_status status = os_write_file(CSV, text_str(&report->csv),
                                          report->csv.n);

    if (status != OS_OK)
        printf("bench: " CSV ": %s\n", os_explain(status));
    printf("bench: %d rows: %d goals met, %d missed, %d skipped; %d models "
           "on which explorers differ\n", report->rows, report->met,
           report->missed, report->skipped, different);
    text_release(&report->csv);
    free(report);
    return different || status != OS_OK;
}
