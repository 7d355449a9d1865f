#include "base/text.h"
#include "cli/asked.h"
#include "cli/comparing.h"
#include "cli/options.h"
#include "cli/out.h"
#include "cli/verbs.h"

static const char help[] =
    "keepclear compare --control NEW.st FILE.review\n"
    "keepclear compare OLD.review NEW.review\n\n"
    "Compares two versions by what they do, not by their words.  With "
    "--control the text that\nthe review names is the old one; two review "
    "texts are compared item by item, and the control\ntexts that they name "
    "side by side under the new one.\n\n"
    "  --control FILE    the new control text, instead of the first one the "
    "review names\n"
    "  --map OLD=NEW     the variable OLD is called NEW in the new text; "
    "several with commas\n"
    "  --quick           where a difference is found with nothing broken, do "
    "not look for\n"
    "                    further ones with faults\n"
    "  --engine NAME     sets, tiles or both, as of check\n"
    "  --threads N       that one engine alone may use\n"
    "  --situations N    stop a question beyond N situations: not finished\n"
    "  --memory SIZE     such as 4GiB: stop a question there: not finished\n"
    "  -o FILE           write the result there, whole or not at all\n\n"
    "exit codes: 0 the same under the review, and nothing is shown less than "
    "before; 1 different;\n2 the input is wrong; 3 not finished or not "
    "decided; 4 internal error\n";

int verb_compare(int argc, char **argv)
{
    struct options options = {0};
    struct text text = {0};
    int code = options_read(&options,
                            " files control map quick output situations memory "
                            "engine threads ", argc, argv), written = 0;

    if (code != 0)
        return code;
    if (options.help)
        return asked_help(help);
    code = comparing_run(&options, &text);
    if (text.n > 0)
        written = out_result(options.output, &text);
    text_release(&text);
    return written != 0 ? written : code;
}
