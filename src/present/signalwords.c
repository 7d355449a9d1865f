#include "present/signalwords.h"

#include "base/text.h"
#include "present/colourwords.h"
#include "present/naming.h"
#include "present/plainly.h"
#include "present/say.h"

const char *signalwords_kind(enum signal_kind kind)
{
    static const char *const words[] = {
        [SIGNAL_BUTTON] = "button", [SIGNAL_STOP] = "stop",
        [SIGNAL_SWITCH] = "switch", [SIGNAL_SELECTOR] = "selector",
        [SIGNAL_NUMBER] = "number", [SIGNAL_SENSOR] = "sensor",
        [SIGNAL_VALVE] = "valve",   [SIGNAL_MOTOR] = "motor",
        [SIGNAL_LAMP] = "lamp",     [SIGNAL_HORN] = "horn",
        [SIGNAL_OUTPUT] = "output"};

    return words[kind];
}

void signalwords_coloured(struct text *out, enum signal_kind kind,
                          enum colour colour)
{
    text_printf(out, "%s%s%s", colourwords_name(colour),
                colour != COLOUR_NONE ? " " : "", signalwords_kind(kind));
}

static void introduce(const struct plainly *plainly, const char *title,
                      enum signal_kind kind, enum colour colour,
                      const char *place)
{
    text_printf(plainly->out, "%s: %s ", title,
                kind == SIGNAL_OUTPUT ? "an" : "a");
    signalwords_coloured(plainly->out, kind, colour);
    if (place != NULL)
        text_printf(plainly->out, " at %s", place);
}

static void contact(const struct plainly *plainly,
                    const struct control *control,
                    const struct contact *contact)
{
    text_printf(plainly->out, " Contact %s ", contact->name->spelling);
    switch (contact->kind) {
    case CONTACT_CLOSING:
        text_printf(plainly->out, "conducts while it is %s.",
                    naming_operated(control->kind));
        break;
    case CONTACT_OPENING:
        text_printf(plainly->out, "opens while it is %s.",
                    naming_operated(control->kind));
        break;
    case CONTACT_ON:
        text_add(plainly->out, "conducts at ");
        say_value(plainly->out, control->type, contact->position);
        text_add(plainly->out, ".");
        break;
    case CONTACT_VALUE: text_add(plainly->out, "gives the position."); break;
    }
}

/* A selector's positions, a number's ends. */
static void positions(const struct plainly *plainly,
                      const struct control *control)
{
    const struct choice *choice = &plainly->model->choices[control->choice];

    if (control->kind == SIGNAL_SELECTOR) {
        text_add(plainly->out, ", with the positions ");
        for (uint32_t i = 0; i < choice->count; i++) {
            text_add(plainly->out, i > 0 ? ", " : "");
            say_value(plainly->out, control->type, choice->values[i]);
        }
    } else if (control->kind == SIGNAL_NUMBER) {
        text_add(plainly->out, ", from ");
        say_value(plainly->out, control->type, control->type->low);
        text_add(plainly->out, " to ");
        say_value(plainly->out, control->type, control->type->high);
    }
}

void signalwords_control(const struct plainly *plainly,
                         const struct control *control)
{
    const struct model *model = plainly->model;

    introduce(plainly, control->title, control->kind, control->colour,
              control->place);
    positions(plainly, control);
    if (control->sees != NULL)
        text_printf(plainly->out, ", from where one sees: %s", control->sees);
    text_add(plainly->out, control->latching
                               ? "; operated, it stays so until released."
                               : ".");
    for (uint32_t c = 0; c < model->n_contacts; c++)
        if (&model->controls[model->contacts[c].control] == control)
            contact(plainly, control, &model->contacts[c]);
}

void signalwords_sensor(const struct plainly *plainly,
                        const struct sensor *sensor)
{
    introduce(plainly, sensor->title, SIGNAL_SENSOR, COLOUR_NONE,
              sensor->place);
    text_add(plainly->out, ", on while ");
    plainly_condition(plainly, sensor->on_when, true);
    text_add(plainly->out, ".");
}

void signalwords_actuator(const struct plainly *plainly,
                          const struct actuator *actuator)
{
    introduce(plainly, actuator->title, actuator->kind, actuator->colour,
              actuator->place);
    if (actuator->spring)
        text_add(plainly->out, ", brought back by a spring");
    text_add(plainly->out,
             actuator->wired
                 ? "; the wiring says what it gets of what the program asks."
             : actuator->command != MODEL_NONE
                 ? "; it does what the program asks."
                 : "; no program asks anything of it.");
}
