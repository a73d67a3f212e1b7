// The inner loops of SetTable. Blocks of 16 lanes and fixed order of summation, so that every instruction set gives the
// same bits (the build forbids fused multiply-add).
#pragma once

#include <cstddef>

// One copy of each loop per instruction set, chosen when the program starts. Off where a sanitizer or another compiler
// cannot do it.
#if defined(__x86_64__) && defined(__linux__) && defined(__GNUC__) && !defined(__clang__) && \
    !defined(CRANKWISE_SANITIZED)
#define CRANKWISE_CLONES __attribute__((target_clones("default", "avx2", "avx512f")))
#else
#define CRANKWISE_CLONES
#endif

namespace crankwise::kernels {

inline constexpr std::size_t kBlock = 16;
inline constexpr std::size_t padded(std::size_t count) { return (count + kBlock - 1) / kBlock * kBlock; }

// A slab is all rows of one first fault i: for j = i+1 .. n-1 the weights of {i,j,k}, k = j+1 .. n-1, each row padded
// to whole blocks with zeros. `q` is a column of n entries with kBlock more behind it.

/// w = scale * r_j * r_k for every row j and entry k of the slab; returns the sum.
double fill_slab(float* w, const float* r, std::size_t n, std::size_t i, float scale);
/// w *= constant + scale * q_j * q_k; returns the sum of the new w.
double multiply_slab(float* w, const float* q, std::size_t n, std::size_t i, float constant, float scale);
/// Sum of w * q_j * q_k.
double dot_slab(const float* w, const float* q, std::size_t n, std::size_t i);
/// into[j] and into[k] += w for every entry (into: n entries with kBlock more behind); returns the sum of w.
double marginal_slab(float* into, const float* w, std::size_t n, std::size_t i);
/// Pair sums: pair[a * stride + b] += w * by_c for each two of {i, j, k}, a < b, and the third of them c. `pair`: n
/// rows of `stride` >= n + kBlock entries; `by`: a column like `q`.
void pair_slab(float* pair, std::size_t stride, const float* w, const float* by, std::size_t n, std::size_t i);
/// w = keep_i keep_j keep_k w + c_j pair[i,k] + c_i pair[j,k] + c_k one[j] + c_i c_j single_k, for one slab; `one`:
/// what stands for the pairs of i, `single`, `c`, `keep`: columns like `q`. Returns the sum of the new w.
struct Raise {
  const float *keep, *c, *single, *pair, *one;
  std::size_t stride;
};
double raise_slab(float* w, const Raise&, std::size_t n, std::size_t i);
/// w[k] *= by[k]; returns the sum of the new w. count: whole blocks.
double times(float* w, const float* by, std::size_t count);
/// w[k] = offset * before[k] + weight * w[k], not below zero. Returns the sum of the new w. count: whole blocks.
double blend(float* w, const float* before, std::size_t count, float offset, float weight);

}  // namespace crankwise::kernels
