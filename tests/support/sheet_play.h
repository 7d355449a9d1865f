/* sheet_play.h - sequences of a test sheet, played by the reference
 * interpreter with picked answers: it has no part in making them. */
#ifndef KEEPCLEAR_TESTS_SUPPORT_SHEET_PLAY_H
#define KEEPCLEAR_TESTS_SUPPORT_SHEET_PLAY_H

#include "study/testsheet.h"

struct sheet_plays {
    uint64_t seed;
    unsigned times;        /* each sequence is played so often */
    unsigned most_prelude; /* scans in which anything happens before: fewer;
                              the first time none */
};

struct sheet_played {
    unsigned ended;   /* others waited for what never came, or picked what the
                         assumptions forbid */
    unsigned steps;   /* played to their end */
    unsigned wrong;   /* steps that did not show what they are said to show,
                         or reach what they are said to reach */
    unsigned errors;  /* plays that a run-time error ended */
};

/* Whatever the machine answers, however late a hand is and whatever went
 * before; where the sheet begins with power that returns, it goes for a
 * second or more behind that. */
struct sheet_played sheet_play(const struct testsheet *sheet,
                               uint32_t sequence,
                               const struct sheet_plays *plays);

#endif
