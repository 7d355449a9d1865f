#include "tests/bench/families.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/os.h"
#include "base/text.h"
#include "tests/bench/folder.h"
#include "tests/support/generate.h"

static const size_t MOST_BYTES = 1 << 20;

static void add_inputs(struct text *st, unsigned n)
{
    text_add(st, "(* Bodies side by side; invented. *)\n"
                 "PROGRAM Bodies\nVAR_INPUT\n    stop_ok : BOOL;\n");
    for (unsigned i = 0; i < n; i++)
        text_printf(st, "    start%u : BOOL;\n", i);
    text_add(st, "END_VAR\nVAR\n");
    for (unsigned i = 0; i < n; i++)
        text_printf(st, "    last%u : BOOL := TRUE;\n"
                        "    phase%u : USINT (0 .. 3);\n"
                        "    count%u : USINT (0 .. 3);\n", i, i, i);
    text_add(st, "END_VAR\nVAR_TEMP\n    taken : BOOL;\nEND_VAR\n");
}

/* Rest, waits for the pump, has it for a while, done until let go. */
static void add_body(struct text *st, unsigned i)
{
    text_printf(st,
        "    IF NOT stop_ok THEN\n"
        "        phase%u := 0;\n"
        "        count%u := 0;\n"
        "    ELSE\n"
        "        CASE phase%u OF\n"
        "            0: IF start%u AND NOT last%u THEN phase%u := 1; END_IF;\n"
        "            1: IF NOT taken THEN phase%u := 2; END_IF;\n"
        "            2: IF count%u < 3 THEN count%u := count%u + 1;\n"
        "               ELSE phase%u := 3; count%u := 0; END_IF;\n"
        "            3: IF NOT start%u THEN phase%u := 0; END_IF;\n"
        "        END_CASE;\n"
        "    END_IF;\n"
        "    IF phase%u = 2 THEN taken := TRUE; END_IF;\n"
        "    last%u := start%u;\n",
        i, i, i, i, i, i, i, i, i, i, i, i, i, i, i, i, i);
}

static void add_review(struct text *review, const char *name, unsigned n)
{
    text_printf(review, "REVIEW Bodies 'bodies side by side (invented)'\n"
                "  CONTROL '%s.st';\n  SCAN T#100ms;\n  REQUIREMENTS\n"
                "    Pump 'never do two have the pump'\n      : NEVER FALSE",
                name);
    for (unsigned i = 0; i < n; i++)
        text_printf(review, "\n        OR phase%u = 2 AND phase%u = 2", i,
                    i + 1 < n ? i + 1 : 0);
    text_add(review, n == 1 ? " AND count0 > 3;\n" : ";\n");
    text_add(review, "  END_REQUIREMENTS\nEND_REVIEW\n");
}

void family_side_by_side(struct text *path, unsigned n)
{
    struct text st = {0}, review = {0};
    char name[32];

    snprintf(name, sizeof name, "bodies_%u", n);
    add_inputs(&st, n);
    text_add(&st, "    taken := FALSE;\n");
    for (unsigned i = 0; i < n; i++)
        text_printf(&st, "    IF phase%u = 2 THEN taken := TRUE; END_IF;\n",
                    i);
    for (unsigned i = 0; i < n; i++)
        add_body(&st, i);
    text_add(&st, "END_PROGRAM\n");
    add_review(&review, name, n);
    folder_write(name, ".st", &st);
    folder_write(name, ".review", &review);
    folder_path(path, name, ".review");
    text_release(&st);
    text_release(&review);
}

void family_scan(struct text *path, unsigned scan_ms)
{
    struct text st = {0}, review = {0};
    char name[32];

    snprintf(name, sizeof name, "scan_%u", scan_ms);
    if (os_read_file("tests/bench/models/timers.st", MOST_BYTES, &st) !=
        OS_OK)
        exit(1);
    text_printf(&review,
                "REVIEW Timers 'timers (invented)'\n  CONTROL '%s.st';\n"
                "  SCAN T#%ums;\n  REQUIREMENTS\n"
                "    Runs 'silent, with a lamp'\n"
                "      : NEVER runs AND (horn OR NOT lamp);\n"
                "  END_REQUIREMENTS\nEND_REVIEW\n", name, scan_ms);
    folder_write(name, ".st", &st);
    folder_write(name, ".review", &review);
    folder_path(path, name, ".review");
    text_release(&st);
    text_release(&review);
}

void family_puzzle(struct text *path, const char *name,
                   const struct text *review)
{
    struct text st = {0}, whole = {0};
    const char *scan = strstr(text_str(review), "SCAN");

    text_add(&st, generate_idle());
    folder_write("control", ".st", &st);
    text_add_bytes(&whole, review->at, (size_t)(scan - review->at));
    text_add(&whole, "CONTROL 'control.st';\n  ");
    text_add(&whole, scan);
    folder_write(name, ".review", &whole);
    folder_path(path, name, ".review");
    text_release(&st);
    text_release(&whole);
}
