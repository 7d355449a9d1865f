#include "base/thread.h"

#include <stdlib.h>
#include <threads.h>

#include "base/ensure.h"

struct thread {
    thrd_t id;
    void (*job)(void *context);
    void *context;
};

static int run(void *at)
{
    struct thread *thread = at;

    thread->job(thread->context);
    return 0;
}

struct thread *thread_start(void (*job)(void *context), void *context)
{
    struct thread *thread = malloc(sizeof *thread);

    if (thread == NULL)
        return NULL;
    thread->job = job;
    thread->context = context;
    if (thrd_create(&thread->id, run, thread) == thrd_success)
        return thread;
    free(thread);
    return NULL;
}

void thread_join(struct thread *thread)
{
    if (thread == NULL)
        return;
    ENSURE(thrd_join(thread->id, NULL) == thrd_success);
    free(thread);
}

struct gate {
    mtx_t mutex;
    cnd_t changed;
    bool open;
};

struct gate *gate_new(void)
{
    struct gate *gate = calloc(1, sizeof *gate);

    ENSURE(gate != NULL);
    ENSURE(mtx_init(&gate->mutex, mtx_timed) == thrd_success);
    ENSURE(cnd_init(&gate->changed) == thrd_success);
    return gate;
}

void gate_free(struct gate *gate)
{
    cnd_destroy(&gate->changed);
    mtx_destroy(&gate->mutex);
    free(gate);
}

void gate_open(struct gate *gate)
{
    mtx_lock(&gate->mutex);
    gate->open = true;
    cnd_broadcast(&gate->changed);
    mtx_unlock(&gate->mutex);
}

bool gate_wait(struct gate *gate, unsigned milliseconds)
{
    struct timespec until;
    int status = thrd_success;
    bool open;

    timespec_get(&until, TIME_UTC);
    until.tv_sec += milliseconds / 1000;
    until.tv_nsec += (long)(milliseconds % 1000) * 1000000;
    if (until.tv_nsec >= 1000000000) {
        until.tv_nsec -= 1000000000;
        until.tv_sec++;
    }
    mtx_lock(&gate->mutex);
    while (!gate->open && status == thrd_success)
        status = cnd_timedwait(&gate->changed, &gate->mutex, &until);
    open = gate->open;
    mtx_unlock(&gate->mutex);
    return open;
}

struct monitor {
    mtx_t mutex;
    cnd_t changed;
};

struct monitor *monitor_new(void)
{
    struct monitor *monitor = calloc(1, sizeof *monitor);

    ENSURE(monitor != NULL);
    ENSURE(mtx_init(&monitor->mutex, mtx_plain) == thrd_success);
    ENSURE(cnd_init(&monitor->changed) == thrd_success);
    return monitor;
}

void monitor_free(struct monitor *monitor)
{
    if (monitor == NULL)
        return;
    cnd_destroy(&monitor->changed);
    mtx_destroy(&monitor->mutex);
    free(monitor);
}

void monitor_enter(struct monitor *monitor)
{
    mtx_lock(&monitor->mutex);
}

void monitor_leave(struct monitor *monitor)
{
    mtx_unlock(&monitor->mutex);
}

void monitor_wait(struct monitor *monitor)
{
    cnd_wait(&monitor->changed, &monitor->mutex);
}

void monitor_change(struct monitor *monitor)
{
    cnd_broadcast(&monitor->changed);
}
