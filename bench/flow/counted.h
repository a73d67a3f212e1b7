// A number that counts what is done with it: how much arithmetic a cell takes.
#pragma once

#include <cmath>

#include "core/flow/lanes.h"

namespace crankwise::bench {

struct Counted {
  static constexpr int kCount = 1;
  static inline long plain = 0, slow = 0;  // add, subtract, multiply; divide, square root

  double v = 0;

  Counted() = default;
  Counted(double x) : v(x) {}  // NOLINT(google-explicit-constructor)
  double operator[](int) const { return v; }
  void set(int, double x) { v = x; }

  friend Counted operator+(Counted a, Counted b) { return ++plain, a.v + b.v; }
  friend Counted operator-(Counted a, Counted b) { return ++plain, a.v - b.v; }
  friend Counted operator*(Counted a, Counted b) { return ++plain, a.v * b.v; }
  friend Counted operator/(Counted a, Counted b) { return ++slow, a.v / b.v; }
  friend Counted operator-(Counted a) { return -a.v; }
  Counted& operator+=(Counted b) { return *this = *this + b; }
  Counted& operator-=(Counted b) { return *this = *this - b; }
  friend bool operator<(Counted a, Counted b) { return a.v < b.v; }
  friend bool operator>(Counted a, Counted b) { return a.v > b.v; }
  friend bool operator>=(Counted a, Counted b) { return a.v >= b.v; }
  friend Counted select(bool which, Counted a, Counted b) { return which ? a : b; }
  friend Counted max(Counted a, Counted b) { return a.v > b.v ? a : b; }
  friend Counted min(Counted a, Counted b) { return a.v < b.v ? a : b; }
  friend Counted abs(Counted a) { return std::abs(a.v); }
  friend Counted with_sign(Counted size, Counted a) { return std::copysign(size.v, a.v); }
  friend Counted sqrt(Counted a) { return ++slow, std::sqrt(a.v); }
};

}  // namespace crankwise::bench
