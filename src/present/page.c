#include "present/page.h"

#include <stdbool.h>
#include <string.h>

#include "base/digest.h"
#include "base/text.h"
#include "base/utf8.h"
#include "present/markup.h"
#include "present/pagestyle.h"

/* Of the title over every page; and where nothing stands beside it. */
enum { RUNNING_LETTERS = 64, WHOLE_LETTERS = 100 };

void page_words(struct text *out, const char *words)
{
    markup_add(out, words, strlen(words));
}

void page_open(struct text *out, const char *tag, const char *class)
{
    if (class == NULL)
        text_printf(out, "<%s>", tag);
    else
        text_printf(out, "<%s class=\"%s\">", tag, class);
}

void page_close(struct text *out, const char *tag)
{
    text_printf(out, "</%s>\n", tag);
}

void page_element(struct text *out, const char *tag, const char *class,
                  const char *words)
{
    page_open(out, tag, class);
    text_add(out, "<bdi>");
    page_words(out, words);
    text_add(out, "</bdi>");
    page_close(out, tag);
}

void page_named(struct text *out, const char *tag, const char *name,
                const char *words)
{
    page_open(out, tag, NULL);
    if (name != NULL) {
        text_add(out, "<b><bdi>");
        page_words(out, name);
        text_add(out, "</bdi></b> ");
    }
    text_add(out, "<bdi>");
    page_words(out, words);
    text_add(out, "</bdi>");
    page_close(out, tag);
}

void page_fixed(struct text *out, const char *lines)
{
    page_open(out, "pre", NULL);
    while (*lines != '\0') {
        size_t n = strcspn(lines, "\n");

        text_add(out, "<bdi>");
        markup_add(out, lines, n);
        text_add(out, "</bdi>\n");
        lines += n + (lines[n] == '\n');
    }
    page_close(out, "pre");
}

static bool turns_direction(uint32_t code)
{
    return code == 0x200E || code == 0x200F ||
           (code >= 0x202A && code <= 0x202E) ||
           (code >= 0x2066 && code <= 0x2069);
}

/* A string of the style sheet, at most so many letters: what is no plain
 * letter stands as its number, so that nothing can end the string. */
static void style_string(struct text *out, const char *words, unsigned most)
{
    size_t n = strlen(words);

    text_add(out, "\"");
    while (n > 0 && most-- > 0) {
        struct utf8_char c = utf8_next(words, n);

        if (!c.valid || c.code < 0x20)
            c.code = '?';
        if ((c.code >= 'a' && c.code <= 'z') ||
            (c.code >= 'A' && c.code <= 'Z'))
            text_add_char(out, (char)c.code);
        else if (!turns_direction(c.code))
            text_printf(out, "\\%06x", (unsigned)c.code);
        words += c.bytes;
        n -= c.bytes;
    }
    if (n > 0)
        text_add(out, " ...");
    text_add(out, "\"");
}

/* What stands over every page on paper. */
static void add_running(struct text *out, const char *title,
                        const char *unfinished)
{
    text_add(out, "@page { @top-left { content: ");
    style_string(out, title, RUNNING_LETTERS);
    text_add(out, "; }\n  @top-right { font-weight: bold; content: ");
    style_string(out, unfinished != NULL ? unfinished : "", RUNNING_LETTERS);
    text_add(out, "; } }\n");
    if (unfinished != NULL)
        text_add(out, "@page { margin-top: 28mm;\n"
                      "  @top-right { font-size: 10pt; border: 3px solid "
                      "#000; padding: 1mm 2mm;\n"
                      "    white-space: nowrap; vertical-align: middle; "
                      "height: 6mm; } }\n");
}

static void add_head(struct text *out, const char *language,
                     const char *title)
{
    text_add(out, "<!DOCTYPE html>\n<html lang=\"");
    page_words(out, language);
    text_add(out, "\">\n<head>\n<meta charset=\"utf-8\"/>\n"
                  "<meta name=\"viewport\" "
                  "content=\"width=device-width, initial-scale=1\"/>\n"
                  "<link rel=\"icon\" href=\"data:,\"/>\n<title>");
    page_words(out, title);
    text_add(out, "</title>\n<style>\n");
    text_add(out, pagestyle());
}

static void end_head(struct text *out)
{
    text_add(out, "</style>\n</head>\n<body>\n");
}

void page_begin(struct text *out, const char *title, const char *unfinished)
{
    add_head(out, "en", title);
    add_running(out, title, unfinished);
    end_head(out);
    if (unfinished != NULL)
        page_element(out, "div", "unfinished", unfinished);
    page_open(out, "main", NULL);
}

void page_begin_as(struct text *out, const struct page_head *head)
{
    add_head(out, head->language, head->title);
    text_add(out, "@page { @top-left { content: ");
    style_string(out, head->title, WHOLE_LETTERS);
    text_add(out, "; }\n  @bottom-left { content: ");
    style_string(out, head->foot, WHOLE_LETTERS);
    text_add(out, "; } }\n");
    text_add(out, head->rules);
    end_head(out);
    page_open(out, "main", NULL);
}

void page_end(struct text *out)
{
    page_close(out, "main");
    text_add(out, "</body>\n</html>\n");
}

void page_lines(struct text *out, const char *lines)
{
    while (*lines != '\0') {
        size_t n = strcspn(lines, "\n"), blanks = strspn(lines, " ");

        if (blanks < n) {
            page_open(out, "p", blanks > 2 ? "further" : NULL);
            text_add(out, "<bdi>");
            markup_add(out, lines + blanks, n - blanks);
            text_add(out, "</bdi>");
            page_close(out, "p");
        }
        lines += n + (lines[n] == '\n');
    }
}

static void add_cell(struct text *out, const char *tag, const char *cell)
{
    bool first = true;

    page_open(out, tag, NULL);
    while (*cell != '\0') {
        size_t n = strcspn(cell, "\n");

        text_add(out, first ? "<bdi>" : "<br/><bdi>");
        markup_add(out, cell, n);
        text_add(out, "</bdi>");
        first = false;
        cell += n + (cell[n] == '\n');
    }
    text_printf(out, "</%s>", tag);
}

void page_row(struct text *out, const char *tag, const char *const *cells,
              uint32_t n)
{
    text_add(out, "<tr>");
    for (uint32_t i = 0; i < n; i++)
        add_cell(out, tag, cells[i]);
    page_close(out, "tr");
}

void page_table(struct text *out, const char *class,
                const char *const *headings, uint32_t n)
{
    page_open(out, "table", class);
    text_add(out, "<thead>");
    page_row(out, "th", headings, n);
    text_add(out, "</thead>\n");
}

void page_picture(struct text *out, const struct text *svg, const char *alt)
{
    page_open(out, "figure", NULL);
    text_add(out, "<img alt=\"");
    page_words(out, alt);
    text_add(out, "\" src=\"data:image/svg+xml;base64,");
    digest_base64(out, text_str(svg), svg->n);
    text_add(out, "\"/>");
    page_close(out, "figure");
}

void page_blank(struct text *out, const char *what)
{
    page_open(out, "p", "blank");
    page_words(out, what);
    page_close(out, "p");
}
