#include "lang/format.h"

#include <ctype.h>
#include <string.h>

#include "base/text.h"
#include "grammar/parser.tab.h"
#include "lang/container.h"
#include "lang/marked.h"
#include "lang/noise.h"
#include "lang/parts.h"
#include "lang/piece.h"
#include "lang/reading.h"
#include "lang/spacing.h"
#include "source/diag.h"

enum { INDENT = 2 };

struct layout {
    const struct reading *reading;
    struct pieces pieces;
    struct text *out;
    const char *line_end;
    VEC(int) blocks;   /* kinds of the open ones */
    bool in_statement; /* the next line goes on with what is begun */
    bool heading;      /* in the line that opens a unit or VAR */
};

static int innermost(const struct layout *layout)
{
    return layout->blocks.n ? layout->blocks.at[layout->blocks.n - 1] : 0;
}

/* ---- how deep a line stands ---- */

/* Within CASE: does `label :` or `label, ...` begin at index? */
static bool is_label(const struct layout *layout, size_t index)
{
    for (size_t i = index; i < layout->pieces.n; i++) {
        switch (layout->pieces.at[i].kind) {
        case LANG_COLON:
            return true;
        case PIECE_COMMENT: case LANG_IDENT: case LANG_NUMBER:
        case LANG_TYPED: case LANG_DOT: case LANG_COMMA: case LANG_RANGE:
        case LANG_SUB:
            break;
        default:
            return false;
        }
    }
    return false;
}

/* A CASE takes two levels: one for its labels, one for what stands there. */
static size_t levels(const struct layout *layout)
{
    size_t n = 0;

    for (size_t i = 0; i < layout->blocks.n; i++)
        n += layout->blocks.at[i] == LANG_CASE ? 2 : 1;
    return n;
}

static size_t level_of(const struct layout *layout, size_t index)
{
    const struct piece *piece = &layout->pieces.at[index];
    size_t n = levels(layout);
    int block = innermost(layout);

    if (piece->nest < 0)
        return n - (block == LANG_CASE ? 2 : n > 0);
    if (layout->in_statement)
        return n + 1;
    if (piece->kind == LANG_ELSE || piece->kind == LANG_ELSIF ||
        (piece->kind == LANG_OR && block == LANG_MAY))
        return n - (n > 0);
    if (block == LANG_CASE && is_label(layout, index))
        return n - 1;
    return n;
}

/* ---- what a piece does to those behind it ---- */

static bool opens_heading(int kind)
{
    switch (kind) {
    case LANG_IF: case LANG_CASE: case LANG_MAY:
        return false;
    default:
        return true;
    }
}

static bool ends_statement(const struct layout *layout, size_t index)
{
    switch (layout->pieces.at[index].kind) {
    case LANG_SEMICOLON: case LANG_THEN: case LANG_ELSE:
        return true;
    case LANG_MAY:
        return innermost(layout) != LANG_INTENDED;
    case LANG_OF:
        return innermost(layout) == LANG_CASE;
    case LANG_OR:
        return innermost(layout) == LANG_MAY && !layout->in_statement;
    case LANG_STRING:
        return innermost(layout) == LANG_HAZARDS;
    default:
        return false;
    }
}

static void take_in(struct layout *layout, size_t index)
{
    const struct piece *piece = &layout->pieces.at[index];
    bool label = innermost(layout) == LANG_CASE && !layout->in_statement &&
                 is_label(layout, index);

    if (piece->kind == PIECE_COMMENT)
        return;
    if (piece->nest > 0) {
        vec_push(&layout->blocks, piece->kind);
        layout->heading = opens_heading(piece->kind);
        layout->in_statement = !layout->heading && piece->kind != LANG_MAY;
    } else if (piece->nest < 0) {
        layout->blocks.n -= layout->blocks.n > 0;
        layout->in_statement = layout->heading = false;
    } else if (ends_statement(layout, index) ||
               (piece->kind == LANG_COLON &&
                innermost(layout) == LANG_CASE)) {
        layout->in_statement = false;
    } else if (!layout->heading) {
        layout->in_statement = !label || layout->in_statement;
    }
}

/* ---- writing ---- */

static void trim(struct text *out)
{
    while (out->n && out->at[out->n - 1] == ' ')
        out->at[--out->n] = '\0';
}

static void add_comment(struct layout *layout, const char *at, size_t n)
{
    for (size_t i = 0; i < n; i++) {
        size_t blanks = strspn(at + i, " \t\r\f\v");

        if (at[i] == '\n')
            text_add(layout->out, layout->line_end);
        else if (blanks && i + blanks <= n &&
                 (i + blanks == n || at[i + blanks] == '\n'))
            i += blanks - 1;
        else
            text_add_char(layout->out, at[i]);
    }
}

static void add_piece(struct layout *layout, const struct piece *piece)
{
    const char *at = layout->reading->text + piece->from;
    size_t n = piece->to - piece->from;

    if (piece->kind == PIECE_COMMENT)
        add_comment(layout, at, n);
    else if (!spacing_is_keyword(piece->kind))
        text_add_bytes(layout->out, at, n);
    else
        for (size_t i = 0; i < n; i++)
            text_add_char(layout->out, (char)toupper((unsigned char)at[i]));
}

static void begin_line(struct layout *layout, size_t index)
{
    layout->heading = layout->heading && !index;
    if (index)
        text_add(layout->out, layout->line_end);
    if (index && layout->pieces.at[index].lines > 1)
        text_add(layout->out, layout->line_end);
    text_pad(layout->out, ' ', INDENT * level_of(layout, index));
}

static void write_all(struct layout *layout)
{
    for (size_t i = 0; i < layout->pieces.n; i++) {
        const struct piece *piece = &layout->pieces.at[i];

        if (!i || piece->lines)
            begin_line(layout, i);
        else
            text_pad(layout->out, ' ', spacing_before(&layout->pieces, i));
        add_piece(layout, piece);
        take_in(layout, i);
    }
    trim(layout->out);
    text_add(layout->out, layout->line_end);
}

static const char *line_end_of(const struct reading *reading)
{
    const char *end = memchr(reading->text, '\n', reading->n);

    return end && end > reading->text && end[-1] == '\r' ? "\r\n" : "\n";
}

bool format_text(const struct parse_context *context, uint32_t file,
                 enum parse_kind kind, struct text *out)
{
    struct tree_run run = {0};
    struct reading reading = {.context = context, .file = file,
                              .kind = kind, .run = &run,
                              .in_order = true};
    struct layout layout = {.reading = &reading, .out = out};

    if (!parse_text(context, file, kind, &run))
        return false;
    parts_report_all(&run, context->diags);
    reading.text = sources_text(context->sources, file, &reading.n);
    if (kind == PARSE_CONTROL && container_is(reading.text, reading.n))
        diag_add(context->diags, DIAG_ERROR, (struct span){file, 0, 0},
                 "lay out the plain text",
                 "an XML file is read, but not laid out anew");
    if (diags_errors(context->diags))
        return false;
    reading.marked = marked_text(&reading);
    reading.flat_comments = noise_flat_comments(&reading);
    layout.line_end = line_end_of(&reading);
    layout.pieces = pieces_of(&reading);
    write_all(&layout);
    vec_release(&layout.pieces);
    vec_release(&layout.blocks);
    return true;
}
