// How fast gas flows: cell-steps a second of one member in double and of many in lanes of float, on each machine that
// this one can be; and the share of what the core could do. And how fast the error of a smooth wave falls with the
// cells. Prints markdown tables.
#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <cmath>
#include <span>
#include <vector>

#include "bench/flow/counted.h"
#include "bench/flow/steps.h"
#include "core/flow/duct.h"

namespace crankwise::bench {
namespace {

double kept = 0;  // what was computed, so that it is

template <typename Work>
double seconds(const Work& work) {
  const auto start = std::chrono::steady_clock::now();
  kept += work();
  return std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
}

/// The best of several: others may be at work on the machine.
template <typename Work>
double least_seconds(const Work& work) {
  double best = 1e9;
  for (int i = 0; i < 7; ++i) best = std::min(best, seconds(work));
  return best;
}

double cell_steps_a_second(const FlowKernel& kernel, int lanes, int cells, bool open_ends) {
  const int count = std::max(1, 400000 / cells / (lanes == 1 ? 2 : 1));
  const double s = least_seconds([&] { return kernel.steps(lanes, cells, count, open_ends); });
  return static_cast<double>(cells) * count * lanes / s;
}

/// Floating operations of a core a second, as it runs now, in the vectors that suit it best.
double peak(const FlowKernel& kernel) {
  constexpr int kCount = 1000000;
  double best = 0;
  for (const int lanes : {4, 8, 16})
    best = std::max(best, 2.0 * 16 * kCount * lanes / least_seconds([&] { return kernel.peak(lanes, kCount); }));
  return best;
}

struct Arithmetic {
  double plain = 0, slow = 0;
};

Arithmetic of_a_cell() {
  using namespace flow;
  const thermo::LinearGas air{287.05, 690, 0.09};
  const Gas<Counted> gas(thermo::WorkingGas{air, air, air});
  const auto count = [&](int cells) {
    Duct<Counted> duct(cells, 0.005);
    const Stretch stretch[] = {{1, 0.03, 0.04, 300}};
    duct.shape(0, stretch);
    duct.fill(gas, {1.2, 3, 1e5, {}});
    Counted::plain = Counted::slow = 0;
    duct.step(gas, 1e-6, {0, 1, 0, 0, 0}, {0, 1, 0, 0, 0});
    return Arithmetic{static_cast<double>(Counted::plain), static_cast<double>(Counted::slow)};
  };
  const Arithmetic few = count(50), many = count(150);
  return {(many.plain - few.plain) / 100, (many.slow - few.slow) / 100};
}

void print() {
  const Arithmetic cell = of_a_cell();
  fmt::print("A cell takes {:.0f} additions and multiplications and {:.0f} divisions and roots a step.\n\n", cell.plain,
             cell.slow);
  std::vector<FlowKernel> kernels{flow_kernel_plain()};
  if (__builtin_cpu_supports("avx2")) kernels.push_back(flow_kernel_avx2());
  if (__builtin_cpu_supports("avx512f") && __builtin_cpu_supports("avx512dq") && __builtin_cpu_supports("avx512vl") &&
      __builtin_cpu_supports("avx512bw"))
    kernels.push_back(flow_kernel_avx512());
  const double alone = cell_steps_a_second(kernels[0], 1, 200, false);
  fmt::print(
      "| machine | lanes | million cell-steps a second, 50 cells | 100 | 200 | 400 | ends solved, 50 | 200 | to one "
      "member | operations of the peak |\n|---|---|---|---|---|---|---|---|---|---|\n");
  for (const FlowKernel& k : kernels) {
    const double most = peak(k);
    for (const int lanes : {1, 4, 8, 16}) {
      std::string row;
      double at_200 = 0;
      for (const int cells : {50, 100, 200, 400}) {
        const double each = cell_steps_a_second(k, lanes, cells, false);
        if (cells == 200) at_200 = each;
        row += fmt::format(" {:.1f} |", each / 1e6);
      }
      for (const int cells : {50, 200})
        row += fmt::format(" {:.1f} |", cell_steps_a_second(k, lanes, cells, true) / 1e6);
      fmt::print("| {} | {} |{} {:.1f} | {:.0f} % |\n", k.machine, lanes == 1 ? "double alone" : std::to_string(lanes),
                 row, at_200 / alone, 100 * at_200 * (cell.plain + cell.slow) / most);
    }
  }
}

/// A smooth wave that runs into a tube at rest: by characteristics each of its points keeps its speed u + a, which is
/// the exact solution until it breaks (Riemann). Mean error of the density, by cells.
double error_of_wave(int cells) {
  using namespace flow;
  constexpr double kGamma = 1.4, kPi = 3.14159265358979323846, kRho = 1.2, kPa = 1e5, kSpeed = 10, kTime = 5e-4;
  const double a0 = std::sqrt(kGamma * kPa / kRho);
  const thermo::LinearGas air{287, 287 / (kGamma - 1), 0};
  const Gas<double> gas(thermo::WorkingGas{air, air, air});
  Duct<double> duct(cells, 0);
  const Stretch stretch[] = {{1, 0.03, 0.03, 300}};
  duct.shape(0, stretch);
  const auto speed = [&](double x) {
    return x > 0.2 && x < 0.6 ? kSpeed * std::pow(std::sin(kPi * (x - 0.2) / 0.4), 4) : 0;
  };
  const auto at = [&](double u) {
    const double of_rest = 1 + 0.5 * (kGamma - 1) * u / a0;
    return Primitive<double>{
        kRho * std::pow(of_rest, 2 / (kGamma - 1)), u, kPa * std::pow(of_rest, 2 * kGamma / (kGamma - 1)), {}};
  };
  // The mean over a cell, by Simpson.
  const auto mean = [&](double x, double dx, auto value) {
    return (value(x - dx / 2) + 4 * value(x) + value(x + dx / 2)) / 6;
  };
  const double dx = 1.0 / cells;
  for (int i = 0; i < cells; ++i) {
    const double x = (i + 0.5) * dx;
    Conserved<double>& c = duct.cell(i);
    c.rho = mean(x, dx, [&](double y) { return conserved_of(gas, at(speed(y))).rho; });
    c.momentum = mean(x, dx, [&](double y) { return conserved_of(gas, at(speed(y))).momentum; });
    c.energy = mean(x, dx, [&](double y) { return conserved_of(gas, at(speed(y))).energy; });
    c.fuel = c.burned = 0;
  }
  const Stream<double> shut{0, kPa * duct.left_area(), 0, 0, 0};
  const int steps = static_cast<int>(std::ceil(kTime * 700 / dx));
  for (int n = 0; n < steps; ++n) duct.step(gas, kTime / steps, shut, shut);
  const auto came_from = [&](double x) {
    double low = x - 400 * kTime, high = x;
    for (int n = 0; n < 60; ++n) {
      const double from = 0.5 * (low + high), u = speed(from);
      (from + (a0 + 0.5 * (kGamma + 1) * u) * kTime < x ? low : high) = from;
    }
    return 0.5 * (low + high);
  };
  double error = 0;
  for (int i = 0; i < cells; ++i) {
    const double exact = mean((i + 0.5) * dx, dx, [&](double y) { return at(speed(came_from(y))).rho; });
    error += std::abs(duct.cell(i).rho - exact) * dx;
  }
  return error;
}

void print_order() {
  fmt::print("\n| cells | mean error of a smooth wave's density, kg/m3 | order |\n|---|--:|--:|\n");
  double before = 0;
  for (const int cells : {50, 100, 200, 400, 800}) {
    const double error = error_of_wave(cells);
    fmt::print("| {} | {:.2e} | {} |\n", cells, error,
               before > 0 ? fmt::format("{:.2f}", std::log2(before / error)) : "");
    before = error;
  }
}

}  // namespace
}  // namespace crankwise::bench

int main() {
  crankwise::bench::print();
  crankwise::bench::print_order();
  return crankwise::bench::kept == crankwise::bench::kept ? 0 : 1;
}
