#include "tests/support/random_machine.h"

#include "base/hash.h"
#include "tests/support/random_settings.h"

unsigned machine_below(struct maker *m, unsigned bound)
{
    m->seed = hash_word(m->seed + 0x9e3779b97f4a7c15u);
    return (unsigned)((m->seed >> 24) % bound);
}

bool machine_chance(struct maker *m, unsigned percent)
{
    return machine_below(m, 100) < percent;
}

static void atom(struct maker *m)
{
    static const char *const modes[] = {"Idle", "Run", "Hold"};
    static const char *const gaps[] = {"Shut", "Narrow", "Wide"};

    if (m->enums && machine_chance(m, 25)) {
        text_printf(m->out, "(%s %s %s)", m->review ? "gap" : "mode",
                    machine_chance(m, 70) ? "=" : "<>",
                    m->review ? gaps[machine_below(m, 3)]
                              : modes[machine_below(m, 3)]);
        return;
    }
    text_add(m->out, m->bools[machine_below(m, m->n_bools)]);
}

void machine_phrase(struct maker *m, unsigned depth)
{
    static const char *const ops[] = {"AND", "OR", "XOR", "AND"};

    if (depth == 0 || machine_chance(m, 25)) {
        if (machine_chance(m, 30))
            text_add(m->out, "NOT ");
        atom(m);
        return;
    }
    if (machine_chance(m, 15))
        text_add(m->out, "NOT ");
    text_add(m->out, "(");
    machine_phrase(m, depth - 1);
    text_printf(m->out, " %s ", ops[machine_below(m, 4)]);
    machine_phrase(m, depth - 1);
    text_add(m->out, ")");
}

/* ---- control text ---- */

static void simple_statement(struct maker *m)
{
    static const char *const targets[] = {"y", "z", "m1", "m2"};
    static const char *const modes[] = {"Idle", "Run", "Hold"};
    unsigned pick;

    pick = machine_below(m, 10);
    if (pick < 2) {
        text_printf(m->out, "  mode := %s;\n", modes[machine_below(m, 3)]);
    } else if (pick == 2) {
        text_add(m->out, machine_chance(m, 80) || m->parts->leaning
                             ? "  IF k < 3 THEN k := k + 1; ELSE k := 0; "
                               "END_IF;\n"
                             : "  IF y AND k > 0 THEN k := k - 1; ELSE "
                               "k := k + 1; END_IF;\n");
    } else if (pick == 3 && m->parts->power) {
        text_add(m->out, "  r := ");
        machine_phrase(m, 1);
        text_add(m->out, ";\n");
    } else {
        text_printf(m->out, "  %s := ", targets[machine_below(m, 4)]);
        machine_phrase(m, 2);
        text_add(m->out, ";\n");
    }
}

static void block_call(struct maker *m)
{
    static const char *const timers[] = {"on1", "off1", "pulse1"};

    switch (machine_below(m, m->parts->timers ? 6 : 3)) {
    case 0:
        text_add(m->out, "  edge1(CLK := ");
        machine_phrase(m, 1);
        text_add(m->out, ");\n  IF edge1.Q THEN m1 := NOT m1; END_IF;\n");
        return;
    case 1:
        text_add(m->out, "  latch1(S1 := ");
        machine_phrase(m, 1);
        text_add(m->out, ", R := ");
        machine_phrase(m, 1);
        text_add(m->out, ", Q1 => m2);\n");
        return;
    case 2:
        text_add(m->out, "  own1(set := ");
        machine_phrase(m, 1);
        text_add(m->out, ");\n  y := y AND own1.kept;\n");
        return;
    default: {
        const char *timer = timers[machine_below(m, 3)];

        text_printf(m->out, "  %s(IN := ", timer);
        machine_phrase(m, 1);
        text_printf(m->out, ", PT := T#%ums);\n  z := %s.Q;\n",
                    100 * machine_below(m, 4), timer);
        return;
    }
    }
}

/* Values that are not followed, in all the ways in which they are left
 * open. */
static void open_statement(struct maker *m)
{
    static const char *const some[] = {
        "  m1 := load >= 2.5;\n",
        "  keep := load;\n",
        "  m2 := keep < limit;\n",
        "  keep := load + limit;\n  m1 := keep > 2.5 OR m1;\n",
        "  IF load > limit THEN m1 := NOT m1; END_IF;\n",
        "  m2 := note = 'x' OR load <> 2.5;\n  note := 'y';\n",
        "  guess(in := m1);\n  m1 := guess.q AND guess.v < 2.5;\n",
        "  guess(in := y);\n  keep := guess.v;\n",
        "  n := REAL_TO_INT(load * 2.0);\n  m2 := n > 2;\n",
        "  judge1(v := load);\n  m1 := judge1.higher;\n",
        "  judge1(v := keep);\n  judge1(v := limit);\n"
        "  m2 := judge1.higher XOR m2;\n",
        "  m1 := Larger(u := keep, w := 2.5) AND a;\n",
        "  m2 := load > limit OR load < limit;\n",
        "  IF SQRT(limit) > 2.5 THEN keep := 2.5; ELSE keep := 0.0; "
        "END_IF;\n",
        "  keep := SEL(m1, load, limit);\n  m2 := keep > 2.5;\n",
        "  keep := MUX(SEL(m2, 1, 0), 0.0, SEL(a, load, 4.5));\n",
        "  m1 := LIMIT(0.0, load, 4.5) >= 2.5;\n",
        "  keep := MIN(keep, limit);\n  m1 := keep < 0.0;\n",
        "  m2 := MAX(load, limit, 2.5) < keep;\n",
        "  n := REAL_TO_INT(limit);\n  m2 := n > 2 XOR n = -1;\n",
        "  m1 := TRUNC(MAX(keep, -4.5)) < 3;\n",
        "  n := REAL_TO_INT(LIMIT(0.0, keep, 4.5));\n"
        "  m1 := REAL_TO_INT(load) = 0 OR n = 4;\n"};

    text_add(m->out, some[machine_below(m, 22)]);
}

static void open_units(struct maker *m)
{
    text_add(m->out,
             "FUNCTION_BLOCK Guess\n"
             "VAR_INPUT in : BOOL; END_VAR\n"
             "VAR_OUTPUT q : BOOL; v : REAL; END_VAR\n"
             "END_FUNCTION_BLOCK\n"
             "FUNCTION_BLOCK Judge\n"
             "VAR_INPUT v : REAL; END_VAR\n"
             "VAR_OUTPUT higher : BOOL; END_VAR\n"
             "VAR last : REAL := 2.5; END_VAR\n"
             "  higher := v > last;\n"
             "  last := v;\n"
             "END_FUNCTION_BLOCK\n"
             "FUNCTION Larger : BOOL\n"
             "VAR_INPUT u, w : REAL; END_VAR\n"
             "  Larger := u >= w;\n"
             "END_FUNCTION\n");
}

/* ---- loops ---- */

static void leave(struct maker *m, bool loop)
{
    static const char *const words[] = {"RETURN", "EXIT", "CONTINUE", "EXIT"};

    text_add(m->out, "  IF ");
    machine_phrase(m, 1);
    text_printf(m->out, " THEN %s; END_IF;\n",
                words[loop ? machine_below(m, 4) : 0]);
}

static void pass(struct maker *m)
{
    if (machine_chance(m, 50))
        leave(m, true);
    if (machine_chance(m, 30))
        block_call(m);
    simple_statement(m);
    if (machine_chance(m, 60))
        leave(m, true);
    if (machine_chance(m, 30))
        simple_statement(m);
}

static void counted(struct maker *m)
{
    static const char *const heads[] = {"0 TO k", "k TO 0 BY -1", "1 TO 3",
                                        "0 TO 4 BY k", "4 TO k BY -2"};

    text_printf(m->out, "  FOR i := %s DO\n",
                heads[machine_below(m, 10) ? machine_below(m, 3)
                                           : machine_below(m, 5)]);
    pass(m);
    text_add(m->out, "  END_FOR;\n");
    if (machine_chance(m, 40))
        text_printf(m->out, "  m1 := m1 XOR i = %u;\n", machine_below(m, 5));
}

static void conditional(struct maker *m)
{
    bool repeat = machine_chance(m, 50);

    text_add(m->out, repeat ? "  j := 0; REPEAT\n"
                            : "  j := 0; WHILE j < 3 AND_THEN ");
    if (!repeat) {
        machine_phrase(m, 1);
        text_add(m->out, " DO\n");
    }
    text_add(m->out, "  j := j + 1;\n");
    pass(m);
    if (repeat) {
        text_add(m->out, "  UNTIL j > 1 OR_ELSE ");
        machine_phrase(m, 1);
    }
    text_add(m->out, repeat ? " END_REPEAT;\n" : "  END_WHILE;\n");
}

static void seeking(struct maker *m)
{
    text_add(m->out, "  m2 := Seek(first := ");
    machine_phrase(m, 1);
    text_add(m->out, ", other := ");
    machine_phrase(m, 1);
    text_add(m->out, ");\n");
}

/* Each pass has an answer of its own. */
static void open_loop(struct maker *m)
{
    text_printf(m->out,
                "  FOR i := 1 TO %u DO\n    guess(in := m1);\n"
                "    IF guess.v > limit THEN m1 := guess.q; %s; END_IF;\n"
                "  END_FOR;\n", 1 + machine_below(m, 2),
                machine_chance(m, 50) ? "EXIT" : "CONTINUE");
}

static void with_loops(struct maker *m)
{
    if (m->parts->open && machine_chance(m, 60)) {
        open_loop(m);
        return;
    }
    switch (machine_below(m, 6)) {
    case 0:
    case 1:
        counted(m);
        return;
    case 2:
        conditional(m);
        return;
    case 3:
        leave(m, false);
        return;
    case 4:
        seeking(m);
        return;
    default:
        text_printf(m->out, "  %s %s= ", machine_chance(m, 50) ? "y" : "m1",
                    machine_chance(m, 50) ? "S" : "R");
        machine_phrase(m, 1);
        text_add(m->out, ";\n");
        return;
    }
}

static void seek(struct maker *m)
{
    text_add(m->out, "FUNCTION Seek : BOOL\n"
                     "VAR_INPUT first, other : BOOL; END_VAR\n"
                     "VAR n : INT; turned : BOOL; END_VAR\n"
                     "  Seek := other;\n  FOR n := 1 TO 3 DO\n");
    text_printf(m->out, "    IF %s AND n = %u THEN %s; END_IF;\n",
                machine_chance(m, 50) ? "(first XOR turned)" : "Seek",
                machine_below(m, 4),
                machine_chance(m, 60) ? "RETURN" : "EXIT");
    text_printf(m->out, "    %s\n  END_FOR;\n  Seek := first OR n > 2;\n"
                        "END_FUNCTION\n",
                machine_chance(m, 50) ? "Seek := NOT Seek;"
                                      : "turned := NOT turned;");
}

static void statement(struct maker *m)
{
    unsigned pick = machine_below(m, 10);

    if (m->parts->open && machine_chance(m, 45)) {
        open_statement(m);
        return;
    }

    if (m->parts->loops && machine_chance(m, 60)) {
        with_loops(m);
    } else if (m->parts->settings && machine_chance(m, 70)) {
        random_settings_statement(&m->seed, m->out);
    } else if (pick < 5) {
        simple_statement(m);
    } else if (pick < 7) {
        text_add(m->out, "  IF ");
        machine_phrase(m, 2);
        text_add(m->out, " THEN\n");
        simple_statement(m);
        if (machine_chance(m, 50)) {
            text_add(m->out, "  ELSE\n");
            if (machine_chance(m, 30))
                block_call(m);
            simple_statement(m);
        }
        text_add(m->out, "  END_IF;\n");
    } else if (pick < 8) {
        text_add(m->out, "  CASE mode OF\n  Idle:\n");
        simple_statement(m);
        text_add(m->out, "  Run, Hold:\n");
        simple_statement(m);
        text_add(m->out, "  END_CASE;\n");
    } else {
        block_call(m);
    }
}

/* Something that shuts, not in the first scan, and may or may not be opened
 * again. */
static void lock(struct maker *m)
{
    if (machine_chance(m, 30)) {
        text_add(m->out, "  IF late AND Pick(first := ");
        machine_phrase(m, 1);
        text_add(m->out, ", other := ");
        machine_phrase(m, 1);
        text_add(m->out, ")");
    } else {
        text_add(m->out, "  IF late AND ");
        machine_phrase(m, 2);
    }
    text_add(m->out, " THEN lock := TRUE;");
    if (machine_chance(m, 70)) {
        text_add(m->out, " ELSIF ");
        machine_phrase(m, 2);
        text_add(m->out, " THEN lock := FALSE;");
    }
    text_add(m->out, " END_IF;\n  late := late OR ");
    machine_phrase(m, 1);
    text_add(m->out, ";\n");
}

void machine_control(struct maker *m)
{
    static const char *const of_other[] = {"late.Q", "e", "turns",
                                           "turns AND NOT g"};
    unsigned n = 2 + machine_below(m, 4);

    if (m->parts->every)
        text_add(m->out, "VAR_GLOBAL g : BOOL; END_VAR\n");
    text_add(m->out,
             "TYPE Mode : (Idle, Run, Hold); END_TYPE\n"
             "FUNCTION_BLOCK Own\n"
             "VAR_INPUT set : BOOL; END_VAR\n"
             "VAR_OUTPUT kept : BOOL; END_VAR\n"
             "  kept := (kept OR set) AND NOT (kept AND set);\n"
             "END_FUNCTION_BLOCK\n");
    if (m->parts->again)
        text_add(m->out,
                 "FUNCTION Pick : BOOL\n"
                 "VAR_INPUT first, other : BOOL; END_VAR\n"
                 "  Pick := other;\n"
                 "  IF first THEN Pick := NOT other; END_IF;\n"
                 "END_FUNCTION\n");
    if (m->parts->loops)
        seek(m);
    if (m->parts->open)
        open_units(m);
    text_add(m->out,
             "PROGRAM Main\n"
             "VAR_INPUT a, b, c, s : BOOL; END_VAR\n");
    if (m->parts->open)
        text_add(m->out, "VAR_INPUT load, limit : REAL; END_VAR\n"
                         "VAR keep : REAL := 2.5; note : STRING[20]; "
                         "n : INT; guess : Guess; judge1 : Judge; END_VAR\n");
    if (m->parts->loops)
        text_add(m->out, "VAR_TEMP i, j : INT; END_VAR\n");
    if (m->parts->again)
        text_add(m->out, "VAR_INPUT d : BOOL; END_VAR\n"
                         "VAR lock, late : BOOL; END_VAR\n");
    text_add(m->out,
             "VAR_OUTPUT y, z : BOOL; END_VAR\n"
             "VAR mode : Mode; m1, m2 : BOOL; k : INT (0..3);\n"
             "  edge1 : R_TRIG; latch1 : SR; own1 : Own;\n"
             "  on1 : TON; off1 : TOF; pulse1 : TP; END_VAR\n");
    if (m->parts->settings)
        random_settings_variables(m->out);
    if (m->parts->power)
        text_add(m->out, "VAR RETAIN r : BOOL; END_VAR\n");
    for (unsigned i = 0; i < n; i++)
        statement(m);
    if (m->parts->again)
        lock(m);
    if (m->parts->every)
        text_add(m->out, "  m1 := m1 XOR g;\n");
    text_add(m->out, "  y := y AND ");
    machine_phrase(m, 1);
    text_add(m->out, m->parts->leaning
                         ? ";\n  y := (y OR m1) AND a;\n"
                           "  z := (z OR m2) AND c;\nEND_PROGRAM\n"
                         : ";\nEND_PROGRAM\n");
    if (m->parts->every)
        text_printf(m->out, "PROGRAM Other\n"
                            "VAR_EXTERNAL g : BOOL; END_VAR\n"
                            "VAR_INPUT e : BOOL; END_VAR\n"
                            "VAR late : TON; turns : BOOL; END_VAR\n"
                            "  late(IN := e, PT := T#%ums);\n"
                            "  turns := NOT turns;\n"
                            "  g := %s;\n"
                            "END_PROGRAM\n", 100 * machine_below(m, 3),
                    of_other[machine_below(m, 4)]);
}
