#include "tests/support/generate.h"

#include "base/ensure.h"
#include "base/text.h"

const char *generate_idle(void)
{
    return "PROGRAM Idle\nVAR nothing : BOOL; END_VAR\n"
           "nothing := FALSE;\nEND_PROGRAM\n";
}

static void begin(struct text *out, const char *name, const char *mechanism)
{
    text_printf(out, "REVIEW %s\n  SCAN T#100ms;\n  MECHANISM %s\n    VAR\n",
                name, mechanism);
}

/* ---- Towers of Hanoi ---- */

/* Disc may go `by` pegs on when every smaller one is on the third peg. */
static void move_disc(struct text *out, unsigned disc, unsigned by)
{
    text_add(out, disc == 1 && by == 1 ? "    MAY " : "    OR  ");
    if (disc > 1)
        text_add(out, "IF ");
    for (unsigned small = 1; small < disc; small++)
        text_printf(out, "%sd%u = (d%u + %u) MOD 3", small > 1 ? " AND " : "",
                    small, disc, 3 - by);
    if (disc > 1)
        text_add(out, " THEN ");
    text_printf(out, "d%u := (d%u + %u) MOD 3;", disc, disc, by);
    text_add(out, disc > 1 ? " END_IF;\n" : "\n");
}

void generate_hanoi(struct text *out, unsigned discs)
{
    ENSURE(discs >= 1 && discs <= 9);
    begin(out, "Hanoi", "Pegs");
    for (unsigned disc = 1; disc <= discs; disc++)
        text_printf(out, "      d%u : INT (0 .. 2) := 0;\n", disc);
    text_add(out, "    END_VAR\n");
    for (unsigned disc = 1; disc <= discs; disc++)
        for (unsigned by = 1; by <= 2; by++)
            move_disc(out, disc, by);
    text_add(out, "    END_MAY;\n  END_MECHANISM\n"
                  "  REQUIREMENTS\n    Moved : NEVER ");
    for (unsigned disc = 1; disc <= discs; disc++)
        text_printf(out, "%sd%u = 2", disc > 1 ? " AND " : "", disc);
    text_add(out, ";\n  END_REQUIREMENTS\nEND_REVIEW\n");
}

/* ---- dining philosophers ---- */

/* Fork i lies left of philosopher i, fork i + 1 right of him. */
struct seat {
    unsigned who, first, second;
};

static struct seat seat(unsigned who, unsigned n, bool right_first)
{
    unsigned left = who, right = (who + 1) % n;

    return right_first ? (struct seat){who, right, left}
                       : (struct seat){who, left, right};
}

static void act(struct text *out, struct seat s)
{
    text_printf(out, "    %s CASE p%u OF\n", s.who ? "OR " : "MAY", s.who);
    text_printf(out, "          Thinks: IF NOT f%u THEN f%u := TRUE;"
                " p%u := Waits; END_IF;\n", s.first, s.first, s.who);
    text_printf(out, "          Waits: IF NOT f%u THEN f%u := TRUE;"
                " p%u := Eats; END_IF;\n", s.second, s.second, s.who);
    text_printf(out, "          Eats: f%u := FALSE; f%u := FALSE;"
                " p%u := Thinks;\n        END_CASE;\n",
                s.first, s.second, s.who);
}

static void cannot_act(struct text *out, struct seat s)
{
    text_printf(out, "%s\n      (p%u = Thinks AND f%u OR p%u = Waits AND f%u)",
                s.who ? " AND" : "", s.who, s.first, s.who, s.second);
}

void generate_philosophers(struct text *out, unsigned n, bool one_right_first)
{
    ENSURE(n >= 2 && n <= 9);
    text_add(out, "REVIEW Philosophers\n  SCAN T#100ms;\n"
                  "  TYPE Doing : (Thinks, Waits, Eats); END_TYPE\n"
                  "  MECHANISM Table\n    VAR\n");
    for (unsigned i = 0; i < n; i++)
        text_printf(out, "      p%u : Doing := Thinks; f%u : BOOL := FALSE;\n",
                    i, i);
    text_add(out, "    END_VAR\n");
    for (unsigned i = 0; i < n; i++)
        act(out, seat(i, n, one_right_first && i == 0));
    text_add(out, "    END_MAY;\n  END_MECHANISM\n"
                  "  REQUIREMENTS\n    Stuck : NEVER");
    for (unsigned i = 0; i < n; i++)
        cannot_act(out, seat(i, n, one_right_first && i == 0));
    text_add(out, ";\n  END_REQUIREMENTS\nEND_REVIEW\n");
}
