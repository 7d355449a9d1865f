#include "present/settings.h"

#include "base/text.h"
#include "check/model.h"

static void add_known(struct text *out, const struct setting *setting,
                      enum setting_kind kind)
{
    text_printf(out, "    %s", setting_says(kind, setting->value));
    if (setting->observed_by != NULL)
        text_printf(out, ", observed by %s", setting->observed_by);
    else
        text_add(out, setting->said
                          ? ", assumed and not observed"
                          : ", taken for granted: nothing is said of it");
    if (setting->because != NULL)
        text_printf(out, ", because %s", setting->because);
    text_add(out, "\n");
}

static void add_any(struct text *out, const struct setting *setting,
                    enum setting_kind kind)
{
    for (uint32_t i = 0; i < setting_choices(kind); i++)
        text_printf(out, "%s%s", i == 0 ? "    not known, any of: " : "; ",
                    setting_says(kind, i));
    if (setting->because != NULL)
        text_printf(out, ", because %s", setting->because);
    text_add(out, "\n");
}

void settings_add(struct text *out, const struct model *model)
{
    if (!model->controller_said) {
        if (model->settings[SETTING_PLACES].touched)
            text_add(out, "  places that share a part on some controllers "
                          "are taken for two\n");
        return;
    }
    text_printf(out, "  the controller%s%s:\n",
                model->controller != NULL ? " is " : "",
                model->controller != NULL ? model->controller : "");
    for (int kind = 0; kind < SETTING_KINDS; kind++) {
        const struct setting *setting = &model->settings[kind];

        if (!setting->touched)
            continue;
        if (setting->any)
            add_any(out, setting, (enum setting_kind)kind);
        else
            add_known(out, setting, (enum setting_kind)kind);
    }
}
