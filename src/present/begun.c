#include "present/begun.h"

#include <string.h>

#include "base/text.h"
#include "check/type.h"
#include "study/begun.h"

enum { LINE_COLUMNS = 79 };

static const char *const kind_words[] = {
    [BEGUN_FREE] = "",
    [BEGUN_BUTTON] = "BUTTON",
    [BEGUN_STOP] = "STOP",
    [BEGUN_SWITCH] = "SWITCH",
    [BEGUN_SELECTOR] = "SELECTOR",
    [BEGUN_SENSOR] = "SENSOR",
    [BEGUN_VALVE] = "VALVE",
    [BEGUN_MOTOR] = "MOTOR",
    [BEGUN_LAMP] = "LAMP",
    [BEGUN_HORN] = "HORN",
    [BEGUN_OUTPUT] = "OUTPUT",
};

/* 'text', with $ before what would end it. */
static void add_quoted(struct text *out, const char *text)
{
    text_add_char(out, '\'');
    for (; *text; text++) {
        if (*text == '\'' || *text == '$')
            text_add_char(out, '$');
        text_add_char(out, *text);
    }
    text_add_char(out, '\'');
}

/* The comment behind a line, or below it where the line would be long. */
static void add_remark(struct text *out, size_t line, const char *remark)
{
    size_t here = text_columns(out->at + line, out->n - line);

    if (here + strlen(remark) + 7 <= LINE_COLUMNS)
        text_printf(out, " (* %s *)\n", remark);
    else
        text_printf(out, "\n      (* %s *)\n", remark);
}

/* ---- head ---- */

static void add_head(struct text *out, const struct beginning *begun,
                     const char *const *controls, size_t n)
{
    text_add(
        out,
        "(* A first review text, written by `keepclear begin`.\n\n"
        "   It runs as it is.  What it says of the machine is guessed from "
        "names,\n"
        "   comments and use; where it says \"guess\", nobody has looked yet. "
        " Go through\n"
        "   it line by line with the wiring diagram, then at the machine: "
        "put right what\n"
        "   is wrong, fill in what is missing, and strike out each \"guess\" "
        "that you have\n"
        "   seen to be so.  Until then a verdict is one about the guesses. "
        "*)\n");
    text_printf(out, "REVIEW %s 'first review text, nothing in it is checked "
                     "yet'\n", begun->name);
    for (size_t i = 0; i < n; i++) {
        text_add(out, "  CONTROL ");
        add_quoted(out, controls[i]);
        text_add(out, ";\n");
    }
    if (begun->has_task)
        text_add(out, "  (* SCAN: the task of the control text says how "
                      "long a scan takes. *)\n");
    else
        text_add(out, "  SCAN T#100ms; (* assumed: write the cycle time of "
                      "the controller *)\n");
}

static void add_lines(struct text *out, const struct beginning *begun)
{
    if (begun->n_lines)
        text_add(out, "\n  (* Without these lines the texts could not be "
                      "judged.  FIXED: one value for\n"
                      "     ever, until you give its range (NUMBER in "
                      "CONTROLS).  UNKNOWN: a block\n"
                      "     without a text may answer anything, until its "
                      "text stands beside it.\n"
                      "     CONTROLLER: what yours does where the standard "
                      "leaves it to the maker. *)\n");
    for (uint32_t i = 0; i < begun->n_lines; i++)
        text_printf(out, "  %s\n", begun->lines[i]);
}

/* ---- CONTROLS ---- */

static void add_sensor(struct text *out, const struct beginning *begun,
                       const struct begun_signal *signal)
{
    const struct begun_mechanism *m = &begun->mechanisms[signal->mechanism];

    text_printf(out, " ON WHEN %s = %s", m->variable,
                m->positions[signal->end]);
}

static const char *contacts_word(const struct begun_signal *signal)
{
    if (signal->contacts == CONTACTS_BY_USE)
        return signal->opening ? "; in the text FALSE stops"
                               : "; in the text TRUE stops";
    if (signal->contacts == CONTACTS_BY_NAME)
        return "; its words say that FALSE stops";
    return "; nothing tells whether FALSE stops: look";
}

static void add_signal(struct text *out, const struct beginning *begun,
                       const struct begun_signal *signal)
{
    struct text remark = {0};
    size_t line = out->n;

    text_printf(out, "    %s : %s ", signal->name,
                kind_words[signal->kind]);
    add_quoted(out, signal->title);
    if (signal->kind == BEGUN_SENSOR)
        add_sensor(out, begun, signal);
    if (signal->kind == BEGUN_STOP)
        text_printf(out, " CONTACTS %s",
                    signal->opening ? "OPENING" : "CLOSING");
    text_add(out, ";");
    text_printf(&remark, "guess: %s%s", signal->why,
                signal->kind == BEGUN_STOP ? contacts_word(signal) : "");
    add_remark(out, line, text_str(&remark));
    text_release(&remark);
}

static uint32_t count(const struct beginning *begun, bool input, bool free)
{
    uint32_t n = 0;

    for (uint32_t i = 0; i < begun->n_signals; i++)
        n += begun->signals[i].input == input &&
             (begun->signals[i].kind == BEGUN_FREE) == free;
    return n;
}

enum { MOST_FREE = 100 };

static void add_free(struct text *out, const struct beginning *begun,
                     bool input)
{
    unsigned n = 0;

    if (!count(begun, input, true))
        return;
    text_add(out, input
                      ? "\n    (* Left free: any value in every scan, which "
                        "is more than the machine does.\n"
                        "       Give each a line above as soon as you know "
                        "what it is:\n"
                        "         name : BUTTON 'title';  SWITCH, NUMBER (0 "
                        ".. 100), or\n"
                        "         name : SENSOR 'title' ON WHEN part = "
                        "Position;\n\n"
                      : "\n    (* Outputs that no line speaks of:\n\n");
    for (uint32_t i = 0; i < begun->n_signals; i++) {
        const struct begun_signal *signal = &begun->signals[i];

        if (signal->input != input || signal->kind != BEGUN_FREE)
            continue;
        if (n++ < MOST_FREE)
            text_printf(out, "         %s : %s - %s\n", signal->path,
                        type_words(signal->type), signal->why);
    }
    if (n > MOST_FREE)
        text_printf(out, "         and %u more; the result of `check` names "
                         "them\n", n - MOST_FREE);
    text_add(out, "    *)\n");
}

static void add_controls(struct text *out, const struct beginning *begun)
{
    text_add(out,
             "\n  (* What people can operate, what the sensors see, what the "
             "outputs drive.\n"
             "     Add AT 'place' and SEES 'what'; a button with two contacts "
             "says CONTACTS\n"
             "     a CLOSING, b OPENING. *)\n  CONTROLS\n");
    for (int output = 0; output < 2; output++)
        for (uint32_t i = 0; i < begun->n_signals; i++)
            if (begun->signals[i].kind != BEGUN_FREE &&
                begun->signals[i].input == !output)
                add_signal(out, begun, &begun->signals[i]);
    add_free(out, begun, true);
    add_free(out, begun, false);
    text_add(out, "  END_CONTROLS\n");
}

/* ---- MECHANISM ---- */

static void add_while(struct text *out, const struct beginning *begun,
                      const struct begun_mechanism *m, int end)
{
    uint32_t here = m->drives[end], there = m->drives[!end];

    if (here != BEGUN_NONE)
        text_printf(out, " WHILE %s", begun->signals[here].name);
    else if (there != BEGUN_NONE)
        text_printf(out, " WHILE NOT %s", begun->signals[there].name);
    text_add(out, ";\n");
}

static void add_move(struct text *out, const struct beginning *begun,
                     const struct begun_mechanism *m, int from, int to)
{
    text_printf(out, "    MOVES %s FROM %s TO %s", m->variable,
                m->positions[from], m->positions[to]);
    add_while(out, begun, m, to == 2 ? !from : to);
}

static const char *drive_words(const struct begun_mechanism *m)
{
    bool here = m->drives[0] != BEGUN_NONE, there = m->drives[1] != BEGUN_NONE;

    return here && there ? "two outputs drive it, by their names"
           : here || there ? "one output drives it; without it a spring or "
                             "its weight takes it back"
                           : "no output was found that drives it: it moves by "
                             "hand, at any time";
}

static void add_mechanism(struct text *out, const struct beginning *begun,
                          const struct begun_mechanism *m)
{
    text_printf(out,
                "\n  (* guess: %s.\n"
                "     No times are known: it may move at once, later or never. "
                " Behind TO you can\n"
                "     say IN T#300ms .. T#2s, the shortest and the longest "
                "time. *)\n  MECHANISM %s\n    VAR %s : (%s, %s",
                drive_words(m), m->name, m->variable, m->positions[0],
                m->positions[2]);
    text_printf(out, "%s%s); END_VAR\n", m->positions[1] ? ", " : "",
                m->positions[1] ? m->positions[1] : "");
    add_move(out, begun, m, 0, 2);
    if (m->positions[1]) {
        add_move(out, begun, m, 2, 1);
        add_move(out, begun, m, 1, 2);
    }
    add_move(out, begun, m, 2, 0);
    text_add(out, "  END_MECHANISM\n");
}

/* ---- FAULTS ---- */

static const char *fault_words(const struct begun_signal *signal)
{
    switch (signal->kind) {
    case BEGUN_BUTTON: case BEGUN_STOP: case BEGUN_SWITCH:
        return "DOES NOT OPEN";
    case BEGUN_SENSOR: case BEGUN_VALVE:
        return "STAYS";
    default:
        return NULL;
    }
}

static void add_faults(struct text *out, const struct beginning *begun)
{
    unsigned n = 0;

    for (uint32_t i = 0; i < begun->n_signals; i++) {
        const char *words = fault_words(&begun->signals[i]);

        if (!words)
            continue;
        if (!n)
            text_add(out,
                     "\n  (* What may break: a contact that is welded, a "
                     "sensor or a valve that is stuck.\n"
                     "     A requirement looks at them when it ends with "
                     "DESPITE 1 FAULT. *)\n  FAULTS\n");
        text_printf(out, "    %s%u : %s %s;\n", begun->prefixes[0], ++n,
                    begun->signals[i].name, words);
    }
    if (n)
        text_add(out, "  END_FAULTS\n");
}

/* ---- REQUIREMENTS ---- */

struct asking {
    struct text *out;
    const struct beginning *begun;
    unsigned n;
};

enum { MOST_PAIRS = 6 };

static void ask(struct asking *asking, const char *title)
{
    text_printf(asking->out, "    %s%u ", asking->begun->prefixes[2],
                ++asking->n);
    add_quoted(asking->out, title);
    text_printf(asking->out, " AGAINST %s1\n       : ",
                asking->begun->prefixes[1]);
}

static void ask_pairs(struct asking *asking)
{
    const struct beginning *begun = asking->begun;

    for (uint32_t i = 0; i < begun->n_pairs && i < MOST_PAIRS; i++) {
        const struct begun_signal *one =
            &begun->signals[begun->pairs[i].one];
        const struct begun_signal *other =
            &begun->signals[begun->pairs[i].other];
        struct text title = {0};

        text_printf(&title, "%s and %s never together", one->name,
                    other->name);
        ask(asking, text_str(&title));
        text_printf(asking->out, "NEVER %s AND %s;\n", one->name,
                    other->name);
        text_release(&title);
    }
}

static uint32_t first_of(const struct beginning *begun,
                         bool (*is)(const struct begun_signal *))
{
    uint32_t i = 0;

    while (i < begun->n_signals && !is(&begun->signals[i]))
        i++;
    return i < begun->n_signals ? i : BEGUN_NONE;
}

static bool is_stop(const struct begun_signal *signal)
{
    return signal->kind == BEGUN_STOP;
}

static bool is_drive(const struct begun_signal *signal)
{
    return !signal->input && signal->kind != BEGUN_FREE &&
           signal->kind != BEGUN_LAMP && signal->kind != BEGUN_HORN;
}

static void ask_stop(struct asking *asking)
{
    const struct beginning *begun = asking->begun;
    uint32_t stop = first_of(begun, is_stop);
    unsigned n = 0;

    for (uint32_t i = 0; i < begun->n_signals && stop != BEGUN_NONE; i++) {
        const struct begun_signal *signal = &begun->signals[i];

        if (!is_drive(signal))
            continue;
        if (!n)
            ask(asking, "a pressed stop ends every movement");
        text_printf(asking->out, "%s%s", n ? n % 3 ? " OR " : "\n          OR "
                                           : "NEVER (", signal->name);
        n++;
    }
    if (n)
        text_printf(asking->out,
                    ")\n         AND PRESSED %s;\n"
                    "    (* Strike out what may go on under this stop, and "
                    "write one for each stop. *)\n",
                    begun->signals[stop].name);
}

static void ask_possible(struct asking *asking)
{
    uint32_t drive = first_of(asking->begun, is_drive);

    if (drive == BEGUN_NONE)
        return;
    ask(asking, "the first output can be switched on at all");
    text_printf(asking->out, "POSSIBLE %s;\n",
                asking->begun->signals[drive].name);
}

static void add_requirements(struct text *out,
                             const struct beginning *begun)
{
    struct asking asking = {out, begun, 0};

    text_printf(out,
                "\n  HAZARDS\n    %s1 'fill in: who can be caught, where, by "
                "what';\n  END_HAZARDS\n\n"
                "  (* Examples, to show the form.  Yours come from the risk "
                "assessment: one for\n"
                "     each thing that must never happen, with REFERS TO 'the "
                "place where it is\n"
                "     written'. *)\n  REQUIREMENTS\n",
                begun->prefixes[1]);
    ask_pairs(&asking);
    ask_stop(&asking);
    ask_possible(&asking);
    if (!asking.n)
        text_printf(out, "    (* %s1 'what must never happen' AGAINST %s1 "
                         ": NEVER one AND other; *)\n",
                    begun->prefixes[2], begun->prefixes[1]);
    text_add(out, "  END_REQUIREMENTS\n");
}

void begun_add(struct text *out, const struct beginning *begun,
               const char *const *controls, size_t n_controls)
{
    add_head(out, begun, controls, n_controls);
    add_lines(out, begun);
    add_controls(out, begun);
    for (uint32_t i = 0; i < begun->n_mechanisms; i++)
        add_mechanism(out, begun, &begun->mechanisms[i]);
    add_faults(out, begun);
    add_requirements(out, begun);
    text_add(out, "END_REVIEW\n");
}
