#include "study/spoken.h"

#include <ctype.h>
#include <errno.h>
#include <inttypes.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

#include "base/arena.h"
#include "base/name.h"
#include "base/text.h"
#include "check/pace.h"
#include "check/real.h"

enum { MOST_PARTS = 6, MOST_SCANS = 100000 };

/* What a name may stand for. */
enum sort { SORT_INPUT, SORT_START, SORT_MACHINE, SORT_FAULT, SORT_SLOT };

struct candidate {
    const char *name;
    uint32_t row;
    const struct type *type;
    enum signal_kind kind; /* of a control; SIGNAL_OUTPUT: none */
};

struct speech {
    struct arena *arena;
    struct names *names;
    const struct outing *outing;
    const char *part[MOST_PARTS]; /* of the line */
    int n;
    VEC(struct candidate) all;
    struct spoken out;
};

struct spoken_word {
    const char *word;
    enum spoken_kind kind;
    const char *after; /* what follows, for people */
    const char *what;
};

static const struct spoken_word words[] = {
    {"hold", SPOKEN_HOLD, "NAME", "press a button, keep it pressed"},
    {"release", SPOKEN_RELEASE, "NAME", "let it go"},
    {"turn", SPOKEN_TURN, "NAME to POSITION", "turn a selector"},
    {"set", SPOKEN_SET, "NAME to VALUE", "give an input a value"},
    {"wait", SPOKEN_WAIT, "[TIME]", "run one scan, or for 300ms, 1.5s"},
    {"scan", SPOKEN_PACE, "TIME", "how long scans take from now on"},
    {"move", SPOKEN_MOVE, "NAME to VALUE",
     "let the machine make this movement as soon as it may"},
    {"fault", SPOKEN_FAULT, "NAME",
     "let this fault appear; one that is INTERMITTENT, go again"},
    {"power", SPOKEN_POWER, "off, power on", "take the power away, give it"},
    {"start", SPOKEN_START, "NAME at VALUE",
     "where the machine stands when power first comes"},
    {"next", SPOKEN_NEXT, "[N]", "the next scan of a loaded sequence"},
    {"back", SPOKEN_BACK, "[N]", "take one scan back, or N"},
    {"show", SPOKEN_SHOW, "", "what is on, held and present now"},
    {"why", SPOKEN_WHY, "NAME", "why an actuator or variable is as it is"},
    {"save", SPOKEN_SAVE, "FILE", "write it down as a SCENARIO"},
    {"help", SPOKEN_HELP, "", "this list"},
    {"quit", SPOKEN_QUIT, "", "end"},
};

enum { WORDS = sizeof words / sizeof words[0] };

static struct spoken wrong(struct speech *s, const char *failure)
{
    s->out.kind = SPOKEN_WRONG;
    s->out.failure = failure;
    return s->out;
}

/* ---- parts of a line ---- */

/* Blanks part; `;` at the end and a comment are dropped. */
static void split(struct speech *s, const char *line)
{
    size_t end = strlen(line);
    const char *comment = strstr(line, "//");

    if (comment != NULL)
        end = (size_t)(comment - line);
    while (end > 0 && (isspace((unsigned char)line[end - 1]) ||
                       line[end - 1] == ';'))
        end--;
    for (size_t i = 0; i < end && s->n < MOST_PARTS;) {
        size_t from = i;

        while (i < end && !isspace((unsigned char)line[i]))
            i++;
        if (i > from)
            s->part[s->n++] = arena_copy(s->arena, line + from, i - from);
        while (i < end && isspace((unsigned char)line[i]))
            i++;
    }
}

static const struct spoken_word *word_of(const char *part)
{
    for (int i = 0; i < WORDS; i++)
        if (strcasecmp(words[i].word, part) == 0)
            return &words[i];
    return NULL;
}

static struct spoken unknown_word(struct speech *s)
{
    const struct name *candidates[WORDS];
    const struct name *near;

    for (int i = 0; i < WORDS; i++)
        candidates[i] = names_of(s->names, words[i].word);
    near = name_nearest(names_of(s->names, s->part[0]), candidates, WORDS);
    return wrong(s, near == NULL
                        ? arena_printf(s->arena, "'%s' is not understood; "
                                       "help lists the words", s->part[0])
                        : arena_printf(s->arena, "'%s' is not understood; "
                                       "did you mean '%s'?", s->part[0],
                                       near->folded));
}

static struct spoken wrong_form(struct speech *s,
                                const struct spoken_word *word)
{
    return wrong(s, arena_printf(s->arena, "write: %s%s%s", word->word,
                                 *word->after != '\0' ? " " : "",
                                 word->after));
}

/* ---- names ---- */

static const char *behind_dot(const char *path)
{
    const char *dot = name_point(path);

    return dot == NULL ? path : dot + 1;
}

static void offer(struct speech *s, struct candidate candidate)
{
    vec_push(&s->all, candidate);
    candidate.name = behind_dot(candidate.name);
    if (candidate.name != s->all.at[s->all.n - 1].name)
        vec_push(&s->all, candidate);
}

static void offer_choice(struct speech *s, uint32_t row, enum sort sort)
{
    const struct model *model = &s->outing->model;
    const struct choice *choice = &model->choices[row];
    bool control = choice->kind == CHOICE_OPERATOR;
    bool start = choice->kind == CHOICE_START || choice->kind == CHOICE_PAST;

    if (choice->kind == CHOICE_START &&
        model->slots[choice->of].home == SLOT_SETTING)
        return; /* the text of the review says it */
    if (sort == SORT_START ? start : choice->kind >= CHOICE_OPERATOR &&
                                         choice->kind != CHOICE_ANY)
        offer(s, (struct candidate){choice->name, row, choice->type,
                                    control ? model->controls[choice->of].kind
                                            : SIGNAL_OUTPUT});
}

/* Actuators go first: theirs is the short name. */
static void offer_slots(struct speech *s, bool all)
{
    const struct model *model = &s->outing->model;

    for (uint32_t a = 0; all && a < model->n_actuators; a++)
        offer(s, (struct candidate){model->actuators[a].name->spelling,
                                    model->actuators[a].slot, NULL,
                                    SIGNAL_OUTPUT});
    for (uint32_t i = 0; i < model->n_slots; i++) {
        const struct slot *slot = &model->slots[i];

        if (!slot->temp && !slot->clock && slot->home != SLOT_ACTUATOR &&
            (slot->home == SLOT_MACHINE ||
             (all && slot->home != SLOT_FUNCTION &&
              slot->home != SLOT_SETTING)))
            offer(s, (struct candidate){slot->path, i, slot->type,
                                        SIGNAL_OUTPUT});
    }
}

static void offer_all(struct speech *s, enum sort sort)
{
    const struct model *model = &s->outing->model;

    vec_clear(&s->all);
    if (sort == SORT_FAULT) {
        for (uint32_t f = 0; f < model->n_faults; f++)
            if (!model->faults[f].excluded)
                offer(s, (struct candidate){model->faults[f].name->spelling,
                                            f, NULL, SIGNAL_OUTPUT});
    } else if (sort == SORT_MACHINE || sort == SORT_SLOT)
        offer_slots(s, sort == SORT_SLOT);
    else
        for (uint32_t i = 0; i < model->n_choices; i++)
            offer_choice(s, i, sort);
}

static const char *const sort_words[] = {
    [SORT_INPUT] = "control or free input",
    [SORT_START] = "machine variable that may begin anywhere",
    [SORT_MACHINE] = "machine variable",
    [SORT_FAULT] = "fault",
    [SORT_SLOT] = "actuator or variable",
};

static bool unknown_name(struct speech *s, const char *name, enum sort sort)
{
    const struct name **candidates =
        arena_array(s->arena, s->all.n + 1, sizeof *candidates);
    const struct name *near;

    for (size_t i = 0; i < s->all.n; i++)
        candidates[i] = names_of(s->names, s->all.at[i].name);
    near = name_nearest(names_of(s->names, name), candidates, s->all.n);
    wrong(s, near == NULL
                 ? arena_printf(s->arena, "there is no %s '%s'; help lists "
                                "the names", sort_words[sort], name)
                 : arena_printf(s->arena, "there is no %s '%s'; did you mean "
                                "'%s'?", sort_words[sort], name,
                                near->spelling));
    return false;
}

/* Sets row and name; the candidate is left in *found. */
static bool find(struct speech *s, const char *name, enum sort sort,
                 struct candidate *found)
{
    offer_all(s, sort);
    for (size_t i = 0; i < s->all.n; i++) {
        if (strcasecmp(s->all.at[i].name, name) != 0)
            continue;
        *found = s->all.at[i];
        s->out.row = found->row;
        s->out.name = found->name;
        return true;
    }
    return unknown_name(s, name, sort);
}

/* ---- values ---- */

static int64_t unit_of(const char *at, size_t n)
{
    static const struct { const char *unit; int64_t ms; } units[] = {
        {"ms", 1}, {"s", 1000}, {"m", 60000}, {"h", 3600000},
        {"d", 86400000}};

    for (size_t i = 0; i < sizeof units / sizeof units[0]; i++)
        if (strlen(units[i].unit) == n &&
            strncasecmp(units[i].unit, at, n) == 0)
            return units[i].ms;
    return 0;
}

/* One "1.5s" of a time; false when it is none. */
static bool time_part(const char **at, int64_t *ms)
{
    int64_t whole = 0, thousandths = 0, scale = 1000, unit;
    const char *p = *at;
    size_t n = 0;

    if (!isdigit((unsigned char)*p))
        return false;
    for (; isdigit((unsigned char)*p) && whole < 100000000; p++)
        whole = whole * 10 + (*p - '0');
    if (*p == '.')
        for (p++; isdigit((unsigned char)*p) && scale > 1; p++)
            thousandths += (*p - '0') * (scale /= 10);
    while (isalpha((unsigned char)p[n]))
        n++;
    unit = unit_of(p, n);
    if (unit == 0 || thousandths * unit % 1000 != 0)
        return false;
    *ms += whole * unit + thousandths * unit / 1000;
    *at = p + n;
    return true;
}

/* T#1s500ms, 300ms, 1.5s */
static bool read_time(const char *at, int64_t *ms)
{
    const char *mark = strchr(at, '#');

    if (mark != NULL)
        at = mark + 1;
    *ms = 0;
    do {
        if (!time_part(&at, ms))
            return false;
        at += *at == '_';
    } while (*at != '\0');
    return true;
}

static bool read_bool(const char *at, int64_t *value)
{
    *value = strcasecmp(at, "TRUE") == 0 || strcasecmp(at, "on") == 0;
    return *value || strcasecmp(at, "FALSE") == 0 ||
           strcasecmp(at, "off") == 0;
}

static bool read_item(const struct type *type, const char *at,
                      int64_t *value)
{
    const char *mark = strchr(at, '#');

    for (uint32_t i = 0; i < type->count; i++)
        if (strcasecmp(type->items[i]->spelling,
                       mark == NULL ? at : mark + 1) == 0) {
            *value = i;
            return true;
        }
    return false;
}

static bool read_number(const char *at, int64_t *value)
{
    char *end;

    errno = 0;
    *value = strncmp(at, "16#", 3) == 0 ? strtoll(at + 3, &end, 16)
                                        : strtoll(at, &end, 10);
    return errno == 0 && end != at && *end == '\0';
}

/* 1.5, or nan: not a number. */
static bool read_real(const struct type *type, const char *at,
                      int64_t *value)
{
    char *end;
    double number = strtod(at, &end);

    if (type->narrow)
        number = (double)(float)number;
    *value = real_value(type, number);
    return end != at && *end == '\0';
}

static bool read_value(struct speech *s, const struct type *type,
                       const char *at)
{
    const struct type *base = type_base(type);
    int64_t *value = &s->out.value;
    bool good = base->kind == TYPE_BOOL   ? read_bool(at, value)
                : base->kind == TYPE_ENUM ? read_item(base, at, value)
                : base->kind == TYPE_TIME ? read_time(at, value)
                : base->kind == TYPE_REAL ? read_real(base, at, value)
                                          : read_number(at, value);
    struct text list = {0};

    if (good && *value >= type->low && *value <= type->high)
        return true;
    for (uint32_t i = 0; base->kind == TYPE_ENUM && i < base->count; i++)
        text_printf(&list, "%s%s", i > 0 ? ", " : ": ",
                    base->items[i]->spelling);
    wrong(s, arena_printf(s->arena, "'%s' is not a value of '%s'%s", at,
                          s->out.name, text_str(&list)));
    text_release(&list);
    return false;
}

/* ---- one kind of line each ---- */

static struct spoken button(struct speech *s,
                            const struct spoken_word *word)
{
    struct candidate found;

    if (s->n != 2)
        return wrong_form(s, word);
    if (!find(s, s->part[1], SORT_INPUT, &found))
        return s->out;
    if (found.type->kind != TYPE_BOOL)
        return wrong(s, arena_printf(s->arena, "'%s' has more than two "
                                     "positions; write: %s %s to VALUE",
                                     found.name,
                                     found.kind == SIGNAL_SELECTOR
                                         ? "turn" : "set", found.name));
    s->out.kind = word->kind;
    s->out.value = word->kind == SPOKEN_HOLD;
    return s->out;
}

/* NAME to VALUE, NAME := VALUE, NAME at VALUE */
static struct spoken value(struct speech *s, const struct spoken_word *word)
{
    enum sort sort = word->kind == SPOKEN_MOVE    ? SORT_MACHINE
                     : word->kind == SPOKEN_START ? SORT_START
                                                  : SORT_INPUT;
    struct candidate found;

    if (s->n != 4 || (strcasecmp(s->part[2], "to") != 0 &&
                      strcasecmp(s->part[2], "at") != 0 &&
                      strcmp(s->part[2], ":=") != 0))
        return wrong_form(s, word);
    if (!find(s, s->part[1], sort, &found))
        return s->out;
    if (found.kind != SIGNAL_OUTPUT && found.type->kind == TYPE_BOOL)
        return wrong(s, arena_printf(s->arena, "'%s' is held or released; "
                                     "write: hold %s", found.name,
                                     found.name));
    if (!read_value(s, found.type, s->part[3]))
        return s->out;
    s->out.kind = word->kind;
    return s->out;
}

/* FAULT, why: a name and nothing else */
static struct spoken named(struct speech *s, const struct spoken_word *word)
{
    struct candidate found;

    if (s->n != 2)
        return wrong_form(s, word);
    if (find(s, s->part[1],
             word->kind == SPOKEN_WHY ? SORT_SLOT : SORT_FAULT, &found))
        s->out.kind = word->kind;
    return s->out;
}

static struct spoken power(struct speech *s, const struct spoken_word *word)
{
    if (s->n != 2 || !read_bool(s->part[1], &s->out.value))
        return wrong_form(s, word);
    if (!s->outing->model.power_may_fail)
        return wrong(s, "power stays on in this review");
    s->out.kind = word->kind;
    return s->out;
}

static struct spoken no_time(struct speech *s)
{
    return wrong(s, arena_printf(s->arena, "'%s' is not a time; write one "
                                 "such as 300ms or 1.5s", s->part[1]));
}

/* TIME of a scan */
static struct spoken pace(struct speech *s, const struct spoken_word *word)
{
    const struct model *model = &s->outing->model;
    int64_t least = pace_shortest(model), step = pace_step(model), ms;

    if (s->n != 2)
        return wrong_form(s, word);
    if (!read_time(s->part[1], &ms))
        return no_time(s);
    if (least == model->scan && ms != least)
        return wrong(s, arena_printf(s->arena, "here every scan takes %"
                                     PRId64 "ms", least));
    if (ms < least || ms > model->scan || (ms - least) % step != 0)
        return wrong(s, arena_printf(s->arena, "a scan takes %" PRId64
                                     "ms to %" PRId64 "ms, in steps of %"
                                     PRId64 "ms", least, model->scan, step));
    s->out.kind = word->kind;
    s->out.value = ms;
    return s->out;
}

/* [TIME], in whole scans */
static struct spoken waiting(struct speech *s,
                             const struct spoken_word *word)
{
    int64_t scan = pace_of(&s->outing->model, s->outing->set), ms = scan;

    if (s->n > 2)
        return wrong_form(s, word);
    if (s->n == 2 && !read_time(s->part[1], &ms))
        return no_time(s);
    if (ms <= 0 || ms % scan != 0)
        return wrong(s, arena_printf(s->arena, "a scan takes %" PRId64
                                     "ms; write %" PRId64 "ms or %" PRId64
                                     "ms", scan,
                                     ms / scan > 0 ? ms / scan * scan : scan,
                                     (ms / scan + 1) * scan));
    if (ms / scan > MOST_SCANS)
        return wrong(s, "this is more than 100000 scans");
    s->out.kind = word->kind;
    s->out.value = ms / scan;
    return s->out;
}

static struct spoken counted(struct speech *s,
                             const struct spoken_word *word)
{
    s->out.value = 1;
    if (s->n > 2 || (s->n == 2 && (!read_number(s->part[1], &s->out.value) ||
                                   s->out.value < 1)))
        return wrong_form(s, word);
    s->out.kind = word->kind;
    return s->out;
}

static struct spoken alone(struct speech *s, const struct spoken_word *word)
{
    int wanted = word->kind == SPOKEN_SAVE ? 2 : 1;

    if (s->n != wanted)
        return wrong_form(s, word);
    s->out.kind = word->kind;
    s->out.name = s->part[wanted - 1];
    return s->out;
}

static struct spoken understand(struct speech *s)
{
    const struct spoken_word *word;

    if (s->n == 0)
        return s->out;
    word = word_of(s->part[0]);
    if (word == NULL)
        return unknown_word(s);
    switch (word->kind) {
    case SPOKEN_HOLD: case SPOKEN_RELEASE: return button(s, word);
    case SPOKEN_TURN: case SPOKEN_SET: case SPOKEN_START: case SPOKEN_MOVE:
        return value(s, word);
    case SPOKEN_FAULT: case SPOKEN_WHY: return named(s, word);
    case SPOKEN_POWER: return power(s, word);
    case SPOKEN_PACE: return pace(s, word);
    case SPOKEN_WAIT: return waiting(s, word);
    case SPOKEN_NEXT: case SPOKEN_BACK: return counted(s, word);
    default: return alone(s, word);
    }
}

struct spoken spoken_read(struct arena *arena, struct names *names,
                          const struct outing *outing, const char *line)
{
    struct speech s = {.arena = arena, .names = names, .outing = outing};
    struct spoken out;

    split(&s, line);
    out = understand(&s);
    vec_release(&s.all);
    return out;
}

/* ---- help ---- */

static void help_names(struct text *out, struct speech *s, enum sort sort,
                       const char *heading)
{
    size_t column = 10;
    bool first = true;

    offer_all(s, sort);
    if (s->all.n == 0)
        return;
    text_printf(out, "%-10s", heading);
    for (size_t i = 0; i < s->all.n; i++) {
        size_t n = strlen(s->all.at[i].name);

        if (behind_dot(s->all.at[i].name) != s->all.at[i].name)
            continue; /* its short form follows */
        if (!first && column + n + 2 > 78) {
            text_add(out, "\n");
            text_pad(out, ' ', 10);
            column = 10;
        }
        text_printf(out, "%s  ", s->all.at[i].name);
        column += n + 2;
        first = false;
    }
    text_add(out, "\n");
}

void spoken_help(struct text *out, const struct outing *outing)
{
    struct speech s = {.outing = outing};

    for (int i = 0; i < WORDS; i++) {
        size_t n = strlen(words[i].word) + 1 + strlen(words[i].after);

        text_printf(out, "%s %s", words[i].word, words[i].after);
        text_pad(out, ' ', n < 26 ? 26 - n : 1);
        text_printf(out, "%s\n", words[i].what);
    }
    text_add(out, "\nnames of this machine\n");
    help_names(out, &s, SORT_INPUT, "controls");
    help_names(out, &s, SORT_MACHINE, "machine");
    help_names(out, &s, SORT_FAULT, "faults");
    vec_release(&s.all);
}
