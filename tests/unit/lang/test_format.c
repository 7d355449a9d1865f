#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>
#include <strings.h>
#include <cmocka.h>

#include "base/arena.h"
#include "base/name.h"
#include "base/text.h"
#include "lang/format.h"
#include "lang/piece.h"
#include "lang/reading.h"
#include "lang/review.h"
#include "source/diag.h"
#include "source/source.h"

struct bench {
    struct arena *arena;
    struct names *names;
    struct sources *sources;
    struct diags *diags;
    struct parse_context context;
};

static void begin(struct bench *b)
{
    b->arena = arena_new();
    b->names = names_new(b->arena);
    b->sources = sources_new(b->arena);
    b->diags = diags_new(b->arena);
    b->context = (struct parse_context){b->arena, b->names, b->sources,
                                        b->diags};
}

static void end(struct bench *b)
{
    diags_free(b->diags);
    sources_free(b->sources);
    names_free(b->names);
    arena_free(b->arena);
}

static struct text format(struct bench *b, enum parse_kind kind,
                          const char *text)
{
    struct text out = {0};
    uint32_t file = sources_add(b->sources, "t", text, strlen(text));

    assert_true(format_text(&b->context, file, kind, &out));
    return out;
}

static struct pieces pieces_in(struct bench *b, enum parse_kind kind,
                               const char *text)
{
    struct reading reading = {.context = &b->context, .kind = kind};

    reading.file = sources_add(b->sources, "t", text, strlen(text));
    reading.text = sources_text(b->sources, reading.file, &reading.n);
    return pieces_of(&reading);
}

/* Same tokens and comments, but for the case of letters in keywords and the
 * blanks within comments. */
static void same_pieces(struct bench *b, enum parse_kind kind,
                        const char *one, const char *other)
{
    struct pieces p = pieces_in(b, kind, one);
    struct pieces q = pieces_in(b, kind, other);

    assert_int_equal(p.n, q.n);
    for (size_t i = 0; i < p.n; i++) {
        size_t n = p.at[i].to - p.at[i].from;

        assert_int_equal(p.at[i].kind, q.at[i].kind);
        assert_true(!i || (p.at[i].lines > 0) == (q.at[i].lines > 0));
        if (p.at[i].kind == PIECE_COMMENT)
            continue;
        assert_int_equal(n, q.at[i].to - q.at[i].from);
        assert_int_equal(
            strncasecmp(one + p.at[i].from, other + q.at[i].from, n), 0);
    }
    vec_release(&p);
    vec_release(&q);
}

static void becomes(enum parse_kind kind, const char *text,
                    const char *wanted)
{
    struct bench b;
    struct text once, twice;

    begin(&b);
    once = format(&b, kind, text);
    assert_string_equal(text_str(&once), wanted);
    twice = format(&b, kind, text_str(&once));
    assert_string_equal(text_str(&twice), wanted);
    same_pieces(&b, kind, text, text_str(&once));
    text_release(&once);
    text_release(&twice);
    end(&b);
}

static void control_text(void **state)
{
    (void)state;
    becomes(PARSE_CONTROL,
            "\n\nprogram Main   \nvar_input\na:BOOL; (* in *)\nend_var\n\n\n\n"
            "if a and\nnot b then\n x:=a+-1 ;\nELSE\n(* two\n   lines   \n*)\n"
            "case n of\n1 , 2: x:=3;\ny := ( 4 ) ;\nelse\n;\nend_case\n"
            "end_if\n// last\nend_program",
            "PROGRAM Main\n  VAR_INPUT\n    a: BOOL; (* in *)\n  END_VAR\n\n"
            "  IF a AND\n      NOT b THEN\n    x := a + -1;\n  ELSE\n"
            "    (* two\n   lines\n*)\n    CASE n OF\n      1, 2: x := 3;\n"
            "        y := (4);\n      ELSE\n        ;\n    END_CASE\n"
            "  END_IF\n  // last\nEND_PROGRAM\n");
}

static void line_ends(void **state)
{
    (void)state;
    becomes(PARSE_CONTROL, "PROGRAM p\r\nx := (* a \r\n b *) y;\r\n"
                           "END_PROGRAM",
            "PROGRAM p\r\n  x := (* a\r\n b *) y;\r\nEND_PROGRAM\r\n");
}

static void review_text(void **state)
{
    (void)state;
    becomes(PARSE_REVIEW,
            "review r 'x'\ncontrols\na   : button 'a'\nat 'panel';\n"
            "end_controls\nmechanism g\nvar v : (Off, On1); end_var\n"
            "moves v from Off to On1\nwhile a;\nif a then\nmay\nv:=Off;\nor\n"
            "v:=On1;\nend_may;\nend_if;\nend_mechanism\nhazards\nh1 'a'\n"
            "h2 'b'\nend_hazards\nrequirements\nr1\n: never a\n"
            "despite 1 fault;\nend_requirements\nend_review",
            "REVIEW r 'x'\n  CONTROLS\n    a   : BUTTON 'a'\n"
            "      AT 'panel';\n  END_CONTROLS\n  MECHANISM g\n"
            "    VAR v : (Off, On1); END_VAR\n    MOVES v FROM Off TO On1\n"
            "      WHILE a;\n    IF a THEN\n      MAY\n        v := Off;\n"
            "      OR\n        v := On1;\n      END_MAY;\n    END_IF;\n"
            "  END_MECHANISM\n  HAZARDS\n    h1 'a'\n    h2 'b'\n"
            "  END_HAZARDS\n  REQUIREMENTS\n    r1\n      : NEVER a\n"
            "      DESPITE 1 FAULT;\n  END_REQUIREMENTS\nEND_REVIEW\n");
}

/* A colour is a word behind the kind of a signal, and a name elsewhere. */
static void colours(void **state)
{
    (void)state;
    becomes(PARSE_REVIEW,
            "review r\ncontrols\nred : lamp red 'x';\n"
            "green : lamp 'y' white\nat 'z';\n"
            "mode : selector (Red, Green) 'grey' contacts\n"
            "blue on Red, black on Green;\n"
            "yellow : stop black contacts opening;\n"
            "end_controls\nrequirements\nr1 : never red and blue;\n"
            "end_requirements\nend_review",
            "REVIEW r\n  CONTROLS\n    red : LAMP RED 'x';\n"
            "    green : LAMP 'y' WHITE\n      AT 'z';\n"
            "    mode : SELECTOR (Red, Green) 'grey' CONTACTS\n"
            "      blue ON Red, black ON Green;\n"
            "    yellow : STOP BLACK CONTACTS OPENING;\n"
            "  END_CONTROLS\n  REQUIREMENTS\n"
            "    r1 : NEVER red AND blue;\n"
            "  END_REQUIREMENTS\nEND_REVIEW\n");
    becomes(PARSE_CONTROL,
            "PROGRAM p\nred := white and grey;\nEND_PROGRAM",
            "PROGRAM p\n  red := white AND grey;\nEND_PROGRAM\n");
}

/* RUNS, EVERY and SCANS are words in their phrase only. */
static void scans_and_runs(void **state)
{
    (void)state;
    becomes(PARSE_REVIEW,
            "review r\nscan T#80ms..T#130ms  by T#5ms ;\n"
            "runs Slow every 3 scans;\nfixed runs := every;\n"
            "requirements\nruns against scans: never every;\n"
            "end_requirements\nscenario s\nscan T#90ms;wait;\n"
            "end_scenario\nend_review",
            "REVIEW r\n  SCAN T#80ms..T#130ms  BY T#5ms;\n"
            "  RUNS Slow EVERY 3 SCANS;\n  FIXED runs := every;\n"
            "  REQUIREMENTS\n    runs AGAINST scans: NEVER every;\n"
            "  END_REQUIREMENTS\n  SCENARIO s\n    SCAN T#90ms; WAIT;\n"
            "  END_SCENARIO\nEND_REVIEW\n");
}

static void a_wrong_text_is_left_alone(void **state)
{
    struct bench b;
    struct text out = {0};
    uint32_t file;

    (void)state;
    begin(&b);
    file = sources_add(b.sources, "t", "PROGRAM p x y; END_PROGRAM", 26);
    assert_false(format_text(&b.context, file, PARSE_CONTROL, &out));
    assert_int_equal(out.n, 0);
    assert_int_equal(diags_errors(b.diags), 1);
    text_release(&out);
    end(&b);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(control_text),
        cmocka_unit_test(line_ends),
        cmocka_unit_test(review_text),
        cmocka_unit_test(colours),
        cmocka_unit_test(scans_and_runs),
        cmocka_unit_test(a_wrong_text_is_left_alone),
    };

    return cmocka_run_group_tests_name("format", tests, NULL, NULL);
}
