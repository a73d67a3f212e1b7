#include "core/belief/kernels.h"

#include <cstring>

namespace crankwise::kernels {
namespace {

/// Eight lanes, what most machines have at once; one vector of sixteen would be kept in memory where that is too wide.
using Half = float __attribute__((vector_size(kBlock / 2 * sizeof(float))));

#define CRANKWISE_INLINE __attribute__((always_inline)) inline

/// Sixteen lanes.
struct Lanes {
  Half low, high;
  CRANKWISE_INLINE Lanes& operator+=(const Lanes& o) { return low += o.low, high += o.high, *this; }
  CRANKWISE_INLINE Lanes& operator*=(const Lanes& o) { return low *= o.low, high *= o.high, *this; }
};
CRANKWISE_INLINE Lanes operator+(Lanes a, const Lanes& b) { return a += b; }
CRANKWISE_INLINE Lanes operator*(Lanes a, const Lanes& b) { return a *= b; }
CRANKWISE_INLINE Lanes operator+(float a, const Lanes& b) { return {a + b.low, a + b.high}; }
CRANKWISE_INLINE Lanes operator*(float a, const Lanes& b) { return {a * b.low, a * b.high}; }
/// Not below zero.
CRANKWISE_INLINE Lanes positive(const Lanes& x) { return {x.low > 0 ? x.low : Half{}, x.high > 0 ? x.high : Half{}}; }

constexpr std::size_t kFlush = 16;  // rows after which the lanes are emptied, so that they keep their precision

// Half by half: a copy of the whole goes through memory.
#define CRANKWISE_LOAD(into, from)                \
  Lanes into;                                     \
  std::memcpy(&(into).low, (from), sizeof(Half)); \
  std::memcpy(&(into).high, (from) + kBlock / 2, sizeof(Half))
#define CRANKWISE_STORE(to, value)                               \
  do {                                                           \
    std::memcpy((to), &(value).low, sizeof(Half));               \
    std::memcpy((to) + kBlock / 2, &(value).high, sizeof(Half)); \
  } while (false)

// Pairwise, so that the order of summation is fixed.
#define CRANKWISE_TAKE(sum, lanes)                                      \
  do {                                                                  \
    float part[kBlock];                                                 \
    CRANKWISE_STORE(part, lanes);                                       \
    for (std::size_t half = kBlock / 2; half > 0; half /= 2) {          \
      for (std::size_t l = 0; l < half; ++l) part[l] += part[l + half]; \
    }                                                                   \
    (sum) = static_cast<double>(part[0]);                               \
    (lanes) = Lanes{};                                                  \
  } while (false)

}  // namespace

CRANKWISE_CLONES double fill_slab(float* __restrict w, const float* __restrict r, std::size_t n, std::size_t i,
                                  float scale) {
  Lanes lanes{};
  double sum = 0, some = 0;
  for (std::size_t j = i + 1; j < n; ++j) {
    const float* column = r + j + 1;
    const float s = scale * r[j];
    const std::size_t count = padded(n - 1 - j);
    for (std::size_t k = 0; k < count; k += kBlock) {
      CRANKWISE_LOAD(c, column + k);
      const Lanes x = s * c;
      CRANKWISE_STORE(w + k, x);
      lanes += x;
    }
    w += count;
    if (j % kFlush == 0) {
      CRANKWISE_TAKE(some, lanes);
      sum += some;
    }
  }
  CRANKWISE_TAKE(some, lanes);
  return sum + some;
}

CRANKWISE_CLONES double multiply_slab(float* __restrict w, const float* __restrict q, std::size_t n, std::size_t i,
                                      float constant, float scale) {
  Lanes lanes{};
  double sum = 0, some = 0;
  for (std::size_t j = i + 1; j < n; ++j) {
    const float* column = q + j + 1;
    const float s = scale * q[j];
    const std::size_t count = padded(n - 1 - j);
    for (std::size_t k = 0; k < count; k += kBlock) {
      CRANKWISE_LOAD(c, column + k);
      CRANKWISE_LOAD(x, w + k);
      x *= constant + s * c;
      CRANKWISE_STORE(w + k, x);
      lanes += x;
    }
    w += count;
    if (j % kFlush == 0) {
      CRANKWISE_TAKE(some, lanes);
      sum += some;
    }
  }
  CRANKWISE_TAKE(some, lanes);
  return sum + some;
}

CRANKWISE_CLONES double dot_slab(const float* __restrict w, const float* __restrict q, std::size_t n, std::size_t i) {
  Lanes lanes{};
  double sum = 0, some = 0;
  for (std::size_t j = i + 1; j < n; ++j) {
    const float* column = q + j + 1;
    const float s = q[j];
    const std::size_t count = padded(n - 1 - j);
    if (s != 0) {
      for (std::size_t k = 0; k < count; k += kBlock) {
        CRANKWISE_LOAD(c, column + k);
        CRANKWISE_LOAD(x, w + k);
        lanes += s * (x * c);
      }
    }
    w += count;
    if (j % kFlush == 0) {
      CRANKWISE_TAKE(some, lanes);
      sum += some;
    }
  }
  CRANKWISE_TAKE(some, lanes);
  return sum + some;
}

CRANKWISE_CLONES double marginal_slab(float* __restrict into, const float* __restrict w, std::size_t n, std::size_t i) {
  Lanes lanes{};
  double sum = 0, row = 0;
  for (std::size_t j = i + 1; j < n; ++j) {
    float* column = into + j + 1;
    const std::size_t count = padded(n - 1 - j);
    for (std::size_t k = 0; k < count; k += kBlock) {
      CRANKWISE_LOAD(c, column + k);
      CRANKWISE_LOAD(x, w + k);
      c += x;
      CRANKWISE_STORE(column + k, c);
      lanes += x;
    }
    w += count;
    CRANKWISE_TAKE(row, lanes);
    into[j] += static_cast<float>(row);
    sum += row;
  }
  return sum;
}

CRANKWISE_CLONES void pair_slab(float* pair, std::size_t stride, const float* w, const float* by, std::size_t n,
                                std::size_t i) {
  Lanes lanes{};
  double row = 0;
  float* first = pair + i * stride;
  const float by_i = by[i];
  for (std::size_t j = i + 1; j < n; ++j) {
    float* of_i = first + j + 1;
    float* of_j = pair + j * stride + j + 1;
    const float* third = by + j + 1;
    const float by_j = by[j];
    const std::size_t count = padded(n - 1 - j);
    for (std::size_t k = 0; k < count; k += kBlock) {
      CRANKWISE_LOAD(x, w + k);
      CRANKWISE_LOAD(a, of_i + k);
      CRANKWISE_LOAD(b, of_j + k);
      CRANKWISE_LOAD(c, third + k);
      a += by_j * x;
      b += by_i * x;
      CRANKWISE_STORE(of_i + k, a);
      CRANKWISE_STORE(of_j + k, b);
      lanes += c * x;
    }
    w += count;
    CRANKWISE_TAKE(row, lanes);
    first[j] += static_cast<float>(row);
  }
}

CRANKWISE_CLONES double raise_slab(float* __restrict w, const Raise& r, std::size_t n, std::size_t i) {
  Lanes lanes{};
  double sum = 0, some = 0;
  for (std::size_t j = i + 1; j < n; ++j) {
    const float *keep = r.keep + j + 1, *cured = r.c + j + 1, *single = r.single + j + 1;
    const float *of_i = r.pair + i * r.stride + j + 1, *of_j = r.pair + j * r.stride + j + 1;
    const float keep_both = r.keep[i] * r.keep[j], cure_i = r.c[i], cure_j = r.c[j], one = r.one[j];
    const float cure_both = cure_i * cure_j;
    const std::size_t count = padded(n - 1 - j);
    for (std::size_t k = 0; k < count; k += kBlock) {
      CRANKWISE_LOAD(x, w + k);
      CRANKWISE_LOAD(kept, keep + k);
      CRANKWISE_LOAD(c, cured + k);
      CRANKWISE_LOAD(s, single + k);
      CRANKWISE_LOAD(a, of_i + k);
      CRANKWISE_LOAD(b, of_j + k);
      x = keep_both * kept * x + cure_j * a + cure_i * b + one * c + cure_both * s;
      CRANKWISE_STORE(w + k, x);
      lanes += x;
    }
    w += count;
    if (j % kFlush == 0) {
      CRANKWISE_TAKE(some, lanes);
      sum += some;
    }
  }
  CRANKWISE_TAKE(some, lanes);
  return sum + some;
}

CRANKWISE_CLONES double times(float* __restrict w, const float* __restrict by, std::size_t count) {
  Lanes lanes{};
  double sum = 0, some = 0;
  for (std::size_t k = 0; k < count; k += kBlock) {
    CRANKWISE_LOAD(x, w + k);
    CRANKWISE_LOAD(b, by + k);
    x *= b;
    CRANKWISE_STORE(w + k, x);
    lanes += x;
    if (k % (64 * kBlock) == 0) {
      CRANKWISE_TAKE(some, lanes);
      sum += some;
    }
  }
  CRANKWISE_TAKE(some, lanes);
  return sum + some;
}

CRANKWISE_CLONES double blend(float* __restrict w, const float* __restrict before, std::size_t count, float offset,
                              float weight) {
  Lanes lanes{};
  double sum = 0, some = 0;
  for (std::size_t k = 0; k < count; k += kBlock) {
    CRANKWISE_LOAD(x, w + k);
    CRANKWISE_LOAD(b, before + k);
    x = offset * b + weight * x;
    x = positive(x);  // a negative weight can leave a rounding error below zero
    CRANKWISE_STORE(w + k, x);
    lanes += x;
    if (k % (64 * kBlock) == 0) {
      CRANKWISE_TAKE(some, lanes);
      sum += some;
    }
  }
  CRANKWISE_TAKE(some, lanes);
  return sum + some;
}

}  // namespace crankwise::kernels
