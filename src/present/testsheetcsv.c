#include <string.h>

#include "base/digest.h"
#include "base/text.h"
#include "check/model.h"
#include "present/byhandwords.h"
#include "present/csv.h"
#include "present/sheetphrases.h"
#include "present/testsheetwords.h"
#include "study/tested.h"
#include "study/testsheet.h"

/* A CSV while it is made. */
struct csv {
    struct byhand_view view;
    uint32_t number; /* of the sequence, from 1 */
    struct text rows, printed; /* printed: what the fingerprint is taken of */
};

/* Lines become parts of one line. */
static void csv_cell(struct csv *csv, struct text *cell)
{
    struct text line = {0};

    for (size_t i = 0; i < cell->n; i++)
        if (cell->at[i] != '\n')
            text_add_char(&line, cell->at[i]);
        else if (i + 1 < cell->n)
            text_add(&line, "; ");
    tested_add_cell(&csv->printed, text_str(&line));
    csv_quoted(&csv->rows, text_str(&line));
    text_add(&csv->rows, ",");
    text_release(&line);
    text_clear(cell);
}

static void csv_number(struct csv *csv, uint32_t number)
{
    struct text cell = {0};

    text_printf(&cell, "%u", number);
    tested_add_cell(&csv->printed, text_str(&cell));
    text_printf(&csv->rows, "%u,", number);
    text_release(&cell);
}

static void csv_step(struct csv *csv, const struct hand_sequence *sequence,
                     uint32_t k)
{
    const struct hand_step *step = &sequence->steps[k];
    const struct byhand_view *view = &csv->view;
    struct text cell = {0};

    csv_number(csv, sequence->round == ROUND_STANDING ? 1 : 2);
    csv_number(csv, csv->number);
    csv_number(csv, k + 1);
    byhandwords_stands(&cell, view, sequence);
    if (view->sheet->from_power_up && k == 0) {
        text_add(&cell, "; ");
        sheetphrases_put(&cell, view->words, "power_before", NULL, NULL);
    }
    csv_cell(csv, &cell);
    byhandwords_station(&cell, view, step);
    csv_cell(csv, &cell);
    byhandwords_do(&cell, view, step);
    csv_cell(csv, &cell);
    byhandwords_wait(&cell, view, step);
    csv_cell(csv, &cell);
    byhandwords_expected(&cell, view, step);
    csv_cell(csv, &cell);
    byhandwords_reached(&cell, view, step);
    csv_cell(csv, &cell);
    text_add(&csv->rows, ",,,\r\n");
    text_release(&cell);
}

static void csv_line(struct text *out, enum tested_line line,
                     const char *words)
{
    text_printf(out, "%s,", tested_words(line));
    if (words[0] != '\0')
        csv_quoted(out, words);
    text_add(out, "\r\n");
}

static void csv_head(struct text *out, const struct csv *csv)
{
    struct text digest = {0};

    csv_line(out, TESTED_SHEET, csv->view.sheet->model->name);
    tested_digest(&digest, csv->view.sources);
    csv_line(out, TESTED_TEXTS, text_str(&digest));
    text_clear(&digest);
    digest_add(&digest, text_str(&csv->printed), csv->printed.n);
    csv_line(out, TESTED_STEPS, text_str(&digest));
    csv_line(out, TESTED_DATE, "");
    csv_line(out, TESTED_BY, "");
    for (int i = 0; i < TESTED_COLUMNS; i++)
        text_printf(out, "%s%s", i == 0 ? "" : ",",
                    tested_heading((enum tested_column)i));
    text_add(out, "\r\n");
    text_release(&digest);
}

void testsheetwords_csv(struct text *out, const struct byhand_view *view)
{
    const struct testsheet *sheet = view->sheet;
    struct csv csv = {.view = *view};

    for (uint32_t i = 0; i < sheet->n_sequences; i++) {
        csv.number = i + 1;
        for (uint32_t k = 0; k < sheet->sequences[i].n_steps; k++)
            csv_step(&csv, &sheet->sequences[i], k);
    }
    csv_head(out, &csv);
    text_add_bytes(out, text_str(&csv.rows), csv.rows.n);
    text_release(&csv.rows);
    text_release(&csv.printed);
}
