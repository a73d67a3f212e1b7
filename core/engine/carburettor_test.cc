#include "core/engine/carburettor.h"

#include <gtest/gtest.h>

#include <cmath>

#include "core/calc/fuel_supply.h"
#include "core/thermo/fuels.h"

namespace crankwise::engine {
namespace {

using RealBowl = Bowl<double>;

// A worked example: throat 20 mm, Cd 0.8; jet 1.14 mm, Cd 0.65; air 1.2, petrol 750 kg/m3; 0.08 bar. No needle.
FuelCircuit<double> textbook(double lip_m) {
  return {.jet_m2 = hole_m2(1.14e-3), .jet_cd = 0.65, .ring_m2 = 1, .lip_m = lip_m};
}

double fuel(const FuelCircuit<double>& circuit, double signal_pa, const RealBowl& bowl = {},
            const BlockedShares<double>& blocked = {}) {
  return circuit_fuel_kg_s(circuit, blocked, bowl, 101325 - signal_pa, 1.2);
}

TEST(EngineCarburettor, TextbookMixture) {
  const RealBowl bowl{.fuel_kg_m3 = 750};
  const double air = venturi_air_kg_s(0.8, hole_m2(0.020), 1.2, 8000.0);
  EXPECT_NEAR(air / fuel(textbook(0), 8000, bowl) / 15.153, 1, 1e-4);
  EXPECT_NEAR(air / fuel(textbook(5e-3), 8000, bowl) / 15.188, 1, 1e-4);
  EXPECT_NEAR(lip_air_m_s(5e-3, 750.0, 1.2) / 7.83, 1, 1e-3);
  const double starts = venturi_drop_pa(1.2, 7.83);
  EXPECT_EQ(fuel(textbook(5e-3), starts * 0.99, bowl), 0);
  EXPECT_GT(fuel(textbook(5e-3), starts * 1.01, bowl), 0);
}

TEST(EngineCarburettor, TextbookDirtyAirCleaner) {
  // A worked example: throat at 0.80 bar and 15 : 1; the cleaner takes 0.04 bar and the bowl sees the open air.
  const double air = venturi_air_kg_s(0.8, hole_m2(0.020), 1.2, 0.2e5);
  const double clean = air / fuel(textbook(0), 0.20e5), dirty = air / fuel(textbook(0), 0.24e5);
  EXPECT_NEAR(15 * dirty / clean / 13.69, 1, 1e-3);
}

TEST(EngineCarburettor, SmoothNearTheLip) {
  const FuelCircuit<double> circuit = textbook(5e-3);
  const double lip_pa = kGravity * 745 * 5e-3;
  double last = 0;
  for (double pa = lip_pa - 10; pa < lip_pa + 50; pa += 0.5) {
    const double now = fuel(circuit, pa);
    EXPECT_GE(now, last) << pa;
    EXPECT_LT(now - last, fuel(circuit, lip_pa + kSoftPa) * 0.15) << pa;  // a bare root would jump by a third of this
    last = now;
  }
  EXPECT_EQ(fuel(circuit, lip_pa - 1), 0);
  EXPECT_EQ(fuel(circuit, -5000), 0);
  const double root = 0.65 * hole_m2(1.14e-3) * std::sqrt(2 * 745 * 500.0);
  EXPECT_NEAR(fuel(circuit, lip_pa + 500) / root, 1, 1e-4);
}

// By hand: main jet of 1.75 mm, needle 2.5 mm in 2.7 mm, air jet 1 mm.
constexpr double kMm = 1e-3;
FuelCircuit<double> needle_circuit() {
  return {.jet_m2 = hole_m2(1.75 * kMm),
          .ring_m2 = needle_ring_m2(2.7 * kMm, 2.5 * kMm),
          .bleed_m2 = hole_m2(1.0 * kMm),
          .lip_m = 0.015};
}

TEST(EngineCarburettor, JetAndNeedleInSeries) {
  FuelCircuit<double> circuit = needle_circuit();
  circuit.bleed_m2 = 0, circuit.lip_m = 0;
  const double jet = 0.65 * circuit.jet_m2, ring = 0.7 * circuit.ring_m2;
  const double both = 1 / std::sqrt(1 / (jet * jet) + 1 / (ring * ring));  // two holes in series
  EXPECT_NEAR(fuel(circuit, 3000) / (both * std::sqrt(2 * 745 * 3000.0)), 1, 1e-5);
}

TEST(EngineCarburettor, BleedBalances) {
  // The well found by halving: what enters as fuel and air leaves as foam.
  FuelCircuit<double> circuit = needle_circuit();
  circuit.lip_m = 0;
  const double d = 3000, air_kg_m3 = 1.2, fuel_kg_m3 = 745;
  double low = 0, high = d;
  for (int i = 0; i < 100; ++i) {
    const double y = (low + high) / 2;
    const double f = 0.65 * circuit.jet_m2 * std::sqrt(2 * fuel_kg_m3 * y);
    const double a = 0.7 * circuit.bleed_m2 * std::sqrt(2 * air_kg_m3 * y);
    const double foam_kg_m3 = (f + a) / (f / fuel_kg_m3 + a / air_kg_m3);
    (f + a < 0.7 * circuit.ring_m2 * std::sqrt(2 * foam_kg_m3 * (d - y)) ? low : high) = y;
  }
  const double expected = 0.65 * circuit.jet_m2 * std::sqrt(2 * fuel_kg_m3 * low);
  EXPECT_NEAR(fuel(circuit, d) / expected, 1, 1e-5);
}

TEST(EngineCarburettor, WhatIsBlockedAndWhere) {
  const FuelCircuit<double> circuit = needle_circuit();
  const double right = fuel(circuit, 3000);
  EXPECT_LT(fuel(circuit, 3000, {}, {.jet = 0.3}), right);
  EXPECT_LT(fuel(circuit, 3000, {}, {.ring = 0.3}), right);
  EXPECT_GT(fuel(circuit, 3000, {}, {.bleed = 1}), right * 1.1);
  EXPECT_EQ(fuel(circuit, 3000, {}, {.jet = 1}), 0);
  EXPECT_EQ(fuel(circuit, 3000, {}, {.ring = 1}), 0);
  EXPECT_EQ(fuel(circuit, 3000, {}, {.jet = 1, .ring = 1, .bleed = 1}), 0);
  // Float low, vent shut: leaner; float high: richer, and above the outlet it runs by itself.
  EXPECT_LT(fuel(circuit, 3000, {.level_drop_m = 0.005}), right);
  EXPECT_LT(fuel(circuit, 3000, {.vent_pa = 101325 - 500}), right);
  EXPECT_GT(fuel(circuit, 3000, {.level_drop_m = -0.005}), right);
  EXPECT_GT(fuel(circuit, 0, {.level_drop_m = -0.02}), 0);
  EXPECT_EQ(fuel(circuit, 0), 0);
  // By hand: 5 mm of fuel are 36.5 Pa of 2890.4 drawing it.
  EXPECT_NEAR(fuel(circuit, 3000, {.level_drop_m = 0.005}) / right, std::sqrt(1 - 36.53 / 2890.4), 1e-4);
}

TEST(EngineCarburettor, NeedleAndSum) {
  const TaperNeedle<double> needle{.straight_m = 2.5e-3, .taper_begins_m = 5e-3, .slope = 0.03};
  EXPECT_NEAR(needle_thickness_m(needle, 0.004), 2.5e-3, 1e-12);
  EXPECT_NEAR(needle_thickness_m(needle, 0.015), 2.2e-3, 1e-12);  // by hand
  EXPECT_EQ(needle_thickness_m(needle, 1.0), 0);
  EXPECT_EQ(needle_ring_m2(2.7e-3, 2.8e-3), 0);
  // Needle one size thinner in a 2.700 mm tube, 2.535 to 2.525 mm: 5.86 % more (ratio of areas).
  EXPECT_NEAR(needle_ring_m2(2.7e-3, 2.525e-3) / needle_ring_m2(2.7e-3, 2.535e-3), 1.0586, 1e-3);
  const FuelCircuit<double> pilot{.jet_m2 = hole_m2(0.4e-3), .ring_m2 = hole_m2(0.8e-3), .bleed_m2 = hole_m2(0.8e-3)};
  const Carburettor<double> whole{needle_circuit(), pilot};
  const double sum = carburettor_fuel_kg_s<double>(whole, {}, {}, {101325 - 3000, 101325 - 9000, 1.2});
  EXPECT_NEAR(sum, fuel(needle_circuit(), 3000) + fuel(pilot, 9000), 1e-15);
  EXPECT_NEAR(carburettor_fuel_kg_s<double>(whole, {.pilot = {.jet = 1}}, {}, {101325 - 3000, 101325 - 9000, 1.2}),
              fuel(needle_circuit(), 3000), 1e-15);
}

TEST(EngineCarburettor, OnePetrol) {
  EXPECT_EQ(thermo::petrol().density_kg_m3, kPetrol.density_kg_m3);
  EXPECT_NEAR(thermo::stoichiometric_air(thermo::petrol()), kPetrol.stoichiometric_air, 0.01);
  EXPECT_EQ(RealBowl{}.fuel_kg_m3, kPetrol.density_kg_m3);
}

}  // namespace
}  // namespace crankwise::engine
