#include "tests/support/plain_faults.h"

#include "base/ensure.h"

void plain_faults(struct flat *flat, uint32_t n)
{
    static const uint32_t row[PLAIN_FAULTS_MOST] = {0, 1, 2};
    static const struct flat_cause causes[PLAIN_FAULTS_MOST] = {
        {0, 0, false}, {1, 1, false}, {2, 2, false}};
    static const struct flat_fault faults[PLAIN_FAULTS_MOST] = {
        {FLAT_NONE, FLAT_NONE, &row[0], 1, false, false},
        {FLAT_NONE, FLAT_NONE, &row[1], 1, false, false},
        {FLAT_NONE, FLAT_NONE, &row[2], 1, false, false}};

    ENSURE(n <= PLAIN_FAULTS_MOST);
    flat->causes = causes;
    flat->faults = faults;
    flat->n_causes = flat->n_faults = n;
}
