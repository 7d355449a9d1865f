/* The checks of the tree must be able to fail: each rule gets a small tree
 * that breaks it, and the line that says so is demanded. */
#define _GNU_SOURCE
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/wait.h>

#include "base/os.h"
#include "base/text.h"

static char root[64];

/* Writes a file of the tree, with the folders it needs. */
static void put(const char *path, const char *bytes)
{
    struct text whole = {0};

    text_printf(&whole, "%s/%s", root, path);
    for (size_t i = strlen(root) + 1; i < whole.n; i++)
        if (whole.at[i] == '/') {
            whole.at[i] = '\0';
            mkdir(whole.at, 0755);
            whole.at[i] = '/';
        }
    assert_int_equal(os_write_file(whole.at, bytes, strlen(bytes)), OS_OK);
    text_release(&whole);
}

static int command(struct text *out, const char *line)
{
    FILE *pipe = popen(line, "r");
    int status;

    text_clear(out);
    for (int c; (c = fgetc(pipe)) != EOF;)
        text_add_char(out, (char)c);
    status = pclose(pipe);
    return WIFEXITED(status) ? WEXITSTATUS(status) : -1;
}

static int setup(void **state)
{
    (void)state;
    strcpy(root, "/tmp/test_floors.XXXXXX");
    if (!mkdtemp(root))
        return -1;
    put("src/base/arena.h", "/* a */\nvoid arena_a(int a);\n");
    put("src/base/arena.c", "#include \"base/arena.h\"\n\n"
                            "void arena_a(int a)\n{\n    (void)a;\n}\n");
    return 0;
}

static int teardown(void **state)
{
    struct text line = {0}, out = {0};

    (void)state;
    text_printf(&line, "rm -r '%s'", root);
    assert_int_equal(command(&out, text_str(&line)), 0);
    text_release(&line);
    text_release(&out);
    return 0;
}

static int check(struct text *out)
{
    struct text line = {0};
    int status;

    text_printf(&line, "sh tests/tools/check-floors.sh '%s' 2>&1", root);
    status = command(out, text_str(&line));
    text_release(&line);
    return status;
}

/* The tree has exactly one violation, and this is it. */
static void assert_only(const char *violation)
{
    struct text out = {0};
    int status = check(&out);

    if (status != 1 ||
        strncmp(text_str(&out), violation, strlen(violation)))
        fail_msg("status %d, wanted \"%s\", got:\n%s", status, violation,
                 text_str(&out));
    if (!strstr(text_str(&out), "; 1 violation\n"))
        fail_msg("more than one:\n%s", text_str(&out));
    text_release(&out);
}

static void a_sound_tree_passes(void **state)
{
    struct text out = {0};

    (void)state;
    put("src/cli/cli.c", "#include <stdio.h>\n\n#include \"base/arena.h\"\n"
                         "/* #include \"cli/none.h\" */\n"
                         "static const char *const words[] = {\"{\"};\n\n"
                         "int cli_main(int argc, char **argv)\n{\n"
                         "    printf(\"%s\", words[0]);\n"
                         "    return argc && argv;\n}\n");
    assert_int_equal(check(&out), 0);
    assert_string_equal(text_str(&out),
                        "floors: 3 files, 2 modules, 2 functions: longest "
                        "5 lines (cli/cli: cli_main), median 4, nine of "
                        "ten at most 5; 0 violations\n");
    text_release(&out);
}

static void an_empty_tree_fails(void **state)
{
    struct text out = {0};

    (void)state;
    assert_int_equal(
        command(&out, "sh tests/tools/check-floors.sh tests/tools"), 1);
    text_release(&out);
}

static void strangers_are_found(void **state)
{
    struct text line = {0}, out = {0};

    (void)state;
    put("a picture.png", "");
    assert_only("a picture.png: does not belong at the top level\n");
    text_printf(&line, "rm '%s/a picture.png'", root);
    assert_int_equal(command(&out, text_str(&line)), 0);
    text_release(&line);
    text_release(&out);
}

static void nobody_looks_up(void **state)
{
    static const struct {
        const char *path, *included, *violation;
    } cases[] = {
        {"src/base/b.c", "source/s.h", "base may not know source"},
        {"src/lang/l.c", "check/c.h", "lang may not know check"},
        {"grammar/st.y", "check/c.h", "grammar may not know check"},
        {"src/logic/l.c", "lang/l.h", "logic may not know lang"},
        {"src/logic/l.c", "check/c.h", "logic may not know check"},
        {"src/check/c.c", "logic/l.h", "check may not know logic"},
        {"src/engine/concrete/e.c", "check/c.h",
         "engine may not know check"},
        {"src/reference/r.c", "logic/l.h", "reference may not know logic"},
        {"src/reference/r.c", "lower/l.h", "reference may not know lower"},
        {"src/reference/r.c", "engine/e.h",
         "reference may not know engine"},
        {"src/lower/l.c", "reference/r.h", "lower may not know reference"},
        {"src/engine/e.c", "reference/r.h",
         "engine may not know reference"},
        {"src/study/s.c", "present/p.h", "study may not know present"},
        {"src/present/p.c", "cli/c.h", "present may not know cli"},
    };
    struct text bytes = {0}, want = {0};

    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        text_clear(&bytes);
        text_clear(&want);
        text_printf(&bytes, "\n#include \"%s\"\n", cases[i].included);
        text_printf(&want, "%s:2: %s (\"%s\")\n", cases[i].path,
                    cases[i].violation, cases[i].included);
        put(cases[i].path, text_str(&bytes));
        assert_only(text_str(&want));
        teardown(state);
        assert_int_equal(setup(state), 0);
    }
    text_release(&bytes);
    text_release(&want);
}

static void circles_are_found(void **state)
{
    (void)state;
    put("src/logic/a.c", "#include \"logic/b.h\"\n");
    put("src/logic/b.c",
        "#include \"logic/b.h\"\n#include \"logic/c.h\"\n");
    put("src/logic/b.h", "struct b;\n");
    put("src/logic/c.h", "#include \"logic/a.h\"\n");
    assert_only("src: circle of modules: logic/");
}

static void doors_stay_shut(void **state)
{
    static const struct {
        const char *bytes, *violation;
    } cases[] = {
        {"#include <unistd.h>\n", "1: <unistd.h> outside src/base/os.c"},
        {"#include <sys/stat.h>\n",
         "1: <sys/stat.h> outside src/base/os.c"},
        {"#include <threads.h>\n",
         "1: <threads.h> outside src/base/thread.c"},
        {"#include <bdd.h>\n",
         "1: <bdd.h> outside src/engine/sets/room.c"},
        {"#include <graphviz/gvc.h>\n",
         "1: <graphviz/gvc.h> outside one file of src/present/"},
        {"#include \"../base/arena.h\"\n",
         "1: \"../base/arena.h\" is not written from src/"},
        {"#include \"arena.h\"\n",
         "1: \"arena.h\" is not written from src/"},
        {"#include \"base/arena.c\"\n", "1: \"base/arena.c\" is no header"},
        {"void f(void)\n{\n    exit (1);\n}\n",
         "3: exit() outside src/cli/"},
        {"void f(void)\n{\n    printf(\"\");\n}\n",
         "3: printf() outside src/cli/"},
        {"void f(void)\n{\n    x = getenv(\"\");\n}\n",
         "3: getenv() outside src/base/os.c"},
        {"extern int x;\n", "1: extern variable"},
        {"static int counter;\n", "1: variable of a file that can change"},
        {"int a[] = {\n    1\n};\n",
         "1: variable of a file that can change"},
        {"static void (*hook)(int);\n",
         "1: variable of a file that can change"},
        {"void f(void)\n{\n    static int n;\n}\n",
         "3: static variable in a function"},
        {"static int f(int a, int (*b)(int, int), int c,\n"
         "             int d, int e, int g)\n{\n}\n",
         "1: f has 6 parameters, cap 5"},
        {"void f(void)\n{\n", "2: braces do not match: not measured"},
        {"/* open\n", "1: a comment does not end: not measured"},
    };
    struct text want = {0};

    (void)state;
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        text_clear(&want);
        text_printf(&want, "src/study/x.c:%s\n", cases[i].violation);
        put("src/study/x.c", cases[i].bytes);
        assert_only(text_str(&want));
    }
    text_release(&want);
}

static void headers_hold_no_code_and_few_prototypes(void **state)
{
    struct text many = {0};

    (void)state;
    put("src/study/x.h", "static inline int f(void)\n{\n}\n");
    assert_only("src/study/x.h:1: code in a header (f)\n");
    for (int i = 0; i < 16; i++)
        text_printf(&many, "int f%d(void);\n", i);
    put("src/study/x.h", text_str(&many));
    assert_only("src/study/x.h:1: 16 prototypes, cap 15\n");
    put("src/study/x.h", "struct x;\n");
    put("src/study/x.c", "#include <stdio.h>\n#include \"study/x.h\"\n");
    assert_only("src/study/x.c:1: the first include is not the own header");
    text_release(&many);
}

static void sizes_are_capped(void **state)
{
    struct text long_one = {0};

    (void)state;
    text_add(&long_one, "static void f(void)\n{\n");
    for (int i = 0; i < 78; i++)
        text_add(&long_one, "    ;\n");
    text_add(&long_one, "}\n");
    put("src/study/x.c", text_str(&long_one));
    assert_only("src/study/x.c:1: f has 81 lines, cap 80\n");
    text_clear(&long_one);
    text_pad(&long_one, '\n', 801);
    put("src/study/x.c", text_str(&long_one));
    assert_only("src/study/x.c:801: file of 801 lines, cap 800\n");
    text_clear(&long_one);
    text_add(&long_one, "/* ");
    text_pad(&long_one, 'x', 75);
    text_add(&long_one, "*/\n\n");
    put("src/study/x.c", text_str(&long_one));
    {
        struct text out = {0};

        assert_int_equal(check(&out), 0); /* 80 columns are allowed */
        text_release(&out);
    }
    text_clear(&long_one);
    text_add(&long_one, "/* \xc3\xbc");
    text_pad(&long_one, 'x', 75);
    text_add(&long_one, "*/\n");
    put("src/study/x.c", text_str(&long_one));
    assert_only("src/study/x.c:1: line of 81 columns, cap 80\n");
    text_release(&long_one);
}

#define WITH_TREE(test)                                                    \
    cmocka_unit_test_setup_teardown(test, setup, teardown)

int main(void)
{
    const struct CMUnitTest tests[] = {
        WITH_TREE(a_sound_tree_passes),
        cmocka_unit_test(an_empty_tree_fails),
        WITH_TREE(strangers_are_found),
        WITH_TREE(nobody_looks_up),
        WITH_TREE(circles_are_found),
        WITH_TREE(doors_stay_shut),
        WITH_TREE(headers_hold_no_code_and_few_prototypes),
        WITH_TREE(sizes_are_capped),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
