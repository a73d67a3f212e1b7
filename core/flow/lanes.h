// Numbers side by side: each lane is one member of an ensemble, and all arithmetic acts on every lane.
//
//   using Real = Lanes<float, 16, Isa::avx512>;
//   Real p = 101325, rho = 1.2F;
//   Real a = sqrt(1.4F * p / rho);
//   a = select(a > 340, Real(340), a);        // no branches: lanes may disagree
//
// The code of the flow is written once for any Real: double for one member, Lanes for many. The third parameter only
// keeps apart what is compiled for different machines; the arithmetic is the same, so a lane gives what a float alone
// gives. double and float have the same functions here.
#pragma once

#include <cmath>
#include <concepts>
#include <cstdint>
#include <limits>
#include <type_traits>

namespace crankwise::flow {

enum class Isa { any, avx2, avx512 };

template <typename T, int N, Isa isa>
struct Lanes {
  using Scalar = T;
  using Vector [[gnu::vector_size(N * sizeof(T))]] = T;
  using Bits = std::conditional_t<sizeof(T) == 4, std::int32_t, std::int64_t>;
  using Mask [[gnu::vector_size(N * sizeof(T))]] = Bits;
  static constexpr int kCount = N;
  static constexpr Bits kSize = std::numeric_limits<Bits>::max();  // all but the sign

  Vector v;

  Lanes() = default;
  Lanes(T all) : v(all - Vector{}) {}  // NOLINT(google-explicit-constructor): a number is the same in all lanes
  Lanes(double all) requires(!std::same_as<T, double>)
      : Lanes(static_cast<T>(all)) {}             // NOLINT(google-explicit-constructor)
  Lanes(int all) : Lanes(static_cast<T>(all)) {}  // NOLINT(google-explicit-constructor)
  static Lanes of(Vector vector) {
    Lanes x;
    x.v = vector;
    return x;
  }

  T operator[](int lane) const { return v[lane]; }
  void set(int lane, double value) { v[lane] = static_cast<T>(value); }

  friend Lanes operator+(Lanes a, Lanes b) { return of(a.v + b.v); }
  friend Lanes operator-(Lanes a, Lanes b) { return of(a.v - b.v); }
  friend Lanes operator*(Lanes a, Lanes b) { return of(a.v * b.v); }
  friend Lanes operator/(Lanes a, Lanes b) { return of(a.v / b.v); }
  friend Lanes operator-(Lanes a) { return of(-a.v); }
  Lanes& operator+=(Lanes b) { return *this = *this + b; }
  Lanes& operator-=(Lanes b) { return *this = *this - b; }
  Lanes& operator*=(Lanes b) { return *this = *this * b; }

  friend Mask operator<(Lanes a, Lanes b) { return a.v < b.v; }
  friend Mask operator>(Lanes a, Lanes b) { return a.v > b.v; }
  friend Mask operator<=(Lanes a, Lanes b) { return a.v <= b.v; }
  friend Mask operator>=(Lanes a, Lanes b) { return a.v >= b.v; }

  friend Lanes select(Mask which, Lanes a, Lanes b) { return of(which ? a.v : b.v); }
  friend Lanes max(Lanes a, Lanes b) { return of(a.v > b.v ? a.v : b.v); }
  friend Lanes min(Lanes a, Lanes b) { return of(a.v < b.v ? a.v : b.v); }
  friend Lanes abs(Lanes a) { return of((Vector)((Mask)a.v & kSize)); }
  /// `size`, not below 0, with the sign of `a`.
  friend Lanes with_sign(Lanes size, Lanes a) { return of((Vector)((Mask)size.v | ((Mask)a.v & ~kSize))); }
  // One instruction for all lanes where the compiler may take it so (-O3 -fno-math-errno).
  friend Lanes sqrt(Lanes a) {
    Lanes r;
    for (int i = 0; i < N; ++i) r.v[i] = std::sqrt(a.v[i]);
    return r;
  }
};

// The same of single numbers.
template <std::floating_point T>
T select(bool which, T a, T b) {
  return which ? a : b;
}
template <std::floating_point T>
T max(T a, T b) {
  return a > b ? a : b;
}
template <std::floating_point T>
T min(T a, T b) {
  return a < b ? a : b;
}
template <std::floating_point T>
T abs(T a) {
  return std::abs(a);
}
template <std::floating_point T>
T with_sign(T size, T a) {
  return std::copysign(size, a);
}
template <std::floating_point T>
T sqrt(T a) {
  return std::sqrt(a);
}
template <std::floating_point T>
T exp(T a) {
  return std::exp(a);
}
template <std::floating_point T>
T log(T a) {
  return std::log(a);
}
template <std::floating_point T>
T pow(T x, T exponent) {
  return std::pow(x, exponent);
}

/// The functions that every cell goes through must not be calls.
#define CRANKWISE_INLINE [[gnu::always_inline]] inline

template <typename Real>
constexpr int lanes_of() {
  if constexpr (std::floating_point<Real>)
    return 1;
  else
    return Real::kCount;
}
template <typename Real>
double lane(const Real& x, int i) {
  if constexpr (std::floating_point<Real>)
    return static_cast<double>(x);
  else
    return static_cast<double>(x[i]);
}
template <typename Real>
void set_lane(Real& x, int i, double value) {
  if constexpr (std::floating_point<Real>)
    x = static_cast<Real>(value);
  else
    x.set(i, value);
}
inline bool any(bool mask) { return mask; }
template <typename Mask>
bool any(Mask mask) {
  auto all = mask[0];
  for (unsigned i = 1; i < sizeof(Mask) / sizeof(mask[0]); ++i) all |= mask[i];
  return all != 0;
}

// Natural logarithm and exponential of float lanes: argument reduction by the bits of the number, then a polynomial
// (Cephes, Moshier, logf and expf; from memory). Relative error below 2e-7 for normal numbers; exp is held to the range
// -87 to 88.
template <int N, Isa isa>
Lanes<float, N, isa> log(Lanes<float, N, isa> x) {
  using L = Lanes<float, N, isa>;
  using Mask = typename L::Mask;
  const auto bits = (Mask)x.v;
  Mask exponent = ((bits >> 23) & 0xff) - 126;
  L m = L::of((typename L::Vector)((bits & 0x007fffff) | 0x3f000000));  // 0.5 to 1
  const Mask small = m < L(0.707106781186547524F);
  exponent = exponent + small;  // a mask's true is -1
  m = select(small, m + m, m) - L(1.0F);
  const L z = m * m;
  L y = L(7.0376836292e-2F);
  y = y * m + L(-1.1514610310e-1F);
  y = y * m + L(1.1676998740e-1F);
  y = y * m + L(-1.2420140846e-1F);
  y = y * m + L(1.4249322787e-1F);
  y = y * m + L(-1.6668057665e-1F);
  y = y * m + L(2.0000714765e-1F);
  y = y * m + L(-2.4999993993e-1F);
  y = y * m + L(3.3333331174e-1F);
  y = y * m * z;
  const L e = L::of(__builtin_convertvector(exponent, typename L::Vector));
  y = y + e * L(-2.12194440e-4F) - z * L(0.5F);
  return m + y + e * L(0.693359375F);
}

template <int N, Isa isa>
Lanes<float, N, isa> exp(Lanes<float, N, isa> x) {
  using L = Lanes<float, N, isa>;
  using Mask = typename L::Mask;
  x = max(min(x, L(88.0F)), L(-87.0F));
  const L scaled = x * L(1.44269504088896341F) + L(0.5F);
  Mask n = __builtin_convertvector(scaled.v, Mask);
  L whole = L::of(__builtin_convertvector(n, typename L::Vector));
  const Mask below = whole > scaled;  // the conversion cuts towards 0
  n = n + below;
  whole = L::of(__builtin_convertvector(n, typename L::Vector));
  x = x - whole * L(0.693359375F) - whole * L(-2.12194440e-4F);
  L y = L(1.9875691500e-4F);
  y = y * x + L(1.3981999507e-3F);
  y = y * x + L(8.3334519073e-3F);
  y = y * x + L(4.1665795894e-2F);
  y = y * x + L(1.6666665459e-1F);
  y = y * x + L(5.0000001201e-1F);
  y = y * x * x + x + L(1.0F);
  return y * L::of((typename L::Vector)((n + 127) << 23));
}

template <typename T, int N, Isa isa>
Lanes<T, N, isa> pow(Lanes<T, N, isa> x, Lanes<T, N, isa> exponent) {
  return exp(exponent * log(x));
}

}  // namespace crankwise::flow
