/* The ready-made pieces of models/parts/: every requirement of every review
 * is kept and put to the test, every changed piece breaks the requirement
 * that its EXPECTED names, every scenario goes as expected.
 *
 * And the states of five pieces, one by one, against the published state
 * numbers of the function blocks whose behaviour they were written from.
 * Source: PLCopen TC5 Safety Software, Part 1 (v2.01, 2020), the numbers and
 * what each stands for as public help pages of block libraries give them; a
 * number or a way that is from memory, or our own where nothing was found,
 * says so beside it.  The pieces claim no conformity with it. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "base/os.h"
#include "base/text.h"
#include "tests/support/folder.h"
#include "tests/support/trial.h"

/* With sanitizers everything is many times slower. */
#ifdef __SANITIZE_ADDRESS__
enum { ONE_IN = 8 };
#else
enum { ONE_IN = 1 };
#endif

static const char *const pieces[] = {
    "two_hand_2", "two_hand_3", "emergency_stop", "guard", "enabling",
    "device_monitor", "mode_selector", "safety_request", "hold_to_run",
    "reset_button", "rescue",
};

static const char *const patterns[] = {
    "cylinder", "spool_valve", "push_button", "two_channels", "rocker",
    "key_switch", "flap",
};

static void review_of(struct text *path, const char *name)
{
    text_printf(path, "models/parts/%s/%s.review", name, name);
}

static void folder_holds(const char *name, bool piece)
{
    struct text review = {0}, changes = {0};

    review_of(&review, name);
    text_printf(&changes, "models/parts/%s/changes/", name);
    folder_kept(text_str(&review));
    folder_changes_break(text_str(&review), text_str(&changes), ONE_IN);
    assert_true(folder_plays(text_str(&review)) > 0 || !piece);
    text_release(&review);
    text_release(&changes);
}

static void test_pieces(void **unused)
{
    (void)unused;
    for (size_t i = 0; i < sizeof pieces / sizeof *pieces; i++)
        folder_holds(pieces[i], true);
}

static void test_patterns(void **unused)
{
    (void)unused;
    for (size_t i = 0; i < sizeof patterns / sizeof *patterns; i++)
        folder_holds(patterns[i], false);
}

static void read_piece(struct text *control, const char *name)
{
    struct text path = {0}, piece = {0};

    text_printf(&path, "models/parts/%s/%s.st", name, name);
    assert_int_equal(os_read_file(text_str(&path), 1 << 16, &piece), OS_OK);
    text_printf(control, "%s\n", text_str(&piece));
    text_release(&path);
    text_release(&piece);
}

/* Pieces that are used in one program must not take names from another. */
static void test_all_in_one(void **unused)
{
    struct text control = {0};
    struct trial t;

    (void)unused;
    for (size_t i = 0; i < sizeof pieces / sizeof *pieces; i++)
        read_piece(&control, pieces[i]);
    text_add(&control,
             "PROGRAM Main VAR_INPUT a, b : BOOL; END_VAR\n"
             "VAR h : TwoHandTypeIII; s : EmergencyStop; END_VAR\n"
             "h(left := a, right := b); s(stop_ok := a, reset := b);\n"
             "END_PROGRAM\n");
    trial_open(&t, text_str(&control), "REVIEW All SCAN T#100ms; END_REVIEW");
    trial_scan(&t);
    trial_close(&t);
    text_release(&control);
}

/* ---- published states ---- */

enum { MOST_STATES = 20, MOST_INPUTS = 6 };

/* So many scans with these inputs TRUE, by their letters; in each the piece
 * stands in the state of this number. */
struct step {
    unsigned scans;
    const char *on;
    unsigned number;
};

/* numbers: of the states of the piece, in the order of its enumeration.  The
 * output is TRUE in 8000 and also_on (0: none), and in no other. */
struct published {
    const char *piece, *block, *more; /* more: arguments given besides */
    struct {
        char letter;
        const char *name;
    } inputs[MOST_INPUTS];
    const unsigned *numbers;
    unsigned n_numbers;
    const char *out;
    const struct step *steps;
    unsigned n_steps;
    bool *seen; /* over several tables of a piece */
    unsigned also_on;
};

#define MANY(a) a, sizeof(a) / sizeof *(a)

static void write_program(struct text *control, const struct published *p)
{
    const char *join = "";

    text_add(control, "PROGRAM Main\nVAR_INPUT ");
    for (unsigned i = 0; i < MOST_INPUTS && p->inputs[i].letter; i++)
        text_printf(control, "%s%s", i ? ", " : "", p->inputs[i].name);
    text_printf(control, " : BOOL; END_VAR\nVAR part : %s; END_VAR\n  part(",
                p->block);
    for (unsigned i = 0; i < MOST_INPUTS && p->inputs[i].letter; i++) {
        text_printf(control, "%s%s := %s", join, p->inputs[i].name,
                    p->inputs[i].name);
        join = ", ";
    }
    text_printf(control, "%s);\nEND_PROGRAM\n", p->more);
}

static void write_review(struct text *review, const struct published *p)
{
    text_add(review, "REVIEW States SCAN T#100ms;\n  CONTROLS\n");
    for (unsigned i = 0; i < MOST_INPUTS && p->inputs[i].letter; i++)
        text_printf(review, "    %s : BUTTON;\n", p->inputs[i].name);
    text_add(review, "  END_CONTROLS\nEND_REVIEW\n");
}

static void one_scan(struct trial *t, const struct published *p,
                     unsigned step)
{
    struct text out = {0};
    unsigned wanted = p->steps[step].number;
    int64_t state;

    for (unsigned i = 0; i < MOST_INPUTS && p->inputs[i].letter; i++)
        text_model_choose(&t->text, p->inputs[i].name,
                          strchr(p->steps[step].on, p->inputs[i].letter)
                              != NULL);
    trial_scan(t);
    state = trial_now(t, "Main.part.state");
    assert_in_range(state, 0, p->n_numbers - 1);
    if (p->numbers[state] != wanted)
        fail_msg("%s, step %u (%s): %04X, not %04X", p->block, step + 1,
                 p->steps[step].on, p->numbers[state], wanted);
    p->seen[state] = true;
    text_printf(&out, "Main.part.%s", p->out);
    assert_int_equal(trial_now(t, text_str(&out)),
                     wanted == 0x8000 ||
                         (p->also_on && wanted == p->also_on));
    text_release(&out);
}

static void walk(const struct published *p)
{
    struct text control = {0}, review = {0};
    struct trial t;

    read_piece(&control, p->piece);
    write_program(&control, p);
    write_review(&review, p);
    trial_open(&t, text_str(&control), text_str(&review));
    for (unsigned i = 0; i < p->n_steps; i++)
        for (unsigned n = 0; n < p->steps[i].scans; n++)
            one_scan(&t, p, i);
    trial_close(&t);
    text_release(&control);
    text_release(&review);
}

static void all_seen(const struct published *p)
{
    for (unsigned i = 0; i < p->n_numbers; i++)
        if (!p->seen[i])
            fail_msg("%s: %04X was not reached", p->block, p->numbers[i]);
}

/* Idle, Begun, Free, LeftFirst, RightFirst, Both, LeftStays, RightStays,
 * HeldAgain, WrongHands, LeftEarly, RightEarly, BothEarly, LeftLate,
 * RightLate, BothLate.  The last three, type III only: numbers from memory. */
static const unsigned two_hand_numbers[] = {
    0x0000, 0x8001, 0x8802, 0x8804, 0x8806, 0x8000, 0x8808, 0x880A,
    0x880C, 0x880E, 0xC001, 0xC002, 0xC003, 0xC004, 0xC005, 0xC006,
};

#define BOTH_TYPES                                                            \
    {1, "", 0x0000}, {1, "e", 0x8001}, {2, "e", 0x8802},                      \
    {1, "el", 0x8804}, {2, "elr", 0x8000},                                    \
    {2, "el", 0x8808}, {2, "elr", 0x880C},                                    \
    {1, "e", 0x8802}, {1, "er", 0x8806}, {1, "elr", 0x8000},                  \
    {1, "er", 0x880A}, {1, "elr", 0x880C},                                    \
    /* one let go of two that were held again: our own reading of 880E */     \
    {2, "el", 0x880E}, {1, "elr", 0x880E}, {1, "e", 0x8802},                  \
    /* one hand for the other without both let go: the same */                \
    {1, "el", 0x8804}, {1, "er", 0x880E}, {1, "e", 0x8802},                   \
    {1, "elr", 0x8000}, {1, "e", 0x8802}, {1, "", 0x0000},                    \
    /* held at activation; that init follows the release is our own */        \
    {1, "el", 0xC001}, {1, "e", 0x8001}, {1, "l", 0x0000},                    \
    {1, "er", 0xC002}, {1, "e", 0x8001}, {1, "lr", 0x0000},                   \
    {1, "elr", 0xC003}, {1, "el", 0xC003}, {1, "e", 0x8001},                  \
    {1, "elr", 0x8000}, {1, "lr", 0x0000}, {1, "e", 0x8001}

#define TWO_HANDS {{'l', "left"}, {'r', "right"}, {'e', "enable"}}

static void test_two_hand_states(void **unused)
{
    static const struct step two[] = {
        BOTH_TYPES, {100, "el", 0x8804}, {1, "elr", 0x8000},
    };
    /* 500 ms after the first press is in time, 600 ms is not. */
    static const struct step three[] = {
        BOTH_TYPES,
        {5, "el", 0x8804}, {1, "elr", 0x8000}, {1, "e", 0x8802},
        {6, "el", 0x8804}, {2, "el", 0xC004}, {2, "elr", 0xC004},
        {1, "e", 0x8001}, {6, "er", 0x8806}, {1, "er", 0xC005},
        {1, "e", 0x8001}, {6, "el", 0x8804}, {1, "elr", 0xC006},
        {1, "er", 0xC006}, {1, "e", 0x8001},
    };
    bool seen_2[MOST_STATES] = {false}, seen_3[MOST_STATES] = {false};
    const struct published type_2 = {
        "two_hand_2", "TwoHandTypeII", "", TWO_HANDS, two_hand_numbers,
        13, "out", MANY(two), seen_2, 0};
    const struct published type_3 = {
        "two_hand_3", "TwoHandTypeIII", "", TWO_HANDS,
        MANY(two_hand_numbers), "out", MANY(three), seen_3, 0};

    (void)unused;
    walk(&type_2);
    all_seen(&type_2);
    walk(&type_3);
    all_seen(&type_3);
}

/* Idle, Begun, FirstStopped, FirstReset, Allowed, Stopped, AwaitsReset,
 * FirstHeld, ResetHeld. */
static const unsigned stop_numbers[] = {
    0x0000, 0x8001, 0x8802, 0x8402, 0x8000, 0x8804, 0x8404, 0xC001, 0xC011,
};

#define STOP_INPUTS {{'s', "stop_ok"}, {'r', "reset"}, {'e', "enable"}}

static void test_emergency_stop_states(void **unused)
{
    static const struct step with_reset[] = {
        {1, "s", 0x0000}, {1, "es", 0x8001}, {1, "es", 0x8802},
        {2, "es", 0x8402}, {2, "ers", 0x8000}, {1, "es", 0x8000},
        {2, "e", 0x8804}, {1, "er", 0xC011}, {2, "ers", 0xC011},
        {1, "es", 0x8804}, {2, "es", 0x8404}, {1, "e", 0x8804},
        {1, "es", 0x8404}, {1, "ers", 0x8000}, {1, "rs", 0x0000},
        {1, "ers", 0x8001}, {1, "ers", 0x8802}, {2, "ers", 0xC001},
        {1, "es", 0x8802}, {1, "es", 0x8402}, {1, "e", 0x8802},
    };
    static const struct step at_start[] = {
        {1, "es", 0x8001}, {1, "es", 0x8000}, {1, "e", 0x8804},
        {1, "es", 0x8404}, {3, "es", 0x8404}, {1, "ers", 0x8000},
    };
    static const struct step after_stop[] = {
        {1, "es", 0x8001}, {1, "es", 0x8802}, {3, "es", 0x8402},
        {1, "ers", 0x8000}, {1, "e", 0x8804}, {1, "es", 0x8404},
        {1, "es", 0x8000},
    };
    bool seen[MOST_STATES] = {false};
    const struct published tables[] = {
        {"emergency_stop", "EmergencyStop", "", STOP_INPUTS,
         MANY(stop_numbers), "out", MANY(with_reset), seen, 0},
        {"emergency_stop", "EmergencyStop", ", starts_alone := TRUE",
         STOP_INPUTS, MANY(stop_numbers), "out", MANY(at_start), seen, 0},
        {"emergency_stop", "EmergencyStop", ", again_alone := TRUE",
         STOP_INPUTS, MANY(stop_numbers), "out", MANY(after_stop), seen, 0},
    };

    (void)unused;
    for (size_t i = 0; i < sizeof tables / sizeof *tables; i++)
        walk(&tables[i]);
    all_seen(&tables[0]);
}

/* Idle, OtherMode, SafeMode, LetGo, Middle, Squeezed, NotLetGo, LetGoLate,
 * BackToMiddle, LetGoAfter.  Channels from memory: let go is FALSE TRUE,
 * middle TRUE TRUE, squeezed FALSE FALSE. */
static const unsigned enabling_numbers[] = {
    0x0000, 0x8002, 0x8004, 0x8802, 0x8000, 0x8804,
    0xC010, 0xC020, 0xC030, 0xC040,
};

#define GRIP_INPUTS                                                           \
    {{'m', "safe_mode"}, {'1', "channel_1"}, {'2', "channel_2"},              \
     {'r', "reset"}, {'e', "enable"}}

static void test_enabling_states(void **unused)
{
    static const struct step steps[] = {
        {1, "2", 0x0000}, {2, "e2", 0x8002}, {1, "em2", 0x8004},
        {2, "em2", 0x8802}, {2, "em12", 0x8000}, {1, "em2", 0x8802},
        {1, "em12", 0x8000}, {2, "em", 0x8804}, {1, "em2", 0x8802},
        {1, "em", 0x8804}, {2, "em12", 0xC030}, {1, "em", 0xC030},
        {2, "em2", 0xC040}, {1, "em12", 0xC030}, {1, "em2", 0xC040},
        {1, "em2r", 0x8802}, {1, "em12", 0x8000}, {1, "e12", 0x8002},
        {1, "em12", 0x8004}, {2, "em12", 0xC010}, {2, "em2", 0xC020},
        {1, "em12r", 0xC010}, {1, "em2r", 0xC020}, {1, "em2", 0xC020},
        {1, "em2r", 0x8802},
    };
    static const struct step again[] = {
        {1, "em", 0x8004}, {1, "em", 0xC010}, {1, "em2", 0xC020},
        {1, "em2", 0x8802}, {1, "em", 0x8804}, {1, "em12", 0xC030},
        {1, "em2", 0xC040}, {1, "em2", 0x8802},
    };
    bool seen[MOST_STATES] = {false};
    const struct published with_reset = {
        "enabling", "EnablingDevice", "", GRIP_INPUTS,
        MANY(enabling_numbers), "out", MANY(steps), seen, 0};
    const struct published alone = {
        "enabling", "EnablingDevice", ", again_alone := TRUE", GRIP_INPUTS,
        MANY(enabling_numbers), "out", MANY(again), seen, 0};

    (void)unused;
    walk(&with_reset);
    walk(&alone);
    all_seen(&with_reset);
}

/* Idle, AwaitsReset, Working, WorkingSafely, Asked, SafeNow, Cleared, Lost,
 * NotConfirmed. */
static const unsigned request_numbers[] = {
    0x0000, 0x8401, 0x8802, 0x8804, 0x8002, 0x8000, 0x8004, 0xC010, 0xC020,
};

/* From init and from an error a rising reset leads on: our own reading.  The
 * answer may take 500 ms here. */
static void test_safety_request_states(void **unused)
{
    static const struct step steps[] = {
        {1, "", 0x0000}, {2, "ew", 0x8401}, {2, "ewr", 0x8802},
        {2, "ewa", 0x8804}, {1, "ew", 0x8802}, {1, "e", 0x8002},
        {4, "e", 0x8002}, {2, "ea", 0x8000}, {2, "e", 0xC010},
        {1, "er", 0x8004}, {3, "er", 0x8004}, {1, "ea", 0x8000},
        {1, "ew", 0x8802}, {5, "e", 0x8002}, {2, "e", 0xC020},
        {1, "ew", 0xC020}, {1, "er", 0x8004}, {1, "ew", 0x8802},
        {1, "w", 0x0000},
    };
    bool seen[MOST_STATES] = {false};
    const struct published table = {
        "safety_request", "SafetyRequest", "",
        {{'w', "work_wanted"}, {'a', "answered"}, {'r', "reset"},
         {'e', "enable"}},
        MANY(request_numbers), "safe", MANY(steps), seen, 0};

    (void)unused;
    walk(&table);
    all_seen(&table);
}

/* ---- published behaviour without numbers ----
 *
 * The same source tells how these three behave; the numbers of their states
 * were not found, so those here are our own, but for 8000, output on. */

/* Idle, Begun, Opened, WideOpen, Closing, AwaitsReset, Shut, Apart, OneStuck,
 * ResetHeld. */
static const unsigned guard_numbers[] = {0, 1, 2, 3, 4, 5, 0x8000, 7, 8, 9};

#define GUARD_INPUTS                                                          \
    {{'1', "switch_1"}, {'2', "switch_2"}, {'r', "reset"}, {'e', "enable"}}

/* Both switches within 500 ms on closing, 500 ms included. */
static void test_guard_behaviour(void **unused)
{
    static const struct step with_reset[] = {
        {1, "12", 0}, {1, "e12", 1}, {2, "e12", 5}, {2, "e12r", 0x8000},
        {1, "e12", 0x8000}, {2, "e2", 2}, {1, "e", 3}, {1, "e1", 4},
        {1, "e12", 5}, {1, "e12r", 0x8000}, {1, "e1", 2}, {1, "e12", 8},
        {1, "e12r", 8}, {1, "e1", 8}, {1, "e", 3}, {5, "e1", 4},
        {1, "e1", 7}, {2, "e12", 7}, {1, "e", 3}, {4, "e2", 4},
        {1, "e1", 4}, {1, "e12", 5}, {1, "e", 2}, {1, "e", 3},
        {3, "e12r", 9}, {1, "e12", 5}, {1, "e12r", 0x8000}, {1, "12", 0},
        {1, "e12r", 1}, {1, "e12r", 9}, {1, "e1r", 2}, {1, "e", 3},
    };
    static const struct step at_start[] = {
        {1, "e12", 1}, {1, "e12", 0x8000}, {1, "e1", 2}, {1, "e", 3},
        {3, "e12", 5}, {1, "12", 0}, {1, "e12", 1}, {1, "e12", 0x8000},
        {1, "12", 0}, {1, "e", 1}, {1, "e", 2}, {1, "e", 3}, {1, "e12", 5},
    };
    static const struct step again[] = {
        {1, "e12", 1}, {2, "e12", 5}, {1, "e12r", 0x8000}, {1, "e1", 2},
        {1, "e", 3}, {1, "e1", 4}, {1, "e12", 0x8000}, {1, "e2", 2},
        {1, "e12", 8}, {1, "e", 3}, {1, "e12r", 0x8000},
    };
    bool seen[MOST_STATES] = {false};
    const struct published tables[] = {
        {"guard", "GuardMonitoring", "", GUARD_INPUTS, MANY(guard_numbers),
         "out", MANY(with_reset), seen, 0},
        {"guard", "GuardMonitoring", ", starts_alone := TRUE", GUARD_INPUTS,
         MANY(guard_numbers), "out", MANY(at_start), seen, 0},
        {"guard", "GuardMonitoring", ", again_alone := TRUE", GUARD_INPUTS,
         MANY(guard_numbers), "out", MANY(again), seen, 0},
    };

    (void)unused;
    for (size_t i = 0; i < sizeof tables / sizeof *tables; i++)
        walk(&tables[i]);
    all_seen(&tables[0]);
}

/* Idle, Begun, AwaitsReset, AtRest, SwitchingOn, Working, SwitchingOff,
 * NotAtRest, NotLeft, CameBack, NotReturned. */
static const unsigned device_numbers[] = {
    0, 1, 2, 3, 4, 0x8000, 6, 7, 8, 9, 10,
};

#define DEVICE_INPUTS                                                         \
    {{'c', "command"}, {'1', "rest_1"}, {'2', "rest_2"}, {'r', "reset"},      \
     {'e', "enable"}}

/* That a reset wants the command gone is our own. */
static void test_device_behaviour(void **unused)
{
    static const struct step with_reset[] = {
        {1, "12", 0}, {1, "e12", 1}, {1, "e12", 2}, {1, "e12rc", 2},
        {1, "e12", 2}, {1, "e12r", 3}, {1, "e12c", 4}, {1, "e1c", 4},
        {2, "ec", 0x8000}, {1, "e", 6}, {1, "e1", 6}, {1, "e12", 3},
        {5, "e12c", 4}, {1, "e1c", 8}, {1, "e12c", 8}, {1, "e12cr", 8},
        {1, "e12", 8}, {1, "e12r", 3}, {1, "e12c", 4}, {1, "ec", 0x8000},
        {1, "e1c", 9}, {1, "e12r", 3}, {1, "e12c", 4}, {1, "ec", 0x8000},
        {5, "e2", 6}, {1, "e2", 10}, {1, "e2r", 10}, {1, "e12", 10},
        {1, "e12r", 3}, {1, "e1", 7}, {1, "e12r", 3}, {1, "e12c", 4},
        {1, "ec", 0x8000}, {1, "e", 6}, {1, "ec", 6}, {1, "e1c", 6},
        {1, "e12c", 3}, {1, "e12c", 4}, {1, "12c", 0}, {1, "e1", 1},
        {1, "e1", 7}, {1, "12", 0}, {1, "e12", 1}, {1, "e12", 2},
        {1, "e2", 7},
    };
    static const struct step at_start[] = {
        {1, "e12", 1}, {1, "e12", 3}, {1, "e12c", 4}, {1, "ec", 0x8000},
    };
    bool seen[MOST_STATES] = {false};
    const struct published tables[] = {
        {"device_monitor", "ExternalDeviceMonitoring", "", DEVICE_INPUTS,
         MANY(device_numbers), "out", MANY(with_reset), seen, 4},
        {"device_monitor", "ExternalDeviceMonitoring",
         ", starts_alone := TRUE", DEVICE_INPUTS, MANY(device_numbers),
         "out", MANY(at_start), seen, 4},
    };

    (void)unused;
    walk(&tables[0]);
    walk(&tables[1]);
    all_seen(&tables[0]);
}

/* Idle, Begun, Turned, Chosen, SeveralOn, NoneOn. */
static const unsigned mode_numbers[] = {0, 1, 2, 0x8000, 4, 5};

#define MODE_INPUTS                                                           \
    {{'a', "position_0"}, {'b', "position_3"}, {'u', "unlock"},               \
     {'c', "choose"}, {'r', "reset"}, {'e', "enable"}}

/* No position for less than 500 ms is tolerated. */
static void test_mode_behaviour(void **unused)
{
    static const struct step by_button[] = {
        {1, "au", 0}, {1, "eau", 1}, {2, "eau", 2}, {2, "eauc", 0x8000},
        {1, "ebu", 2}, {1, "ebuc", 0x8000}, {1, "eb", 0x8000},
        {2, "ea", 0x8000}, {1, "eau", 2}, {1, "eac", 2}, {1, "eauc", 2},
        {1, "eau", 2}, {1, "eauc", 0x8000}, {1, "eabu", 4}, {1, "eau", 4},
        {1, "eabur", 4}, {1, "eau", 4}, {1, "eaur", 2}, {1, "eauc", 0x8000},
        {5, "eu", 2}, {1, "eu", 5}, {1, "eur", 5}, {1, "ebu", 5},
        {1, "ebur", 2}, {1, "ebuc", 0x8000}, {5, "eu", 2}, {1, "eau", 2},
        {1, "eauc", 0x8000}, {1, "eu", 2}, {1, "eabuc", 4}, {1, "au", 0},
    };
    static const struct step by_turning[] = {
        {1, "eau", 1}, {1, "eau", 0x8000}, {1, "ebu", 2},
        {1, "ebu", 0x8000}, {2, "ea", 0x8000}, {1, "eau", 2},
        {1, "ea", 2}, {1, "eau", 0x8000},
    };
    bool seen[MOST_STATES] = {false};
    const struct published tables[] = {
        {"mode_selector", "ModeSelector", "", MODE_INPUTS,
         MANY(mode_numbers), "any_mode", MANY(by_button), seen, 0},
        {"mode_selector", "ModeSelector", ", choose_alone := TRUE",
         MODE_INPUTS, MANY(mode_numbers), "any_mode", MANY(by_turning), seen,
         0},
    };

    (void)unused;
    walk(&tables[0]);
    walk(&tables[1]);
    all_seen(&tables[0]);
}

int main(void)
{
    static const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_pieces),
        cmocka_unit_test(test_patterns),
        cmocka_unit_test(test_all_in_one),
        cmocka_unit_test(test_two_hand_states),
        cmocka_unit_test(test_emergency_stop_states),
        cmocka_unit_test(test_enabling_states),
        cmocka_unit_test(test_safety_request_states),
        cmocka_unit_test(test_guard_behaviour),
        cmocka_unit_test(test_device_behaviour),
        cmocka_unit_test(test_mode_behaviour),
    };

    return cmocka_run_group_tests_name("parts", tests, NULL, NULL);
}
