#include "tests/support/random_wiring.h"

#include "base/text.h"

/* A small stream of numbers; Knuth's MMIX constants. */
static uint32_t draw(uint64_t *state, uint32_t below)
{
    *state = *state * 6364136223846793005u + 1442695040888963407u;
    return (uint32_t)(*state >> 33) % below;
}

static void add_leaf(struct text *out, uint64_t *state)
{
    static const char *const leaves[] = {
        "COMMANDED m1", "COMMANDED m2", "halt_ok", "halt_2", "go", "held",
        "NOT halt_2", "NOT held"};

    text_add(out, leaves[draw(state, sizeof leaves / sizeof *leaves)]);
}

static void add_wire(struct text *out, uint64_t *state, const char *target)
{
    uint32_t more = draw(state, 3);

    text_printf(out, "  %s := ", target);
    add_leaf(out, state);
    for (uint32_t i = 0; i < more; i++) {
        text_add(out, draw(state, 3) == 0 ? " OR " : " AND ");
        add_leaf(out, state);
    }
    text_add(out, ";\n");
}

/* A relay that remembers, and two motors behind it. */
void random_wiring(uint64_t seed, struct text *out)
{
    uint64_t state = seed;

    text_printf(out,
                "REVIEW Wired 'random'\nSCAN T#100ms;\n%s"
                "CONTROLS\n  go : BUTTON 'go';\n"
                "  halt : STOP 'halt' CONTACTS halt_ok OPENING,\n"
                "  halt_2 OPENING;\n  m1 : MOTOR 'm1'; m2 : MOTOR 'm2';\n"
                "END_CONTROLS\nWIRING OUT\n  VAR held, used : BOOL; END_VAR\n",
                seed % 2 == 0 ? "POWER MAY FAIL;\n" : "");
    text_add(out, "  used := halt_2 AND go AND COMMANDED m1;\n");
    add_wire(out, &state, "held");
    add_wire(out, &state, "m1");
    add_wire(out, &state, "m2");
    text_add(out, "END_WIRING\n"
                  "FAULTS F1 : halt_2 DOES NOT OPEN; F2 : m1 STAYS;\n"
                  "  F3 : held WIRE OFF; END_FAULTS\n"
                  "REQUIREMENTS R1 : NEVER m1; END_REQUIREMENTS\n"
                  "END_REVIEW\n");
}

static const char asking[] =
    "PROGRAM Main VAR_INPUT go, halt_ok : BOOL; END_VAR\n"
    "VAR_OUTPUT m1, m2 : BOOL; END_VAR\n"
    "m1 := go; m2 := go AND halt_ok; END_PROGRAM\n";

static const char freed[] =
    "PROGRAM Main VAR_INPUT go, halt_ok, any_1, any_2 : BOOL; END_VAR\n"
    "VAR_OUTPUT m1, m2 : BOOL; END_VAR\n"
    "m1 := any_1; m2 := any_2; END_PROGRAM\n";

const char *random_wiring_control(bool at_will)
{
    return at_will ? freed : asking;
}
