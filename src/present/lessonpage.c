#include "present/lessonpage.h"

#include <stdbool.h>
#include <stdio.h>
#include <string.h>

#include "base/arena.h"
#include "base/digest.h"
#include "base/text.h"
#include "check/model.h"
#include "present/embedded.h"
#include "present/lessondata.h"
#include "present/lessonstrip.h"
#include "present/lessonwords.h"
#include "present/markup.h"
#include "present/naming.h"
#include "present/page.h"
#include "present/wordtable.h"
#include "source/source.h"
#include "study/findings.h"
#include "study/lesson.h"
#include "study/load.h"

static const char *word(const struct lesson *lesson, const char *key)
{
    return lessonwords_of(lesson->words, key);
}

/* The name of the review and, where it has one, its title. */
static const char *machine_name(const struct lesson *lesson)
{
    const struct model *model = lesson->machines[0].logic->model;

    return model->title != NULL ? model->title : model->name;
}

/* The control texts with the beginnings of their fingerprints. */
static void add_version(struct text *out, const struct lesson_machine *machine)
{
    enum { DIGITS = 8 };
    const struct sources *sources = machine->loaded->sources;
    struct text digest = {0};
    bool first = true;

    for (uint32_t f = 1; f <= sources_count(sources); f++) {
        size_t n;
        const char *bytes = sources_text(sources, f, &n);

        if (sources_cause(sources, f).file != 0)
            continue;
        text_clear(&digest);
        digest_add(&digest, bytes, n);
        text_printf(out, "%s%s %.*s", first ? "" : ", ",
                    naming_file(sources, f), DIGITS, text_str(&digest));
        first = false;
    }
    text_release(&digest);
}

static void add_notice(struct text *out, const struct lesson *lesson)
{
    struct text version = {0}, of = {0}, notice = {0};

    add_version(&version, &lesson->machines[0]);
    lessonwords_put(&of, lesson->words, "version", machine_name(lesson),
                    text_str(&version));
    lessonwords_put(&notice, lesson->words, "notice", text_str(&of), NULL);
    page_element(out, "footer", "notice", text_str(&notice));
    text_release(&version);
    text_release(&of);
    text_release(&notice);
}

/* ---- stories ---- */

static void story_id(char *id, size_t size, uint32_t story)
{
    snprintf(id, size, "story-%u", story + 1);
}

static void add_story(struct text *out, const struct lesson *lesson,
                      uint32_t number)
{
    const struct lesson_story *story = &lesson->stories[number];
    const struct lesson_machine *machine = &lesson->machines[story->machine];
    struct text control = {0};
    char id[24];

    story_id(id, sizeof id, number);
    text_printf(out, "<section class=\"story-of\" id=\"%s\">", id);
    page_element(out, "h3", NULL, story->title);
    if (lesson->n_machines > 1) {
        lessonwords_put(&control, lesson->words, "on_control", machine->title,
                        NULL);
        page_element(out, "p", "control-text", text_str(&control));
    }
    lessonstrip_add(out, machine, story, lesson->words);
    page_close(out, "section");
    text_release(&control);
}

static bool is_told(const struct lesson *lesson, uint32_t story)
{
    for (uint32_t i = 0; lesson->plan != NULL && i < lesson->plan->n; i++)
        if (lesson->plan->lines[i].kind >= PLAN_PLAY &&
            lesson->told[i] == story)
            return true;
    return false;
}

static void add_stories(struct text *out, const struct lesson *lesson)
{
    bool any = false;

    page_element(out, "h2", NULL, word(lesson, "stories"));
    for (uint32_t i = 0; i < lesson->n_stories; i++) {
        if (is_told(lesson, i))
            continue;
        add_story(out, lesson, i);
        any = true;
    }
    if (!any)
        page_element(out, "p", NULL, word(lesson, "no_stories"));
}

/* The trainer's text; the second and later headings are lower ones. */
static void add_plan(struct text *out, const struct lesson *lesson)
{
    bool listing = false;

    for (uint32_t i = 0; lesson->plan != NULL && i < lesson->plan->n; i++) {
        const struct plan_line *line = &lesson->plan->lines[i];

        if (listing != (line->kind == PLAN_ITEM)) {
            listing = !listing;
            text_add(out, listing ? "<ul>" : "</ul>\n");
        }
        if (line->kind == PLAN_HEADING)
            page_element(out, "h2", NULL, line->words);
        else if (line->kind == PLAN_ITEM)
            page_element(out, "li", NULL, line->words);
        else if (line->kind == PLAN_WORDS)
            page_element(out, "p", NULL, line->words);
        else
            add_story(out, lesson, lesson->told[i]);
    }
    if (listing)
        text_add(out, "</ul>\n");
}

static void add_required(struct text *out, const struct lesson *lesson)
{
    const struct model *model = lesson->machines[0].logic->model;

    if (model->n_requirements == 0)
        return;
    page_element(out, "h2", NULL, word(lesson, "requirements"));
    page_open(out, "ul", NULL);
    for (uint32_t i = 0; i < model->n_requirements; i++)
        page_named(out, "li", model->requirements[i].name->spelling,
                   model->requirements[i].title);
    page_close(out, "ul");
}

/* ---- the page ---- */

static void add_data(struct text *out, const struct lesson *lesson)
{
    text_add(out, "<script type=\"application/json\" id=\"data\">"
                  "{\"words\":");
    wordtable_data(out, lesson->words);
    text_add(out, ",\n\"machines\":[");
    for (uint32_t i = 0; i < lesson->n_machines; i++) {
        text_add(out, i > 0 ? ",\n" : "");
        lessondata_machine(out, &lesson->machines[i]);
    }
    text_add(out, "],\n\"stories\":[");
    for (uint32_t i = 0; i < lesson->n_stories; i++) {
        const struct lesson_story *story = &lesson->stories[i];
        char id[24];

        story_id(id, sizeof id, i);
        text_add(out, i > 0 ? ",\n" : "");
        lessondata_story(out, &lesson->machines[story->machine], story, id);
    }
    text_add(out, "]}</script>\n");
}

static void add_head(struct text *out, const struct lesson *lesson)
{
    const char *name = machine_name(lesson);
    const char *language = word(lesson, "language");

    text_add(out, "<!DOCTYPE html>\n<html lang=\"");
    markup_add(out, language, strlen(language));
    text_add(out, "\">\n<head>\n<meta charset=\"utf-8\"/>\n"
                  "<meta http-equiv=\"Content-Security-Policy\" "
                  "content=\"default-src 'none'; script-src 'unsafe-inline';"
                  " style-src 'unsafe-inline'; img-src data:\"/>\n"
                  "<meta name=\"viewport\" "
                  "content=\"width=device-width, initial-scale=1\"/>\n"
                  "<link rel=\"icon\" href=\"data:,\"/>\n<title>");
    markup_add(out, name, strlen(name));
    text_add(out, "</title>\n<style>\n");
    text_add(out, embedded_lesson_css());
    text_add(out, "</style>\n</head>\n<body>\n");
}

static void add_scripts(struct text *out)
{
    text_add(out, "<script>\n");
    text_add(out, embedded_evaluator_js());
    text_add(out, embedded_reasons_js());
    text_add(out, embedded_machine_js());
    text_add(out, embedded_hands_js());
    text_add(out, embedded_lesson_js());
    text_add(out, "</script>\n");
}

void lessonpage_add(struct text *out, const struct lesson *lesson)
{
    struct text made = {0};

    add_head(out, lesson);
    /* The foot of a table stands on every page of paper. */
    text_add(out, "<table class=\"paper\" role=\"presentation\"><tfoot>"
                  "<tr><td>");
    add_notice(out, lesson);
    text_add(out, "</td></tr></tfoot><tbody><tr><td>");
    page_open(out, "main", NULL);
    page_element(out, "h1", NULL, machine_name(lesson));
    page_element(out, "p", "first", word(lesson, "first"));
    add_plan(out, lesson);
    text_add(out, "<section class=\"at-work\">");
    page_element(out, "h2", NULL, word(lesson, "machine"));
    text_add(out, "<div id=\"live\">");
    page_element(out, "p", NULL, word(lesson, "no_script"));
    text_add(out, "</div></section>\n");
    add_stories(out, lesson);
    add_required(out, lesson);
    lessonwords_put(&made, lesson->words, "made_by", lesson->tool, NULL);
    page_element(out, "p", "made", text_str(&made));
    text_release(&made);
    page_close(out, "main");
    text_add(out, "</td></tr></tbody></table>\n");
    add_data(out, lesson);
    add_scripts(out);
    text_add(out, "</body>\n</html>\n");
}
