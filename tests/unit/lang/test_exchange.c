/* Projects in XML become text: types, initial values, lines, and what is done
 * with damaged ones. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "base/text.h"
#include "lang/exchange.h"

#define HEAD                                                               \
    "<?xml version='1.0'?><project "                                       \
    "xmlns='http://www.plcopen.org/xml/tc6_0201'>"
#define DATA(type)                                                         \
    HEAD "<types><dataTypes><dataType name='T'><baseType>" type            \
         "</baseType></dataType></dataTypes></types></project>"
#define MAIN(inner)                                                        \
    HEAD "<types><pous><pou name='P' pouType='program'>" inner             \
         "</pou></pous></types></project>"

/* Runs of blanks and line ends count as one blank. */
static void squeeze(struct text *text)
{
    size_t n = 0;

    for (size_t i = 0; i < text->n; i++) {
        char c = text->at[i] == '\n' ? ' ' : text->at[i];

        if (c != ' ' || (n && text->at[n - 1] != ' '))
            text->at[n++] = c;
    }
    while (n && text->at[n - 1] == ' ')
        n--;
    text->n = n;
    text->at[n] = '\0';
}

static void becomes(const char *xml, const char *wanted)
{
    struct text text = {0};

    text_add(&text, xml);
    exchange_unpack(&text);
    squeeze(&text);
    assert_string_equal(text_str(&text), wanted);
    text_release(&text);
}

static void types(void **state)
{
    (void)state;
    becomes(DATA("<INT/>"), "TYPE T : INT; END_TYPE");
    becomes(DATA("<derived name='U'/>"), "TYPE T : U; END_TYPE");
    becomes(DATA("<string length='80'/>"), "TYPE T : STRING[80]; END_TYPE");
    becomes(DATA("<array><dimension lower='0' upper='3'/><dimension "
                 "lower='1' upper='2'/><baseType><BOOL/></baseType></array>"),
            "TYPE T : ARRAY [0 .. 3, 1 .. 2] OF BOOL; END_TYPE");
    becomes(DATA("<enum><values><value name='A'/><value name='B' "
                 "value='4'/></values><baseType><SINT/></baseType></enum>"),
            "TYPE T : (A, B := 4) SINT; END_TYPE");
    becomes(DATA("<subrangeUnsigned><range lower='0' upper='7'/>"
                 "<baseType><UINT/></baseType></subrangeUnsigned>"),
            "TYPE T : UINT (0 .. 7); END_TYPE");
    becomes(DATA("<struct><variable name='x'><type><BOOL/></type>"
                 "<initialValue><simpleValue value='TRUE'/></initialValue>"
                 "</variable></struct>"),
            "TYPE T : STRUCT x : BOOL := TRUE; END_STRUCT; END_TYPE");
}

static void variables(void **state)
{
    (void)state;
    becomes(MAIN("<interface><inputVars retain='true'><variable name='x' "
                 "address='%IX0.0'><type><BOOL/></type></variable>"
                 "</inputVars><localVars constant='true'><variable name='k'>"
                 "<type><derived name='S'/></type><initialValue><arrayValue>"
                 "<value repetitionValue='2'><simpleValue value='1'/></value>"
                 "<value><structValue><value member='a'><simpleValue "
                 "value='3'/></value></structValue></value></arrayValue>"
                 "</initialValue></variable></localVars></interface>"
                 "<body><ST><xhtml>x := k &lt; 3;</xhtml></ST></body>"),
            "PROGRAM P VAR_INPUT RETAIN x AT %IX0.0 : BOOL; END_VAR VAR "
            "CONSTANT k : S := [2(1), (a := 3)]; END_VAR x := k < 3; "
            "END_PROGRAM");
}

static void tasks(void **state)
{
    (void)state;
    becomes(HEAD "<instances><configurations><configuration name='C'>"
                 "<resource name='R'><task name='T' interval='PT1M0.5S' "
                 "priority='2'><pouInstance name='i' typeName='P'/></task>"
                 "</resource></configuration></configurations></instances>"
                 "</project>",
            "CONFIGURATION Exported RESOURCE R TASK T (INTERVAL := T#1m0.5s, "
            "PRIORITY := 2); PROGRAM i WITH T : P; END_RESOURCE "
            "END_CONFIGURATION");
    becomes(HEAD "<instances><configurations><configuration name='C'>"
                 "<resource name='R'/></configuration></configurations>"
                 "</instances></project>", "");
}

static void what_is_not_read_leaves_a_mark(void **state)
{
    (void)state;
    becomes(MAIN("<body><LD><contact/></LD></body>"),
            "PROGRAM P {not read: the body in LD} END_PROGRAM");
    becomes(MAIN("<addData><data><Method name='a}b'/></data></addData>"),
            "PROGRAM P {not read: the method ab} END_PROGRAM");
    becomes(MAIN("<documentation>no text</documentation>"),
            "PROGRAM P END_PROGRAM");
}

static void lines_are_those_of_the_file(void **state)
{
    struct text text = {0};
    const char *at;
    uint32_t line = 1;

    (void)state;
    text_add(&text, MAIN("\n<interface>\n<localVars>\n<variable name='x'>"
                         "<type>\n<BOOL/></type></variable></localVars>\n"
                         "</interface>\n<body><ST>\n<xhtml>\n\nx := y;\n"
                         "</xhtml></ST></body>"));
    exchange_unpack(&text);
    at = strstr(text_str(&text), "x := y");
    assert_non_null(at);
    for (const char *c = text_str(&text); c < at; c++)
        line += *c == '\n';
    assert_int_equal(line, 10);
    text_release(&text);
}

static void stays(const char *bytes)
{
    struct text text = {0};

    text_add(&text, bytes);
    exchange_unpack(&text);
    assert_string_equal(text_str(&text), bytes);
    text_release(&text);
}

static void what_is_no_such_file_stays(void **state)
{
    struct text deep = {0};

    (void)state;
    stays("");
    stays("PROGRAM P END_PROGRAM (* plcopen.org/xml/tc6 *)");
    stays("<object><Declaration>PROGRAM P</Declaration></object>");
    stays(HEAD "<types></project>");
    stays("<!DOCTYPE project><project "
          "xmlns='http://www.plcopen.org/xml/tc6_0201'/>");
    text_add(&deep, HEAD);
    for (int i = 0; i < 500; i++)
        text_add(&deep, "<array>");
    for (int i = 0; i < 500; i++)
        text_add(&deep, "</array>");
    text_add(&deep, "</project>");
    stays(text_str(&deep));
    text_release(&deep);
}

/* Elements in places where none of them belongs, and damaged bytes. */
static void disorder_does_no_harm(void **state)
{
    static const char *const names[] = {
        "pou", "returnType", "variable", "type", "baseType", "initialValue",
        "simpleValue", "arrayValue", "structValue", "value", "body", "ST",
        "dataType", "values", "dimension", "range", "enum", "array",
        "struct", "subrangeSigned", "task", "resource", "pouInstance",
        "inputVars", "addData", "xhtml", "INT"};
    enum { NAMES = sizeof names / sizeof *names };
    struct text text = {0};

    (void)state;
    for (unsigned i = 0; i < NAMES; i++)
        for (unsigned k = 0; k < NAMES; k++)
            for (unsigned l = 0; l < NAMES; l++) {
                text_clear(&text);
                text_printf(&text, HEAD "<%s><%s><%s a='1'/>x</%s></%s>"
                                        "</project>",
                            names[i], names[k], names[l], names[k],
                            names[i]);
                exchange_unpack(&text);
                assert_null(strstr(text_str(&text), "</"));
            }
    text_release(&text);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(types),
        cmocka_unit_test(variables),
        cmocka_unit_test(tasks),
        cmocka_unit_test(what_is_not_read_leaves_a_mark),
        cmocka_unit_test(lines_are_those_of_the_file),
        cmocka_unit_test(what_is_no_such_file_stays),
        cmocka_unit_test(disorder_does_no_harm),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
