#include "present/faultlist.h"

#include <string.h>

#include "base/text.h"
#include "check/model.h"
#include "present/faultwords.h"
#include "study/usual.h"

enum { WIDTH = 79, INDENT = 6 };

static const char *const source_words[] = {
    [USUAL_ANNEX_A] = "annex A",
    [USUAL_ANNEX_C] = "annex C",
    [USUAL_ANNEX_D] = "annex D",
    [USUAL_PRACTICE] = "common practice"};

/* Words put one behind the other, a new line begun where one is full. */
struct writer {
    struct text *out;
    size_t line; /* where it begins in out */
};

static void word(struct writer *w, const char *what)
{
    size_t here = text_columns(w->out->at + w->line, w->out->n - w->line);

    if (here + text_columns(what, strlen(what)) > WIDTH) {
        while (w->out->n > 0 && w->out->at[w->out->n - 1] == ' ')
            w->out->n--;
        text_add(w->out, "\n");
        w->line = w->out->n;
        text_pad(w->out, ' ', INDENT);
    }
    text_add(w->out, what);
}

/* Each word of several by itself. */
static void words(struct writer *w, const char *what)
{
    while (*what) {
        size_t n = strcspn(what, " ");
        struct text one = {0};

        if (strcmp(what + n, " *)") == 0)
            n += 3; /* never alone on a line */
        n += what[n] == ' ';
        text_add_bytes(&one, what, n);
        word(w, text_str(&one));
        text_release(&one);
        what += n;
    }
}

static void begin_line(struct writer *w, unsigned indent)
{
    w->line = w->out->n;
    text_pad(w->out, ' ', indent);
}

/* ---- one fault ---- */

static void add_phrase(struct writer *w, const struct model *model,
                       const struct effect *effect)
{
    struct effect other = {.target = effect->other_target,
                           .first = effect->other, .count = 1};
    struct text by = {0};

    words(w, faultwords_kind(effect));
    if (effect->kind == FAULT_SHORT_TO) {
        word(w, " ");
        word(w, faultwords_place(model, &other));
    } else if (effect->kind == FAULT_DISPLACED) {
        text_printf(&by, " %lld ALONG %s", (long long)effect->by,
                    model->slots[effect->along].path);
        word(w, text_str(&by));
    }
    text_release(&by);
}

static void add_fault(struct writer *w, const struct model *model,
                      const struct usual *usual)
{
    if (usual->effects[0].kind == FAULT_STOPS)
        word(w, "PROGRAM ");
    for (uint32_t i = 0; i < usual->n_effects; i++) {
        struct text one = {0};

        text_printf(&one, "%s%s",
                    faultwords_place(model, &usual->effects[i]),
                    i + 1 < usual->n_effects ? "," : "");
        word(w, text_str(&one));
        text_add(w->out, " ");
        text_release(&one);
    }
    add_phrase(w, model, &usual->effects[0]);
}

static void add_note(struct writer *w, const struct usual *usual)
{
    struct text note = {0};

    text_printf(&note, "(* %s; %s *)", usual->note,
                source_words[usual->source]);
    words(w, text_str(&note));
    text_add(w->out, "\n");
    text_release(&note);
}

/* A title may hold what ends a comment. */
static void add_heading(struct text *out, const char *title)
{
    text_add(out, "\n    (* ");
    for (; *title; title++)
        text_add_char(out, *title == '*' || *title == '\n' ? ' ' : *title);
    text_add(out, " *)\n");
}

static void add_usual(struct text *out, const struct model *model,
                      const struct usual *usual)
{
    struct writer w = {out, out->n};

    if (usual->heading)
        add_heading(out, usual->heading);
    w.line = out->n;
    begin_line(&w, 4);
    if (usual->said) {
        text_printf(out, "(* %s says so already: ", usual->name);
        add_fault(&w, model, usual);
        words(&w, " *)");
        text_add(out, "\n");
        return;
    }
    text_printf(out, "%s : ", usual->name);
    add_fault(&w, model, usual);
    if (usual->excluded)
        words(&w, ", EXCLUDED BECAUSE ''");
    words(&w, "; ");
    add_note(&w, usual);
}

/* ---- the section ---- */

void faultlist_add(struct text *out, const struct model *model,
                const struct usual_list *list)
{
    text_add(out,
             "  (* The usual faults of what this review text names, written "
             "by\n"
             "     `keepclear begin --faults`.  Annexes are those of ISO "
             "13849-2:2012: A\n"
             "     mechanical, C hydraulic (pneumatic: B), D electrical; the "
             "details are\n"
             "     from memory: check them against the standard in force.  "
             "\"Common practice\"\n"
             "     has no source.  Go through the list with the wiring "
             "diagram: take out what\n"
             "     cannot be, and add what is missing: other conductors that "
             "lie in one\n"
             "     cable, each supply, hoses, pipes and cylinders (IN "
             "MECHANISM).\n"
             "     EXCLUDED BECAUSE '' wants its reason; until it has one, "
             "each result says\n"
             "     so. *)\n"
             "  FAULTS\n");
    for (uint32_t i = 0; i < list->n; i++)
        add_usual(out, model, &list->at[i]);
    text_add(out, "  END_FAULTS\n");
}
