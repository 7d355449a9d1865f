#include "tests/bench/diagrams.h"

#include <signal.h>
#include <string.h>
#include <sys/mman.h>
#include <sys/resource.h>
#include <sys/time.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

#include "tests/bench/clock.h"
#include "tests/bench/found.h"
#include "tests/bench/many.h"
#include "tests/bench/order.h"
#include "tests/bench/relation.h"

enum { NODES = 1 << 20, CACHE = 1 << 18, LOOK_MICROSECONDS = 500 };

static void say_nothing(int before, bddGbcStat *stat)
{
    (void)before;
    (void)stat;
}

static void open_library(const struct order *order, bool reorder)
{
    bdd_init(NODES, CACHE);
    bdd_setvarnum((int)order->n);
    bdd_gbc_hook(say_nothing);
    bdd_setmaxincrease(NODES);
    bdd_setcacheratio(4);
    if (!reorder)
        return;
    bdd_reorder_verbose(0);
    for (uint32_t i = 0; i < order->slice->n_cells; i++)
        for (uint32_t b = 0; b < order->cell_bits[i]; b++)
            bdd_intaddvarblock((int)order->now[i][b],
                               (int)order->now[i][b] + 1,
                               BDD_REORDER_FIXED);
    for (uint32_t r = 0; r < order->slice->n_choices; r++)
        for (uint32_t b = 0; b < order->choice_bits[r]; b++)
            bdd_intaddvarblock((int)order->choice[r][b],
                               (int)order->choice[r][b], BDD_REORDER_FIXED);
    bdd_autoreorder(BDD_REORDER_SIFT);
}

struct walk {
    BDD now_set;    /* variables of now */
    BDD next_set;
    BDD everything; /* variables of now, for counting */
    bddPair *back;  /* next to now */
};

static void open_walk(struct walk *w, const struct order *order)
{
    w->now_set = bdd_true();
    w->back = bdd_newpair();
    for (uint32_t i = 0; i < order->slice->n_cells; i++)
        for (uint32_t b = 0; b < order->cell_bits[i]; b++) {
            int var = (int)order->now[i][b];

            own(&w->now_set, bdd_and(w->now_set, bdd_ithvar(var)));
            bdd_setpair(w->back, var + 1, var);
        }
}

static void note_level(struct found *found, const struct walk *w, BDD set)
{
    double size = bdd_satcountset(set, w->now_set);

    if (found->levels < FOUND_LEVELS)
        found->level_size[found->levels] = size;
    found->levels++;
    found->situations += size;
}

static void search(struct found *found, const struct order *order, bool until)
{
    struct relation first = relation_build(order, true);
    struct relation next = relation_build(order, false);
    struct walk w;
    BDD reached, front;

    open_walk(&w, order);
    if (first.watch != bdd_false())
        found->watch_level = 1;
    front = bdd_addref(bdd_replace(first.steps, w.back));
    reached = bdd_addref(front);
    while (front != bdd_false() && !(until && found->watch_level)) {
        note_level(found, &w, front);
        if (!found->watch_level &&
            bdd_and(front, next.watch) != bdd_false())
            found->watch_level = found->levels + 1;
        own(&front, bdd_appex(front, next.steps, bddop_and, w.now_set));
        own(&front, bdd_replace(front, w.back));
        own(&front, bdd_apply(front, reached, bddop_diff));
        own(&reached, bdd_or(reached, front));
    }
    found->complete = front == bdd_false();
    found->bytes = (size_t)bdd_getallocnum() * 20;
}

static void run_here(const struct diagram_task *task, struct found *found)
{
    double start = clock_processor();
    struct order order;

    order_init(&order, task->slice, task->seed);
    open_library(&order, task->reorder);
    search(found, &order, task->until);
    bdd_done();
    found->seconds = clock_processor() - start;
    found->failed = false;
}

/* So many seconds of the processor, five times as many by the wall. */
static void limit(double seconds)
{
    struct itimerval timer = {
        .it_value = {(time_t)seconds,
                     (suseconds_t)((seconds - (time_t)seconds) * 1e6)}};

    if (seconds <= 0)
        return;
    signal(SIGPROF, SIG_DFL);
    signal(SIGALRM, SIG_DFL);
    setitimer(ITIMER_PROF, &timer, NULL);
    alarm((unsigned)(5 * seconds) + 1);
}

struct child {
    pid_t id;
    struct found *shared;
    bool ended;
    struct rusage use; /* once it has ended */
};

static struct child start_child(const struct diagram_task *task)
{
    struct child child = {0};

    child.shared = mmap(NULL, sizeof *child.shared, PROT_READ | PROT_WRITE,
                        MAP_SHARED | MAP_ANONYMOUS, -1, 0);
    if (child.shared == MAP_FAILED)
        return (struct child){0};
    child.shared->failed = true;
    child.id = fork();
    if (child.id == 0) {
        limit(task->most_seconds);
        run_here(task, child.shared);
        _exit(0);
    }
    return child;
}

/* options: WNOHANG or 0. */
static bool has_ended(struct child *child, int options)
{
    if (!child->ended && child->id > 0)
        child->ended = wait4(child->id, NULL, options, &child->use) ==
                       child->id;
    return child->ended || child->id <= 0;
}

static void end_child(struct child *child, struct found *found)
{
    const struct rusage *use = &child->use;

    memset(found, 0, sizeof *found);
    found->failed = true;
    if (child->id <= 0)
        return;
    has_ended(child, 0);
    *found = *child->shared;
    if (found->failed)
        found->seconds =
            (double)(use->ru_utime.tv_sec + use->ru_stime.tv_sec) +
            1e-6 * (double)(use->ru_utime.tv_usec + use->ru_stime.tv_usec);
    munmap(child->shared, sizeof *child->shared);
}

void diagrams_run(const struct diagram_task *task, struct found *found)
{
    struct child child = start_child(task);

    end_child(&child, found);
}

/* Processor seconds that a child has used so far. */
static double used_by(const struct child *child)
{
    struct timespec used = {0};
    clockid_t clock;

    if (clock_getcpuclockid(child->id, &clock) == 0)
        clock_gettime(clock, &used);
    return (double)used.tv_sec + 1e-9 * (double)used.tv_nsec;
}

/* Ends it once it has used more than the other needed. */
static void wait_for_loser(struct child *child, double seconds)
{
    while (!has_ended(child, WNOHANG)) {
        if (used_by(child) > seconds)
            kill(child->id, SIGKILL);
        usleep(LOOK_MICROSECONDS);
    }
}

void diagrams_run_better(const struct diagram_task *tasks,
                         struct found *found, struct found *other)
{
    struct child child[2] = {start_child(&tasks[0]), start_child(&tasks[1])};
    bool first, second;

    do {
        usleep(LOOK_MICROSECONDS);
        first = has_ended(&child[0], WNOHANG);
        second = has_ended(&child[1], WNOHANG);
    } while (!first && !second);
    end_child(&child[!first], found);
    if (!found->failed)
        wait_for_loser(&child[first], found->seconds);
    end_child(&child[first], other);
}

void diagrams_run_both(const struct diagram_task *tasks,
                       struct found *a, struct found *b)
{
    struct child first = start_child(&tasks[0]);
    struct child second = start_child(&tasks[1]);

    end_child(&first, a);
    end_child(&second, b);
}
