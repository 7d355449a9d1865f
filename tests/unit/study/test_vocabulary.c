/* Names cut into words, what the words mean, and which are opposites. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "base/arena.h"
#include "study/vocabulary.h"

static struct arena *arena;

static int set_up(void **state)
{
    (void)state;
    arena = arena_new();
    return 0;
}

static int tear_down(void **state)
{
    (void)state;
    arena_free(arena);
    return 0;
}

static void expect_words(const char *name, const char *joined)
{
    struct words words = words_of(arena, name);
    char all[256] = "";

    for (uint32_t i = 0; i < words.n; i++) {
        strcat(all, i ? " " : "");
        strcat(all, words.at[i]);
    }
    assert_string_equal(all, joined);
}

static void names_are_cut(void **state)
{
    (void)state;
    expect_words("stop_rear_left_1", "stop rear left 1");
    expect_words("GateOpenSensor", "gate open sensor");
    expect_words("bEStopOK", "b e stop ok");
    expect_words("NOT_HALT", "not halt");
    expect_words("Valve12b", "valve 12 b");
    expect_words("_x__y_", "x y");
    expect_words("", "");
    expect_words("a_b_c_d_e_f_g_h_i_j_k_l_m_n_o_p_q_r",
                 "a b c d e f g h i j k l m n o p");
}

static bool has(const char *name, enum meaning meaning)
{
    struct words words = words_of(arena, name);

    return words_meaning(&words, meaning) != NULL;
}

static void words_of_four_languages_count(void **state)
{
    (void)state;
    assert_true(has("stop_ok", MEANING_STOP));
    assert_true(has("NotHalt_Pult", MEANING_STOP));
    assert_true(has("not_aus", MEANING_STOP));
    assert_true(has("arret_urgence", MEANING_STOP));
    assert_true(has("Arresto1", MEANING_STOP));
    assert_false(has("not_ready", MEANING_STOP));
    assert_false(has("stopped", MEANING_STOP));
    assert_true(has("Starttaster", MEANING_BUTTON));
    assert_true(has("pulsante_sali", MEANING_BUTTON));
    assert_true(has("Hydraulikpumpe", MEANING_MOTOR));
    assert_true(has("electrovanne_1", MEANING_VALVE));
    assert_true(has("spia_marcia", MEANING_LAMP));
    assert_false(has("clamp", MEANING_LAMP));
    assert_false(has("unclamp", MEANING_LAMP));
    assert_true(has("klaxon", MEANING_HORN));
}

/* The sign of the first of two names, 0: no opposites; 10 more for ends. */
static int opposite(const char *one, const char *other)
{
    struct words a = words_of(arena, one), b = words_of(arena, other);
    struct direction pair[2];
    uint32_t at;

    if (!words_opposite(&a, &b, &at, pair))
        return 0;
    assert_int_equal(pair[0].sign, -pair[1].sign);
    return pair[0].sign * (pair[0].place ? 11 : 1);
}

static void opposites_differ_in_one_word(void **state)
{
    (void)state;
    assert_int_equal(opposite("gate_open", "gate_closed"), 11);
    assert_int_equal(opposite("gate_closed", "gate_open"), -11);
    assert_int_equal(opposite("gate_open", "gate_close"), 1);
    assert_int_equal(opposite("raise_valve", "lower_valve"), 1);
    assert_int_equal(opposite("Tuer_auf", "Tuer_zu"), 1);
    assert_int_equal(opposite("fc_ferme", "fc_ouvert"), -11);
    assert_int_equal(opposite("sali", "scendi"), 1);
    assert_int_equal(opposite("gate_open", "door_close"), 0);
    assert_int_equal(opposite("gate_open", "gate_open"), 0);
    assert_int_equal(opposite("left_button", "right_button"), 0);
    assert_int_equal(opposite("up_1", "down_2"), 0);
}

static void stems_name_the_part(void **state)
{
    struct words a = words_of(arena, "s01_ram_home");
    struct words b = words_of(arena, "S01_RAM_advance_valve");
    struct words stem_a = words_stem(&a, 3), stem_b = words_stem(&b, 3);

    (void)state;
    assert_string_equal(a.at[3], "home");
    assert_true(words_same(&stem_a, &stem_b));
    stem_b = words_stem(&b, 1);
    assert_false(words_same(&stem_a, &stem_b));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(names_are_cut),
        cmocka_unit_test(words_of_four_languages_count),
        cmocka_unit_test(opposites_differ_in_one_word),
        cmocka_unit_test(stems_name_the_part),
    };

    return cmocka_run_group_tests(tests, set_up, tear_down);
}
