/* The smallest sets of faults against the minimal cut sets of structures.
 *
 * A demand is seen by several contacts, and what they say is joined by a
 * structure: the drive stops where the structure conducts.  A contact that
 * does not close is a component that has failed; the sets of them that lose
 * the stop are the cut sets of the structure.  Those of series, parallel, two
 * out of three and the bridge are the ones of every textbook of reliability
 * (from memory; counted again by hand here).  Random structures, with contacts
 * that fail either way and wires that touch, are judged by decision diagrams
 * of the library BuDDy, built from the test's own tree. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <bdd.h>
#include <cmocka.h>

#include "base/arena.h"
#include "base/text.h"
#include "check/model.h"
#include "study/faults.h"
#include "tests/support/text_model.h"

enum { CONTACTS_MOST = 6, FAULTS_HERE = 12, TREES = 120 };

/* ---- texts ---- */

static void add_control(struct text *out, const char *structure, uint32_t n)
{
    text_add(out, "PROGRAM Main\nVAR_INPUT ");
    for (uint32_t i = 1; i <= n; i++)
        text_printf(out, "%sc%u", i == 1 ? "" : ", ", i);
    text_printf(out, " : BOOL; END_VAR\nVAR_OUTPUT drive : BOOL; END_VAR\n"
                     "  drive := NOT (%s);\nEND_PROGRAM\n", structure);
}

static void add_review(struct text *out, const char *faults, uint32_t n)
{
    text_add(out, "REVIEW Structure 'invented'\n  SCAN T#100ms;\n"
                  "  CONTROLS\n    demand : BUTTON 'demand' CONTACTS ");
    for (uint32_t i = 1; i <= n; i++)
        text_printf(out, "%sc%u CLOSING", i == 1 ? "" : ", ", i);
    text_printf(out, ";\n    drive : MOTOR 'drive';\n  END_CONTROLS\n"
                     "  FAULTS\n%s  END_FAULTS\n"
                     "  REQUIREMENTS\n    R1 : NEVER drive AND PRESSED "
                     "demand;\n  END_REQUIREMENTS\nEND_REVIEW\n", faults);
}

/* Sets as bits, causes in declared order. */
struct sets {
    uint32_t at[512], n;
};

static bool holds(const struct sets *sets, uint32_t set)
{
    for (uint32_t i = 0; i < sets->n; i++)
        if (sets->at[i] == set)
            return true;
    return false;
}

/* What the study finds; NULL sets: it is broken without any fault. */
static bool study(const char *structure, const char *faults, uint32_t n,
                  struct sets *sets)
{
    const struct faults_setting setting = {.together = FAULTS_MOST};
    struct text control = {0}, review = {0};
    struct text_model text;
    const struct fault_findings *found;
    const struct requirement_faults *of;
    bool sound;

    add_control(&control, structure, n);
    add_review(&review, faults, n);
    text_model_init(&text, text_str(&control), text_str(&review), false);
    assert_non_null(text.model);
    found = faults_study(text.arena, text.model, &setting, text.diags);
    assert_non_null(found);
    assert_null(found->findings->internal_error);
    of = &found->requirements[0];
    sets->n = of->n_sets;
    assert_true(sets->n <= 512);
    for (uint32_t i = 0; i < of->n_sets; i++) {
        sets->at[i] = 0;
        for (uint32_t k = 0; k < of->sets[i].n; k++)
            sets->at[i] |= UINT32_C(1) << of->sets[i].causes[k];
    }
    sound = of->sound.verdict != VERDICT_BROKEN;
    for (uint32_t i = 0; i < of->n_sizes; i++)
        assert_true(of->sizes[i].verdict == VERDICT_KEPT ||
                    of->sizes[i].verdict == VERDICT_NOT_TESTED);
    text_model_release(&text);
    text_release(&control);
    text_release(&review);
    return sound;
}

/* ---- of the textbook ---- */

/* The minimal cut sets, each as digits of its contacts. */
static void cut_sets(const char *structure, uint32_t n,
                     const char *const *wanted)
{
    struct text faults = {0};
    struct sets found;
    uint32_t count = 0;

    for (uint32_t i = 1; i <= n; i++)
        text_printf(&faults, "    F%u : c%u DOES NOT CLOSE;\n", i, i);
    assert_true(study(structure, text_str(&faults), n, &found));
    for (; wanted[count] != NULL; count++) {
        uint32_t set = 0;

        for (const char *digit = wanted[count]; *digit != '\0'; digit++)
            set |= UINT32_C(1) << (*digit - '1');
        if (!holds(&found, set))
            fail_msg("%s: {%s} was not found", structure, wanted[count]);
    }
    assert_int_equal(found.n, count);
    text_release(&faults);
}

#define CUTS(...) ((const char *const[]){__VA_ARGS__, NULL})

static void cut_sets_of_the_textbook(void **state)
{
    (void)state;
    cut_sets("c1 AND c2 AND c3", 3, CUTS("1", "2", "3"));
    cut_sets("c1 OR c2 OR c3", 3, CUTS("123"));
    cut_sets("c1 AND c2 OR c1 AND c3 OR c2 AND c3", 3,
             CUTS("12", "13", "23"));
    /* A bridge: 1 and 2 leave one end, 3 and 4 reach the other behind them,
       5 joins the middles.  Paths 13, 24, 154, 253; cuts 12, 34, 154, 253. */
    cut_sets("c1 AND c3 OR c2 AND c4 OR c1 AND c5 AND c4 "
             "OR c2 AND c5 AND c3", 5, CUTS("12", "34", "145", "235"));
    cut_sets("c1 AND (c2 OR c3)", 3, CUTS("1", "23"));
}

/* ---- random structures ---- */

/* A structure in text and as a decision diagram, with the faults in it. */
struct tree {
    uint64_t seed;
    struct text words, faults;
    uint32_t n_contacts, n_faults;
    uint32_t off[CONTACTS_MOST], on[CONTACTS_MOST]; /* 1 + its fault; 0 */
    uint32_t joined; /* 1 + the fault by which c1 and c2 touch; 0 */
};

static uint32_t pick(struct tree *tree, uint32_t below)
{
    tree->seed = tree->seed * UINT64_C(6364136223846793005) +
                 UINT64_C(1442695040888963407);
    return (uint32_t)(tree->seed >> 33) % below;
}

static BDD variable(uint32_t fault)
{
    return fault == 0 ? bddfalse : bdd_ithvar((int)fault - 1);
}

/* What a contact conducts, its own faults alone: sound or supplied. */
static BDD own(const struct tree *tree, uint32_t contact, bool pressed)
{
    BDD sound = pressed ? bdd_not(variable(tree->off[contact])) : bddfalse;

    return bdd_addref(sound);
}

static BDD conducts(const struct tree *tree, uint32_t contact, bool pressed)
{
    BDD value = own(tree, contact, pressed);

    if (contact < 2)
        value = bdd_or(value, bdd_and(variable(tree->joined),
                                      own(tree, 1 - contact, pressed)));
    bdd_addref(value);
    return bdd_addref(bdd_or(value, variable(tree->on[contact])));
}

/* Grows a term; its values with the demand released and pressed. */
static void grow(struct tree *tree, uint32_t depth, BDD value[2])
{
    BDD right[2];
    uint32_t kind = depth == 0 ? 0 : pick(tree, 6);

    if (kind < 1) {
        uint32_t contact = pick(tree, tree->n_contacts);

        text_printf(&tree->words, "c%u", contact + 1);
        value[0] = conducts(tree, contact, false);
        value[1] = conducts(tree, contact, true);
    } else if (kind == 1) {
        text_add(&tree->words, "NOT (");
        grow(tree, depth - 1, value);
        text_add(&tree->words, ")");
        for (int i = 0; i < 2; i++)
            value[i] = bdd_addref(bdd_not(value[i]));
    } else {
        text_add(&tree->words, "(");
        grow(tree, depth - 1, value);
        text_add(&tree->words, kind < 4 ? " AND " : " OR ");
        grow(tree, depth - 1, right);
        text_add(&tree->words, ")");
        for (int i = 0; i < 2; i++)
            value[i] = bdd_addref(kind < 4 ? bdd_and(value[i], right[i])
                                           : bdd_or(value[i], right[i]));
    }
}

static void add_fault(struct tree *tree, const char *what, uint32_t contact)
{
    text_printf(&tree->faults, "    F%u : c%u %s;\n", ++tree->n_faults,
                contact + 1, what);
}

static void plant(struct tree *tree)
{
    tree->n_contacts = 2 + pick(tree, CONTACTS_MOST - 1);
    for (uint32_t i = 0; i < tree->n_contacts; i++) {
        if (pick(tree, 4) > 0) {
            add_fault(tree, "WIRE OFF", i);
            tree->off[i] = tree->n_faults;
        }
        if (pick(tree, 3) > 0 || tree->n_faults == 0) {
            add_fault(tree, "SHORT TO SUPPLY", i);
            tree->on[i] = tree->n_faults;
        }
    }
    if (tree->n_faults < FAULTS_HERE && pick(tree, 3) == 0) {
        add_fault(tree, "SHORT TO c2", 0);
        tree->joined = tree->n_faults;
    }
}

/* What is lost with a set is lost with every larger one: its faults may as
 * well not appear. */
static BDD upwards(BDD lost, uint32_t n)
{
    for (uint32_t i = 0; i < n; i++) {
        BDD absent = bdd_addref(bdd_restrict(lost, bdd_nithvar((int)i)));

        lost = bdd_addref(
            bdd_or(lost, bdd_and(bdd_ithvar((int)i), absent)));
    }
    return lost;
}

static bool is_in(BDD lost, uint32_t set, uint32_t n)
{
    for (uint32_t i = 0; i < n; i++)
        lost = (set >> i & 1) != 0 ? bdd_restrict(lost, bdd_ithvar((int)i))
                                   : bdd_restrict(lost, bdd_nithvar((int)i));
    return lost == bddtrue;
}

static bool is_prime(BDD lost, uint32_t set, uint32_t n)
{
    for (uint32_t i = 0; i < n; i++)
        if ((set >> i & 1) != 0 && is_in(lost, set & ~(UINT32_C(1) << i), n))
            return false;
    return is_in(lost, set, n);
}

/* The smallest sets of up to FAULTS_MOST faults; false: it is lost without
 * any. */
static bool judge(BDD lost, uint32_t n, struct sets *sets)
{
    sets->n = 0;
    lost = upwards(lost, n);
    if (is_in(lost, 0, n))
        return false;
    for (uint32_t set = 1; set < UINT32_C(1) << n; set++)
        if (__builtin_popcount(set) <= FAULTS_MOST &&
            is_prime(lost, set, n)) {
            assert_true(sets->n < 512);
            sets->at[sets->n++] = set;
        }
    return true;
}

static void compare(const struct tree *tree, const struct sets *wanted,
                    bool sound)
{
    struct sets found;

    if (study(tree->words.at, tree->faults.at, tree->n_contacts, &found) !=
        sound)
        fail_msg("%s differs without faults", tree->words.at);
    for (uint32_t i = 0; sound && i < wanted->n; i++)
        if (!holds(&found, wanted->at[i]))
            fail_msg("%s\n%sset %x was not found", tree->words.at,
                     tree->faults.at, wanted->at[i]);
    if (sound && found.n != wanted->n)
        fail_msg("%s\n%s%u sets, not %u", tree->words.at, tree->faults.at,
                 found.n, wanted->n);
}

static void random_structures(void **state)
{
    unsigned sizes[FAULTS_MOST + 1] = {0}, sound_ones = 0;

    (void)state;
    for (uint64_t seed = 1; seed <= TREES; seed++) {
        struct tree tree = {.seed = seed * 2654435761u};
        struct sets wanted;
        BDD value[2];
        bool sound;

        assert_int_equal(bdd_init(100000, 10000), 0);
        bdd_setvarnum(FAULTS_HERE + 1);
        plant(&tree);
        grow(&tree, 4, value);
        sound = judge(bdd_addref(bdd_not(value[1])), tree.n_faults, &wanted);
        bdd_done();
        compare(&tree, &wanted, sound);
        sound_ones += sound;
        for (uint32_t i = 0; i < wanted.n; i++)
            sizes[__builtin_popcount(wanted.at[i])]++;
        text_release(&tree.words);
        text_release(&tree.faults);
    }
    print_message("%u of %u hold without faults; sets of one, two, three: "
                  "%u, %u, %u\n", sound_ones, (unsigned)TREES, sizes[1],
                  sizes[2], sizes[3]);
    for (int size = 1; size <= FAULTS_MOST; size++)
        assert_true(sizes[size] > 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(cut_sets_of_the_textbook),
        cmocka_unit_test(random_structures),
    };

    return cmocka_run_group_tests_name("structures", tests, NULL, NULL);
}
