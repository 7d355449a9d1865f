#include "present/csv.h"

#include "base/text.h"

void csv_quoted(struct text *out, const char *string)
{
    text_add_char(out, '"');
    for (; *string != '\0'; string++) {
        if (*string == '"')
            text_add_char(out, '"');
        text_add_char(out, *string);
    }
    text_add_char(out, '"');
}
