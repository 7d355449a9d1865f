/* Faults of contacts, sensors and actuators: each kind, and several at one
 * place, against docs/notes/step.md, sections 1 and 3. */
#include "lower/signals.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "tests/support/text_model.h"

static const char control[] =
    "PROGRAM Main\n"
    "VAR_INPUT a, b, c, shut : BOOL; END_VAR\n"
    "VAR_OUTPUT y : BOOL; END_VAR\n"
    "y := a;\n"
    "END_PROGRAM\n";

static const char review[] =
    "REVIEW Broken 'invented'\n"
    "SCAN T#100ms;\n"
    "CONTROLS\n"
    "  a : BUTTON; b : BUTTON; c : STOP CONTACTS OPENING;\n"
    "  shut : SENSOR ON WHEN closed; y : VALVE;\n"
    "END_CONTROLS\n"
    "MECHANISM M VAR closed : BOOL; END_VAR\n"
    "  MOVES closed FROM FALSE TO TRUE WHILE y;\n"
    "END_MECHANISM\n"
    "FAULTS\n"
    "  Weld : a DOES NOT OPEN; Dirt : a DOES NOT CLOSE; Stuck : a STAYS;\n"
    "  Off : a WIRE OFF; Supply : a SHORT TO SUPPLY;\n"
    "  Ab : a SHORT TO b; Bc : b SHORT TO c;\n"
    "  Blind : shut STAYS;\n"
    "  Spool : y STAYS; Coil : y WIRE OFF; Live : y SHORT TO SUPPLY;\n"
    "END_FAULTS\n"
    "REQUIREMENTS R : NEVER y AND NOT a; END_REQUIREMENTS\n"
    "END_REVIEW\n";

/* Rows: when each hand is pressed and each fault appears; `shown` is what
 * path holds, one digit per scan. */
struct script {
    const char *name, *row;
};

static void goes_in(const char *program, const char *machine,
                    const struct script *script, size_t n, const char *path,
                    const char *shown)
{
    struct text_model text;
    text_model_init(&text, program, machine, false);
    assert_non_null(text.run);
    for (size_t i = 0; shown[i]; i++) {
        for (size_t k = 0; k < n; k++)
            text_model_choose(&text, script[k].name,
                              (uint32_t)(script[k].row[i] - '0'));
        text_model_scan(&text);
        if (text_model_value(&text, path) != shown[i] - '0')
            fail_msg("%s: scan %zu of %s, %s", path, i + 1, shown,
                     script[n - 1].name);
    }
    text_model_release(&text);
}

#define GOES(path, shown, ...)                                             \
    do {                                                                   \
        const struct script script[] = {__VA_ARGS__};                      \
        goes_in(control, review, script, sizeof script / sizeof *script,   \
                path, shown);                                              \
    } while (0)

static void contacts(void **state)
{
    (void)state;
    GOES("Main.a", "0111", {"a", "0100"}, {"Weld", "0010"});
    GOES("Main.a", "0001", {"a", "0001"}, {"Weld", "0100"});
    GOES("Main.a", "0000", {"a", "0101"}, {"Dirt", "0100"});
    GOES("Main.a", "0110", {"a", "0110"}, {"Dirt", "0010"});
    GOES("Main.a", "0111", {"a", "0101"}, {"Stuck", "0010"});
    GOES("Main.a", "1000", {"a", "1111"}, {"Off", "0100"});
    GOES("Main.a", "0111", {"a", "0000"}, {"Supply", "0100"});
}

/* A fault that appeared stays; its choice is not read again. */
static void order_at_one_place(void **state)
{
    (void)state;
    GOES("Main.a", "0001", {"a", "1111"}, {"Off", "1000"},
         {"Supply", "0001"});
    GOES("Main.a", "1111", {"a", "1000"}, {"Weld", "0100"},
         {"Dirt", "0010"});
    /* what is remembered lies before the wire: it conducted in scan 1 */
    GOES("Main.a", "0001", {"a", "1000"}, {"Off", "1000"},
         {"Weld", "0100"}, {"Supply", "0001"});
}

static void shorts(void **state)
{
    (void)state;
    GOES("Main.a", "0101", {"b", "0101"}, {"c", "1111"}, {"Ab", "1000"});
    GOES("Main.b", "0101", {"a", "0101"}, {"c", "1111"}, {"Ab", "1000"});
    /* c rests conducting and reaches a through b */
    GOES("Main.a", "0001", {"c", "0000"}, {"Ab", "0100"}, {"Bc", "0001"});
    GOES("Main.c", "0001", {"a", "0001"}, {"c", "1111"}, {"Ab", "1000"},
         {"Bc", "0100"});
    /* the short lies behind the broken wire */
    GOES("Main.a", "1", {"a", "0"}, {"b", "1"}, {"Off", "1"}, {"Ab", "1"});
}

static void sensors(void **state)
{
    (void)state;
    GOES("Main.shut", "0001", {"a", "1111"}, {"closed", "0001"});
    GOES("Main.shut", "0000", {"a", "1111"}, {"closed", "0001"},
         {"Blind", "0010"});
}

static void actuators(void **state)
{
    (void)state;
    GOES("y", "0111", {"a", "0101"}, {"Spool", "0010"});
    GOES("y", "0000", {"a", "1111"}, {"Spool", "1000"});
    GOES("y", "1000", {"a", "1111"}, {"Coil", "0100"});
    GOES("y", "0011", {"a", "0000"}, {"Live", "0010"});
    GOES("y", "0001", {"a", "1111"}, {"Coil", "1000"}, {"Live", "0001"});
    GOES("y", "1100", {"a", "1011"}, {"Spool", "0100"}, {"Coil", "0010"});
}

static void no_more_than_allowed(void **state)
{
    struct text_model text;
    (void)state;
    text_model_init(&text, control, review, false);
    assert_non_null(text.run);
    text.run->fault_limit = 1;
    text_model_choose(&text, "Off", 1);
    text_model_choose(&text, "Supply", 1);
    text_model_scan(&text);
    assert_int_equal(text_model_value(&text, "Main.a"), 0);
    text_model_release(&text);
}

/* What a kept value was before the first scan is a choice where a fault can
 * ask for it. */
static void past(void **state)
{
    struct text_model text;
    (void)state;
    text_model_init(&text, control, review, false);
    assert_non_null(text.run);
    for (uint32_t was = 0; was < 2; was++) {
        flat_run_restart(text.run);
        for (uint32_t i = 0; i < text.model->n_choices; i++)
            if (text.model->choices[i].kind == CHOICE_PAST)
                text.run->choice[i] = was;
        text_model_choose(&text, "Stuck", 1);
        text_model_scan(&text);
        assert_int_equal(text_model_value(&text, "Main.a"), was);
    }
    text_model_release(&text);
}

/* A gate of four positions, a relay between the program and the valve, and
 * another program. */
static const char control_2[] =
    "PROGRAM Main\n"
    "VAR_INPUT a, b, near : BOOL; END_VAR\n"
    "VAR_OUTPUT y : BOOL; END_VAR\n"
    "y := a;\n"
    "END_PROGRAM\n";

static const char review_2[] =
    "REVIEW Broken 'invented'\n"
    "SCAN T#100ms;\n"
    "CONTROLS\n"
    "  a : BUTTON; b : BUTTON; y : VALVE;\n"
    "  near : SENSOR ON WHEN gap = Near OR gap = Down;\n"
    "END_CONTROLS\n"
    "WIRING OUT VAR K1, K2 : BOOL; END_VAR\n"
    "  K1 := COMMANDED y; IF b THEN K2 := TRUE; END_IF; y := K1;\n"
    "END_WIRING\n"
    "MECHANISM M VAR gap : (Up, Middle, Near, Down); END_VAR\n"
    "END_MECHANISM\n"
    "FAULTS\n"
    "  Plug : a, b, y WIRE OFF; Loose : y MOVES WITHOUT COMMAND;\n"
    "  Fore : near DISPLACED BY 1 ALONG gap;\n"
    "  Back : near DISPLACED BY -2 ALONG gap;\n"
    "  Weld : K1 DOES NOT OPEN; Dirt : K1 DOES NOT CLOSE;\n"
    "  Stuck : K1 STAYS; Coil : K1, K2 WIRE OFF;\n"
    "  Live : K1, K2 SHORT TO SUPPLY; Hang : PROGRAM Main STOPS;\n"
    "END_FAULTS\n"
    "REQUIREMENTS R : NEVER y AND NOT a; END_REQUIREMENTS\n"
    "END_REVIEW\n";

#define GOES_2(path, shown, ...)                                           \
    do {                                                                   \
        const struct script script[] = {__VA_ARGS__};                      \
        goes_in(control_2, review_2, script,                               \
                sizeof script / sizeof *script, path, shown);              \
    } while (0)

static void several_places(void **state)
{
    (void)state;
    GOES_2("Main.a", "100", {"a", "111"}, {"b", "111"}, {"Plug", "010"});
    GOES_2("Main.b", "100", {"a", "111"}, {"b", "111"}, {"Plug", "010"});
    GOES_2("y", "100", {"a", "111"}, {"Plug", "010"});
}

static void without_command(void **state)
{
    (void)state;
    GOES_2("y", "0101", {"a", "0000"}, {"y", "1101"}, {"Loose", "0100"});
    GOES_2("y", "1100", {"a", "1111"}, {"y", "0100"}, {"Loose", "0100"});
    GOES_2("y", "011", {"a", "111"}, {"y", "011"}, {"Plug", "100"},
           {"Loose", "010"});
}

/* gap begins at the position of its choice: 0 Up .. 3 Down. */
static void displaced_sensors(void **state)
{
    (void)state;
    GOES_2("Main.near", "0", {"gap", "1"}, {"Fore", "0"});
    GOES_2("Main.near", "1", {"gap", "1"}, {"Fore", "1"});
    GOES_2("Main.near", "0", {"gap", "0"}, {"Fore", "1"});
    GOES_2("Main.near", "1", {"gap", "3"}, {"Fore", "1"});
    GOES_2("Main.near", "0", {"gap", "3"}, {"Back", "1"});
    GOES_2("Main.near", "1", {"gap", "3"}, {"Back", "1"}, {"Fore", "1"});
    GOES_2("Main.near", "0", {"gap", "2"}, {"Back", "1"}, {"Fore", "1"});
    GOES_2("Main.near", "0", {"gap", "0"}, {"Back", "1"});
}

static void relays(void **state)
{
    (void)state;
    GOES_2("y", "0111", {"a", "0100"}, {"Weld", "1000"});
    GOES_2("y", "1000", {"a", "1011"}, {"Dirt", "0100"});
    GOES_2("y", "1110", {"a", "1000"}, {"Stuck", "0100"}, {"Coil", "0000"},
           {"Plug", "0001"});
    GOES_2("y", "1001", {"a", "1111"}, {"Coil", "0100"}, {"Live", "0001"});
    /* welded while the coil was on: the coil has no say any more */
    GOES_2("y", "1111", {"a", "1000"}, {"Weld", "0100"}, {"Coil", "0010"});
    /* not assigned: what the coil does is seen all the same */
    GOES_2("K2", "0110", {"b", "0100"}, {"Coil", "0001"});
    GOES_2("K2", "0011", {"b", "0000"}, {"Live", "0010"});
}

static void stopped_programs(void **state)
{
    (void)state;
    GOES_2("Main.y", "0100", {"a", "0100"}, {"Hang", "0000"});
    GOES_2("Main.y", "0111", {"a", "0100"}, {"Hang", "0010"});
    GOES_2("Main.a", "0111", {"a", "0100"}, {"Hang", "0010"});
    GOES_2("Main.y", "0000", {"a", "1111"}, {"Hang", "1000"});
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(contacts),  cmocka_unit_test(order_at_one_place),
        cmocka_unit_test(shorts),    cmocka_unit_test(sensors),
        cmocka_unit_test(actuators), cmocka_unit_test(several_places),
        cmocka_unit_test(without_command),
        cmocka_unit_test(displaced_sensors), cmocka_unit_test(relays),
        cmocka_unit_test(stopped_programs),
        cmocka_unit_test(no_more_than_allowed), cmocka_unit_test(past),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
