#include "lang/build_signal.h"

#include "base/arena.h"
#include "lang/reading.h"

static bool is_control(const struct tree_signal *signal)
{
    return signal->kind <= TREE_NUMBER;
}

static bool is_actuator(const struct tree_signal *signal)
{
    return signal->kind >= TREE_VALVE;
}

static void misplaced(struct reading *reading, struct span where,
                      const char *hint)
{
    reading_error(reading, where, hint, "'%s' does not go with this signal",
                  reading_quote(reading, where));
}

static void twice(struct reading *reading, struct span where)
{
    reading_error(reading, where, "keep one of them",
                  "'%s' says again what was said before",
                  reading_quote(reading, where));
}

struct tree_signal *build_signal_kind(struct reading *reading,
                                      enum tree_signal_kind kind,
                                      struct span span)
{
    struct tree_signal *signal = ARENA_NEW(reading->context->arena,
                                           struct tree_signal);

    signal->kind = kind;
    signal->span = span;
    return signal;
}

struct tree_signal *build_selector(struct reading *reading,
                                   struct chain items, struct span span)
{
    struct tree_signal *signal =
        build_signal_kind(reading, TREE_SELECTOR, span);

    CHAIN_INTO(&signal->positions, items);
    return signal;
}

struct tree_signal *build_number(struct reading *reading,
                                 struct build_bounds bounds,
                                 struct span span)
{
    struct tree_signal *signal =
        build_signal_kind(reading, TREE_NUMBER, span);

    signal->low = bounds.low;
    signal->high = bounds.high;
    return signal;
}

struct tree_signal *build_signal_text(struct reading *reading,
                                      struct tree_signal *signal,
                                      enum build_signal_text which,
                                      struct tree_string text)
{
    struct tree_string *slot = which == BUILD_TITLE   ? &signal->title
                               : which == BUILD_PLACE ? &signal->place
                                                      : &signal->sees;

    if (slot->at)
        twice(reading, text.span);
    else if (which == BUILD_SEES && !is_control(signal))
        misplaced(reading, text.span,
                  "SEES says what the operator at a control sees");
    *slot = text;
    return signal;
}

struct tree_signal *build_signal_colour(struct reading *reading,
                                        struct tree_signal *signal,
                                        enum tree_colour colour,
                                        struct span where)
{
    bool dull = colour == TREE_GREY || colour == TREE_BLACK;

    if (signal->colour != TREE_NO_COLOUR)
        twice(reading, where);
    else if (signal->kind != TREE_LAMP && signal->kind != TREE_BUTTON &&
             signal->kind != TREE_STOP)
        misplaced(reading, where, "a colour is for a LAMP, a BUTTON or a "
                                  "STOP: leave it out, or say it in the "
                                  "title");
    else if (signal->kind == TREE_LAMP && dull)
        misplaced(reading, where, "a LAMP is RED, YELLOW, GREEN, BLUE or "
                                  "WHITE");
    signal->colour = colour;
    return signal;
}

struct tree_signal *build_signal_latching(struct reading *reading,
                                          struct tree_signal *signal,
                                          struct span where)
{
    if (!is_control(signal))
        misplaced(reading, where, "only controls are latching");
    signal->latching = true;
    return signal;
}

struct tree_signal *build_signal_spring(struct reading *reading,
                                        struct tree_signal *signal,
                                        struct span where)
{
    if (!is_actuator(signal))
        misplaced(reading, where, "only actuators return by spring");
    signal->spring = true;
    return signal;
}

struct tree_signal *build_signal_contacts(struct reading *reading,
                                          struct tree_signal *signal,
                                          struct chain contacts,
                                          struct span where)
{
    if (signal->contacts.n)
        twice(reading, where);
    else if (!is_control(signal))
        misplaced(reading, where, "only controls have contacts");
    CHAIN_INTO(&signal->contacts, contacts);
    return signal;
}

struct tree_signal *build_signal_on_when(struct reading *reading,
                                         struct tree_signal *signal,
                                         struct tree_expr *on_when,
                                         struct span where)
{
    if (signal->on_when)
        twice(reading, where);
    else if (signal->kind != TREE_SENSOR)
        misplaced(reading, where, "ON WHEN is for a SENSOR");
    signal->on_when = on_when;
    return signal;
}

struct tree_contact *build_contact(struct reading *reading,
                                   struct tree_ident *name, int kind,
                                   struct tree_ident *position)
{
    struct tree_contact *contact = ARENA_NEW(reading->context->arena,
                                             struct tree_contact);

    contact->name = name;
    contact->kind = (enum tree_contact_kind)kind;
    contact->position = position;
    return contact;
}

void build_signal(struct reading *reading, struct tree_ident *name,
                  struct tree_signal *signal, struct span span)
{
    signal->name = name;
    signal->span = span;
    if (signal->kind == TREE_SENSOR && !signal->on_when)
        reading_error(reading, name->span,
                      "write ON WHEN and a condition on the machine",
                      "the sensor '%s' does not say when it is on",
                      name->name->spelling);
    CHAIN_APPEND(&reading->run->review.signals, signal);
}
