#include "tests/bench/command.h"

#include <stdlib.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include "base/os.h"
#include "base/text.h"

enum { WORST_EXIT_CODE = 3 };

struct command command_start(const char *verb_and_options, unsigned seconds)
{
    const char *program = os_environment("KEEPCLEAR");
    struct command command;
    struct text line = {0};

    text_printf(&line, "ulimit -t %u; exec timeout -k 1 %u %s %s "
                ">/dev/null 2>&1", seconds, 20 * seconds,
                program ? program : "build/keepclear", verb_and_options);
    command.id = fork();
    if (command.id == 0) {
        execl("/bin/sh", "sh", "-c", text_str(&line), (char *)NULL);
        _exit(127);
    }
    text_release(&line);
    if (command.id < 0)
        exit(1);
    return command;
}

double command_end(struct command command, bool *ended)
{
    struct rusage use;
    int status;

    if (wait4(command.id, &status, 0, &use) != command.id)
        exit(1);
    *ended = !WIFEXITED(status) || WEXITSTATUS(status) > WORST_EXIT_CODE;
    return (double)(use.ru_utime.tv_sec + use.ru_stime.tv_sec) +
           1e-6 * (double)(use.ru_utime.tv_usec + use.ru_stime.tv_usec);
}
