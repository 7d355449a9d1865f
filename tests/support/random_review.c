#include "tests/support/random_review.h"

#include "base/hash.h"
#include "tests/support/random_settings.h"

/* A text being made. */
struct maker {
    uint64_t seed;
    struct text *out;
    const char *const *bools; /* names of kind BOOL that may be read */
    unsigned n_bools;
    bool enums;               /* may read mode (control) or gap (review) */
    bool review;
    struct random_parts *parts;
};

static unsigned below(struct maker *m, unsigned bound)
{
    m->seed = hash_word(m->seed + 0x9e3779b97f4a7c15u);
    return (unsigned)((m->seed >> 24) % bound);
}

static bool chance(struct maker *m, unsigned percent)
{
    return below(m, 100) < percent;
}

static void atom(struct maker *m)
{
    static const char *const modes[] = {"Idle", "Run", "Hold"};
    static const char *const gaps[] = {"Shut", "Narrow", "Wide"};

    if (m->enums && chance(m, 25)) {
        text_printf(m->out, "(%s %s %s)", m->review ? "gap" : "mode",
                    chance(m, 70) ? "=" : "<>",
                    m->review ? gaps[below(m, 3)] : modes[below(m, 3)]);
        return;
    }
    text_add(m->out, m->bools[below(m, m->n_bools)]);
}

/* Depth bounds the recursion. */
static void expression(struct maker *m, unsigned depth)
{
    static const char *const ops[] = {"AND", "OR", "XOR", "AND"};

    if (depth == 0 || chance(m, 25)) {
        if (chance(m, 30))
            text_add(m->out, "NOT ");
        atom(m);
        return;
    }
    if (chance(m, 15))
        text_add(m->out, "NOT ");
    text_add(m->out, "(");
    expression(m, depth - 1);
    text_printf(m->out, " %s ", ops[below(m, 4)]);
    expression(m, depth - 1);
    text_add(m->out, ")");
}

/* ---- control text ---- */

static void simple_statement(struct maker *m)
{
    static const char *const targets[] = {"y", "z", "m1", "m2"};
    static const char *const modes[] = {"Idle", "Run", "Hold"};
    unsigned pick;

    pick = below(m, 10);
    if (pick < 2) {
        text_printf(m->out, "  mode := %s;\n", modes[below(m, 3)]);
    } else if (pick == 2) {
        text_add(m->out, chance(m, 80) || m->parts->leaning
                             ? "  IF k < 3 THEN k := k + 1; ELSE k := 0; "
                               "END_IF;\n"
                             : "  IF y AND k > 0 THEN k := k - 1; ELSE "
                               "k := k + 1; END_IF;\n");
    } else if (pick == 3 && m->parts->power) {
        text_add(m->out, "  r := ");
        expression(m, 1);
        text_add(m->out, ";\n");
    } else {
        text_printf(m->out, "  %s := ", targets[below(m, 4)]);
        expression(m, 2);
        text_add(m->out, ";\n");
    }
}

static void block_call(struct maker *m)
{
    static const char *const timers[] = {"on1", "off1", "pulse1"};

    switch (below(m, m->parts->timers ? 6 : 3)) {
    case 0:
        text_add(m->out, "  edge1(CLK := ");
        expression(m, 1);
        text_add(m->out, ");\n  IF edge1.Q THEN m1 := NOT m1; END_IF;\n");
        return;
    case 1:
        text_add(m->out, "  latch1(S1 := ");
        expression(m, 1);
        text_add(m->out, ", R := ");
        expression(m, 1);
        text_add(m->out, ", Q1 => m2);\n");
        return;
    case 2:
        text_add(m->out, "  own1(set := ");
        expression(m, 1);
        text_add(m->out, ");\n  y := y AND own1.kept;\n");
        return;
    default: {
        const char *timer = timers[below(m, 3)];

        text_printf(m->out, "  %s(IN := ", timer);
        expression(m, 1);
        text_printf(m->out, ", PT := T#%ums);\n  z := %s.Q;\n",
                    100 * below(m, 4), timer);
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

    text_add(m->out, some[below(m, 22)]);
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
    expression(m, 1);
    text_printf(m->out, " THEN %s; END_IF;\n", words[loop ? below(m, 4) : 0]);
}

static void pass(struct maker *m)
{
    if (chance(m, 50))
        leave(m, true);
    if (chance(m, 30))
        block_call(m);
    simple_statement(m);
    if (chance(m, 60))
        leave(m, true);
    if (chance(m, 30))
        simple_statement(m);
}

static void counted(struct maker *m)
{
    static const char *const heads[] = {"0 TO k", "k TO 0 BY -1", "1 TO 3",
                                        "0 TO 4 BY k", "4 TO k BY -2"};

    text_printf(m->out, "  FOR i := %s DO\n",
                heads[below(m, 10) ? below(m, 3) : below(m, 5)]);
    pass(m);
    text_add(m->out, "  END_FOR;\n");
    if (chance(m, 40))
        text_printf(m->out, "  m1 := m1 XOR i = %u;\n", below(m, 5));
}

static void conditional(struct maker *m)
{
    bool repeat = chance(m, 50);

    text_add(m->out, repeat ? "  j := 0; REPEAT\n"
                            : "  j := 0; WHILE j < 3 AND_THEN ");
    if (!repeat) {
        expression(m, 1);
        text_add(m->out, " DO\n");
    }
    text_add(m->out, "  j := j + 1;\n");
    pass(m);
    if (repeat) {
        text_add(m->out, "  UNTIL j > 1 OR_ELSE ");
        expression(m, 1);
    }
    text_add(m->out, repeat ? " END_REPEAT;\n" : "  END_WHILE;\n");
}

static void seeking(struct maker *m)
{
    text_add(m->out, "  m2 := Seek(first := ");
    expression(m, 1);
    text_add(m->out, ", other := ");
    expression(m, 1);
    text_add(m->out, ");\n");
}

/* Each pass has an answer of its own. */
static void open_loop(struct maker *m)
{
    text_printf(m->out,
                "  FOR i := 1 TO %u DO\n    guess(in := m1);\n"
                "    IF guess.v > limit THEN m1 := guess.q; %s; END_IF;\n"
                "  END_FOR;\n", 1 + below(m, 2),
                chance(m, 50) ? "EXIT" : "CONTINUE");
}

static void with_loops(struct maker *m)
{
    if (m->parts->open && chance(m, 60)) {
        open_loop(m);
        return;
    }
    switch (below(m, 6)) {
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
        text_printf(m->out, "  %s %s= ", chance(m, 50) ? "y" : "m1",
                    chance(m, 50) ? "S" : "R");
        expression(m, 1);
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
                chance(m, 50) ? "(first XOR turned)" : "Seek", below(m, 4),
                chance(m, 60) ? "RETURN" : "EXIT");
    text_printf(m->out, "    %s\n  END_FOR;\n  Seek := first OR n > 2;\n"
                        "END_FUNCTION\n",
                chance(m, 50) ? "Seek := NOT Seek;" : "turned := NOT turned;");
}

static void statement(struct maker *m)
{
    unsigned pick = below(m, 10);

    if (m->parts->open && chance(m, 45)) {
        open_statement(m);
        return;
    }

    if (m->parts->loops && chance(m, 60)) {
        with_loops(m);
    } else if (m->parts->settings && chance(m, 70)) {
        random_settings_statement(&m->seed, m->out);
    } else if (pick < 5) {
        simple_statement(m);
    } else if (pick < 7) {
        text_add(m->out, "  IF ");
        expression(m, 2);
        text_add(m->out, " THEN\n");
        simple_statement(m);
        if (chance(m, 50)) {
            text_add(m->out, "  ELSE\n");
            if (chance(m, 30))
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
    if (chance(m, 30)) {
        text_add(m->out, "  IF late AND Pick(first := ");
        expression(m, 1);
        text_add(m->out, ", other := ");
        expression(m, 1);
        text_add(m->out, ")");
    } else {
        text_add(m->out, "  IF late AND ");
        expression(m, 2);
    }
    text_add(m->out, " THEN lock := TRUE;");
    if (chance(m, 70)) {
        text_add(m->out, " ELSIF ");
        expression(m, 2);
        text_add(m->out, " THEN lock := FALSE;");
    }
    text_add(m->out, " END_IF;\n  late := late OR ");
    expression(m, 1);
    text_add(m->out, ";\n");
}

static void control_text(struct maker *m)
{
    static const char *const of_other[] = {"late.Q", "e", "turns",
                                           "turns AND NOT g"};
    unsigned n = 2 + below(m, 4);

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
    expression(m, 1);
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
                            "END_PROGRAM\n", 100 * below(m, 3),
                    of_other[below(m, 4)]);
}

/* ---- review text ---- */

static void movement(struct maker *m, const char *from, const char *to)
{
    text_printf(m->out, "  MOVES gap FROM %s TO %s", from, to);
    switch (below(m, 3)) {
    case 0:
        text_printf(m->out, " IN T#%ums .. T#%ums", 100 + 100 * below(m, 2),
                    300 + 100 * below(m, 2));
        break;
    case 1:
        text_printf(m->out, " IN T#%ums ..", 100 + 100 * below(m, 3));
        break;
    default:
        break;
    }
    text_printf(m->out, " WHILE %s%s;\n", chance(m, 30) ? "NOT " : "",
                chance(m, 50) ? "y" : "z");
}

static void mechanism(struct maker *m)
{
    text_printf(m->out, "MECHANISM Gate\n  VAR gap : (Shut, Narrow, Wide)%s; "
                        "loose : BOOL := FALSE; END_VAR\n",
                chance(m, 60) ? " := Wide" : "");
    if (m->parts->movements) {
        movement(m, "Wide", "Narrow");
        movement(m, "Narrow", chance(m, 70) ? "Shut" : "Wide");
        if (chance(m, 40))
            movement(m, "Narrow", "Wide");
    }
    if (chance(m, 50))
        text_add(m->out, "  IF z THEN MAY gap := Wide; OR loose := NOT "
                         "loose; END_MAY; END_IF;\n");
    if (m->parts->faults)
        text_add(m->out, "  IF leaking THEN MAY gap := Shut; END_MAY; "
                         "END_IF;\n");
    text_add(m->out, "END_MECHANISM\n");
}

/* When it is there, what it follows from. */
static void manner(struct maker *m, unsigned number)
{
    static const char *const when[] = {", INTERMITTENT",
                                       ", PRESENT FROM POWER_UP"};

    if (chance(m, 40))
        text_add(m->out, when[below(m, 3) == 0]);
    if (chance(m, 25))
        text_printf(m->out, ", FOLLOWS FROM %s",
                    number > 1 && chance(m, 60) ? "F1" : "leaking");
}

static void faults(struct maker *m)
{
    static const char *const phrases[] = {
        "a DOES NOT OPEN", "b DOES NOT CLOSE", "a STAYS", "b WIRE OFF",
        "a SHORT TO b", "b SHORT TO SUPPLY", "y STAYS", "z WIRE OFF",
        "z SHORT TO SUPPLY", "s STAYS", "s DOES NOT OPEN",
        "a, s WIRE OFF", "b, s SHORT TO a", "a, z SHORT TO SUPPLY",
        "s, y STAYS", "y MOVES WITHOUT COMMAND", "z MOVES WITHOUT COMMAND",
        "s DISPLACED BY 1 ALONG gap", "s DISPLACED BY -1 ALONG gap",
        "PROGRAM Main STOPS"};
    static const char *const of_relay[] = {
        "k1 DOES NOT OPEN", "k1 DOES NOT CLOSE", "k1 STAYS", "k1 WIRE OFF",
        "k1 SHORT TO SUPPLY", "k1, a DOES NOT OPEN"};
    unsigned n = 1 + below(m, 3);

    text_add(m->out, "FAULTS\n  leaking : IN MECHANISM;\n");
    struct maker apart = *m; /* leaves the rest of the machine as it is */
    bool plain = chance(&apart, 60);
    for (unsigned i = 0; i < n; i++) {
        bool old = m->parts->leaning || chance(m, 50);
        text_printf(m->out, "  F%u : %s", i + 1,
                    m->parts->relay && chance(m, 50)
                        ? of_relay[below(m, 6)]
                        : phrases[m->parts->again && chance(m, 35)
                                      ? 15 + below(m, 2)
                                      : below(m, old ? 11 : 20)]);
        if (!plain)
            manner(&apart, i + 1);
        text_add(m->out, ";\n");
    }
    if (!plain && n > 1 && chance(&apart, 60))
        text_printf(m->out, "  both : ONE CAUSE OF %s, F%u;\n",
                    chance(&apart, 50) ? "leaking" : "F1", n);
    text_add(m->out, "END_FAULTS\n");
}

/* Requirements that may follow from the assumptions, from the mechanism or
 * from the wiring, and assumptions of which some or others are needed. */
static void leaning_assumptions(struct maker *m)
{
    static const char *const some[] = {
        "NOT (a AND b)", "NOT (a AND c)", "NOT (c AND NOT a)", "b OR NOT a",
        "NOT (a AND PREVIOUS y)", "NOT RISING c", "NOT (PRESSED b AND c)",
        "NOT a OR gap <> Shut", "NOT RISING a OR PREVIOUS b", "NOT c",
        /* each of these does what one of the others does, and more */
        "NOT (a AND b) AND NOT (a AND c)", "NOT c AND NOT (a AND b)",
        "NOT a OR NOT b", "NOT a OR b AND NOT c", "c = a AND b"};
    unsigned n = 1 + below(m, 3);

    text_add(m->out, "ASSUMPTIONS\n");
    for (unsigned i = 0; i < n; i++)
        text_printf(m->out, "  A%u 'random' : %s BECAUSE 'random';\n", i + 1,
                    some[below(m, 15)]);
    text_add(m->out, "END_ASSUMPTIONS\n");
}

static void leaning_requirement(struct maker *m)
{
    static const char *const some[] = {
        "NEVER y AND PRESSED b", "NEVER y AND a AND PRESSED b",
        "NEVER a AND b", "NEVER y AND a AND b", "NEVER z AND a AND c",
        "NEVER c AND a", "y ONLY IF b OR NOT c", "c ONLY IF b",
        "z ONLY IF b OR NOT c", "RISING y ONLY IF NOT c OR b",
        "NEVER y AND z", "y ONLY IF b", "NEVER z AND NOT a",
        "NEVER y AND c", "y AND NOT b NO LONGER THAN "
        "T#300ms SAMPLED", "NEVER y AND c AND a",
        "NEVER Main.m1 AND a AND c"};

    text_add(m->out, some[below(m, 16)]);
    if (m->parts->faults && chance(m, 40))
        text_add(m->out, " DESPITE 1 FAULT");
    text_add(m->out, ";\n");
}

static void assumptions(struct maker *m)
{
    static const char *const some[] = {
        "NOT (a AND b)",                       /* relational */
        "a OR b OR c",
        "a OR NOT PREVIOUS b",                 /* temporal */
        "NOT RISING a OR PREVIOUS b",
        "NOT a OR gap <> Shut",                /* with the machine */
        "c = PREVIOUS c OR gap = Wide",
        "NOT (b AND PREVIOUS y)",
        "gap <> Shut OR PREVIOUS y OR a",
        "gap <> Shut OR NOT PREVIOUS a",       /* may leave no way on */
        "NOT loose OR PREVIOUS z",             /* likewise */
    };
    static const char *const number[] = {
        "load < 2.5", "load >= 2.5 OR load <= 2.5",
        "NOT a OR load > 2.5", "load <= 2.5 OR PREVIOUS y"};
    unsigned n = 1 + below(m, 2);

    text_add(m->out, "ASSUMPTIONS\n");
    for (unsigned i = 0; i < n; i++)
        text_printf(m->out, "  A%u 'random' : %s BECAUSE 'random';\n", i + 1,
                    m->parts->open && chance(m, 50) ? number[below(m, 4)]
                                                    : some[below(m, 10)]);
    text_add(m->out, "END_ASSUMPTIONS\n");
}

static void possible_again(struct maker *m)
{
    static const char *const whom[] = {"a", "b", "c", "Main.d", "a, c",
                                       "b, Main.d", "a, b, c"};

    text_add(m->out, "ALWAYS POSSIBLE AGAIN ");
    if (chance(m, 70))
        text_add(m->out, "NOT Main.lock");
    else
        expression(m, 1);
    if (chance(m, 50)) {
        text_add(m->out, chance(m, 60) ? " AND " : " OR ");
        expression(m, 1);
    }
    if (chance(m, 15))
        text_printf(m->out, " OR (%s) TRUE FOR T#300ms SAMPLED",
                    chance(m, 50) ? "y" : "NOT a");
    else if (chance(m, 15))
        text_printf(m->out, " AND %sPREVIOUS (COMMANDED y)",
                    chance(m, 70) ? "NOT " : "");
    if (chance(m, 50)) {
        text_add(m->out, " WHILE ");
        expression(m, 1);
    }
    if (chance(m, 50))
        text_printf(m->out, " BY %s", whom[below(m, 7)]);
    if (m->parts->faults && chance(m, 90))
        text_printf(m->out, " DESPITE %u FAULTS", 1 + below(m, 2));
    text_add(m->out, ";\n");
}

static void exception(struct maker *m)
{
    static const char *const some[] = {
        ", EXCEPT UNTIL NOTICED", " EXCEPT UNTIL NOTICED",
        ", EXCEPT WITHIN T#400ms OF FAULT",
        " EXCEPT WITHIN T#200ms SAMPLED OF FAULT"};

    if (m->parts->noticing && chance(m, 80))
        text_add(m->out, some[below(m, 4)]);
}

/* How a fault shows, in machines that may or may not notice it. */
static void noticing(struct maker *m)
{
    static const char *const shown[] = {
        "Main.m1", "Main.m1 OR Main.m2", "READ b <> PRESSED a",
        "y <> COMMANDED y", "READ a AND READ b", "Main.m2", "z",
        "(NOT READ b) TRUE FOR T#200ms SAMPLED",
        "leaking OR F1", "F1 AND PREVIOUS F1 OR leaking", "leaking OR F1"};
    static const char *const demands[] = {
        "RISING a", "FALLING c", "RISING y", "a AND c", "RISING s"};

    text_printf(m->out, "NOTICING\n  DIAGNOSTIC %s;\n  DEMAND %s;\n",
                shown[below(m, 11)], demands[below(m, 5)]);
    if (chance(m, 60))
        text_printf(m->out, "  CYCLE %s;\n",
                    chance(m, 50) ? "RISING c" : "gap = Shut");
    if (chance(m, 50))
        text_printf(m->out, "  REPAIR %s;\n",
                    chance(m, 50) ? "PRESSED b" : "RISING c");
    text_add(m->out, "END_NOTICING\n");
}

static void requirement(struct maker *m, unsigned number)
{
    text_printf(m->out, "  R%u 'random' : ", number);
    if (m->parts->again) {
        possible_again(m);
        return;
    }
    if (m->parts->leaning) {
        leaning_requirement(m);
        return;
    }
    if (m->parts->possible) {
        text_add(m->out, "POSSIBLE ");
        expression(m, 1);
        text_add(m->out, " AND ");
        expression(m, 1);
        if (m->parts->despite)
            text_printf(m->out, " DESPITE %u FAULTS", 1 + below(m, 2));
        text_add(m->out, ";\n");
        return;
    }
    switch (below(m, 9)) {
    case 0: text_add(m->out, "NEVER "); expression(m, 2); break;
    case 1: text_add(m->out, "ALWAYS "); expression(m, 2); break;
    case 2:
        text_add(m->out, "RISING y ONLY IF ");
        expression(m, 1);
        break;
    case 3:
        text_add(m->out, "AFTER ");
        expression(m, 1);
        text_add(m->out, ", NO RISING y UNTIL ");
        expression(m, 1);
        break;
    case 4:
        text_add(m->out, "WHEN ");
        expression(m, 1);
        text_printf(m->out, " THEN %s WITHIN T#%ums SAMPLED",
                    chance(m, 50) ? "y" : "z", 100 * (1 + below(m, 4)));
        if (chance(m, 40)) {
            text_add(m->out, " UNLESS ");
            expression(m, 1);
        }
        break;
    case 5:
        expression(m, 1);
        text_printf(m->out, " NO LONGER THAN T#%ums SAMPLED",
                    100 * (1 + below(m, 5)));
        break;
    case 6:
        expression(m, 1);
        text_printf(m->out, " AT LEAST T#%ums SAMPLED",
                    100 * (1 + below(m, 3)));
        break;
    case 7:
        text_printf(m->out, "gap MOVES ONLY WHILE %s",
                    chance(m, 50) ? "y" : "z OR a");
        break;
    default:
        text_add(m->out, "NEVER y BY ITSELF STARTED BY a, b");
        if (chance(m, 50))
            text_add(m->out, " IN CYCLE z");
        if (chance(m, 50))
            text_add(m->out, " CANCELLED BY c");
        break;
    }
    if (m->parts->noticing && chance(m, 30)) {
        text_add(m->out, " DESPITE 1 FAULT AND ANOTHER AFTER AN UNNOTICED "
                         "ONE");
    } else if (m->parts->faults &&
               chance(m, m->parts->noticing ? 95 : 60)) {
        text_printf(m->out, " DESPITE %u FAULTS", 1 + below(m, 2));
        exception(m);
    }
    text_add(m->out, ";\n");
}

static void recorder(struct maker *m)
{
    text_add(m->out, "RECORDER Note\n  VAR seen : BOOL; END_VAR\n"
                     "  IF RISING y AND ");
    expression(m, 1);
    text_add(m->out, " THEN seen := TRUE; ELSIF c THEN seen := FALSE; "
                     "END_IF;\nEND_RECORDER\n");
}

/* A relay that holds itself, and an input behind it. */
static void wiring_in(struct maker *m)
{
    text_printf(m->out,
                "WIRING IN\n  VAR relay : BOOL; END_VAR\n"
                "  relay := (relay OR a) AND b;\n  c := %s;\n"
                "END_WIRING\n",
                chance(m, 50) ? "c AND NOT relay" : "c OR relay");
}

/* A relay between the program and the valve, some of them holding
 * themselves, some with a coil that is not always assigned. */
static void wiring_out(struct maker *m)
{
    static const char *const coils[] = {
        "k1 := COMMANDED y AND b;", "k1 := (COMMANDED y OR k1) AND b;",
        "IF COMMANDED z THEN k1 := b; END_IF;",
        "k1 := COMMANDED y; k1 := k1 AND b;"};

    text_printf(m->out, "WIRING OUT\n  VAR k1 : BOOL; END_VAR\n  %s\n"
                        "  y := %s;\nEND_WIRING\n",
                coils[below(m, 4)], chance(m, 70) ? "k1" : "NOT k1");
}

static void review_text(struct maker *m)
{
    static const char *const without[] = {"a", "b", "c", "y", "z", "loose",
        "PREVIOUS y", "Main.m1", "s"};
    static const char *const with[] = {"a", "b", "c", "y", "z", "loose",
        "PREVIOUS y", "Main.m1", "s", "seen", "seen", "PREVIOUS a"};
    static const char *const ranges[] = {" .. T#200ms", " .. T#150ms",
        " .. T#140ms BY T#20ms", " .. T#200ms BY T#50ms"};
    static const char *const open[] = {"a", "b", "c", "y", "z", "loose",
        "(Main.keep < Main.limit)", "Main.m1", "s", "(load >= 2.5)",
        "(Main.load > Main.limit)", "(Main.keep > 2.5)"};
    bool records = chance(m, 30);
    bool one = m->parts->possible || m->parts->again;
    unsigned n = one ? 1 : 1 + below(m, 3);

    m->bools = without;
    m->n_bools = sizeof without / sizeof *without;
    m->enums = m->review = true;
    text_printf(m->out, "REVIEW Random 'random machine, invented'\n"
                        "SCAN T#100ms%s;\n",
                m->parts->range ? ranges[below(m, 4)] : "");
    if (m->parts->every)
        text_printf(m->out, "RUNS %s EVERY %u SCANS;\n",
                    chance(m, 50) ? "Main" : "Other", 2 + below(m, 2));
    if (m->parts->open)
        text_add(m->out, "UNKNOWN Guess BECAUSE 'a library';\n");
    if (m->parts->shared)
        text_add(m->out, chance(m, 50) ? "SHARED Main.m1;\n"
                                       : "SHARED Main.m2;\n");
    if (m->parts->settings)
        random_settings_section(&m->seed, m->out);
    text_add(m->out,
             "CONTROLS\n"
             "  a : BUTTON 'button a';\n"
             "  b : BUTTON 'button b' CONTACTS OPENING;\n"
             "  c : SWITCH 'switch c';\n"
             "  s : SENSOR 'gap is shut' ON WHEN gap = Shut;\n"
             "  y : VALVE 'valve y';\n"
             "  z : VALVE 'valve z';\n");
    if (m->parts->open)
        text_add(m->out, "  load : NUMBER 'load';\n");
    text_add(m->out, "END_CONTROLS\n");
    m->parts->relay = m->parts->faults && !m->parts->leaning &&
                      chance(m, 25);
    if (m->parts->relay)
        wiring_out(m);
    else if (chance(m, m->parts->leaning ? 80 : 40))
        text_add(m->out, "WIRING OUT\n  y := COMMANDED y AND b;\n"
                         "END_WIRING\n");
    if (m->parts->again && chance(m, 25))
        wiring_in(m);
    mechanism(m);
    if (m->parts->faults)
        faults(m);
    if (m->parts->leaning)
        leaning_assumptions(m);
    else if (m->parts->assumptions)
        assumptions(m);
    if (records)
        recorder(m);
    m->bools = records ? with : without;
    m->n_bools = records ? sizeof with / sizeof *with
                         : sizeof without / sizeof *without;
    if (m->parts->open) {
        m->bools = open;
        m->n_bools = sizeof open / sizeof *open;
    }
    if (m->parts->noticing)
        noticing(m);
    text_add(m->out, "REQUIREMENTS\n");
    for (unsigned i = 0; i < n; i++)
        requirement(m, i + 1);
    text_add(m->out, "END_REQUIREMENTS\nEND_REVIEW\n");
}

void random_review(uint64_t seed, struct text *control, struct text *review,
                   struct random_parts *parts)
{
    static const char *const names[] = {"a", "b", "c", "s", "m1", "m2", "y",
                                        "z", "d", "m1", "m2"};
    struct maker m = {
        .seed = hash_word(seed + 77), .out = control, .bools = names,
        .n_bools = parts->again ? 11 : 8, .enums = true,
        .parts = parts,
    };

    *parts = (struct random_parts){
        .power = chance(&m, 35), .faults = chance(&m, 50),
        .movements = chance(&m, 70), .assumptions = chance(&m, 65),
        .timers = chance(&m, 50), .possible = parts->possible,
        .despite = parts->despite,
        .again = parts->again,
        .leaning = parts->leaning, .range = parts->range,
        .every = parts->every, .loops = parts->loops,
        .settings = parts->settings,
        .noticing = parts->noticing,
        .open = parts->open,
    };
    if (parts->noticing) { /* smaller: noticing and clocks are remembered */
        parts->faults = true;
        parts->power = parts->power && chance(&m, 60);
        parts->movements = parts->movements && chance(&m, 50);
        parts->timers = parts->timers && chance(&m, 50);
    }
    if (parts->despite) { /* smaller: asked of each set of faults */
        parts->faults = true;
        parts->movements = parts->movements && chance(&m, 50);
        parts->timers = parts->timers && chance(&m, 50);
    }
    if (parts->open) { /* smaller: each value is several ways on */
        parts->power = parts->power && chance(&m, 60);
        parts->faults = parts->faults && chance(&m, 50);
        parts->movements = parts->movements && chance(&m, 60);
        parts->timers = parts->timers && chance(&m, 40);
    }
    parts->shared = parts->again && chance(&m, 50);
    if (parts->leaning) { /* smaller: dropped assumptions make them large */
        parts->power = parts->power && chance(&m, 50);
        parts->movements = parts->movements && chance(&m, 60);
        parts->timers = parts->timers && chance(&m, 40);
    }
    control_text(&m);
    m.out = review;
    review_text(&m);
}
