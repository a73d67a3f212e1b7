// The end of a duct in a volume: the flux found is judged by the equations it is to satisfy, written down again here.
#include <gtest/gtest.h>

#include <cmath>
#include <random>

#include "core/flow/opening.h"
#include "tests/flow_case.h"

namespace crankwise::flow {
namespace {

using Air = Rest<double>;
using End = Primitive<double>;

constexpr double kArea = 1.2e-3;

struct Judged {
  double duct = 0, opening = 0;  // kg/s that the duct's wave and the opening would pass at the pressure found
  bool sonic = false;
};

/// The wave from inside gives u and rho at the pressure found (isentropic, 2 a / (gamma - 1) + u as at the end); the
/// opening passes St Venant's flow of gas at rest, or of the gas at the end brought to rest.
Judged judge(const Gas<double>& gas, const End& w, double open, const Air& rest, const EndFlow<double>& e) {
  const Charge<double> in = charge_of(gas, w.y), out = charge_of(gas, rest.y);
  const double g = in.gamma(w.p / (w.rho * in.constant)), a_end = std::sqrt(g * w.p / w.rho);
  const double a = a_end * std::pow(e.p / w.p, (g - 1) / (2 * g)), u = w.u + 2 / (g - 1) * (a_end - a);
  Judged j;
  if (u > 0) {
    const double rho = w.rho * std::pow(e.p / w.p, 1 / g), rise = 1 + (g - 1) / 2 * u * u / (a * a);
    const double p0 = e.p * std::pow(rise, g / (g - 1));
    j.duct = kArea * rho * u;
    j.opening = kArea * open * std::sqrt(hole_flow_squared(p0, a * a / g * rise, g, rest.p / p0));
    j.sonic = u > 0.999 * a;
  } else {
    const double cp = out.cp(rest.temp_k), g_out = out.gamma(rest.temp_k);
    j.duct = e.p / (out.constant * (rest.temp_k - 0.5 * u * u / cp)) * u * kArea;
    j.opening = -kArea * open * std::sqrt(hole_flow_squared(rest.p, out.constant * rest.temp_k, g_out, e.p / rest.p));
    j.sonic = u * u > 0.998 * 2 * g_out / (g_out + 1) * out.constant * rest.temp_k;
  }
  return j;
}

TEST(FlowEnd, RandomStatesSatisfyTheirEquations) {
  const Gas<double> gas(three_gases());
  std::mt19937 random(7);
  const auto even = [&](double low, double high) {
    return low + (high - low) * static_cast<double>(random()) / 4294967296.0;
  };
  for (int i = 0; i < 200000; ++i) {
    const double temp_k = even(250, 2000), p = 1e5 * std::exp(even(-1.2, 2));
    const Shares<double> y{even(0, 0.07), even(0, 0.9)}, there{even(0, 0.07), even(0, 0.9)};
    const Charge<double> c = charge_of(gas, y);
    const double rho = p / (c.constant * temp_k), sound = std::sqrt(c.gamma(temp_k) * p / rho);
    const double apart = i % 3 == 0 ? even(-0.001, 0.001) : i % 3 == 1 ? even(-0.2, 0.2) : even(-3.9, 3.9);
    const End w{rho, sound * even(-0.7, 0.7) * (i % 5 == 0 ? 0.01 : 1), p, y};
    const Air rest{p * std::exp(apart), even(250, 2500), there};
    const double open = i % 4 == 0 ? std::exp(even(-12, 0)) : even(0.001, 1);
    const EndFlow<double> e = through_end(gas, w, kArea, open, rest);
    const Judged j = judge(gas, w, open, rest, e);
    const double duct = std::abs(j.duct), opening = std::abs(j.opening), mass = std::abs(e.out.mass);
    // What passes is the lesser; where the end is sonic the opening could pass more.
    const double off = std::abs(mass - duct) / (duct + 1e-6),
                 other = j.sonic ? 0 : std::abs(mass - opening) / (opening + 1e-6);
    ASSERT_LT(std::max(off, other), std::abs(apart) < 2.3 ? 1e-4 : 1e-3)
        << "state " << i << " open " << open << " u/a " << w.u / sound << " rest " << rest.p / w.p << " mass "
        << e.out.mass << " duct " << j.duct << " opening " << j.opening;
    // The gas that flows keeps its enthalpy and its shares.
    const bool outwards = e.out.mass > 0;
    const Shares<double>& from = outwards ? w.y : rest.y;
    EXPECT_NEAR(e.out.fuel, e.out.mass * from.fuel, 1e-15 + 1e-12 * mass);
    EXPECT_NEAR(e.out.burned, e.out.mass * from.burned, 1e-15 + 1e-12 * mass);
    if (!outwards) {
      EXPECT_NEAR(e.out.energy, e.out.mass * charge_of(gas, rest.y).enthalpy(rest.temp_k),
                  1e-9 * std::abs(e.out.energy));
    }
    EXPECT_NEAR(e.out.momentum, kArea * e.p + mass * std::abs(e.u), 1e-3 * e.out.momentum);
    EXPECT_EQ(e.out.mass < 0, e.u < 0);
  }
  // Measured: 8.1e-4 at a ratio of pressures of 40, below 1e-4 to a ratio of 10.
}

TEST(FlowEnd, AClosedEndIsAWall) {
  const Gas<double> gas(three_gases());
  for (const double u : {-80.0, 0.0, 80.0}) {
    const End w{1.1, u, 1.2e5, {0.02, 0.1}};
    const double sound = side_of(gas, w).sound, g = sound * sound * w.rho / w.p;
    for (const double p : {1e3, 1.2e5, 4e6}) {
      const EndFlow<double> e = through_end(gas, w, kArea, 0.0, Air{p, 300, {}});
      EXPECT_EQ(e.out.mass, 0);
      EXPECT_EQ(e.out.energy, 0);
      EXPECT_EQ(e.u, 0);
      // The wave that stops the gas: isentropic, and to first order p + rho a u.
      EXPECT_NEAR(e.p / (w.p * std::pow(1 + (g - 1) / 2 * u / sound, 2 * g / (g - 1))), 1, 1e-9);
      EXPECT_NEAR(e.p, w.p + w.rho * sound * u, 1.5 * w.rho * u * u);
      EXPECT_NEAR(e.out.momentum, kArea * e.p, 1e-12);
    }
  }
}

// Outwards the pressure at a fully open end is that outside; inwards it is less by what the speed takes.
TEST(FlowEnd, AnOpenEndTurnsTheWaveOver) {
  const Gas<double> gas(perfect_gas());
  for (const double u : {2.0, 40.0, 100.0}) {
    const End w{1.2, u, 1e5, {}};
    const EndFlow<double> e = through_end(gas, w, kArea, 1.0, Air{1e5, 300, {}});
    EXPECT_NEAR(e.p, 1e5, 1e-4);
    EXPECT_NEAR(e.u, u, 1e-4 * u);
    EXPECT_NEAR(e.out.mass, kArea * w.rho * u, 1e-4 * e.out.mass);
    const EndFlow<double> in = through_end(gas, End{1.2, -u, 1e5, {}}, kArea, 1.0, Air{1e5, 300, {}});
    EXPECT_LT(in.u, 0);
    const double cp = 3.5 * kAirConstant;
    EXPECT_NEAR(in.p, 1e5 * std::pow(1 - in.u * in.u / (2 * cp * 300), 3.5), 1e-4 * (1e5 - in.p) + 1e-3);
  }
}

TEST(FlowEnd, ASmallHoleInAWideDuctIsAHole) {
  const Gas<double> gas(three_gases());
  const Air inside{2e5, 500, {0.03, 0.2}};
  const End w{2e5 / (charge_of(gas, inside.y).constant * 500), 0, 2e5, inside.y};
  for (const double p : {2e4, 1.2e5, 1.9e5, 2.1e5, 3e5, 9e5}) {
    const Air rest{p, 350, {0, 0.5}};
    constexpr double kOpen = 1e-5;
    const Stream<double> end = through_end(gas, w, kArea, kOpen, rest).out,
                         hole = through_hole(gas, inside, rest, kArea * kOpen);
    EXPECT_NEAR(end.mass / hole.mass, 1, 1e-4);
    EXPECT_NEAR(end.energy / hole.energy, 1, 1e-4);
    EXPECT_NEAR(end.fuel, hole.fuel, 1e-4 * std::abs(hole.mass));
    EXPECT_NEAR(end.burned, hole.burned, 1e-4 * std::abs(hole.mass));
  }
}

TEST(FlowEnd, NoMoreThanSound) {
  const Gas<double> gas(perfect_gas());
  const End w{1.2, 0, 1e5, {}};
  const double sound = side_of(gas, w).sound;
  // From rest into vacuum: rho u = rho0 a0 (2 / (gamma + 1))^((gamma + 1) / (gamma - 1)), the greatest of a simple
  // wave.
  const EndFlow<double> out = through_end(gas, w, kArea, 1.0, Air{10, 300, {}});
  EXPECT_NEAR(out.out.mass, kArea * 1.2 * sound * std::pow(2 / 2.4, 6), 1e-3 * out.out.mass);
  EXPECT_NEAR(out.u, sound * 2 / 2.4, 2e-2 * sound);
  const EndFlow<double> in = through_end(gas, w, kArea, 1.0, Air{5e6, 300, {}});
  EXPECT_LE(-in.u, std::sqrt(1.4 * kAirConstant * 300 * 2 / 2.4) * (1 + 1e-9));
}

/// All of it finite, and no flow against the pressures.
template <typename Real>
void try_extremes() {
  const Gas<Real> gas(three_gases());
  for (const double ratio : {0.02, 0.1, 0.5, 0.99999, 1.0, 1.00001, 2.0, 10.0, 50.0}) {
    for (const double mach : {-3.0, -1.0, -0.3, -1e-6, 0.0, 1e-6, 0.3, 1.0, 3.0}) {
      for (const double open : {0.0, 1e-6, 1e-3, 0.3, 0.999999, 1.0}) {
        for (const double temp_k : {250.0, 2800.0}) {
          const Primitive<Real> w{Real(1e5 / (287 * 400)), Real(mach * 400), Real(1e5), {Real(0.05), Real(0.1)}};
          const Rest<Real> rest{Real(1e5 * ratio), Real(temp_k), {Real(0), Real(0.9)}};
          const EndFlow<Real> e = through_end(gas, w, Real(kArea), Real(open), rest);
          const Stream<Real>& s = e.out;
          for (const Real& x : {s.mass, s.momentum, s.energy, s.fuel, s.burned, e.p, e.u})
            for (int i = 0; i < lanes_of<Real>(); ++i)
              ASSERT_TRUE(std::isfinite(lane(x, i))) << ratio << " " << mach << " " << open;
          ASSERT_GT(lane(e.p, 0), 0);
          if (mach == 0) {
            ASSERT_GE(lane(s.mass, 0) * (1 - ratio), 0);
          }
        }
      }
    }
  }
}

TEST(FlowEnd, ExtremesAreFinite) {
  try_extremes<double>();
  try_extremes<Lanes<float, 4, Isa::any>>();
}

// What leaves the duct is what the volume gets, to the last bit.
TEST(FlowEnd, TheVolumeGetsWhatTheDuctGives) {
  const Gas<double> gas(three_gases());
  Volume<double> v;
  v.m3 = 1e-3;
  v.fill(gas, {1e5, 300, {0.01, 0.2}});
  const Volume<double> before = v;
  const EndFlow<double> e = through_end(gas, End{1.5, 60, 1.5e5, {0.03, 0.1}}, kArea, 0.4, v.rest(gas));
  v.take(e.out, 1e-5);
  EXPECT_DOUBLE_EQ(v.mass, before.mass + 1e-5 * e.out.mass);
  EXPECT_DOUBLE_EQ(v.energy, before.energy + 1e-5 * e.out.energy);
  EXPECT_DOUBLE_EQ(v.fuel, before.fuel + 1e-5 * e.out.fuel);
  EXPECT_DOUBLE_EQ(v.burned, before.burned + 1e-5 * e.out.burned);
  EXPECT_GT(v.rest(gas).p, before.rest(gas).p);
}

// In float: within 2e-4 of what double gives when the pressure outside is a few last bits higher or lower.
TEST(FlowEnd, FloatsAreNearDoubles) {
  using Four = Lanes<float, 4, Isa::any>;
  const Gas<double> gas(three_gases());
  const Gas<Four> gas4(three_gases());
  std::mt19937 random(11);
  const auto even = [&](double low, double high) {
    return low + (high - low) * static_cast<double>(random()) / 4294967296.0;
  };
  for (int i = 0; i < 20000; ++i) {
    const double rho = even(0.3, 2), u = even(-150, 150) * (i % 3 == 0 ? 0.001 : 1), open = std::exp(even(-9, 0));
    const double p = 1e5 * std::exp(even(-0.3, 1)), ratio = std::exp(i % 2 == 0 ? even(-1e-3, 1e-3) : even(-1.5, 1.5));
    const double temp_k = even(280, 1500);
    const auto flow = [&](double change) {
      return through_end(gas, End{rho, u, p, {}}, 1.0, open, Air{p * ratio * (1 + change), temp_k, {}}).out.mass;
    };
    const Primitive<Four> w{Four(rho), Four(u), Four(p), {}};
    const double four =
        lane(through_end(gas4, w, Four(1), Four(open), Rest<Four>{Four(p * ratio), Four(temp_k), {}}).out.mass, i & 3);
    constexpr double kBits = 1e-6;
    const double least = flow(kBits), most = flow(-kBits);
    ASSERT_GT(four, least - 2e-4 * std::abs(least)) << i << " " << u << " " << ratio << " " << open << " " << flow(0);
    ASSERT_LT(four, most + 2e-4 * std::abs(most)) << i << " " << u << " " << ratio << " " << open << " " << flow(0);
  }
}

}  // namespace
}  // namespace crankwise::flow
