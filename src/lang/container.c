#include "lang/container.h"

#include <ctype.h>
#include <expat.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>
#include <strings.h>

#include "base/arena.h"
#include "base/ensure.h"
#include "lang/reading.h"

enum { DEEPEST = 100 };

enum element {
    OTHER, DECLARATION, BODY, IMPLEMENTATION, ACTION, REFUSED
};

struct unpacking {
    struct reading *reading;
    XML_Parser parser;
    char *text;         /* what the file holds, blanks elsewhere */
    uint32_t depth;
    enum element elements[DEEPEST];
    uint32_t refused;   /* open elements that are out of scope */
    uint32_t found;     /* texts taken */
    bool in_cdata, failed;
};

bool container_is(const char *text, size_t n)
{
    size_t i = 0;

    while (i < n && strchr(" \t\r\n", text[i]) && text[i])
        i++;
    return i + 1 < n && text[i] == '<' &&
           (text[i + 1] == '?' || text[i + 1] == '!' ||
            isalpha((unsigned char)text[i + 1]));
}

static struct span here(const struct unpacking *u)
{
    uint32_t from = (uint32_t)XML_GetCurrentByteIndex(u->parser);
    int n = XML_GetCurrentByteCount(u->parser);

    return (struct span){u->reading->file, from,
                         from + (uint32_t)(n > 0 ? n : 0)};
}

static void fail(struct unpacking *u, const char *hint, const char *what)
{
    if (u->failed)
        return;
    u->failed = true;
    u->reading->stopped = true;
    reading_error(u->reading, here(u), hint, "%s", what);
    XML_StopParser(u->parser, XML_FALSE);
}

/* ---- elements ---- */

static enum element element_named(const char *name)
{
    static const struct {
        const char *name;
        enum element element;
    } known[] = {
        {"Declaration", DECLARATION}, {"ST", BODY},
        {"Implementation", IMPLEMENTATION},
        {"Method", REFUSED}, {"Property", REFUSED}, {"Action", ACTION},
        {"Transition", REFUSED}, {"Get", REFUSED}, {"Set", REFUSED},
    };

    for (size_t i = 0; i < sizeof known / sizeof *known; i++)
        if (strcmp(known[i].name, name) == 0)
            return known[i].element;
    return OTHER;
}

static const char *name_of(const char **attributes)
{
    for (; attributes[0]; attributes += 2)
        if (strcmp(attributes[0], "Name") == 0)
            return attributes[1];
    return "";
}

static bool in_implementation(const struct unpacking *u)
{
    return u->depth && u->elements[u->depth - 1] == IMPLEMENTATION;
}

static bool in_text(const struct unpacking *u)
{
    return u->depth && (u->elements[u->depth - 1] == DECLARATION ||
                        u->elements[u->depth - 1] == BODY);
}

static void refuse(struct unpacking *u, const char *element,
                   const char **attributes)
{
    reading_error(u->reading, here(u),
                  "write it as a FUNCTION_BLOCK or FUNCTION of its own",
                  "the %s '%.60s' is not read in this version", element,
                  name_of(attributes));
}

/* Words in the place of a tag.  False: they are longer. */
static bool put(struct unpacking *u, const char *words, const char *more)
{
    struct span tag = here(u);
    size_t n = strlen(words), m = strlen(more);

    if (n + m + 1 > tag.to - tag.from)
        return false;
    memcpy(u->text + tag.from, words, n);
    memcpy(u->text + tag.from + n, more, m);
    u->text[tag.from + n + m] = ' ';
    return true;
}

/* ACTION name ... END_ACTION: the last in the place of </Implementation>. */
static void begin_action(struct unpacking *u, const char **attributes)
{
    if (!put(u, "ACTION ", name_of(attributes)))
        refuse(u, "Action", attributes);
}

static void end_action(struct unpacking *u)
{
    if (u->depth && u->elements[u->depth - 1] == ACTION &&
        !put(u, "END_ACTION", ""))
        reading_error(u->reading, here(u), "export the object again",
                      "this Action holds no element ST with a text");
}

static void begin(void *context, const char *name, const char **attributes)
{
    struct unpacking *u = context;
    enum element element = element_named(name);

    if (u->depth == DEEPEST) {
        fail(u, "export the object again",
             "the elements of this XML file are nested too deeply");
        return;
    }
    if (element == REFUSED && !u->refused)
        refuse(u, name, attributes);
    else if (element == ACTION && !u->refused)
        begin_action(u, attributes);
    else if (element == OTHER && in_text(u) && !u->refused)
        reading_error(u->reading, here(u), "write the text as CDATA",
                      "the element '%.40s' stands within a text and is not "
                      "read", name);
    else if (element == OTHER && in_implementation(u) && !u->refused)
        reading_error_body(u->reading, here(u),
                           "write the body in Structured Text, or declare "
                           "the block UNKNOWN in the review text",
                           "the body of this block is in %.40s, which is "
                           "not read", name);
    u->refused += element == REFUSED;
    u->elements[u->depth++] = element;
}

static void end(void *context, const char *name)
{
    struct unpacking *u = context;

    (void)name;
    u->refused -= u->elements[--u->depth] == REFUSED;
    if (u->elements[u->depth] == IMPLEMENTATION && !u->refused)
        end_action(u);
}

/* ---- what stands in them ---- */

static bool is_operator(char c)
{
    return c && strchr("<>=:", c) != NULL;
}

/* An entity is longer than its character: the character goes to its end, and
 * an operator before it, which may belong to it, moves up to it. */
static void shift(struct unpacking *u, struct span span, char c)
{
    uint32_t from = span.from, to = span.to, n = 0;

    while (from > n && is_operator(u->text[from - 1 - n]))
        n++;
    memmove(u->text + to - 1 - n, u->text + from - n, n);
    memset(u->text + from - n, ' ', to - 1 - from);
    u->text[to - 1] = c;
}

static void take(void *context, const char *bytes, int n)
{
    struct unpacking *u = context;
    enum element element = u->depth ? u->elements[u->depth - 1] : OTHER;
    struct span span = here(u);
    const char *file = u->reading->text;

    if (u->refused || (element != DECLARATION && element != BODY))
        return;
    u->found++;
    /* Line ends are normalised and reported without their place: the bytes
     * of the file are taken, not those handed over. */
    if (!u->in_cdata && file[span.from] == '&') {
        if (n == 1)
            shift(u, span, bytes[0]);
        return;
    }
    memcpy(u->text + span.from, file + span.from, span.to - span.from);
}

static void cdata_begin(void *context)
{
    ((struct unpacking *)context)->in_cdata = true;
}

static void cdata_end(void *context)
{
    ((struct unpacking *)context)->in_cdata = false;
}

static void doctype(void *context, const char *name, const char *system,
                    const char *public, int internal)
{
    (void)name;
    (void)system;
    (void)public;
    (void)internal;
    fail(context, "take the DOCTYPE out, or export the object again",
         "an XML file with a document type of its own is not read");
}

/* ---- the whole ---- */

static void blank(struct unpacking *u)
{
    const struct reading *reading = u->reading;

    u->text = arena_copy(reading->context->arena, reading->text,
                         reading->n);
    for (size_t i = 0; i < reading->n; i++)
        if (u->text[i] != '\n' && u->text[i] != '\r')
            u->text[i] = ' ';
}

static void run(struct unpacking *u)
{
    struct reading *reading = u->reading;

    XML_SetUserData(u->parser, u);
    XML_SetElementHandler(u->parser, begin, end);
    XML_SetCharacterDataHandler(u->parser, take);
    XML_SetCdataSectionHandler(u->parser, cdata_begin, cdata_end);
    XML_SetStartDoctypeDeclHandler(u->parser, doctype);
    if (XML_Parse(u->parser, reading->text, (int)reading->n, XML_TRUE) ==
            XML_STATUS_ERROR && !u->failed)
        fail(u, "export the object again",
             reading_printf(reading, "this XML file is not well formed: %s",
                            XML_ErrorString(XML_GetErrorCode(u->parser))));
    if (!u->found && !u->failed)
        reading_error(reading, (struct span){reading->file, 0, 0},
                      "give the file of one POU, type or list of globals, "
                      "or the plain text",
                      "this XML file holds no element Declaration and no "
                      "element ST with a text");
}

void container_open(struct reading *reading)
{
    struct unpacking u = {.reading = reading};

    u.parser = XML_ParserCreate("UTF-8");
    ENSURE(u.parser);
    blank(&u);
    run(&u);
    XML_ParserFree(u.parser);
    reading->text = u.text;
    reading->container = true;
}

/* ---- a walk ---- */

struct walk {
    const struct container_events *events;
    void *context;
    XML_Parser parser;
    uint32_t *line;
    uint32_t depth;
    bool failed;
};

static void stop(struct walk *walk)
{
    walk->failed = true;
    XML_StopParser(walk->parser, XML_FALSE);
}

static const char *bare(const char *name)
{
    const char *colon = strchr(name, ':');

    return colon ? colon + 1 : name;
}

static void walk_begin(void *context, const char *name,
                       const char **attributes)
{
    struct walk *walk = context;

    if (walk->failed)
        return;
    if (++walk->depth > DEEPEST) {
        stop(walk);
        return;
    }
    *walk->line = (uint32_t)XML_GetCurrentLineNumber(walk->parser);
    walk->events->begin(walk->context, bare(name),
                        (const char *const *)attributes);
}

static void walk_end(void *context, const char *name)
{
    struct walk *walk = context;

    if (walk->failed)
        return;
    walk->depth--;
    *walk->line = (uint32_t)XML_GetCurrentLineNumber(walk->parser);
    walk->events->end(walk->context, bare(name));
}

static void walk_text(void *context, const char *bytes, int n)
{
    struct walk *walk = context;

    if (!walk->failed)
        walk->events->text(walk->context, bytes, (size_t)n);
}

static void walk_doctype(void *context, const char *name, const char *system,
                         const char *public, int internal)
{
    (void)name;
    (void)system;
    (void)public;
    (void)internal;
    stop(context);
}

bool container_walk(const char *bytes, size_t n,
                    const struct container_events *events, void *context,
                    uint32_t *line)
{
    struct walk walk = {.events = events, .context = context, .line = line};
    bool good;

    walk.parser = XML_ParserCreate(NULL);
    ENSURE(walk.parser);
    XML_SetUserData(walk.parser, &walk);
    XML_SetElementHandler(walk.parser, walk_begin, walk_end);
    XML_SetCharacterDataHandler(walk.parser, walk_text);
    XML_SetStartDoctypeDeclHandler(walk.parser, walk_doctype);
    good = XML_Parse(walk.parser, bytes, (int)n, XML_TRUE) ==
               XML_STATUS_OK && !walk.failed;
    XML_ParserFree(walk.parser);
    return good;
}
