#include "tests/bench/native.h"

#include <dlfcn.h>
#include <stdio.h>
#include <stdlib.h>

#include "base/os.h"
#include "base/text.h"
#include "tests/bench/folder.h"

struct native {
    void *library;
    void (*run)(struct native_task *task);
    double compile_seconds;
};

static bool compile(const char *source, const char *library)
{
    struct text command = {0};
    int status;

    text_printf(&command,
                "gcc -std=gnu11 -O3 -march=native -w -shared -fPIC "
                "-Itests/bench/native -o %s %s",
                library, source);
    status = system(text_str(&command));
    text_release(&command);
    return status == 0;
}

static bool load(struct native *native, const char *library)
{
    native->library = dlopen(library, RTLD_NOW | RTLD_LOCAL);
    if (native->library)
        *(void **)&native->run = dlsym(native->library, "native_run");
    if (!native->run)
        fprintf(stderr, "%s: %s\n", library, dlerror());
    return native->run != NULL;
}

static bool make(struct native *native, const struct slice *slice,
                 const char *name)
{
    struct text source = {0}, library = {0}, content = {0};
    double start = os_moment().seconds;
    bool good;

    folder_path(&source, name, ".c");
    folder_path(&library, name, ".so");
    native_write(&content, slice);
    good = os_write_file(text_str(&source), text_str(&content),
                         content.n) == OS_OK &&
           compile(text_str(&source), text_str(&library)) &&
           load(native, text_str(&library));
    native->compile_seconds = os_moment().seconds - start;
    text_release(&source);
    text_release(&library);
    text_release(&content);
    return good;
}

struct native *native_make(const struct slice *slice, const char *name)
{
    struct native *native = calloc(1, sizeof *native);

    if (native && !make(native, slice, name)) {
        native_free(native);
        native = NULL;
    }
    return native;
}

void native_free(struct native *native)
{
    if (native && native->library)
        dlclose(native->library);
    free(native);
}

void native_run(const struct native *native, struct native_task *task)
{
    native->run(task);
}

double native_compile_seconds(const struct native *native)
{
    return native->compile_seconds;
}
