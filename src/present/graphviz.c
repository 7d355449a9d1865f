#include "present/graphviz.h"

#include <locale.h>
#include <string.h>

#include <gvc.h>
#include <gvplugin.h>

#include "base/os_child.h"
#include "base/text.h"
#include "base/utf8.h"

extern gvplugin_library_t gvplugin_core_LTX_library;
extern gvplugin_library_t gvplugin_dot_layout_LTX_library;

/* Messages of the library help nobody: the status says what is needed. */
static int silent(char *message)
{
    (void)message;
    return 0;
}

/* Length of what begins with `open` at `at` and ends with `close`, or 0. */
static size_t enclosed(const char *at, const char *open, const char *close)
{
    const char *end;

    if (strncmp(at, open, strlen(open)) != 0)
        return 0;
    end = strstr(at, close);
    return end == NULL ? 0 : (size_t)(end - at) + strlen(close);
}

/* User's text cannot look like either of these: its "<" is an entity. */
static size_t noise(const char *at)
{
    size_t n = enclosed(at, "<!--", "-->");

    if (n == 0)
        n = enclosed(at, "<title>", "</title>");
    return n > 0 && at[n] == '\n' ? n + 1 : n;
}

static void take_over(struct text *svg, const char *at, size_t n)
{
    const char *end = at + n;

    while (at < end) {
        size_t skip = *at == '<' ? noise(at) : 0;

        if (skip == 0)
            text_add_char(svg, *at);
        at += skip == 0 ? 1 : skip;
    }
}

static bool render(GVC_t *context, Agraph_t *graph, struct text *svg)
{
    char *bytes = NULL;
    unsigned int n = 0;

    if (gvLayout(context, graph, "dot") != 0)
        return false;
    if (gvRenderData(context, graph, "svg", &bytes, &n) != 0 ||
        bytes == NULL)
        return false;
    take_over(svg, bytes, n);
    gvFreeRenderData(bytes);
    gvFreeLayout(context, graph);
    return true;
}

/* Runs in the child. */
static bool lay_out(void *context, struct text *svg)
{
    const lt_symlist_t plugins[] = {
        {"gvplugin_dot_layout_LTX_library", &gvplugin_dot_layout_LTX_library},
        {"gvplugin_core_LTX_library", &gvplugin_core_LTX_library},
        {NULL, NULL},
    };
    const char *dot = context;
    GVC_t *library;
    Agraph_t *graph;
    bool good;

    setlocale(LC_NUMERIC, "C");
    agseterrf(silent);
    library = gvContextPlugins(plugins, 0);
    graph = agmemread(dot);
    good = library != NULL && graph != NULL && render(library, graph, svg);
    if (graph != NULL)
        agclose(graph);
    if (library != NULL)
        gvFreeContext(library);
    return good;
}

enum os_status graphviz_svg(const char *dot, double seconds,
                            struct text *svg)
{
    return os_in_child(lay_out, (void *)dot, seconds, svg);
}

/* One character that stands for itself, or what replaces it. */
static void quote_char(struct text *out, const char *at,
                       const struct utf8_char *c)
{
    if (!c->valid || c->code == 0xFFFE || c->code == 0xFFFF)
        text_add(out, "\xEF\xBF\xBD");
    else if (c->code < 0x20 || (c->code >= 0x7F && c->code < 0xA0))
        text_add(out, " ");
    else if (c->code == '"' || c->code == '\\')
        text_printf(out, "\\%c", (char)c->code);
    else if (c->code == '&')
        text_add(out, "&amp;");
    else
        text_add_bytes(out, at, c->bytes);
}

void graphviz_quote(struct text *out, const char *bytes, size_t n)
{
    while (n > 0) {
        struct utf8_char c = utf8_next(bytes, n);

        quote_char(out, bytes, &c);
        bytes += c.bytes;
        n -= c.bytes;
    }
}
