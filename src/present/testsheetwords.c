#include "present/testsheetwords.h"

#include <inttypes.h>
#include <string.h>

#include "base/arena.h"
#include "base/digest.h"
#include "base/text.h"
#include "check/model.h"
#include "present/byhandwords.h"
#include "present/csv.h"
#include "present/quote.h"
#include "present/pairwords.h"
#include "present/say.h"
#include "present/sheetform.h"
#include "study/tested.h"
#include "study/testsheet.h"

/* What a view is made from. */
struct page {
    struct sheetform form;
    const struct testsheet *sheet;
    const struct sources *sources;
    uint32_t number; /* of the sequence, from 1 */
};

/* ---- what is the same on every sheet ---- */

enum kind { HEADING, WORDS, BLANK, GAP };

struct line {
    enum kind kind;
    const char *words;
};

static const struct line before[] = {
    {HEADING, "BEFORE STEP 1"},
    {WORDS, "Everything in this list is true, or there is no step 1."},
    {BLANK, "competent person in charge (name)"},
    {BLANK, "this control text is on the controller, checked by"},
    {BLANK, "instructions of the maker, standards in force and local law "
            "read by"},
    {BLANK, "area closed off by"},
    {BLANK, "nobody in the danger zone, looked at by"},
    {BLANK, "second person at a stop, who does nothing else (name)"},
    {BLANK, "every stop tried before, by"},
    {BLANK, "parts that can fall or sink supported with"},
    {BLANK, "vehicle secured against moving with"},
    {BLANK, "signs agreed on for go, stop and danger"},
    {GAP, ""},
    {HEADING, "BREAKING OFF"},
    {WORDS, "Whoever sees one of these presses the nearest stop at once; then "
            "the energy is taken away: a person comes near; something moves "
            "that no step names, or moves in round one at all; something does "
            "not stop; a step is not as expected. It goes on only when the "
            "competent person has found the reason and written it down. From "
            "a sequence that was broken off everything is put back to rest, "
            "and the sequence begins anew."},
    {GAP, ""},
};

static const struct line round_one[] = {
    {HEADING, "ROUND ONE: MOVEMENT MADE IMPOSSIBLE"},
    {BLANK, "energy of every movement taken away, locked and tagged, by"},
    {BLANK, "tried that nothing moves, by"},
    {WORDS, "The machine is brought where a sequence wants it by its own "
            "controls, before that. Watched are lamps, or a meter, at the plug "
            "of each actuator: ON is what would move it."},
    {GAP, ""},
};

static const struct line round_two[] = {
    {HEADING, "ROUND TWO: WITH MOVEMENT"},
    {WORDS, "Only if every step of round one is as expected. Every line of "
            "BEFORE STEP 1 is looked at once more. No safeguard is bridged, "
            "removed or held for any step: a step that cannot be done without "
            "that is not possible here."},
    {BLANK, "round one passed, released by"},
    {BLANK, "supports and locks taken away by"},
    {GAP, ""},
};

static const struct line after[] = {
    {HEADING, "AFTER THE LAST STEP"},
    {BLANK, "all controls at rest, stops let out"},
    {BLANK, "machine stands safely, energy as it was before"},
    {BLANK, "locks, tags, lamps, meters and supports taken away"},
    {BLANK, "area given back by"},
    {BLANK, "date, name, signature"},
    {GAP, ""},
    {WORDS, "This sheet tests what is written on it and nothing else. It is "
            "made from the texts, gives no performance level or category, and "
            "does not replace the review of a competent person."},
    {GAP, ""},
};

#define LINES(list) list, sizeof list / sizeof *list

static void add_lines(const struct page *p, const struct line *lines,
                      size_t n)
{
    for (size_t i = 0; i < n; i++)
        switch (lines[i].kind) {
        case HEADING: sheetform_heading(&p->form, lines[i].words); break;
        case WORDS: sheetform_paragraph(&p->form, lines[i].words); break;
        case BLANK: sheetform_blank(&p->form, lines[i].words); break;
        case GAP: sheetform_gap(&p->form); break;
        }
}

static void begin(const struct page *p)
{
    const struct model *model = p->sheet->model;
    struct text title = {0}, mark = {0};

    text_printf(&title, "TEST SHEET  %s",
                model->title != NULL ? model->title
                : model->name != NULL ? model->name : "");
    tested_digest(&mark, p->sources);
    sheetform_begin(&p->form, text_str(&title), text_str(&mark));
    sheetform_blank(&p->form, "machine (maker's number)");
    sheetform_blank(&p->form, "date, sheet kept by");
    text_clear(&title);
    text_printf(&title, "Made for the texts with the fingerprint (SHA-256) %s.",
                text_str(&mark));
    sheetform_paragraph(&p->form, text_str(&title));
    sheetform_gap(&p->form);
    text_release(&title);
    text_release(&mark);
}

static void add_assumptions(const struct page *p)
{
    const struct model *model = p->sheet->model;
    struct text line = {0};

    for (uint32_t i = 0; i < model->n_assumptions; i++) {
        const struct assumption *a = &model->assumptions[i];

        if (a->name == NULL)
            continue;
        text_clear(&line);
        text_printf(&line, "%s %s%s", a->name->spelling,
                    a->title != NULL ? a->title : "",
                    a->confirmed_by != NULL ? ""
                                            : " (not confirmed by anybody)");
        sheetform_paragraph(&p->form, text_str(&line));
    }
    text_release(&line);
}

static void add_basis(const struct page *p)
{
    const struct model *model = p->sheet->model;
    struct text line = {0};

    sheetform_heading(&p->form, "WHAT IT LEANS ON");
    text_printf(&line,
                "What a step expects is so, as far as the texts are right, "
                "however the machine answers and whatever inputs do that "
                "nobody operates, if nothing is broken, no run-time error "
                "occurs (see `check`) and power stays. A "
                "wait is kept to %d s, and may be as long as you like; two "
                "hands together differ by no more than %u.%u s. A scan takes "
                "%" PRId64 " ms%s.", HAND_EARLY_MS / 1000,
                HAND_APART_MS / 1000, HAND_APART_MS % 1000 / 100,
                model->scan, model->scan_assumed ? " (assumed)" : "");
    sheetform_paragraph(&p->form, text_str(&line));
    add_assumptions(p);
    for (uint32_t i = 0; i < model->n_controls; i++) {
        if (!p->sheet->left_out[i])
            continue;
        text_clear(&line);
        text_printf(&line, "%s has too many positions and stays at rest.",
                    model->controls[i].title);
        sheetform_paragraph(&p->form, text_str(&line));
    }
    text_release(&line);
    sheetform_gap(&p->form);
}

/* What stands for "all" in a step. */
static void add_watched(const struct page *p)
{
    const struct model *model = p->sheet->model;
    struct text line = {0};

    sheetform_heading(&p->form, "WHAT IS WATCHED");
    for (uint32_t i = 0; i < model->n_actuators; i++) {
        const struct actuator *a = &model->actuators[i];

        text_clear(&line);
        text_printf(&line, "%s (%s)%s%s", a->title, a->name->spelling,
                    a->place != NULL ? ", " : "",
                    a->place != NULL ? a->place : "");
        sheetform_item(&p->form, text_str(&line));
    }
    text_release(&line);
    sheetform_gap(&p->form);
}

/* ---- steps ---- */

static void add_step(const struct page *p, const struct hand_step *step,
                     uint32_t number)
{
    struct text cell[5] = {{0}};

    text_printf(&cell[0], "%u.%u", p->number, number);
    byhandwords_station(&cell[1], p->sheet, step);
    byhandwords_do(&cell[2], p->sheet, step);
    text_add(&cell[2], step->n_changes > 0 ? "; " : "");
    byhandwords_wait(&cell[2], p->sheet, step);
    byhandwords_expected(&cell[3], p->sheet, step);
    byhandwords_reached(&cell[4], p->sheet, p->sources, step);
    sheetform_step(&p->form, &(struct sheetform_step){
                                 text_str(&cell[0]), text_str(&cell[1]),
                                 text_str(&cell[2]), text_str(&cell[3]),
                                 text_str(&cell[4])});
    for (int i = 0; i < 5; i++)
        text_release(&cell[i]);
}

static bool is_used(const struct hand_sequence *sequence, uint32_t control)
{
    for (uint32_t k = 0; k < sequence->n_steps; k++)
        for (uint32_t i = 0; i < sequence->steps[k].n_changes; i++)
            if (sequence->steps[k].changes[i].control == control)
                return true;
    return false;
}

/* Has an earlier control that is used the same place? */
static bool is_told(const struct model *model,
                    const struct hand_sequence *sequence, uint32_t control)
{
    for (uint32_t i = 0; i < control; i++)
        if (is_used(sequence, i) && model->controls[i].place != NULL &&
            strcmp(model->controls[i].place,
                   model->controls[control].place) == 0)
            return true;
    return false;
}

/* Where somebody stands during a sequence. */
static void add_stations(const struct page *p,
                         const struct hand_sequence *sequence)
{
    const struct model *model = p->sheet->model;
    const char *between = "Hands at: ";
    struct text line = {0};

    for (uint32_t i = 0; i < model->n_controls; i++) {
        const char *place = model->controls[i].place;

        if (place == NULL || !is_used(sequence, i) ||
            is_told(model, sequence, i))
            continue;
        text_printf(&line, "%s%s", between, place);
        between = "; ";
    }
    if (line.n > 0)
        sheetform_paragraph(&p->form, text_str(&line));
    text_release(&line);
}

static void add_beginning(const struct page *p,
                          const struct hand_sequence *sequence)
{
    struct text line = {0};

    text_printf(&line, "%s %u.  The machine stands: ",
                sequence->round == ROUND_STANDING ? "Sequence" : "Movement",
                p->number);
    byhandwords_stands(&line, p->sheet, sequence);
    sheetform_sequence(&p->form, text_str(&line));
    text_clear(&line);
    text_printf(&line, p->sheet->from_power_up
                           ? "Everything at rest; the supply of the controller "
                             "off for 5 s and on again, then %u s."
                           : "Everything at rest for %u s, power on.",
                HAND_REST_S);
    sheetform_paragraph(&p->form, text_str(&line));
    text_release(&line);
    add_stations(p, sequence);
}

static void add_sequence(const struct page *p,
                         const struct hand_sequence *sequence)
{
    add_beginning(p, sequence);
    sheetform_steps_begin(&p->form);
    for (uint32_t k = 0; k < sequence->n_steps; k++)
        add_step(p, &sequence->steps[k], k + 1);
    sheetform_steps_end(&p->form);
    sheetform_paragraph(&p->form,
                        sequence->quiet
                            ? "All controls are at rest again."
                            : "All controls are at rest again. Something may "
                              "still be ON: that is not judged here; take the "
                              "energy away before you go near.");
    sheetform_gap(&p->form);
}

static const char *standing_nothing(const struct testsheet *sheet)
{
    return sheet->can_stand
               ? "No step was found that can be tested so."
               : "A text of the mechanism changes the machine by itself, so "
                 "nothing is promised of a machine that cannot move: there is "
                 "no step here. Round two then needs the more care.";
}

static void add_round(struct page *p, enum hand_round round)
{
    uint32_t n = 0;

    if (round == ROUND_STANDING)
        add_lines(p, LINES(round_one));
    else
        add_lines(p, LINES(round_two));
    for (uint32_t i = 0; i < p->sheet->n_sequences; i++) {
        p->number = i + 1;
        if (p->sheet->sequences[i].round != round)
            continue;
        add_sequence(p, &p->sheet->sequences[i]);
        n++;
    }
    if (n > 0)
        return;
    sheetform_paragraph(&p->form,
                        round == ROUND_STANDING
                            ? standing_nothing(p->sheet)
                            : "No step was found that shows more than round "
                              "one.");
    sheetform_gap(&p->form);
}

/* ---- what is not on it ---- */

static const struct {
    enum obligation_state state;
    const char *why;
} reasons[] = {
    {OBLIGATION_TIMING,
     "Operators can bring it about, but no sequence was found that does so "
     "for sure in steps a hand can keep; it needs a signal source, or a "
     "recorded log (match)"},
    {OBLIGATION_ELSEWHERE,
     "It comes from the machine, or from inputs that nobody operates, and "
     "hands do not bring it about for sure; it needs a recorded log"},
    {OBLIGATION_POWER, "Power must go for it"},
    {OBLIGATION_FAULT, "Something must break for it; nothing is broken for a "
                       "test of this kind (see `faults`)"},
    {OBLIGATION_NEVER, "No reachable situation has it, with as many faults "
                       "as the requirements name"},
    {OBLIGATION_NOT_KNOWN, "Not known: a limit was met (--situations, "
                           "--memory)"},
};

/* why: NULL, or said before the first.  Was there any? */
static bool add_conditions(const struct page *p, enum obligation_state state,
                           const char *why)
{
    bool any = false;

    for (uint32_t i = 0; i < p->sheet->model->decisions->n_conditions; i++) {
        struct text line = {0};

        if (pairwords_condition(&line, p->sheet, p->sources, i, state)) {
            if (!any && why != NULL)
                sheetform_paragraph(&p->form, why);
            any = true;
            sheetform_item(&p->form, text_str(&line));
        }
        text_release(&line);
    }
    return any;
}

static void add_reason(const struct page *p, enum obligation_state state,
                       const char *why)
{
    const struct obligations *all = &p->sheet->obligations;
    bool any = false;

    for (uint32_t i = 0; i < all->n_watched; i++) {
        struct text line = {0};

        if (all->at[i].state != state ||
            all->at[i].kind == OBLIGATION_VECTOR)
            continue;
        if (!any)
            sheetform_paragraph(&p->form, why);
        any = true;
        byhandwords_obligation(&line, p->sheet, p->sources, i);
        if (all->at[i].scans > 0)
            text_printf(&line, " (from %u scan%s on)", all->at[i].scans,
                        all->at[i].scans == 1 ? "" : "s");
        sheetform_item(&p->form, text_str(&line));
        text_release(&line);
    }
    any = add_conditions(p, state, any ? NULL : why) || any;
    if (any)
        sheetform_gap(&p->form);
}

static uint32_t count_by_hand(const struct obligations *all,
                              enum obligation_kind kind, uint32_t *of)
{
    uint32_t n = 0;

    *of = 0;
    for (uint32_t i = 0; i < all->n; i++) {
        if (all->at[i].kind != kind)
            continue;
        ++*of;
        n += all->at[i].state == OBLIGATION_BY_HAND;
    }
    return n;
}

/* Is there something that hands might bring about, by more steps? */
static bool is_open(const struct obligations *all)
{
    for (uint32_t i = 0; i < all->n_watched; i++)
        if (all->at[i].state == OBLIGATION_TIMING ||
            all->at[i].state == OBLIGATION_ELSEWHERE)
            return true;
    return false;
}

static void add_reach(const struct page *p)
{
    const struct testsheet *sheet = p->sheet;
    uint32_t triggers, branches, effects, n, m, k;
    struct text line = {0};

    n = count_by_hand(&sheet->obligations, OBLIGATION_TRIGGER, &triggers);
    m = count_by_hand(&sheet->obligations, OBLIGATION_BRANCH, &branches);
    k = count_by_hand(&sheet->obligations, OBLIGATION_EFFECT, &effects);
    sheetform_heading(&p->form, "WHAT IT REACHES");
    text_printf(&line,
                "%u of %u parts of the requirements come to bear, %u of %u "
                "branches of the control text are taken; played and counted "
                "once more by the reference interpreter. In %u cases one "
                "control, two buttons together, or the machine where it "
                "arrives, turn something that moves on or off; in %u "
                "cases one control away from rest, or where the machine "
                "stands, alone keeps that from happening. What happens with a "
                "fault is not asked.", n, triggers, m, branches, k,
                sheet->n_pairs);
    sheetform_paragraph(&p->form, text_str(&line));
    text_clear(&line);
    pairwords_reach(&line, sheet);
    if (line.n > 0)
        sheetform_paragraph(&p->form, text_str(&line));
    text_clear(&line);
    if (sheet->gave_up && is_open(&sheet->obligations))
        text_printf(&line, "The search ended after %u steps: with more, more "
                           "may be found. ", sheet->tried);
    if (sheet->n_dropped > 0)
        text_printf(&line, "%u sequence%s could not be played to the end and "
                           "%s not on the sheet.", sheet->n_dropped,
                    sheet->n_dropped == 1 ? "" : "s",
                    sheet->n_dropped == 1 ? "is" : "are");
    if (line.n > 0)
        sheetform_paragraph(&p->form, text_str(&line));
    sheetform_gap(&p->form);
    text_release(&line);
}

static void add_not_by_hand(const struct page *p)
{
    bool any = false;

    for (uint32_t i = 0; i < p->sheet->obligations.n_watched; i++)
        any = any ||
              p->sheet->obligations.at[i].state != OBLIGATION_BY_HAND;
    if (!any)
        return;
    sheetform_heading(&p->form, "NOT TESTED BY THIS SHEET");
    for (size_t i = 0; i < sizeof reasons / sizeof *reasons; i++)
        add_reason(p, reasons[i].state, reasons[i].why);
}

void testsheetwords_add(const struct sheetform *form,
                        const struct testsheet *sheet,
                        const struct sources *sources)
{
    struct page page = {.form = *form, .sheet = sheet, .sources = sources};

    begin(&page);
    add_lines(&page, LINES(before));
    add_basis(&page);
    add_watched(&page);
    add_round(&page, ROUND_STANDING);
    add_round(&page, ROUND_MOVING);
    add_lines(&page, LINES(after));
    add_reach(&page);
    add_not_by_hand(&page);
    sheetform_end(form);
}

/* ---- to be filled in ---- */

/* A CSV while it is made. */
struct csv {
    struct page page;
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
    const struct testsheet *sheet = csv->page.sheet;
    struct text cell = {0};

    csv_number(csv, sequence->round == ROUND_STANDING ? 1 : 2);
    csv_number(csv, csv->page.number);
    csv_number(csv, k + 1);
    byhandwords_stands(&cell, sheet, sequence);
    if (sheet->from_power_up && k == 0)
        text_add(&cell, "; supply off and on again before it");
    csv_cell(csv, &cell);
    byhandwords_station(&cell, sheet, step);
    csv_cell(csv, &cell);
    byhandwords_do(&cell, sheet, step);
    csv_cell(csv, &cell);
    byhandwords_wait(&cell, sheet, step);
    csv_cell(csv, &cell);
    byhandwords_expected(&cell, sheet, step);
    csv_cell(csv, &cell);
    byhandwords_reached(&cell, sheet, csv->page.sources, step);
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

    csv_line(out, TESTED_SHEET, csv->page.sheet->model->name);
    tested_digest(&digest, csv->page.sources);
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

void testsheetwords_csv(struct text *out, const struct testsheet *sheet,
                        const struct sources *sources)
{
    struct csv csv = {.page = {.sheet = sheet, .sources = sources}};

    for (uint32_t i = 0; i < sheet->n_sequences; i++) {
        csv.page.number = i + 1;
        for (uint32_t k = 0; k < sheet->sequences[i].n_steps; k++)
            csv_step(&csv, &sheet->sequences[i], k);
    }
    csv_head(out, &csv);
    text_add_bytes(out, text_str(&csv.rows), csv.rows.n);
    text_release(&csv.rows);
    text_release(&csv.printed);
}
