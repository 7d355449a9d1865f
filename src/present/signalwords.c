#include "present/signalwords.h"

#include "base/text.h"
#include "check/model.h"
#include "present/naming.h"
#include "present/plainly.h"
#include "present/say.h"

static const char *kind_words(enum signal_kind kind)
{
    switch (kind) {
    case SIGNAL_BUTTON: return "a button";
    case SIGNAL_STOP: return "a stop";
    case SIGNAL_SWITCH: return "a switch";
    case SIGNAL_SELECTOR: return "a selector";
    case SIGNAL_NUMBER: return "a number";
    case SIGNAL_SENSOR: return "a sensor";
    case SIGNAL_VALVE: return "a valve";
    case SIGNAL_MOTOR: return "a motor";
    case SIGNAL_LAMP: return "a lamp";
    case SIGNAL_HORN: return "a horn";
    case SIGNAL_OUTPUT: return "an output";
    }
    return "";
}

static void introduce(const struct plainly *plainly, const char *title,
                      enum signal_kind kind, const char *place)
{
    text_printf(plainly->out, "%s: %s", title, kind_words(kind));
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

void signalwords_control(const struct plainly *plainly,
                         const struct control *control)
{
    const struct model *model = plainly->model;

    introduce(plainly, control->title, control->kind, control->place);
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
    introduce(plainly, sensor->title, SIGNAL_SENSOR, sensor->place);
    text_add(plainly->out, ", on while ");
    plainly_condition(plainly, sensor->on_when, true);
    text_add(plainly->out, ".");
}

void signalwords_actuator(const struct plainly *plainly,
                          const struct actuator *actuator)
{
    introduce(plainly, actuator->title, actuator->kind, actuator->place);
    if (actuator->spring)
        text_add(plainly->out, ", brought back by a spring");
    text_add(plainly->out,
             actuator->wired
                 ? "; the wiring says what it gets of what the program asks."
             : actuator->command != MODEL_NONE
                 ? "; it does what the program asks."
                 : "; no program asks anything of it.");
}
