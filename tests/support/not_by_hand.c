#include "tests/support/not_by_hand.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

enum { LEAST_REASON = 15 }; /* letters */

static void read_line(const char *folder, const char *line,
                      struct not_by_hand *list)
{
    size_t n = strcspn(line, " ");
    char path[256];
    FILE *text;

    if (line[n] == '\0' || strlen(line + n) < LEAST_REASON ||
        n >= sizeof list->names[0] || list->n == NOT_BY_HAND_MOST)
        fail_msg("not a text and a reason: %s", line);
    snprintf(list->names[list->n], sizeof list->names[0], "%.*s", (int)n,
             line);
    if (not_by_hand_has(list, list->names[list->n]))
        fail_msg("named twice: %s", line);
    snprintf(path, sizeof path, "%s%s", folder, list->names[list->n]);
    text = fopen(path, "r");
    if (text == NULL)
        fail_msg("no such text: %s", path);
    fclose(text);
    list->n++;
}

void not_by_hand_read(const char *folder, struct not_by_hand *list)
{
    char path[256], line[512];
    FILE *file;

    list->n = 0;
    snprintf(path, sizeof path, "%sNOT_BY_HAND", folder);
    file = fopen(path, "r");
    assert_non_null(file);
    while (fgets(line, sizeof line, file) != NULL) {
        line[strcspn(line, "\n")] = '\0';
        if (line[0] != '#' && line[0] != '\0')
            read_line(folder, line, list);
    }
    fclose(file);
}

bool not_by_hand_has(const struct not_by_hand *list, const char *path)
{
    const char *slash = strrchr(path, '/');
    const char *name = slash != NULL ? slash + 1 : path;

    for (unsigned i = 0; i < list->n; i++)
        if (strcmp(list->names[i], name) == 0)
            return true;
    return false;
}
