#include "tests/support/random_review.h"

#include "base/hash.h"
#include "tests/support/random_machine.h"
#include "tests/support/random_settings.h"

static void movement(struct maker *m, const char *from, const char *to)
{
    text_printf(m->out, "  MOVES gap FROM %s TO %s", from, to);
    switch (machine_below(m, 3)) {
    case 0:
        text_printf(m->out, " IN T#%ums .. T#%ums",
                    100 + 100 * machine_below(m, 2),
                    300 + 100 * machine_below(m, 2));
        break;
    case 1:
        text_printf(m->out, " IN T#%ums ..", 100 + 100 * machine_below(m, 3));
        break;
    default:
        break;
    }
    text_printf(m->out, " WHILE %s%s;\n", machine_chance(m, 30) ? "NOT " : "",
                machine_chance(m, 50) ? "y" : "z");
}

static void mechanism(struct maker *m)
{
    text_printf(m->out, "MECHANISM Gate\n  VAR gap : (Shut, Narrow, Wide)%s; "
                        "loose : BOOL := FALSE; END_VAR\n",
                machine_chance(m, 60) ? " := Wide" : "");
    if (m->parts->movements) {
        movement(m, "Wide", "Narrow");
        movement(m, "Narrow", machine_chance(m, 70) ? "Shut" : "Wide");
        if (machine_chance(m, 40))
            movement(m, "Narrow", "Wide");
    }
    if (machine_chance(m, 50))
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

    if (machine_chance(m, 40))
        text_add(m->out, when[machine_below(m, 3) == 0]);
    if (machine_chance(m, 25))
        text_printf(m->out, ", FOLLOWS FROM %s",
                    number > 1 && machine_chance(m, 60) ? "F1" : "leaking");
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
    unsigned n = 1 + machine_below(m, 3);

    text_add(m->out, "FAULTS\n  leaking : IN MECHANISM;\n");
    struct maker apart = *m; /* leaves the rest of the machine as it is */
    bool plain = machine_chance(&apart, 60);
    for (unsigned i = 0; i < n; i++) {
        bool old = m->parts->leaning || machine_chance(m, 50);
        text_printf(m->out, "  F%u : %s", i + 1,
                    m->parts->relay && machine_chance(m, 50)
                        ? of_relay[machine_below(m, 6)]
                        : phrases[m->parts->again && machine_chance(m, 35)
                                      ? 15 + machine_below(m, 2)
                                      : machine_below(m, old ? 11 : 20)]);
        if (!plain)
            manner(&apart, i + 1);
        text_add(m->out, ";\n");
    }
    if (!plain && n > 1 && machine_chance(&apart, 60))
        text_printf(m->out, "  both : ONE CAUSE OF %s, F%u;\n",
                    machine_chance(&apart, 50) ? "leaking" : "F1", n);
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
    unsigned n = 1 + machine_below(m, 3);

    text_add(m->out, "ASSUMPTIONS\n");
    for (unsigned i = 0; i < n; i++)
        text_printf(m->out, "  A%u 'random' : %s BECAUSE 'random';\n", i + 1,
                    some[machine_below(m, 15)]);
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

    text_add(m->out, some[machine_below(m, 16)]);
    if (m->parts->faults && machine_chance(m, 40))
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
    unsigned n = 1 + machine_below(m, 2);

    text_add(m->out, "ASSUMPTIONS\n");
    for (unsigned i = 0; i < n; i++)
        text_printf(m->out, "  A%u 'random' : %s BECAUSE 'random';\n", i + 1,
                    m->parts->open && machine_chance(m, 50)
                        ? number[machine_below(m, 4)]
                        : some[machine_below(m, 10)]);
    text_add(m->out, "END_ASSUMPTIONS\n");
}

static void possible_again(struct maker *m)
{
    static const char *const whom[] = {"a", "b", "c", "Main.d", "a, c",
                                       "b, Main.d", "a, b, c"};

    text_add(m->out, "ALWAYS POSSIBLE AGAIN ");
    if (machine_chance(m, 70))
        text_add(m->out, "NOT Main.lock");
    else
        machine_phrase(m, 1);
    if (machine_chance(m, 50)) {
        text_add(m->out, machine_chance(m, 60) ? " AND " : " OR ");
        machine_phrase(m, 1);
    }
    if (machine_chance(m, 15))
        text_printf(m->out, " OR (%s) TRUE FOR T#300ms SAMPLED",
                    machine_chance(m, 50) ? "y" : "NOT a");
    else if (machine_chance(m, 15))
        text_printf(m->out, " AND %sPREVIOUS (COMMANDED y)",
                    machine_chance(m, 70) ? "NOT " : "");
    if (machine_chance(m, 50)) {
        text_add(m->out, " WHILE ");
        machine_phrase(m, 1);
    }
    if (machine_chance(m, 50))
        text_printf(m->out, " BY %s", whom[machine_below(m, 7)]);
    if (m->parts->faults && machine_chance(m, 90))
        text_printf(m->out, " DESPITE %u FAULTS", 1 + machine_below(m, 2));
    text_add(m->out, ";\n");
}

static void exception(struct maker *m)
{
    static const char *const some[] = {
        ", EXCEPT UNTIL NOTICED", " EXCEPT UNTIL NOTICED",
        ", EXCEPT WITHIN T#400ms OF FAULT",
        " EXCEPT WITHIN T#200ms SAMPLED OF FAULT"};

    if (m->parts->noticing && machine_chance(m, 80))
        text_add(m->out, some[machine_below(m, 4)]);
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
                shown[machine_below(m, 11)], demands[machine_below(m, 5)]);
    if (machine_chance(m, 60))
        text_printf(m->out, "  CYCLE %s;\n",
                    machine_chance(m, 50) ? "RISING c" : "gap = Shut");
    if (machine_chance(m, 50))
        text_printf(m->out, "  REPAIR %s;\n",
                    machine_chance(m, 50) ? "PRESSED b" : "RISING c");
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
        machine_phrase(m, 1);
        text_add(m->out, " AND ");
        machine_phrase(m, 1);
        if (m->parts->despite)
            text_printf(m->out, " DESPITE %u FAULTS", 1 + machine_below(m, 2));
        text_add(m->out, ";\n");
        return;
    }
    switch (machine_below(m, 9)) {
    case 0:
        text_add(m->out, "NEVER ");
        machine_phrase(m, 2);
        break;
    case 1:
        text_add(m->out, "ALWAYS ");
        machine_phrase(m, 2);
        break;
    case 2:
        text_add(m->out, "RISING y ONLY IF ");
        machine_phrase(m, 1);
        break;
    case 3:
        text_add(m->out, "AFTER ");
        machine_phrase(m, 1);
        text_add(m->out, ", NO RISING y UNTIL ");
        machine_phrase(m, 1);
        break;
    case 4:
        text_add(m->out, "WHEN ");
        machine_phrase(m, 1);
        text_printf(m->out, " THEN %s WITHIN T#%ums SAMPLED",
                    machine_chance(m, 50) ? "y" : "z",
                    100 * (1 + machine_below(m, 4)));
        if (machine_chance(m, 40)) {
            text_add(m->out, " UNLESS ");
            machine_phrase(m, 1);
        }
        break;
    case 5:
        machine_phrase(m, 1);
        text_printf(m->out, " NO LONGER THAN T#%ums SAMPLED",
                    100 * (1 + machine_below(m, 5)));
        break;
    case 6:
        machine_phrase(m, 1);
        text_printf(m->out, " AT LEAST T#%ums SAMPLED",
                    100 * (1 + machine_below(m, 3)));
        break;
    case 7:
        text_printf(m->out, "gap MOVES ONLY WHILE %s",
                    machine_chance(m, 50) ? "y" : "z OR a");
        break;
    default:
        text_add(m->out, "NEVER y BY ITSELF STARTED BY a, b");
        if (machine_chance(m, 50))
            text_add(m->out, " IN CYCLE z");
        if (machine_chance(m, 50))
            text_add(m->out, " CANCELLED BY c");
        break;
    }
    if (m->parts->noticing && machine_chance(m, 30)) {
        text_add(m->out, " DESPITE 1 FAULT AND ANOTHER AFTER AN UNNOTICED "
                         "ONE");
    } else if (m->parts->faults &&
               machine_chance(m, m->parts->noticing ? 95 : 60)) {
        text_printf(m->out, " DESPITE %u FAULTS", 1 + machine_below(m, 2));
        exception(m);
    }
    text_add(m->out, ";\n");
}

static void recorder(struct maker *m)
{
    text_add(m->out, "RECORDER Note\n  VAR seen : BOOL; END_VAR\n"
                     "  IF RISING y AND ");
    machine_phrase(m, 1);
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
                machine_chance(m, 50) ? "c AND NOT relay" : "c OR relay");
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
                coils[machine_below(m, 4)],
                machine_chance(m, 70) ? "k1" : "NOT k1");
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
    bool records = machine_chance(m, 30);
    bool one = m->parts->possible || m->parts->again;
    unsigned n = one ? 1 : 1 + machine_below(m, 3);

    m->bools = without;
    m->n_bools = sizeof without / sizeof *without;
    m->enums = m->review = true;
    text_printf(m->out, "REVIEW Random 'random machine, invented'\n"
                        "SCAN T#100ms%s;\n",
                m->parts->range ? ranges[machine_below(m, 4)] : "");
    if (m->parts->every)
        text_printf(m->out, "RUNS %s EVERY %u SCANS;\n",
                    machine_chance(m, 50) ? "Main" : "Other",
                    2 + machine_below(m, 2));
    if (m->parts->open)
        text_add(m->out, "UNKNOWN Guess BECAUSE 'a library';\n");
    if (m->parts->shared)
        text_add(m->out, machine_chance(m, 50) ? "SHARED Main.m1;\n"
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
                      machine_chance(m, 25);
    if (m->parts->relay)
        wiring_out(m);
    else if (machine_chance(m, m->parts->leaning ? 80 : 40))
        text_add(m->out, "WIRING OUT\n  y := COMMANDED y AND b;\n"
                         "END_WIRING\n");
    if (m->parts->again && machine_chance(m, 25))
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
        .power = machine_chance(&m, 35), .faults = machine_chance(&m, 50),
        .movements = machine_chance(&m, 70),
        .assumptions = machine_chance(&m, 65),
        .timers = machine_chance(&m, 50), .possible = parts->possible,
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
        parts->power = parts->power && machine_chance(&m, 60);
        parts->movements = parts->movements && machine_chance(&m, 50);
        parts->timers = parts->timers && machine_chance(&m, 50);
    }
    if (parts->despite) { /* smaller: asked of each set of faults */
        parts->faults = true;
        parts->movements = parts->movements && machine_chance(&m, 50);
        parts->timers = parts->timers && machine_chance(&m, 50);
    }
    if (parts->open) { /* smaller: each value is several ways on */
        parts->power = parts->power && machine_chance(&m, 60);
        parts->faults = parts->faults && machine_chance(&m, 50);
        parts->movements = parts->movements && machine_chance(&m, 60);
        parts->timers = parts->timers && machine_chance(&m, 40);
    }
    parts->shared = parts->again && machine_chance(&m, 50);
    if (parts->leaning) { /* smaller: dropped assumptions make them large */
        parts->power = parts->power && machine_chance(&m, 50);
        parts->movements = parts->movements && machine_chance(&m, 60);
        parts->timers = parts->timers && machine_chance(&m, 40);
    }
    machine_control(&m);
    m.out = review;
    review_text(&m);
}
