// Two lanes as a number type, as little as core/engine/smooth.h asks for: no comparison, functions found by namespace.
#pragma once

#include <array>
#include <cmath>

namespace crankwise::trial {

struct TrialLanes {
  std::array<double, 2> of{};

  TrialLanes() = default;
  explicit TrialLanes(double both) : of{both, both} {}
  TrialLanes(double first, double second) : of{first, second} {}
};

template <class F>
TrialLanes each(const TrialLanes& a, const TrialLanes& b, const F& f) {
  return {f(a.of[0], b.of[0]), f(a.of[1], b.of[1])};
}

inline TrialLanes operator+(const TrialLanes& a, const TrialLanes& b) {
  return each(a, b, [](double x, double y) { return x + y; });
}
inline TrialLanes operator-(const TrialLanes& a, const TrialLanes& b) {
  return each(a, b, [](double x, double y) { return x - y; });
}
inline TrialLanes operator*(const TrialLanes& a, const TrialLanes& b) {
  return each(a, b, [](double x, double y) { return x * y; });
}
inline TrialLanes operator/(const TrialLanes& a, const TrialLanes& b) {
  return each(a, b, [](double x, double y) { return x / y; });
}
inline TrialLanes pow(const TrialLanes& a, const TrialLanes& b) {
  return each(a, b, [](double x, double y) { return std::pow(x, y); });
}
inline TrialLanes sqrt(const TrialLanes& a) {
  return each(a, a, [](double x, double) { return std::sqrt(x); });
}
inline TrialLanes exp(const TrialLanes& a) {
  return each(a, a, [](double x, double) { return std::exp(x); });
}
inline TrialLanes log(const TrialLanes& a) {
  return each(a, a, [](double x, double) { return std::log(x); });
}

}  // namespace crankwise::trial
