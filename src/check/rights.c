#include "check/rights.h"

static const char *const text_words[TEXT_KINDS] = {
    [TEXT_CONTROL] = "control text",  [TEXT_WIRING_IN] = "WIRING IN",
    [TEXT_WIRING_OUT] = "WIRING OUT", [TEXT_MECHANISM] = "a MECHANISM",
    [TEXT_ON_WHEN] = "ON WHEN",       [TEXT_ASSUMPTION] = "an assumption",
    [TEXT_RECORDER] = "a RECORDER",   [TEXT_REQUIREMENT] = "a requirement",
    [TEXT_EXPECT] = "an EXPECT"};

static const char *const thing_words[THINGS] = {
    [THING_HAND] = "the hand on a control (PRESSED)",
    [THING_CONTACT] = "a contact",
    [THING_SENSOR] = "a sensor",
    [THING_READ] = "what the program has read (READ)",
    [THING_PROGRAM] = "a variable of the control text",
    [THING_COMMANDED] = "what the program asks for (COMMANDED)",
    [THING_ACTUATOR] = "an actuator",
    [THING_MACHINE] = "a machine variable",
    [THING_RECORDER] = "a recorder",
    [THING_RELAY_IN] = "a relay of WIRING IN",
    [THING_RELAY_OUT] = "a relay of WIRING OUT",
    [THING_FAULT] = "a fault",
    [THING_POWER] = "power",
    [THING_START] = "cold or warm",
    [THING_ELAPSED] = "elapsed"};

static const char *const text_hints[TEXT_KINDS] = {
    [TEXT_CONTROL] = "control text reads its own variables only",
    [TEXT_WIRING_IN] =
        "WIRING IN reads contacts, sensors, its own relays, relays of "
        "WIRING OUT, actuators as they last stood, and power",
    [TEXT_WIRING_OUT] =
        "WIRING OUT reads COMMANDED names, contacts, sensors, its own "
        "relays, actuators and power",
    [TEXT_MECHANISM] =
        "a MECHANISM reads actuators, contacts, PRESSED, sensors, faults, "
        "machine variables, power and elapsed: name the actuator, not the "
        "program's variable",
    [TEXT_ON_WHEN] =
        "ON WHEN reads machine variables and faults declared IN MECHANISM",
    [TEXT_ASSUMPTION] = "an assumption reads contacts, PRESSED, sensors, "
                        "machine variables, "
                        "faults, power, cold and warm of this scan, and "
                        "PREVIOUS of anything "
                        "else but READ",
    [TEXT_RECORDER] = "a RECORDER reads everything",
    [TEXT_REQUIREMENT] = "a requirement reads everything",
    [TEXT_EXPECT] = "an EXPECT reads everything"};

enum right { NO, YES, PAST };

/* Columns as in enum thing. */
static const unsigned char rights[TEXT_KINDS][THINGS] = {
    [TEXT_CONTROL] = {NO},
    [TEXT_WIRING_IN] = {NO, YES, YES, NO, NO, NO, YES, NO, NO, YES, YES, NO,
                        YES, NO, NO},
    [TEXT_WIRING_OUT] = {NO, YES, YES, NO, NO, YES, YES, NO, NO, NO, YES,
                         NO, YES, NO, NO},
    [TEXT_MECHANISM] = {YES, YES, YES, NO, NO, NO, YES, YES, NO, NO, NO,
                        YES, YES, NO, YES},
    [TEXT_ON_WHEN] = {NO, NO, NO, NO, NO, NO, NO, YES, NO, NO, NO, YES, NO,
                      NO, NO},
    [TEXT_ASSUMPTION] = {YES, YES, YES, NO, PAST, PAST, PAST, YES, PAST,
                         PAST, PAST, YES, YES, YES, NO},
    [TEXT_RECORDER] = {YES, YES, YES, YES, YES, YES, YES, YES, YES, YES,
                       YES, YES, YES, YES, YES},
    [TEXT_REQUIREMENT] = {YES, YES, YES, YES, YES, YES, YES, YES, YES, YES,
                          YES, YES, YES, YES, YES},
    [TEXT_EXPECT] = {YES, YES, YES, YES, YES, YES, YES, YES, YES, YES, YES,
                     YES, YES, YES, YES}};

static bool has_past(enum thing thing)
{
    return thing != THING_POWER && thing != THING_START &&
           thing != THING_ELAPSED;
}

bool rights_read(const struct env *env, enum thing thing, struct span span)
{
    enum right right = rights[env->text][thing];
    struct diags *diags = env->draft->diags;

    if (env->in_edge && !has_past(thing)) {
        diag_add(diags, DIAG_ERROR, span,
                 "take it out of PREVIOUS, RISING "
                 "or FALLING; a RECORDER can keep its last value",
                 "%s has no previous value here", thing_words[thing]);
        return false;
    }
    if (right == YES || (right == PAST && env->past))
        return true;
    diag_add(diags, DIAG_ERROR, span, text_hints[env->text],
             "%s cannot read %s%s", text_words[env->text],
             thing_words[thing], right == PAST ? " of this scan" : "");
    return false;
}

bool rights_edge(const struct env *env, const char *word, struct span span)
{
    struct diags *diags = env->draft->diags;

    if (env->text < TEXT_ASSUMPTION) {
        diag_add(diags, DIAG_ERROR, span,
                 "keep the last value in a VAR of this text",
                 "%s cannot stand in %s", word, text_words[env->text]);
        return false;
    }
    if (env->in_edge) {
        diag_add(diags, DIAG_ERROR, span,
                 "keep the older value in a RECORDER",
                 "PREVIOUS, RISING and FALLING do not stand inside one "
                 "another");
        return false;
    }
    return true;
}

bool rights_clock(const struct env *env, struct span span)
{
    struct diags *diags = env->draft->diags;

    if (env->text != TEXT_REQUIREMENT) {
        diag_add(diags, DIAG_ERROR, span,
                 env->text == TEXT_EXPECT
                     ? "WAIT for that time, and EXPECT after it"
                     : "use a TON in this text, or a requirement",
                 "TRUE FOR cannot stand in %s", text_words[env->text]);
        return false;
    }
    if (env->in_edge) {
        diag_add(
            diags, DIAG_ERROR, span,
            "keep the time in a RECORDER with a TON",
            "TRUE FOR cannot stand inside PREVIOUS, RISING or FALLING");
        return false;
    }
    return true;
}

const char *rights_text(enum text_kind text)
{
    return text_words[text];
}
