/* Every command shown in README.md and docs/ is run, and what is shown of
 * its output must be there.
 *
 * In the documents, a block begun by ```console holds lines `$ command`,
 * perhaps ended by `# exit N` (0 when not said), each followed by lines of
 * its output in order; a line `...` stands for any number of lines.  A block
 * begun by ```text NAME is written to the file NAME first.  Each document
 * runs in a folder of its own, in which build/, models/ and docs/ are those
 * of the project. */
#include <setjmp.h>
#include <stdbool.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include <cmocka.h>

enum { LINE = 4096, OUTPUT = 1 << 20 };

struct walk {
    const char *path; /* of the document */
    char folder[256];
    FILE *in;
    FILE *file;       /* being written, or NULL */
    char *output;     /* of the last command */
    const char *at;   /* what of it was matched so far */
    bool console, skipped;
    unsigned line, commands;
    bool failed;
};

static void complain(struct walk *walk, const char *what, const char *detail)
{
    print_message("%s:%u: %s: %s\n", walk->path, walk->line, what, detail);
    walk->failed = true;
}

static void make_folder(struct walk *walk)
{
    char root[1024], from[2048], to[512];
    static const char *const links[] = {"build", "models", "docs", "tests"};

    assert_non_null(getcwd(root, sizeof root));
    strcpy(walk->folder, "/tmp/keepclear-docs-XXXXXX");
    assert_non_null(mkdtemp(walk->folder));
    for (size_t i = 0; i < sizeof links / sizeof *links; i++) {
        snprintf(from, sizeof from, "%s/%s", root, links[i]);
        snprintf(to, sizeof to, "%s/%s", walk->folder, links[i]);
        assert_int_equal(symlink(from, to), 0);
    }
}

/* The exit code that the end of the line promises; cuts it off. */
static int promised(char *command)
{
    char *mark = strstr(command, "# exit ");
    int code = 0;

    if (mark != NULL) {
        code = atoi(mark + 7);
        *mark = '\0';
    }
    return code;
}

static void run(struct walk *walk, char *command)
{
    char line[LINE + 512];
    int want = promised(command), status;
    size_t n = 0, got;
    FILE *pipe;

    snprintf(line, sizeof line, "cd %s && { %s ; } 2>&1", walk->folder,
             command);
    pipe = popen(line, "r");
    assert_non_null(pipe);
    while (n < OUTPUT - 1 &&
           (got = fread(walk->output + n, 1, OUTPUT - 1 - n, pipe)) > 0)
        n += got;
    walk->output[n] = '\0';
    walk->at = walk->output;
    walk->skipped = false;
    status = pclose(pipe);
    walk->commands++;
    if (!WIFEXITED(status) || WEXITSTATUS(status) != want) {
        complain(walk, "other exit code", command);
        print_message("%s\n", walk->output);
    }
}

/* A line of output that the document shows. */
static void expect(struct walk *walk, const char *line)
{
    const char *at = walk->at;
    size_t n = strlen(line);

    if (strcmp(line, "...") == 0) {
        walk->skipped = true;
        return;
    }
    while (at != NULL && *at != '\0') {
        size_t have = strcspn(at, "\n");

        if (have == n && memcmp(at, line, n) == 0) {
            walk->at = at + have + (at[have] == '\n');
            walk->skipped = false;
            return;
        }
        if (!walk->skipped)
            break;
        at += have + (at[have] == '\n');
    }
    complain(walk, "not in the output", line);
}

static void open_block(struct walk *walk, const char *info)
{
    char path[512], name[200];

    if (strcmp(info, "console") == 0) {
        walk->console = true;
        walk->at = NULL;
    } else if (sscanf(info, "text %199s", name) == 1) {
        snprintf(path, sizeof path, "%s/%s", walk->folder, name);
        walk->file = fopen(path, "w");
        assert_non_null(walk->file);
    } else {
        walk->file = fopen("/dev/null", "w");
    }
}

static void close_block(struct walk *walk)
{
    if (walk->file != NULL)
        fclose(walk->file);
    walk->file = NULL;
    walk->console = false;
}

static void take(struct walk *walk, char *line)
{
    bool inside = walk->console || walk->file != NULL;

    if (strncmp(line, "```", 3) == 0) {
        if (inside)
            close_block(walk);
        else
            open_block(walk, line + 3);
    } else if (walk->file != NULL) {
        fprintf(walk->file, "%s\n", line);
    } else if (walk->console && strncmp(line, "$ ", 2) == 0) {
        run(walk, line + 2);
    } else if (walk->console) {
        expect(walk, line);
    }
}

static unsigned walk_document(const char *path)
{
    struct walk walk = {.path = path, .in = fopen(path, "r")};
    char line[LINE], remove[512];

    if (walk.in == NULL)
        fail_msg("%s is missing", path);
    walk.output = malloc(OUTPUT);
    make_folder(&walk);
    while (fgets(line, sizeof line, walk.in) != NULL) {
        line[strcspn(line, "\n")] = '\0';
        walk.line++;
        take(&walk, line);
    }
    fclose(walk.in);
    free(walk.output);
    snprintf(remove, sizeof remove, "rm -rf %s", walk.folder);
    assert_int_equal(system(remove), 0);
    assert_false(walk.failed);
    return walk.commands;
}

static void readme(void **state)
{
    (void)state;
    assert_true(walk_document("README.md") > 0);
}

static void tutorial(void **state)
{
    (void)state;
    assert_true(walk_document("docs/tutorial.md") > 5);
}

static void language_reference(void **state)
{
    (void)state;
    assert_true(walk_document("docs/language.md") > 1);
}

static void meaning_of_a_verdict(void **state)
{
    (void)state;
    walk_document("docs/verdicts.md");
}

static void engineer(void **state)
{
    (void)state;
    assert_true(walk_document("docs/engineer.md") > 8);
}

static void one_change(void **state)
{
    (void)state;
    assert_true(walk_document("docs/day.md") > 10);
}

static void assessor(void **state)
{
    (void)state;
    assert_true(walk_document("docs/assessor.md") > 8);
}

static void trainer(void **state)
{
    (void)state;
    assert_true(walk_document("docs/trainer.md") > 10);
}

static void method(void **state)
{
    (void)state;
    assert_true(walk_document("docs/method.md") > 1);
}

static void the_questions_to_a_controller(void **state)
{
    (void)state;
    assert_true(walk_document("docs/controller-questions/README.md") > 0);
}

static void models(void **state)
{
    (void)state;
    assert_true(walk_document("models/tailgate/README.md") > 0);
    assert_true(walk_document("models/rear_body/README.md") > 0);
    assert_true(walk_document("models/safe_gap/README.md") > 4);
    assert_true(walk_document("models/guard_pair/README.md") > 4);
    assert_true(walk_document("models/parts/README.md") > 5);
    assert_true(walk_document("models/templates/README.md") > 4);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(readme),
        cmocka_unit_test(tutorial),
        cmocka_unit_test(language_reference),
        cmocka_unit_test(meaning_of_a_verdict),
        cmocka_unit_test(engineer),
        cmocka_unit_test(one_change),
        cmocka_unit_test(assessor),
        cmocka_unit_test(trainer),
        cmocka_unit_test(method),
        cmocka_unit_test(the_questions_to_a_controller),
        cmocka_unit_test(models),
    };

    return cmocka_run_group_tests_name("documents", tests, NULL, NULL);
}
