#include "base/text.h"
#include "cli/exit.h"
#include "cli/options.h"
#include "cli/out.h"
#include "cli/verbs.h"
#include "study/load.h"

static const char help[] =
    "keepclear format [-o FILE] FILE\n\n"
    "Lays out a control text or a review text evenly.  Comments and line "
    "breaks stay; nothing\nbut blanks and the case of keywords changes.  The "
    "result goes to standard output, or to\nFILE, which may be the text "
    "itself.\n\n"
    "  -o FILE           write the result there, whole or not at all\n";

static int lay_out(const char *path, struct text *text)
{
    struct loaded *loaded = load_layout(path, text);
    int code = out_diagnostics(loaded);

    loaded_free(loaded);
    return code;
}

int verb_format(int argc, char **argv)
{
    struct options options = {0};
    struct text text = {0};
    int code = options_read(&options, " output ", argc, argv);

    if (code != 0)
        return code;
    if (options.help)
        text_add(&text, help);
    else
        code = lay_out(options.path, &text);
    if (code == 0)
        code = out_result(options.output, &text);
    text_release(&text);
    return code;
}
