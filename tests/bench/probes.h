/* probes.h - what the machine gives: two-thread arithmetic, bare inserts. */
#ifndef KEEPCLEAR_BENCH_PROBES_H
#define KEEPCLEAR_BENCH_PROBES_H

#include <stdint.h>

/* How many times as much arithmetic two threads do as one, now. */
double probe_two_threads(void);

/* Processor seconds of n inserts of random keys of 48 bits, batches of 32
 * fetched ahead, into a table of 8-byte slots that ends at most three
 * quarters full. */
double probe_inserts(uint64_t n);

/* Key number i of the random keys. */
uint64_t probe_key(uint64_t i);

/* log2 of the number of sets of n among 2^bits, in bytes for each: no store
 * of unstructured situations can need less. */
double probe_bound(double n, double bits);

#endif
