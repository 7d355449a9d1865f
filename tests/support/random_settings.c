#include "tests/support/random_settings.h"

#include <stdbool.h>
#include <stddef.h>

#include "base/hash.h"

static unsigned below(uint64_t *seed, unsigned bound)
{
    *seed = hash_word(*seed + 0x9e3779b97f4a7c15u);
    return (unsigned)((*seed >> 24) % bound);
}

static const char *condition(uint64_t *seed)
{
    static const char *const some[] = {
        "a", "b", "NOT c", "m1", "a AND NOT m2", "b XOR y", "s", "NOT z",
        "m1 OR c", "mode = Run", "NOT a", "m2"};

    return some[below(seed, 12)];
}

void random_settings_variables(struct text *control)
{
    text_add(control, "VAR latch2 : RS; edge2 : F_TRIG; count2 : CTU;\n"
                      "  on2 : TON; off2 : TOF; pulse2 : TP;\n"
                      "  small : SINT; u : USINT; k2 : INT; END_VAR\n");
}

static void overflowing(uint64_t *seed, struct text *out)
{
    static const char *const some[] = {
        "small := small + SINT#100", "small := small * SINT#7 - small",
        "small := -small - SINT#1", "small := SINT#-128 / small",
        "u := u - USINT#7", "u := u * u + USINT#3",
        "m2 := ABS(REAL_TO_SINT(SEL(a, SEL(b, 0.5, 1.5), "
        "SEL(c, -0.5, 0.25)))) = 1",
        "u := REAL_TO_USINT(SEL(m1, 2.5, -2.5)) / 2"};

    text_printf(out, "  %s;\n", some[below(seed, 8)]);
    text_add(out, below(seed, 2) ? "  m1 := small < 0;\n"
                                 : "  z := u > 100;\n");
}

static void changing_timer(uint64_t *seed, struct text *out)
{
    static const char *const timers[] = {"on2", "off2", "pulse2"};
    const char *timer = timers[below(seed, 3)];
    const char *input = condition(seed), *which = condition(seed);
    bool skipped = below(seed, 3) == 0;
    unsigned one = 100 * below(seed, 3), other = 100 * below(seed, 3);

    if (skipped)
        text_add(out, "  IF b THEN\n");
    text_printf(out, "  %s(IN := %s, PT := SEL(%s, T#%ums, T#%ums));\n",
                timer, input, which, one, other);
    if (skipped)
        text_add(out, "  END_IF;\n");
    if (below(seed, 2))
        text_printf(out, "  z := %s.Q OR %s.ET %s T#%ums;\n", timer, timer,
                    below(seed, 2) ? "=" : ">=", 100 * below(seed, 4));
    else
        text_printf(out, "  m2 := %s.Q;\n", timer);
}

static void block(uint64_t *seed, struct text *out)
{
    const char *one = condition(seed), *other = condition(seed);

    switch (below(seed, 3)) {
    case 0:
        text_printf(out, "  latch2(S := %s, R1 := %s, Q1 => m1);\n", one,
                    other);
        return;
    case 1:
        text_printf(out, "  edge2(CLK := %s);\n"
                         "  IF edge2.Q THEN m2 := NOT m2; END_IF;\n", one);
        return;
    default:
        text_printf(out, "  count2(CU := %s, R := count2.CV > 3, PV := k);\n"
                         "  z := count2.CV > 2;\n", one);
        return;
    }
}

void random_settings_statement(uint64_t *seed, struct text *control)
{
    switch (below(seed, 6)) {
    case 0:
        overflowing(seed, control);
        return;
    case 1:
    case 2:
    case 3:
        block(seed, control);
        return;
    case 4:
        text_add(control, below(seed, 2) ? "  z := k > 0 AND 6 / k > 2;\n"
                                         : "  z := m1 OR 6 / k > 2;\n");
        text_add(control,
                 "  FOR k2 := 0 TO k DO m1 := NOT m1; END_FOR;\n"
                 "  m2 := m2 XOR k2 = 1;\n");
        return;
    default:
        changing_timer(seed, control);
        return;
    }
}

void random_settings_section(uint64_t *seed, struct text *review)
{
    static const char *const known[][4] = {
        {"OVERFLOW", "WRAPS", "SATURATES", "REPORTED"},
        {"LATCHES", "SWAPPED", "AS NAMED", "SWAPPED"},
        {"EDGES", "SILENT", "F_TRIG SILENT", "STANDARD"},
        {"COUNTERS", "PRESET LIMIT", "WHOLE RANGE", "PRESET LIMIT"},
        {"CONDITIONS", "AS NEEDED", "BOTH SIDES", "AS NEEDED"},
        {"LOOPS", "LAST USED", "ONE BEYOND", "LAST USED"},
        {"PRESETS", "LATCHED", "LIVE", "LATCHED"},
        {"ZERO_TIMES", "NEXT CALL", "SAME CALL", "NEXT CALL"},
        {"TIMERS", "CALLED", "CONTINUOUS", "CALLED"},
        {"ELAPSED_TIMES", "OVERSHOOT", "ENDLESS", "ENDLESS"},
        {"ROUNDING", "HALVES AWAY", "CUT", "HALVES EVEN"}};

    text_add(review, "CONTROLLER 'random (invented)'\n");
    for (size_t i = 0; i < sizeof known / sizeof *known; i++) {
        bool said = below(seed, 4) > 0, open = below(seed, 100) < 20;
        const char *choice = known[i][1 + below(seed, 3)];

        if (said)
            text_printf(review, "  %s : %s;\n", known[i][0],
                        open ? "ANY CHOICE" : choice);
    }
    text_add(review, "END_CONTROLLER\n");
}
