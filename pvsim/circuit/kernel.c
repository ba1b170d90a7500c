/* The innermost work of the solver: junction laws, their inverse, Newton's steps of a whole circuit.

   The same arithmetic as in junctions.py, forward.py, chains.py and tree.py, number by number instead of array
   by array, so that what lies between two steps never leaves the nearest cache. What is rare is left to those: a
   point at which a step must be bent, or that does not settle, comes back as not done.

   Plain C99 without headers of Python and without a library, so that any compiler makes it; kernel.py loads it.
   Loops are written so that a compiler can take several numbers at once: hence exponential and logarithm of
   our own, which have no branches. */

#include <math.h>
#include <stdint.h>
#include <string.h>

#if defined(_WIN32)
#define SHOWN __declspec(dllexport)
#elif defined(__GNUC__)
#define SHOWN __attribute__((visibility("default")))
#else
#define SHOWN
#endif

/* One function for each generation of processor; the library chooses when it is loaded. */
#if defined(__x86_64__) && defined(__linux__) && defined(__GNUC__) && !defined(__clang__) && !defined(ONE_PROCESSOR)
#define WIDE __attribute__((target_clones("default", "arch=x86-64-v3", "arch=x86-64-v4")))
#else
#define WIDE
#endif

#if defined(__GNUC__)
#define INLINE static inline __attribute__((always_inline))
#else
#define INLINE static inline
#endif

/* A sum or a largest of a loop, in whatever order. */
#define PRAGMA(text) _Pragma(#text)
#define SUMS(...) PRAGMA(omp simd reduction(__VA_ARGS__))

typedef int64_t whole;

SHOWN const char *kernel_made_of(void) { return MADE_OF; }

/* ---- exponential and logarithm ---- */

INLINE double from_bits(uint64_t bits) {
    double x;
    memcpy(&x, &bits, sizeof x);
    return x;
}

INLINE uint64_t to_bits(double x) {
    uint64_t bits;
    memcpy(&bits, &x, sizeof bits);
    return bits;
}

INLINE double least(double x, double y) { return x < y ? x : y; }
INLINE double most(double x, double y) { return x > y ? x : y; }
INLINE double size(double x) { return from_bits(to_bits(x) & 0x7fffffffffffffffu); }

#define ROUNDER 0x1.8p52 /* added and taken off again it leaves the nearest whole number */
#define LOG2E 1.44269504088896338700
#define LN2_HIGH 6.93147180369123816490e-01 /* few enough digits that a multiple is exact */
#define LN2_LOW 1.90821492927058770002e-10

/* e^x for -708 < x < 709, beyond which it stays as it is there: to 1 in the last place. */
INLINE double exponential(double x) {
    x = least(most(x, -708.0), 709.0);
    double shifted = x * LOG2E + ROUNDER;
    double n = shifted - ROUNDER;
    double r = (x - n * LN2_HIGH) - n * LN2_LOW;
    /* Taylor's series; |r| <= ln 2 / 2, where its next term is 3e-18 of it. */
    double r2 = r * r, r4 = r2 * r2, r8 = r4 * r4;
    double p = (0.5 + r * (1.0 / 6.0)) + r2 * (1.0 / 24.0 + r * (1.0 / 120.0));
    p += r4 * ((1.0 / 720.0 + r * (1.0 / 5040.0)) + r2 * (1.0 / 40320.0 + r * (1.0 / 362880.0)));
    p += r8 * ((1.0 / 3628800.0 + r * (1.0 / 39916800.0)) + r2 * (1.0 / 479001600.0 + r * (1.0 / 6227020800.0)));
    p = p * r2 + r;
    /* n stands in the lowest bits of what was shifted. */
    return from_bits(to_bits(1.0 + p) + (to_bits(shifted) << 52));
}

/* ln x for a positive, normal x: to 2 in the last place. */
INLINE double logarithm(double x) {
    uint64_t bits = to_bits(x);
    /* x = 2^k y with y between sqrt(1/2) and sqrt(2) */
    uint64_t moved = bits - 0x3fe6a09e667f3bcdu;
    uint64_t k = (moved >> 52 ^ 0x800) - 0x800; /* its sign carried on */
    double y = from_bits(bits - (moved & 0xfff0000000000000u));
    double exponent = from_bits(to_bits(ROUNDER) + k) - ROUNDER;
    /* 2 artanh(s), s = (y - 1) / (y + 1), |s| < 0.172 */
    double s = (y - 1.0) / (y + 1.0), z = s * s;
    double z2 = z * z, z4 = z2 * z2;
    double p = (1.0 / 3.0 + z * (1.0 / 5.0)) + z2 * (1.0 / 7.0 + z * (1.0 / 9.0));
    p += z4 * ((1.0 / 11.0 + z * (1.0 / 13.0)) + z2 * (1.0 / 15.0 + z * (1.0 / 17.0)));
    p += z4 * z4 * (1.0 / 19.0 + z * (1.0 / 21.0));
    p = 2.0 * s + 2.0 * s * z * p;
    return exponent * LN2_HIGH + (p + exponent * LN2_LOW);
}

/* The same in single precision, to 1e-7 of itself, for what is only a start. */
INLINE float float_from(int32_t bits) {
    float x;
    memcpy(&x, &bits, sizeof x);
    return x;
}

INLINE int32_t bits_of(float x) {
    int32_t bits;
    memcpy(&bits, &x, sizeof bits);
    return bits;
}

INLINE float short_exponential(float x) {
    x = x > -87.0f ? x : -87.0f;
    x = x < 88.0f ? x : 88.0f;
    float shifted = x * 1.44269504f + 0x1.8p23f, n = shifted - 0x1.8p23f;
    float r = (x - n * 0.693359375f) + n * 2.12194440e-4f, p = 1.0f / 720.0f;
    p = p * r + 1.0f / 120.0f;
    p = p * r + 1.0f / 24.0f;
    p = p * r + 1.0f / 6.0f;
    p = p * r + 0.5f;
    p = (p * r) * r + r;
    return float_from((int32_t)((uint32_t)bits_of(1.0f + p) + ((uint32_t)bits_of(shifted) << 23)));
}

INLINE float short_logarithm(float x) {
    int32_t bits = bits_of(x), moved = bits - 0x3f3504f3;
    float y = float_from(bits - (moved & (int32_t)0xff800000)), k = (float)(moved >> 23);
    float s = (y - 1.0f) / (y + 1.0f), z = s * s;
    float p = 2.0f / 9.0f;
    p = p * z + 2.0f / 7.0f;
    p = p * z + 2.0f / 5.0f;
    p = p * z + 2.0f / 3.0f;
    return k * 0.693359375f + (2.0f * s + s * z * p - k * 2.12194440e-4f);
}

/* ---- laws of junctions, see leaf.py ---- */

/* A number of each law stands in a row of its own; kernel.py has the same order. */
enum {
    I01, INV_A1, I02, INV_A2, G, H, BREAK, M, VBR, HEADROOM, LEAST_V, MOST_V, /* the law */
    SCALE, STEPS, FIRST, BACK_A, BACK_V, AKIN,                                /* its table */
    FORWARD_A, KNEE_V, LEVEL, PER_A, AT_NONE, BEND, CURVE                     /* its forward branch */
};

typedef struct {
    whole rows, apart;   /* laws; from a number of a law to its next */
    const double *number;
    const double *value, *slope; /* tables of the inverse, one behind the other */
    whole two, breaks, akin, forward; /* whether any law has this */
} laws_t;

#define OF(name) (laws->number[(name) * laws->apart + k])
#define TABLE_SIZE 1024 /* and its reach, as in inverse.py */
#define REACH_A 1e8

/* Whether law k shares the table of another, see kindred.py. */
INLINE int akin(const laws_t *laws, whole k) { return OF(AKIN) > 0.0; }

/* f(v) and f'(v) of law k. */
INLINE void law(const laws_t *laws, whole k, int two, int breaks, double v, double *rise, double *slope) {
    double f = exponential(v * OF(INV_A1)) * OF(I01);
    double df = f * OF(INV_A1);
    f -= OF(I01);
    if (two) {
        double second = exponential(v * OF(INV_A2)) * OF(I02);
        df += second * OF(INV_A2);
        f += second - OF(I02);
    }
    double ohmic = OF(G);
    if (breaks) {
        double q = v * OF(BREAK) + 1.0, floor = OF(HEADROOM);
        double beyond = least(q - floor, 0.0) * -OF(VBR);
        q = most(q, floor);
        double lift = OF(H) * exponential(-OF(M) * logarithm(q));
        double bent = (1.0 / q - 1.0) * OF(M) * lift;
        df += bent;
        /* Beyond its steepest a law goes straight; without breakdown nothing is beyond. */
        f += OF(H) > 0.0 ? beyond * bent : 0.0;
        ohmic += lift;
    }
    *slope = df + ohmic;
    *rise = f + ohmic * v;
}

/* g(x) of law k from its table, and g'(x). */
INLINE double inverse(const laws_t *laws, whole k, double x, double *slope) {
    int back = laws->akin && x < 0.0;
    double z = x * OF(SCALE) * (back ? OF(BACK_A) : 1.0);
    double root = sqrt(z * z + 1.0), t = logarithm(size(z) + root);
    t = (z < 0.0 ? -t : t) * OF(STEPS) + TABLE_SIZE / 2;
    t = least(most(t, 0.0), TABLE_SIZE - 1.000001);
    whole at = (whole)t;
    t -= (double)at;
    at += (whole)OF(FIRST);
    double y0 = laws->value[at], d0 = laws->slope[at], d1 = laws->slope[at + 1];
    double rise = laws->value[at + 1] - y0;
    double c3 = d0 + d1 - 2.0 * rise, c2 = 3.0 * rise - 2.0 * d0 - d1;
    double wide = back ? OF(BACK_V) : 1.0;
    if (slope) *slope = (d0 + t * (2.0 * c2 + 3.0 * t * c3)) * OF(SCALE) * OF(STEPS) / root;
    return (y0 + t * (d0 + t * (c2 + t * c3))) * wide;
}

/* g(x) of law k for x >= 0 in closed form, see forward.py; in single precision as there. */
INLINE double ahead(const laws_t *laws, whole k, double x) {
    float L = (float)least(x, REACH_A) * (float)OF(PER_A) + (float)OF(AT_NONE), rise = 0.0f;
    float p = L > 1.0f ? L : 1.0f;
    p = short_logarithm(p - short_logarithm(p));
    p = p < L ? p : L;
    for (int step = 0; step < 2; step++) {
        rise = short_exponential(p);
        p -= (p + rise - L) / (rise + 1.0f);
    }
    float v = (p + (float)OF(LEVEL)) * (float)OF(FORWARD_A), off = v - (float)OF(KNEE_V);
    return v - (off * (float)OF(CURVE) + (float)OF(BEND)) * off * v / (rise + 1.0f);
}

INLINE double stepped(const laws_t *laws, whole k, int two, double v, double x, double *slope) {
    double f, df;
    v = most(v, OF(LEAST_V));
    law(laws, k, two, 1, v, &f, &df);
    *slope = 1.0 / df;
    return least(most(v - (f - x) * *slope, OF(LEAST_V)), OF(MOST_V));
}

INLINE double nearer(const laws_t *laws, whole k, double v, double x, int steps, double *slope) {
    /* Forward no more than exponential or shunt alone would take: from below the root a step leads far beyond. */
    double forth = most(x, 0.0), f, df;
    double end = least(logarithm(1.0 + forth / OF(I01)) / OF(INV_A1), forth / OF(G));
    end = least(end, OF(MOST_V));
    v = x > 0.0 ? least(v, end) : v;
    for (int step = 0; step < steps; step++) {
        law(laws, k, 1, 1, v, &f, &df);
        *slope = 1.0 / df;
        v = least(most(v - (f - x) * *slope, OF(LEAST_V)), end);
    }
    return v;
}

/* ---- many at once ---- */

/* Each of n numbers that lie together by law k, or by law k and those after it. */
#define EACH(n, body)                                                                                                  \
    if (moves)                                                                                                         \
        for (whole i = 0; i < (n); i++) { whole at = k + i; body; }                                                    \
    else                                                                                                               \
        for (whole i = 0; i < (n); i++) { whole at = k; body; }

INLINE void evaluate(const laws_t *laws, whole k, int moves, whole n, const double *restrict v, double *restrict f,
                     double *restrict df) {
    if (laws->two && laws->breaks) { EACH(n, law(laws, at, 1, 1, v[i], f + i, df + i)) }
    else if (laws->two) { EACH(n, law(laws, at, 1, 0, v[i], f + i, df + i)) }
    else if (laws->breaks) { EACH(n, law(laws, at, 0, 1, v[i], f + i, df + i)) }
    else { EACH(n, law(laws, at, 0, 0, v[i], f + i, df + i)) }
}

/* g(x): a start, not the answer, as `Laws.invert`. */
INLINE void invert(const laws_t *laws, whole k, int moves, whole n, const double *restrict x, double *restrict v) {
    if (laws->forward) {
        EACH(n, v[i] = ahead(laws, at, most(x[i], 0.0)))
        /* One by one: they are few. */
        EACH(n, if (!(x[i] >= 0.0 && akin(laws, at))) v[i] = inverse(laws, at, x[i], 0))
        return;
    }
    EACH(n, v[i] = inverse(laws, at, x[i], 0))
    if (laws->akin) {
        double slope;
        EACH(n, if (akin(laws, at)) v[i] = nearer(laws, at, v[i], x[i], 1, &slope))
    }
}

/* g(x) and g'(x) of one law, as `Laws.invert_with_slope`. */
INLINE void invert_with_slope(const laws_t *laws, whole k, whole n, const double *restrict x, double *restrict v,
                              double *restrict slope) {
    const int moves = 0;
    if (!laws->akin || !akin(laws, k)) {
        EACH(n, v[i] = inverse(laws, at, x[i], slope + i))
        return;
    }
    invert(laws, k, 0, n, x, v);
    if (!laws->forward) { EACH(n, v[i] = nearer(laws, at, v[i], x[i], 1, slope + i)) }
    else if (laws->two) { EACH(n, v[i] = stepped(laws, at, 1, v[i], x[i], slope + i)) }
    else { EACH(n, v[i] = stepped(laws, at, 0, v[i], x[i], slope + i)) }
}

/* Numbers of a row lie `row` apart and its points `point`, one of them 1. */
SHOWN WIDE void kernel_evaluate(const laws_t *laws, whole rows, whole points, whole row, whole point, const double *v,
                                double *f, double *df) {
    if (row == 1 && rows > 1)
        for (whole j = 0; j < points; j++) evaluate(laws, 0, 1, rows, v + j * point, f + j * point, df + j * point);
    else
        for (whole k = 0; k < rows; k++) evaluate(laws, k, 0, points, v + k * row, f + k * row, df + k * row);
}

SHOWN WIDE void kernel_invert(const laws_t *laws, whole rows, whole points, whole row, whole point, const double *x,
                              double *v) {
    if (row == 1 && rows > 1)
        for (whole j = 0; j < points; j++) invert(laws, 0, 1, rows, x + j * point, v + j * point);
    else
        for (whole k = 0; k < rows; k++) invert(laws, k, 0, points, x + k * row, v + k * row);
}

/* V and dV/dI of chains, each row of laws a leaf: chain c has those from first[c] to before first[c + 1].

   I, V and slope: (chains, knots); scratch: 3 knots. A single law is that of all leaves. */
SHOWN WIDE void kernel_chains(const laws_t *laws, whole chains, const whole *first, const double *source,
                              const double *sign, const double *times, const double *ohms,
                              whole knots, const double *restrict I, double *restrict V, double *restrict slope,
                              double *restrict scratch) {
    double *x = scratch, *v = x + knots, *per_A = v + knots;
    for (whole c = 0; c < chains; c++, I += knots, V += knots, slope += knots) {
        for (whole j = 0; j < knots; j++) {
            V[j] = -ohms[c] * I[j];
            slope[j] = -ohms[c];
        }
        for (whole leaf = first[c]; leaf < first[c + 1]; leaf++) {
            for (whole j = 0; j < knots; j++) x[j] = sign[leaf] * (source[leaf] - I[j]);
            invert_with_slope(laws, laws->rows > 1 ? leaf : 0, knots, x, v, per_A);
            double toward = times[leaf] * sign[leaf], many = times[leaf];
            for (whole j = 0; j < knots; j++) {
                V[j] += toward * v[j];
                slope[j] -= many * per_A[j];
            }
        }
    }
}

/* ---- tables, see table.py ---- */

/* Monotone cubics as `cubics_of` has them, (5, many): x0, y0, c1, c2, c3 of each. */
typedef struct {
    whole many;
    const double *number;
} cubics_t;

/* Which of them holds x, looked for from `near` on. */
INLINE whole holding(const cubics_t *cubics, whole near, double x) {
    /* Each begins at its own x0, but for the first, which goes on from the second's to the left. */
    const double *x0 = cubics->number;
    whole low = near, high = near + 1, step = 1; /* to be: x0[low] < x <= x0[high] */
    while (low > 0 && !(x0[low] < x)) {
        high = low;
        low = low > step ? low - step : 0;
        step *= 2;
    }
    while (high < cubics->many && x0[high] < x) {
        low = high;
        high = high + step < cubics->many ? high + step : cubics->many;
        step *= 2;
    }
    while (high - low > 1) {
        whole middle = low + (high - low) / 2;
        if (x0[middle] < x) low = middle;
        else high = middle;
    }
    return low;
}

INLINE double cubic(const cubics_t *cubics, whole k, double x, double *slope) {
    const double *at = cubics->number + k;
    whole many = cubics->many;
    double u = x - at[0], c3 = at[4 * many], c2 = at[3 * many], c1 = at[2 * many];
    *slope = c1 + u * (2.0 * c2 + 3.0 * u * c3);
    return at[many] + u * (c1 + u * (c2 + u * c3));
}

/* The cubics, (5, n + 1), through n knots of a falling function with slopes d; backwards: of its inverse. */
SHOWN void kernel_cubics(whole n, whole backwards, const double *x, const double *y, const double *d, double *number) {
    whole many = n + 1, from = backwards ? n - 1 : 0, step = backwards ? -1 : 1;
    double *x0 = number, *y0 = x0 + many, *c1 = y0 + many, *c2 = c1 + many, *c3 = c2 + many;
    for (whole k = 0; k < n; k++) {
        whole at = from + step * k;
        x0[k + 1] = x[at];
        y0[k + 1] = y[at];
        c1[k + 1] = backwards ? 1.0 / d[at] : d[at];
    }
    x0[0] = x0[1];
    y0[0] = y0[1];
    for (whole k = 1; k < n; k++) { /* at most three times the flatter neighbour keeps them monotone */
        double limit = 3.0 * ((y0[k + 1] - y0[k]) / (x0[k + 1] - x0[k]));
        c1[k] = most(c1[k], limit);
        c1[k + 1] = most(c1[k + 1], limit);
    }
    for (whole k = 1; k < n; k++) {
        double h = x0[k + 1] - x0[k], secant = (y0[k + 1] - y0[k]) / h;
        double bend = secant - c1[k], twist = (c1[k + 1] - secant - bend) / h;
        c2[k] = bend / h - twist;
        c3[k] = twist / h;
    }
    c1[0] = c1[1];
    c2[0] = c3[0] = c2[n] = c3[n] = 0.0;
}

/* y at n of x of one table. */
SHOWN void kernel_read(whole many, const double *number, whole n, const double *x, double *y) {
    cubics_t cubics = {many, number};
    double slope;
    for (whole i = 0, k = 0; i < n; i++) {
        k = holding(&cubics, k, x[i]);
        y[i] = cubic(&cubics, k, x[i], &slope);
    }
}

/* Adds to y and slope what the tables of some parts have at x, each so many times; a slope is at most `level`.

   begin: (parts + 1,), which of x belong to each part. */
SHOWN void kernel_add(whole parts, const whole *many, const double *const *number, const whole *begin,
                      const double *times, const double *restrict x, double *restrict y, double *restrict slope,
                      double level) {
    for (whole part = 0; part < parts; part++) {
        cubics_t cubics = {many[part], number[part]};
        double rise;
        for (whole i = begin[part], k = 0; i < begin[part + 1]; i++) {
            k = holding(&cubics, k, x[i]);
            y[i] += times[part] * cubic(&cubics, k, x[i], &rise);
            slope[i] += times[part] * least(rise, level);
        }
    }
}

/* ---- Newton's steps of a whole circuit, see tree.py ---- */

enum { LEAF, SERIES, PARALLEL, TURNED }; /* kinds of nodes */

typedef struct {
    whole leaves, nodes;     /* nodes depth by depth from the root, children of one beside each other */
    const whole *kind;       /* of each node */
    const whole *child, *end; /* its children: from which to before which */
    whole parents, runs;
    const whole *parent;      /* the nodes that have children, from the root on */
    const whole *node, *leaf, *many; /* runs of neighbours that are leaves: first node, which leaf, how many */
    const double *times;     /* how often it stands in its parent */
    const double *source, *sign, *ohms;   /* of each leaf */
    const double *far, *bend, *deep;      /* of each leaf: longest step; as `bend_per_V`; below it there is no bound */
} tree_t;

typedef struct {
    double tolerance, accepted;
    whole patience, steps, bounded, slopes;
} rules_t;

/* Of every node e and r of its tangent V = e - r I, r alone where `alone`. */
INLINE void up(const tree_t *tree, int alone, const double *restrict leaf_e, const double *restrict leaf_r,
               double *restrict E, double *restrict R) {
    for (whole run = 0; run < tree->runs; run++) {
        whole node = tree->node[run], leaf = tree->leaf[run];
        for (whole k = 0; k < tree->many[run]; k++) R[node + k] = leaf_r[leaf + k];
        for (whole k = 0; k < tree->many[run] && !alone; k++) E[node + k] = leaf_e[leaf + k];
    }
    for (whole p = tree->parents - 1; p >= 0; p--) {
        whole n = tree->parent[p], first = tree->child[n], end = tree->end[n];
        const double *restrict times = tree->times;
        double e = 0.0, r = 0.0;
        if (tree->kind[n] == SERIES) {
            SUMS(+ : e, r)
            for (whole k = first; k < end; k++) {
                if (!alone) e += times[k] * E[k];
                r += times[k] * R[k];
            }
        } else if (tree->kind[n] == PARALLEL) {
            for (whole k = first; k < end; k++) {
                double g = times[k] / R[k];
                if (!alone) e += g * E[k];
                r += g;
            }
            r = 1.0 / r;
            e *= r;
        } else {
            if (!alone) e = -E[first];
            r = R[first];
        }
        if (!alone) E[n] = e;
        R[n] = r;
    }
}

/* V and I of every node, the root's being known, and the current of every leaf. */
INLINE void down(const tree_t *tree, const double *restrict E, const double *restrict R, double *restrict V,
                 double *restrict I, double *restrict leaf_A) {
    for (whole p = 0; p < tree->parents; p++) {
        whole n = tree->parent[p], first = tree->child[n], end = tree->end[n];
        double at_V = V[n], at_A = I[n];
        if (tree->kind[n] == SERIES)
            for (whole k = first; k < end; k++) {
                I[k] = at_A;
                V[k] = E[k] - R[k] * at_A;
            }
        else if (tree->kind[n] == PARALLEL)
            for (whole k = first; k < end; k++) {
                V[k] = at_V;
                I[k] = (E[k] - at_V) / R[k];
            }
        else {
            V[first] = -at_V;
            I[first] = -at_A;
        }
    }
    for (whole run = 0; run < tree->runs; run++)
        for (whole k = 0; k < tree->many[run]; k++) leaf_A[tree->leaf[run] + k] = I[tree->node[run] + k];
}

/* Where Newton's steps of each point begin, see first_guess.py. */
typedef struct {
    whole pieces, apart;                 /* apart: from a piece's point to the same of the next piece */
    const whole *first;                  /* leaf of each piece, and one after the last of all */
    const double *shared;                /* what the leaves of a piece share at each point: a current or a voltage */
    whole runs;                          /* of leaves whose currents are known */
    const whole *from, *to;
} start_t;

INLINE void begin(const laws_t *laws, const tree_t *tree, const start_t *start, whole point, double *restrict x,
                  double *restrict v) {
    const double *shared = start->shared + point;
    for (whole piece = 0; piece < start->pieces; piece++, shared += start->apart)
        for (whole k = start->first[piece]; k < start->first[piece + 1]; k++) v[k] = *shared;
    for (whole run = 0; run < start->runs; run++) {
        whole from = start->from[run], many = start->to[run] - from;
        for (whole k = from; k < from + many; k++) x[k] = tree->sign[k] * (tree->source[k] - v[k]);
        invert(laws, from, 1, many, x + from, v + from);
    }
    for (whole k = 0; k < tree->leaves; k++) v[k] = least(most(v[k], OF(LEAST_V)), OF(MOST_V));
}

/* Points with a V + b I = c at the terminals.

   Each begins where `start` says, or without one in its column of v, and leaves its answer there.
   v and leaf_A: the leaves of a point beside each other, point after point; leaf_A may be absent.
   V, I, r, missed: (points,). settled: the steps of each point, 0 for one that is not done, whose column is spoilt.
   scratch: 5 leaves and 4 nodes. */
SHOWN WIDE void kernel_newton(const laws_t *laws, const tree_t *tree, const rules_t *rules, const start_t *start,
                              whole points, const double *a, const double *b, const double *c, double *v,
                              double *leaf_A, double *V, double *I, double *r, double *missed, whole *settled,
                              double *restrict scratch) {
    whole leaves = tree->leaves, nodes = tree->nodes;
    double *restrict f = scratch, *restrict df = f + leaves, *restrict e = df + leaves;
    double *restrict x = e + leaves, *restrict own_A = x + leaves;
    double *restrict E = own_A + leaves, *restrict R = E + nodes, *restrict at_V = R + nodes, *restrict at_A = at_V + nodes;
    const double *source = tree->source, *sign = tree->sign, *ohms = tree->ohms;
    for (whole p = 0; p < points; p++, v += leaves) {
        double *restrict here = v, *restrict leaf = leaf_A ? leaf_A + p * leaves : own_A;
        double scale = 1.0;
        settled[p] = 0;
        if (start) begin(laws, tree, start, p, x, here);
        for (whole step = 1; step <= rules->steps; step++) {
            evaluate(laws, 0, 1, leaves, here, f, df);
            if (step > 1) {
                double worst = 0.0;
                SUMS(max : worst)
                for (whole k = 0; k < leaves; k++) worst = most(worst, size(f[k] - x[k]));
                worst /= scale;
                if (worst <= (step > rules->patience ? rules->accepted : rules->tolerance)) {
                    if (rules->slopes) {
                        for (whole k = 0; k < leaves; k++) e[k] = 1.0 / df[k] + ohms[k];
                        up(tree, 1, e, e, E, R);
                        r[p] = R[0];
                    }
                    missed[p] = worst;
                    settled[p] = step - 1;
                    break;
                }
            }
            /* Tangents up, the line at the terminals, currents down. */
            for (whole k = 0; k < leaves; k++) {
                df[k] = 1.0 / df[k];
                e[k] = (source[k] - sign[k] * f[k]) * df[k] + sign[k] * here[k];
                x[k] = df[k] + ohms[k];
            }
            up(tree, 0, e, x, E, R);
            at_A[0] = (c[p] - a[p] * E[0]) / (b[p] - a[p] * R[0]);
            at_V[0] = b[p] == 0.0 ? c[p] / a[p] : E[0] - R[0] * at_A[0];
            V[p] = at_V[0];
            I[p] = at_A[0];
            r[p] = R[0];
            down(tree, E, R, at_V, at_A, leaf);
            double bound = 0.0;
            double outside = 0.0, deep = 0.0; /* 1 if any leaf is */
            scale = 1.0;
            SUMS(max : scale, bound, outside, deep)
            for (whole k = 0; k < leaves; k++) {
                x[k] = sign[k] * (source[k] - leaf[k]);
                double change = (x[k] - f[k]) * df[k], next = here[k] + change;
                scale = most(scale, size(x[k]));
                bound = most(bound, change * change / df[k] * tree->bend[k]);
                double within = least(tree->far[k] - size(change), next - OF(LEAST_V));
                outside = most(outside, within >= 0.0 ? 0.0 : 1.0);
                deep = most(deep, next < tree->deep[k] ? 1.0 : 0.0);
                here[k] = next;
            }
            if (outside > 0.0) break; /* a tangent misleads: for tree.py */
            if (rules->bounded && deep == 0.0 && bound / scale <= rules->tolerance) {
                missed[p] = bound / scale;
                settled[p] = step;
                break;
            }
        }
    }
}
