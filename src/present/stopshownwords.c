#include "present/stopshownwords.h"

#include "base/text.h"
#include "check/model.h"
#include "present/caption.h"
#include "present/sheet.h"
#include "present/stoplasts.h"
#include "present/stopwords.h"
#include "study/findings.h"
#include "study/stopmap.h"

enum { WIDTH = 100 };

void stopshownwords_heading(struct text *out, const struct stopmap *map,
                       uint32_t line, uint32_t column)
{
    const struct stopmap_column *of = &map->columns[column];

    stopwords_line(out, map, line);
    text_add(out, ", while ");
    if (of->kind == STOPMAP_EVERY)
        text_add(out, "every stop is pressed");
    else
        text_printf(out, "%s is %s", map->model->controls[of->of].title,
                    of->kind == STOPMAP_STOP ? "pressed" : "held");
}

static void add_line(struct text *out, struct text *line)
{
    text_add(line, "\n");
    caption_wrap(out, text_str(line), WIDTH, 2);
    text_clear(line);
}

void stopshownwords_add(struct text *out, const struct stopmap *map,
                     const struct stopnotes *notes, uint32_t line,
                     uint32_t column)
{
    const struct findings findings = {.model = map->model,
                                      .machine = map->machine};
    const struct stopmap_cell *cell = stopmap_cell(map, line, column);
    uint32_t note = notes->of[line * map->n_columns + column];
    struct text words = {0};

    stopshownwords_heading(&words, map, line, column);
    text_add(&words, ": ");
    stopwords_cell(&words, map, line, column, note);
    add_line(out, &words);
    if (cell->on == CHART_SEEN) {
        text_printf(&words, "  %s", note > 0 ? notes->at[note - 1] : "");
        add_line(out, &words);
        text_add(&words, "  ");
        stoplasts_sentence(&words, map, line, column);
        add_line(out, &words);
        text_add(out, cell->shown != NULL
                          ? "  The shortest sequence to it:\n\n"
                          : "  The shortest sequence is not shown: a limit "
                            "came first.\n");
        if (cell->shown != NULL)
            sheet_add(out, &findings, cell->shown, 2);
    }
    text_add(out, "\n");
    text_release(&words);
}
