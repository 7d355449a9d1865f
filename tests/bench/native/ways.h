/* ways.h - one scan whose choices are decided where they are read: a step
 * that depends on an undecided one is run again with each of its values.
 *
 * A value from OPEN on is not known yet: OPEN and the number of the choice
 * that it depends on. */
struct known { uint64_t k[KEPT]; };

struct way {
    struct known known;    /* which of m are known */
    struct known tried;    /* which of m are known to be open */
    V m[64 * KEPT];        /* by number of what is kept */
    V v[NODES];            /* known before any choice is read */
    int16_t in[ROWS];      /* value index, or -1 */
};

static struct way the_way;

__attribute__((constructor)) static void forget(void)
{
    memset(the_way.in, -1, sizeof the_way.in);
}

#define INPUT(row, value)                                                  \
    ({                                                                     \
        int i_ = c->in[row];                                               \
        i_ < 0 ? OPEN + row : value(i_);                                   \
    })

#define NOT(a)                                                             \
    ({                                                                     \
        V x_ = (a);                                                        \
        x_ >= OPEN ? x_ : !x_;                                             \
    })

#define AND(a, b)                                                          \
    ({                                                                     \
        V x_ = (a);                                                        \
        if (x_) {                                                          \
            V y_ = (b);                                                    \
            x_ = x_ == 1 || y_ == 0 ? y_ : x_;                             \
        }                                                                  \
        x_;                                                                \
    })

#define OR(a, b)                                                           \
    ({                                                                     \
        V x_ = (a);                                                        \
        if (x_ != 1) {                                                     \
            V y_ = (b);                                                    \
            x_ = x_ == 0 || y_ == 1 ? y_ : x_;                             \
        }                                                                  \
        x_;                                                                \
    })

#define ITE(a, b, e)                                                       \
    ({                                                                     \
        V x_ = (a);                                                        \
        if (x_ >= OPEN) {                                                  \
            V y_ = (b);                                                    \
            if (y_ < OPEN && y_ == (e))                                    \
                x_ = y_;                                                   \
        } else {                                                           \
            x_ = x_ ? (b) : (e);                                           \
        }                                                                  \
        x_;                                                                \
    })

#define TWO(a, b, result)                                                  \
    ({                                                                     \
        V x_ = (a);                                                        \
        if (x_ < OPEN) {                                                   \
            V y_ = (b);                                                    \
            x_ = y_ >= OPEN ? y_ : result;                                 \
        }                                                                  \
        x_;                                                                \
    })

#define BOTH(a, b, op) TWO(a, b, x_ op y_)
#define DIV(a, b) TWO(a, b, quotient(x_, y_))
#define MOD(a, b) TWO(a, b, rest(x_, y_))

#define KEEP(number, word, bit)                                            \
    c->m[number] = v;                                                      \
    if (v < OPEN)                                                          \
        c->known.k[word] |= UINT64_C(1) << bit;                            \
    else                                                                   \
        c->tried.k[word] |= UINT64_C(1) << bit;                            \
    return v;

#define FORK(again)                                                        \
    if (v >= OPEN) {                                                       \
        const int row = v - OPEN;                                          \
        const struct known before = c->known;                              \
                                                                           \
        for (int i = 0; i < row_count[row]; i++) {                         \
            c->in[row] = (int16_t)i;                                       \
            c->known = before;                                             \
            c->tried = (struct known){{0}};                                \
            again(c, to);                                                  \
        }                                                                  \
        c->in[row] = -1;                                                   \
        c->known = before;                                                 \
        c->tried = (struct known){{0}};                                    \
        return;                                                            \
    }

static inline V plain(V v, V low, V high)
{
    return v;
}

static inline V clamp(V v, V low, V high)
{
    return v < low ? low : v > high ? high : v;
}

static inline V quotient(V a, V b)
{
    return b ? a / b : 0;
}

static inline V rest(V a, V b)
{
    return b ? a % b : 0;
}
