/* Texts with mistakes put in at random, through the whole program: it never
 * crashes or hangs, finds no fault in itself (4), and what is wrong with a
 * text is told with the line.
 *
 * KEEPCLEAR_MUTANTS=n looks at n of each kind, KEEPCLEAR_SEED=s begins with
 * another one; what fails is left in /tmp and named. */
#include <dirent.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include <cmocka.h>

#include "base/os.h"
#include "base/text.h"
#include "tests/support/mutant.h"
#include "tests/support/shell.h"

enum {
    USUAL = 50,       /* mutants of each kind */
    MOST_TEXTS = 600,
    SECONDS = 60      /* of the processor, for one run */
};

static const char *const reviews[] = {
    "models/table/table", "models/tailgate/tailgate",
    "models/safe_gap/two_switches", "models/guard_pair/series",
    "models/parts/two_hand_3/two_hand_3", "models/parts/guard/guard",
};

enum { N_REVIEWS = sizeof reviews / sizeof *reviews };

static unsigned long asked(const char *name, unsigned long usual)
{
    const char *value = getenv(name);

    return value != NULL ? strtoul(value, NULL, 10) : usual;
}

static void read_text(const char *path, struct text *text)
{
    text_clear(text);
    assert_int_equal(os_read_file(path, 1 << 20, text), OS_OK);
}

/* A mistake in the text is told as `file:line:`, and nothing else is. */
static void judge(int code, const char *file, uint64_t seed)
{
    if (code > 3)
        fail_msg("seed %llu: ended with %d; the text is %s\n%s",
                 (unsigned long long)seed, code, file, shell_output());
    if (code == 2 && strstr(shell_output(), "error: ") == NULL &&
        strstr(shell_output(), "keepclear: ") == NULL)
        fail_msg("seed %llu: refused without a word; the text is %s\n%s",
                 (unsigned long long)seed, file, shell_output());
    assert_int_equal(remove(file), 0);
}

static void write_mutant(const char *text, const char *other, uint64_t seed,
                         const char *file)
{
    struct text mutant = {0};

    mutant_make(text, other, seed, &mutant);
    assert_int_equal(os_write_file(file, text_str(&mutant), mutant.n), OS_OK);
    text_release(&mutant);
}

static int run(const char *arguments)
{
    return shell_run("ulimit -t %d; exec timeout %d %s check --memory 256MiB "
                     "%s 2>&1", SECONDS, 8 * SECONDS, shell_program(),
                     arguments);
}

/* Of a control text under its review text, or of the review text. */
static void look_at_pairs(bool of_review)
{
    unsigned long n = asked("KEEPCLEAR_MUTANTS", USUAL);
    unsigned long first = asked("KEEPCLEAR_SEED", 1);
    struct text control = {0}, review = {0}, path = {0}, line = {0};
    char file[64];

    snprintf(file, sizeof file, "/tmp/keepclear-mutant-%d-%s",
             (int)getpid(), of_review ? "x.review" : "x.st");
    for (uint64_t seed = first; seed < first + n; seed++) {
        const char *base = reviews[seed % N_REVIEWS];

        text_clear(&path);
        text_printf(&path, "%s.st", base);
        read_text(text_str(&path), &control);
        text_clear(&path);
        text_printf(&path, "%s.review", base);
        read_text(text_str(&path), &review);
        text_clear(&line);
        if (of_review) {
            write_mutant(text_str(&review), text_str(&control), seed, file);
            text_printf(&line, "--control %s.st %s", base, file);
        } else {
            write_mutant(text_str(&control), text_str(&review), seed, file);
            text_printf(&line, "--control %s %s.review", file, base);
        }
        judge(run(text_str(&line)), file, seed);
    }
    text_release(&control);
    text_release(&review);
    text_release(&path);
    text_release(&line);
}

static void control_texts_under_review(void **state)
{
    (void)state;
    look_at_pairs(false);
}

static void review_texts(void **state)
{
    (void)state;
    look_at_pairs(true);
}

static int is_control(const struct dirent *entry)
{
    size_t n = strlen(entry->d_name);

    return n > 3 && strcmp(entry->d_name + n - 3, ".st") == 0;
}

/* Without a review text: every construct that the golden texts use. */
static void control_texts_alone(void **state)
{
    unsigned long n = asked("KEEPCLEAR_MUTANTS", USUAL);
    unsigned long first = asked("KEEPCLEAR_SEED", 1);
    struct text text = {0}, other = {0}, path = {0};
    struct dirent **entries = NULL;
    int found = scandir("tests/golden/good", &entries, is_control, alphasort);
    char file[64];

    (void)state;
    assert_in_range(found, 50, MOST_TEXTS);
    snprintf(file, sizeof file, "/tmp/keepclear-mutant-%d-alone.st",
             (int)getpid());
    for (uint64_t seed = first; seed < first + n; seed++) {
        text_clear(&path);
        text_printf(&path, "tests/golden/good/%s",
                    entries[seed * 7 % (unsigned)found]->d_name);
        read_text(text_str(&path), &text);
        text_clear(&path);
        text_printf(&path, "tests/golden/good/%s",
                    entries[seed * 11 % (unsigned)found]->d_name);
        read_text(text_str(&path), &other);
        write_mutant(text_str(&text), text_str(&other), seed, file);
        judge(run(file), file, seed);
    }
    for (int i = 0; i < found; i++)
        free(entries[i]);
    free(entries);
    text_release(&text);
    text_release(&other);
    text_release(&path);
}

int main(void)
{
    static const struct CMUnitTest tests[] = {
        cmocka_unit_test(control_texts_under_review),
        cmocka_unit_test(review_texts),
        cmocka_unit_test(control_texts_alone),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
