#include "study/begun_signals.h"

#include <ctype.h>
#include <string.h>

#include "base/arena.h"
#include "base/name.h"
#include "base/utf8.h"
#include "base/vec.h"
#include "check/model.h"
#include "source/source.h"
#include "study/begun_machine.h"
#include "study/load.h"
#include "study/sway.h"

enum { MOST_COMMENT = 200, MOST_TITLE = 48 };

/* ---- comments ---- */

/* What stands in a comment behind the place, in the same line; "" for
 * nothing. */
static const char *comment_behind(struct loaded *loaded, struct span span)
{
    uint32_t line = sources_place(loaded->sources, span).line;
    size_t n, whole;
    const char *at = sources_line(loaded->sources, span.file, line, &n);
    const char *text = sources_text(loaded->sources, span.file, &whole);
    const char *end = at + n, *from = NULL, *stop = end;

    for (at = text + span.to; at + 1 < end && !from; at++)
        if ((at[0] == '/' && (at[1] == '/' || at[1] == '*')) ||
            (at[0] == '(' && at[1] == '*'))
            from = at + 2;
    if (!from)
        return "";
    for (at = from; at + 1 < end && stop == end; at++)
        if ((at[0] == '*' && (at[1] == ')' || at[1] == '/')))
            stop = at;
    while (from < stop && isspace((unsigned char)*from))
        from++;
    while (stop > from && isspace((unsigned char)stop[-1]))
        stop--;
    if (stop - from > MOST_COMMENT)
        return "";
    return arena_copy(loaded->arena, from, (size_t)(stop - from));
}

/* Does the line declare one name only? */
static bool is_alone(struct loaded *loaded, struct span span)
{
    struct place place = sources_place(loaded->sources, span);
    size_t n;
    const char *at =
        sources_line(loaded->sources, span.file, place.line, &n);
    const char *comma = memchr(at, ',', n), *colon = memchr(at, ':', n);

    return !comma || (colon && colon < comma);
}

/* Fit for a text in quotes: letters and signs of one line. */
static bool is_plain(const char *text)
{
    for (; *text; text++)
        if ((unsigned char)*text < ' ' || *text == 127)
            return false;
    return true;
}

/* Speaks the comment of the thing, and not of its values or contacts only? */
static bool is_title(const char *comment)
{
    return strlen(comment) > 6 && strlen(comment) <= MOST_TITLE &&
           is_plain(comment) && !strstr(comment, "TRUE") &&
           !strstr(comment, "FALSE") && strchr(comment, ' ');
}

/* The comment where it is short, else the words of the name. */
static const char *title_of(struct loaded *loaded,
                            const struct begun_signal *signal)
{
    const struct words *words = &signal->words;
    const char *title = "";

    if (signal->own_comment && is_title(signal->comment))
        return signal->comment;
    for (uint32_t i = 0; i < words->n; i++)
        if (i || words->n == 1 || strlen(words->at[i]) > 1)
            title = arena_printf(loaded->arena, "%s%s%s", title,
                                 *title ? " " : "", words->at[i]);
    return *title ? title : signal->name;
}

/* ---- kinds, from names ---- */

struct telling {
    enum meaning meaning;
    enum begun_kind kind;
};

/* The first that fits. */
static const struct telling inputs[] = {
    {MEANING_RESET, BEGUN_BUTTON}, {MEANING_STOP, BEGUN_STOP},
    {MEANING_BUTTON, BEGUN_BUTTON}, {MEANING_SWITCH, BEGUN_SWITCH},
    {MEANING_START, BEGUN_BUTTON},
};

static const struct telling outputs[] = {
    {MEANING_LAMP, BEGUN_LAMP}, {MEANING_HORN, BEGUN_HORN},
    {MEANING_VALVE, BEGUN_VALVE}, {MEANING_MOTOR, BEGUN_MOTOR},
};

static void take_kind(struct loaded *loaded, struct begun_signal *signal,
                      const struct telling *table, size_t n)
{
    for (size_t i = 0; i < n; i++) {
        const char *word = words_meaning(&signal->words, table[i].meaning);

        if (!word)
            continue;
        signal->kind = table[i].kind;
        signal->why = arena_printf(loaded->arena, "its name says '%s'",
                                   word);
        return;
    }
}

static void guess_input(struct loaded *loaded, struct begun_signal *signal)
{
    const char *sensor = words_meaning(&signal->words, MEANING_SENSOR);
    bool button = words_meaning(&signal->words, MEANING_BUTTON) ||
                  words_meaning(&signal->words, MEANING_RESET) ||
                  words_meaning(&signal->words, MEANING_START);
    bool stop = words_meaning(&signal->words, MEANING_STOP) &&
                !words_meaning(&signal->words, MEANING_START);

    if (sensor && !button && !stop) {
        signal->sensor_word = true;
        signal->why = arena_printf(
            loaded->arena, "its name says '%s': perhaps a sensor", sensor);
        return;
    }
    take_kind(loaded, signal, inputs + (stop || !button ? 0 : 2),
              sizeof inputs / sizeof *inputs - (stop || !button ? 0 : 2));
    if (signal->kind == BEGUN_FREE && button)
        take_kind(loaded, signal, inputs, 1);
}

static void guess_output(struct loaded *loaded, struct begun_signal *signal)
{
    signal->kind = BEGUN_OUTPUT;
    signal->why = "nothing tells what it is";
    take_kind(loaded, signal, outputs, sizeof outputs / sizeof *outputs);
}

static void guess(struct loaded *loaded, struct begun_signal *signal)
{
    if (signal->input && type_base(signal->type)->kind == TYPE_ENUM) {
        signal->kind = BEGUN_SELECTOR;
        signal->why = "one of several, by its type";
    } else if (signal->type->kind != TYPE_BOOL) {
        signal->why = "no BOOL";
    } else if (signal->input) {
        guess_input(loaded, signal);
    } else {
        guess_output(loaded, signal);
    }
}

/* ---- the list ---- */

static bool is_output(const struct tree_var_block *block,
                      const struct tree_var *var)
{
    if (var->location)
        return strncmp(var->location, "%Q", 2) == 0 ||
               strncmp(var->location, "%q", 2) == 0;
    return block->section == TREE_VAR_OUTPUT;
}

/* Is a variable declared there an output, as the tree says? */
static bool declared_output(const struct tree_var_block *block,
                            struct span span)
{
    for (; block; block = block->next)
        for (const struct tree_var *var = block->vars.first; var;
             var = var->next)
            if (var->span.file == span.file && var->span.from == span.from)
                return is_output(block, var);
    return false;
}

static bool slot_is_output(const struct tree_run *run,
                           const struct slot *slot)
{
    if (slot->input || slot->temp || slot->driver != DRIVER_NONE ||
        (slot->home != SLOT_PROGRAM && slot->home != SLOT_GLOBAL))
        return false;
    if (declared_output(run->globals.first, slot->span))
        return true;
    for (const struct tree_pou *pou = run->pous.first; pou; pou = pou->next)
        if (pou->kind == TREE_PROGRAM &&
            declared_output(pou->blocks.first, slot->span))
            return true;
    return false;
}

static bool is_element(const char *path)
{
    const char *point = name_point(path);

    return strchr(path, '[') || (point && strchr(point + 1, '.'));
}

/* A free input, or an output that stands in a program or globally, not in a
 * block or an array. */
static bool is_signal(const struct loaded *loaded, const struct slot *slot,
                      bool input)
{
    if (!input && is_element(slot->path))
        return false;
    return input ? slot->driver == DRIVER_CHOICE &&
                       loaded->model->choices[slot->driver_index].kind ==
                           CHOICE_INPUT
                 : slot_is_output(loaded->run, slot);
}

static const char *name_of(const char *path)
{
    const char *point = name_point(path);

    return point ? point + 1 : path;
}

static struct begun_signal make(struct loaded *loaded, uint32_t number,
                                bool input)
{
    const struct slot *slot = &loaded->model->slots[number];
    struct begun_signal signal = {
        .name = name_of(slot->path),
        .path = slot->path,
        .comment = comment_behind(loaded, slot->span),
        .type = slot->type,
        .slot = number,
        .input = input,
        .mechanism = BEGUN_NONE,
        .why = "",
    };

    signal.words = words_of(loaded->arena, signal.name);
    signal.own_comment = is_alone(loaded, slot->span);
    signal.title = title_of(loaded, &signal);
    if (is_element(slot->path))
        signal.why = "an element; a signal drives it by WIRING";
    else
        guess(loaded, &signal);
    return signal;
}

/* Names that a signal cannot have. */
static void set_apart(struct loaded *loaded, struct begun_signal *signal)
{
    const struct name *name = names_of(loaded->names, signal->name);
    const struct model *model = loaded->model;
    uint32_t bearers = 0;

    for (uint32_t i = 0; i < model->n_slots; i++) {
        const char *path = model->slots[i].path;
        const char *point = name_point(path);

        if ((point && strchr(point + 1, '.')) ||
            (model->slots[i].home != SLOT_PROGRAM &&
             model->slots[i].home != SLOT_GLOBAL))
            continue;
        bearers += names_of(loaded->names, name_of(path)) == name;
    }
    if (begun_reserved(name))
        signal->why = "its name is a word of review texts; a signal needs "
                      "another name, and WIRING";
    else if (bearers > 1)
        signal->why = "several variables have this name; a signal needs "
                      "another name, and WIRING";
    else
        return;
    signal->kind = BEGUN_FREE;
    signal->sensor_word = false;
}

void begun_signals(struct loaded *loaded, struct beginning *begun)
{
    const struct model *model = loaded->model;
    VEC(struct begun_signal) all = {0};

    for (int round = 0; round < 2; round++)
        for (uint32_t i = 0; i < model->n_slots; i++)
            if (is_signal(loaded, &model->slots[i], round == 0))
                vec_push(&all, make(loaded, i, round == 0));
    begun->n_signals = (uint32_t)all.n;
    begun->signals = arena_array(loaded->arena, all.n, sizeof *all.at);
    if (all.n)
        memcpy(begun->signals, all.at, all.n * sizeof *all.at);
    vec_release(&all);
    for (uint32_t i = 0; i < begun->n_signals; i++)
        set_apart(loaded, &begun->signals[i]);
}

/* ---- what use tells ---- */

static bool moves(const struct begun_signal *signal)
{
    return signal->kind == BEGUN_VALVE || signal->kind == BEGUN_MOTOR ||
           signal->kind == BEGUN_OUTPUT;
}

/* Does FALSE stop?  By the outputs that it pushes; where they do not tell,
 * by name and comment; where those do not either, as stops are wired. */
static void find_contacts(struct loaded *loaded, const struct sway *sway,
                          struct beginning *begun,
                          struct begun_signal *stop)
{
    struct words comment = words_of(loaded->arena, stop->comment);
    int sum = 0;

    for (uint32_t i = 0; i < begun->n_signals; i++)
        if (!begun->signals[i].input && moves(&begun->signals[i]))
            sum += sway_between(sway, stop->slot, begun->signals[i].slot);
    stop->opening = sum >= 0;
    if (sum)
        stop->contacts = CONTACTS_BY_USE;
    else if (words_meaning(&stop->words, MEANING_HEALTHY) ||
             words_meaning(&comment, MEANING_HEALTHY))
        stop->contacts = CONTACTS_BY_NAME;
}

void begun_uses(struct loaded *loaded, struct beginning *begun)
{
    const struct sway *sway = sway_of(loaded->arena, loaded->model);

    for (uint32_t i = 0; i < begun->n_signals; i++) {
        struct begun_signal *signal = &begun->signals[i];

        if (signal->kind == BEGUN_STOP)
            find_contacts(loaded, sway, begun, signal);
        if (signal->input && signal->kind == BEGUN_FREE && !*signal->why &&
            sway_remembered(sway, signal->slot)) {
            signal->kind = BEGUN_BUTTON;
            signal->why = "the text looks at when it is pressed";
        } else if (signal->kind == BEGUN_FREE && !*signal->why) {
            signal->why = "nothing tells what it is";
        }
    }
}
