#include "present/svgsheet.h"

#include <string.h>

#include "present/markup.h"

void svgsheet_say(struct svgsheet *sheet, const int at[2], const char *kind,
                  const char *what)
{
    text_printf(&sheet->out, "<text class=\"%s\" x=\"%d\" y=\"%d\">", kind,
                at[0], at[1]);
    markup_add(&sheet->out, what, strlen(what));
    text_add(&sheet->out, "</text>\n");
}

int svgsheet_paragraph(struct svgsheet *sheet, const int at[2],
                       size_t letters, const char *kind, const char *what)
{
    int lines = 0;

    while (*what != '\0') {
        struct text line = {0};
        size_t n = markup_line(what, letters);

        text_add_bytes(&line, what, n);
        svgsheet_say(sheet, (const int[2]){at[0], at[1] + lines++ *
                                                      SVGSHEET_LINE},
                     kind, text_str(&line));
        text_release(&line);
        what += n;
        while (*what == ' ')
            what++;
    }
    return lines;
}

void svgsheet_line(struct svgsheet *sheet, const int from[2],
                   const int to[2], const char *kind)
{
    text_printf(&sheet->out,
                "<line class=\"%s\" x1=\"%d\" y1=\"%d\" x2=\"%d\" "
                "y2=\"%d\"/>\n",
                kind, from[0], from[1], to[0], to[1]);
}

static const char style[] =
    "<style>\n"
    "text { font-family: 'DejaVu Sans', Verdana, Arial, sans-serif; "
    "font-size: 13px; fill: #000; }\n"
    ".title { font-size: 15px; font-weight: bold; }\n"
    ".always { font-weight: bold; }\n"
    ".note { font-size: 12px; fill: #333; }\n"
    ".small { font-size: 12px; }\n"
    ".motion { font-size: 12px; font-weight: bold; }\n"
    ".group { font-size: 11px; fill: #555; letter-spacing: 1px; }\n"
    "line { stroke: #000; stroke-width: 1; }\n"
    ".thin { stroke: #bbb; }\n"
    ".thick { stroke-width: 1.6; }\n"
    ".frame { fill: none; stroke: #000; stroke-width: 2.4; }\n"
    "</style>\n";

void svgsheet_end(struct text *out, struct svgsheet *sheet, const char *title)
{
    int height = sheet->top + 2 * SVGSHEET_MARGIN;

    text_printf(out, "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"
                     "<svg xmlns=\"http://www.w3.org/2000/svg\" "
                     "width=\"190mm\" height=\"%d.%dmm\" "
                     "viewBox=\"0 0 %d %d\">\n<title>",
                height / 4, height % 4 * 10 / 4, SVGSHEET_WIDTH, height);
    markup_add(out, title, strlen(title));
    text_printf(out, "</title>\n%s<rect width=\"%d\" height=\"%d\" "
                     "fill=\"#fff\"/>\n", style, SVGSHEET_WIDTH, height);
    text_add_bytes(out, text_str(&sheet->out), sheet->out.n);
    text_add(out, "</svg>\n");
    text_release(&sheet->out);
}
