#include "bench/flow/steps.h"

#include "core/flow/duct.h"

// CRANKWISE_MACHINE: plain, avx2 or avx512; CRANKWISE_ISA: any, avx2, avx512.
#define CRANKWISE_JOIN2(a, b) a##b
#define CRANKWISE_JOIN(a, b) CRANKWISE_JOIN2(a, b)
#define CRANKWISE_TEXT2(a) #a
#define CRANKWISE_TEXT(a) CRANKWISE_TEXT2(a)

namespace crankwise::bench {
namespace {

using flow::Isa;

template <int N>
using Members = flow::Lanes<float, N, Isa::CRANKWISE_ISA>;

template <typename Real>
double run_steps(int cells, int count, bool open_ends) {
  using namespace flow;
  const thermo::LinearGas air{287.05, 690, 0.09}, fuel{75, 1300, 1.2}, burned{285, 740, 0.16};
  const Gas<Real> gas(thermo::WorkingGas{air, fuel, burned});
  Duct<Real> duct(cells, 0.005);
  const Stretch stretches[] = {{0.5, 0.035, 0.035, 500}, {0.5, 0.035, 0.06, 450}};
  for (int m = 0; m < lanes_of<Real>(); ++m) duct.shape(m, stretches);
  duct.fill(gas, {Real(0.8), Real(0), Real(1e5), {Real(0.01), Real(0.5)}});
  for (int i = 0; i < cells / 4; ++i)
    duct.cell(i) = conserved_of(gas, Primitive<Real>{Real(1.2), Real(0), Real(2e5), {Real(0.0), Real(0.9)}});
  const Real dt = 0.5 / cells / 1000;
  const Rest<Real> outside{Real(1e5), Real(300), {}};
  for (int n = 0; n < count; ++n) {
    if (open_ends) {
      duct.step(gas, dt, through_end(gas, duct.left_end(gas, dt), duct.left_area(), Real(0.3), outside).out,
                through_end(gas, duct.right_end(gas, dt), duct.right_area(), Real(0.7), outside).out);
    } else {
      const Stream<Real> left{Real(0), duct.at(gas, 0).p * duct.left_area(), Real(0), Real(0), Real(0)},
          right{Real(0), duct.at(gas, cells - 1).p * duct.right_area(), Real(0), Real(0), Real(0)};
      duct.step(gas, dt, left, right);
    }
  }
  return lane(duct.cell(cells / 2).energy + duct.least(), 0);
}

template <typename Real>
double run_peak(int count) {
  Real x[16], times = Real(0.999), plus = Real(0.001);
  for (int i = 0; i < 16; ++i) x[i] = Real(0.01 * i);
  for (int n = 0; n < count; ++n) {
#pragma GCC unroll 16
    for (auto& each : x) each = each * times + plus;
  }
  Real sum = 0;
  for (const auto& each : x) sum = sum + each;
  return flow::lane(sum, 0);
}

double steps(int lanes, int cells, int count, bool open_ends) {
  switch (lanes) {
    case 4:
      return run_steps<Members<4>>(cells, count, open_ends);
    case 8:
      return run_steps<Members<8>>(cells, count, open_ends);
    case 16:
      return run_steps<Members<16>>(cells, count, open_ends);
    default:
      return run_steps<double>(cells, count, open_ends);
  }
}

double peak(int lanes, int count) {
  switch (lanes) {
    case 4:
      return run_peak<Members<4>>(count);
    case 8:
      return run_peak<Members<8>>(count);
    case 16:
      return run_peak<Members<16>>(count);
    default:
      return run_peak<double>(count);
  }
}

}  // namespace

FlowKernel CRANKWISE_JOIN(flow_kernel_, CRANKWISE_MACHINE)() {
  return {CRANKWISE_TEXT(CRANKWISE_MACHINE), steps, peak};
}

}  // namespace crankwise::bench
