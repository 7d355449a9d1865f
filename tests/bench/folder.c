#include "tests/bench/folder.h"

#include <stdio.h>
#include <stdlib.h>
#include <sys/stat.h>

#include "base/os.h"
#include "base/text.h"

#define FOLDER "build/bench.d"

void folder_path(struct text *out, const char *name, const char *end)
{
    mkdir("build", 0777);
    mkdir(FOLDER, 0777);
    text_printf(out, "%s/%s%s", FOLDER, name, end);
}

void folder_write(const char *name, const char *end,
                  const struct text *content)
{
    struct text path = {0};
    enum os_status status;

    folder_path(&path, name, end);
    status = os_write_file(text_str(&path), text_str(content), content->n);
    if (status != OS_OK) {
        fprintf(stderr, "%s: %s\n", text_str(&path), os_explain(status));
        exit(1);
    }
    text_release(&path);
}
