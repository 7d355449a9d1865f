/* thread.h - threads of work, a gate to wait at, and a monitor; threads of the
 * C standard. */
#ifndef KEEPCLEAR_BASE_THREAD_H
#define KEEPCLEAR_BASE_THREAD_H

#include <stdbool.h>

struct thread;
struct gate;
struct monitor;

/* Runs job(context) beside the caller, who must join it.  Where the system
 * gives no thread the job has not begun: NULL. */
struct thread *thread_start(void (*job)(void *context), void *context);

/* Waits for its end and frees it; NULL is allowed. */
void thread_join(struct thread *thread);

/* A gate that is shut until somebody opens it, once and for all. */
struct gate *gate_new(void);
void gate_free(struct gate *gate);
void gate_open(struct gate *gate);

/* Waits until it is open, at most so many milliseconds: is it open? */
bool gate_wait(struct gate *gate, unsigned milliseconds);

/* What several threads look at and change one at a time, between enter and
 * leave. */
struct monitor *monitor_new(void);
void monitor_free(struct monitor *monitor);
void monitor_enter(struct monitor *monitor);
void monitor_leave(struct monitor *monitor);

/* Inside: waits outside until somebody has changed something; it may be
 * something else than what is waited for. */
void monitor_wait(struct monitor *monitor);

/* Inside: wakes all that wait. */
void monitor_change(struct monitor *monitor);

#endif
