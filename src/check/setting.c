#include "check/setting.h"

#include <stddef.h>

#include "base/ensure.h"

enum { MOST_CHOICES = 3 };

struct row {
    const char *word;
    struct {
        const char *words; /* in capitals */
        const char *says;
    } choices[MOST_CHOICES];
};

static const struct row rows[SETTING_KINDS] = {
    [SETTING_OVERFLOW] =
        {"OVERFLOW",
         {{"REPORTED", "an overflow is a run-time error"},
          {"WRAPS", "an overflow wraps"},
          {"SATURATES", "an overflow stops at the end of the type"}}},
    [SETTING_LATCHES] =
        {"LATCHES",
         {{"AS NAMED", "SR lets set win, RS lets reset win"},
          {"SWAPPED", "SR lets reset win, RS lets set win"}}},
    [SETTING_EDGES] =
        {"EDGES",
         {{"STANDARD", "at its first call R_TRIG fires where CLK is TRUE, "
                       "F_TRIG where it is FALSE"},
          {"F_TRIG SILENT", "at its first call R_TRIG fires where CLK is "
                            "TRUE, F_TRIG never"},
          {"SILENT", "R_TRIG and F_TRIG never fire at their first call"}}},
    [SETTING_COUNTERS] =
        {"COUNTERS",
         {{"WHOLE RANGE", "CTU and CTUD count up to the end of the type"},
          {"PRESET LIMIT", "CTU and CTUD count up to PV"}}},
    [SETTING_CONDITIONS] =
        {"CONDITIONS",
         {{"BOTH SIDES", "AND and OR evaluate both sides"},
          {"AS NEEDED", "AND and OR leave the right side out where the left "
                        "one decides"}}},
    [SETTING_LOOPS] =
        {"LOOPS",
         {{"ONE BEYOND", "behind FOR its variable is one step further"},
          {"LAST USED", "behind FOR its variable has the value of the last "
                        "pass"}}},
    [SETTING_SUBRANGES] =
        {"SUBRANGES",
         {{"LOWER LIMIT", "a subrange without a value begins at its lower "
                          "limit"},
          {"ZERO", "a subrange without a value begins at 0"}}},
    [SETTING_PRESETS] =
        {"PRESETS",
         {{"LIVE", "a timer reads PT at every call"},
          {"LATCHED", "a timer takes PT when it starts"}}},
    [SETTING_ZERO_TIMES] =
        {"ZERO_TIMES",
         {{"SAME CALL", "a timer with PT = 0 is over in the call that starts "
                        "it"},
          {"NEXT CALL", "a timer with PT = 0 is over in the call after the "
                        "one that starts it"}}},
    [SETTING_TIMERS] =
        {"TIMERS",
         {{"CONTINUOUS", "time goes on in a timer whether it is called or "
                         "not"},
          {"CALLED", "time goes on in a timer in its calls only"}}},
    [SETTING_ELAPSED] =
        {"ELAPSED_TIMES",
         {{"PRESET LIMIT", "ET of a timer stops at PT"},
          {"OVERSHOOT", "ET of a timer stops at the time of the call that "
                        "finds it over"},
          {"ENDLESS", "ET of a timer goes on beyond PT"}}},
    [SETTING_ROUNDING] =
        {"ROUNDING",
         {{"HALVES EVEN", "a REAL becomes the nearest whole number, of two "
                          "the even one"},
          {"HALVES AWAY", "a REAL becomes the nearest whole number, of two "
                          "the one farther from 0"},
          {"CUT", "a REAL that becomes a whole number loses what is behind "
                  "its point"}}},
    [SETTING_PLACES] =
        {"PLACES",
         {{"OWN WIDTHS", "places are counted each in its own width: %MW1 "
                         "begins behind %MW0, %MD1 behind %MD0"},
          {"BYTES", "places are counted in bytes: %MW1 begins in the second "
                    "byte of %MW0"},
          {"WORDS", "places are counted in words: %MW1 begins behind %MW0, "
                    "%MD1 in the second word of %MD0"}}},
};

const char *setting_word(enum setting_kind kind)
{
    return rows[kind].word;
}

const char *setting_says(enum setting_kind kind, uint32_t value)
{
    ENSURE(value < setting_choices(kind));
    return rows[kind].choices[value].says;
}

uint32_t setting_choices(enum setting_kind kind)
{
    uint32_t n = 0;

    while (n < MOST_CHOICES && rows[kind].choices[n].words)
        n++;
    return n;
}

enum setting_kind setting_of_slot(const struct setting *settings,
                                  uint32_t slot)
{
    for (int kind = 0; kind < SETTING_KINDS; kind++)
        if (settings[kind].any && settings[kind].slot == slot)
            return (enum setting_kind)kind;
    ENSURE(!"the slot of a setting");
    return SETTING_KINDS;
}

const char *setting_choice(enum setting_kind kind, uint32_t value)
{
    ENSURE(value < setting_choices(kind));
    return rows[kind].choices[value].words;
}
