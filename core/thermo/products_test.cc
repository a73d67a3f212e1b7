#include "core/thermo/products.h"

#include <gtest/gtest.h>

#include <cmath>

#include "core/thermo/working_gas.h"

namespace crankwise::thermo {
namespace {

using enum Species;

Atoms atoms_in(const GasMix& mix) {
  Atoms sum;
  for (std::size_t i = 0; i < kProducts; ++i) {
    const Atoms a = atoms_of(static_cast<Species>(i));
    sum.c += a.c * mix.mol[i], sum.h += a.h * mix.mol[i], sum.o += a.o * mix.mol[i];
    sum.n += a.n * mix.mol[i], sum.ar += a.ar * mix.mol[i];
  }
  return sum;
}

void same_atoms(const Atoms& a, const Atoms& b) {
  EXPECT_NEAR(a.c, b.c, 1e-9);
  EXPECT_NEAR(a.h, b.h, 1e-9);
  EXPECT_NEAR(a.o, b.o, 1e-9);
  EXPECT_NEAR(a.n, b.n, 1e-8);
  EXPECT_NEAR(a.ar, b.ar, 1e-9);
}

TEST(ThermoProducts, Air) {
  const GasMix air = air_mix(kDryAirMakeup);
  EXPECT_NEAR(gas_constant_j_kg_k(air), 287.05, 0.15);  // ISO 2533
  struct Row {
    double temp_k, cp, gamma;  // from the coefficients, apart from this program
  };
  for (const Row& r :
       {Row{300, 1003.3, 1.4008}, {500, 1030.7, 1.3860}, {1000, 1142.5, 1.3356}, {2000, 1250.5, 1.2980}}) {
    EXPECT_NEAR(cp_j_kg_k(air, r.temp_k) / r.cp, 1, 2e-3) << r.temp_k;
    EXPECT_NEAR(gamma_of(air, r.temp_k) / r.gamma, 1, 2e-3) << r.temp_k;
  }
}

TEST(ThermoProducts, BurnedIsoOctane) {
  const GasMix mix = complete_products(charge_atoms(atoms_of(c8h18), 1, kHeywoodAir));
  EXPECT_NEAR(gas_constant_j_kg_k(mix), 290.66, 0.1);
  struct Row {
    double temp_k, gamma;  // from the coefficients, apart from this program
  };
  for (const Row& r : {Row{500, 1.3468}, {1000, 1.2935}, {1500, 1.2666}, {2000, 1.2525}}) {
    EXPECT_NEAR(gamma_of(mix, r.temp_k) / r.gamma, 1, 2e-3) << r.temp_k;
  }
}

TEST(ThermoProducts, CompleteBurning) {
  for (double phi = 0.4; phi <= 2; phi += 0.1) {
    const Atoms charge = charge_atoms(atoms_of(c8h18), phi, kDryAirMakeup);
    const GasMix mix = complete_products(charge);
    same_atoms(atoms_in(mix), charge);
    for (const double m : mix.mol) EXPECT_GE(m, 0) << phi;
    EXPECT_EQ(mix[co] > 1e-9, phi > 1 + 1e-9) << phi;
    if (phi > 1.05) {
      EXPECT_NEAR(mix[co] * mix[h2o] / (mix[co2] * mix[h2]), water_gas_constant(kWaterGasFreezesK), 1e-6);
    }
  }
  EXPECT_NEAR(water_gas_constant(1740), 3.5, 0.1);                  // Heywood, chapter 4
  EXPECT_NEAR(std::log10(water_gas_constant(1000)), -0.159, 0.02);  // JANAF, from memory
}

TEST(ThermoProducts, HeatOfRichMixtures) {
  EXPECT_NEAR(heat_share(petrol(), 1), 1, 1e-12);
  EXPECT_NEAR(heat_share(petrol(), 1.4), 1, 1e-12);
  // Heywood, figure 3-9, from memory: about 0.8 at phi 1.2 (with what lean mixtures lose too).
  EXPECT_NEAR(heat_share(petrol(), 1 / 1.2), 0.81, 0.04);
  EXPECT_LT(heat_share(petrol(), 0.7), heat_share(petrol(), 0.8));
}

TEST(ThermoEquilibrium, MethaneAt2225K) {
  const std::optional<GasMix> mix = equilibrium(charge_atoms(atoms_of(ch4), 1, kTextbookAir), 2225, kAtmospherePa);
  ASSERT_TRUE(mix);
  struct Row {
    Species species;
    double share;  // a reference computation apart from this program
  };
  for (const Row& r : {Row{co2, 0.08539},
                       {h2o, 0.18348},
                       {n2, 0.70860},
                       {o2, 0.00461},
                       {co, 0.00897},
                       {h2, 0.00360},
                       {oh, 0.00287},
                       {no, 0.00188}}) {
    EXPECT_NEAR(mix->share(r.species) / r.share, 1, 0.02) << static_cast<int>(r.species);
  }
}

TEST(ThermoEquilibrium, SettlesEverywhere) {
  for (const Species fuel : {c8h18, c2h5oh, ch3oh, ch4, h2}) {
    for (double phi = 0.4; phi <= 2.001; phi += 0.1) {
      const Atoms charge = charge_atoms(atoms_of(fuel), phi, kDryAirMakeup);
      for (double temp_k = 1000; temp_k <= 3500; temp_k += 250) {
        for (const double p_pa : {0.5e5, 1e6, 1e7}) {
          const std::optional<GasMix> mix = equilibrium(charge, temp_k, p_pa);
          ASSERT_TRUE(mix) << static_cast<int>(fuel) << " " << phi << " " << temp_k << " " << p_pa;
          same_atoms(atoms_in(*mix), charge);
          // Laws of mass action: both sides of a reaction have one chemical potential.
          const auto mu = [&](Species s) {
            return (molar_enthalpy_j_mol(s, temp_k) / temp_k - molar_entropy_j_mol_k(s, temp_k)) / kMolarGasConstant +
                   std::log(mix->share(s) * p_pa / kAtmospherePa);
          };
          ASSERT_NEAR(2 * mu(h2) + mu(o2), 2 * mu(h2o), 1e-6);
          ASSERT_NEAR(mu(n2) + mu(o2), 2 * mu(no), 1e-6);
          ASSERT_NEAR(mu(o) + mu(h), mu(oh), 1e-6);
          ASSERT_NEAR(mu(o2), 2 * mu(o), 1e-6);
          ASSERT_NEAR(mu(n2), 2 * mu(n), 1e-6);
          if (charge.c > 0) {
            ASSERT_NEAR(2 * mu(co) + mu(o2), 2 * mu(co2), 1e-6);
          }
        }
      }
    }
  }
}

TEST(ThermoEquilibrium, WhenColdItIsCompleteBurning) {
  for (const double phi : {0.7, 1.3}) {
    const Atoms charge = charge_atoms(atoms_of(c8h18), phi, kDryAirMakeup);
    const GasMix settled = equilibrium(charge, 1100, 1e6).value(), complete = complete_products(charge, 1100);
    for (const Species s : {n2, o2, co2, h2o, co, h2}) EXPECT_NEAR(settled[s], complete[s], 5e-3) << phi;
  }
}

double constant_pressure(Species fuel, double phi = 1) {
  return flame_at_constant_pressure_k(flame_start(fuel, phi, kTextbookAir)).value_or(0);
}

TEST(ThermoFlame, Stoichiometric) {
  struct Row {
    Species fuel;
    double pressure_k, unbroken_k, volume_k, off_k;  // a reference computation; published (Turns, Glassman) within 5 K
  };
  for (const Row& r : {Row{ch4, 2224.2, 2325.0, 2585.5, 5},
                       {c3h8, 2265.7, 2392.1, 2629.6, 5},
                       {c8h18, 2270.6, 2402.0, 2635.3, 8},
                       {ch3oh, 2220.3, 2329.3, 2571.5, 8},
                       {c2h5oh, 2235.8, 2351.6, 2592.7, 8},
                       {h2, 2379.9, 2519.4, 2748.3, 8}}) {
    const FlameStart start = flame_start(r.fuel, 1, kTextbookAir);
    EXPECT_NEAR(constant_pressure(r.fuel), r.pressure_k, r.off_k);
    EXPECT_NEAR(flame_at_constant_pressure_k(start, Dissociation::none).value_or(0), r.unbroken_k, r.off_k);
    EXPECT_NEAR(flame_at_constant_volume_k(start).value_or(0), r.volume_k, r.off_k);
  }
}

TEST(ThermoFlame, IsoOctaneLeanAndRich) {
  // A reference computation apart from this program.
  EXPECT_NEAR(constant_pressure(c8h18, 0.8), 2046.7, 8);
  EXPECT_NEAR(constant_pressure(c8h18, 0.9), 2184.0, 8);
  EXPECT_NEAR(constant_pressure(c8h18, 1.1), 2270.7, 8);
  EXPECT_NEAR(constant_pressure(c8h18, 1.2), 2207.1, 8);
  EXPECT_NEAR(constant_pressure(c8h18, 1.3), 2130.0, 8);
}

TEST(ThermoFlame, FuelByItsHeatingValue) {
  const auto hottest = [](const FlameStart& start) { return flame_at_constant_volume_k(start).value_or(0); };
  EXPECT_NEAR(hottest(flame_start(iso_octane(), 1, kTextbookAir)), hottest(flame_start(c8h18, 1, kTextbookAir)), 5);
  EXPECT_NEAR(hottest(flame_start(ethanol(), 1, kTextbookAir)), hottest(flame_start(c2h5oh, 1, kTextbookAir)), 10);
  // Petrol burns as hot as iso-octane, within a per cent or so (Heywood, figure 3-11, from memory).
  EXPECT_NEAR(hottest(flame_start(petrol(), 1, kTextbookAir)) / hottest(flame_start(c8h18, 1, kTextbookAir)), 1, 0.015);
}

TEST(ThermoFlame, NothingOutsideItsRange) {
  FlameStart start = flame_start(ch4, 1, kTextbookAir);
  start.enthalpy_j -= 1e6;
  EXPECT_FALSE(flame_at_constant_pressure_k(start));
  EXPECT_FALSE(flame_at_constant_volume_k(start));
}

TEST(ThermoWorkingGas, NearTheTable) {
  const GasMix air = air_mix(kDryAirMakeup);
  for (const Fuel& fuel : {petrol(), iso_octane(), methanol(), ethanol(), blend(petrol(), ethanol(), 0.85)}) {
    const WorkingGas gas = working_gas(fuel);
    const GasMix burned = complete_products(charge_atoms(fuel.mol_kg, 1, kDryAirMakeup));
    const auto cp = [](const LinearGas& g, double t) { return g.cv_j_kg_k(t) + g.constant_j_kg_k; };
    for (double t = 300; t <= 2000; t += 50) {
      EXPECT_NEAR(cp(gas.air, t) / cp_j_kg_k(air, t), 1, 0.03) << t;
      EXPECT_NEAR(cp(gas.burned, t) / cp_j_kg_k(burned, t), 1, 0.03) << t;
      EXPECT_NEAR(gas.air.gamma(t) / gamma_of(air, t), 1, 0.01) << t;
      EXPECT_NEAR(gas.burned.gamma(t) / gamma_of(burned, t), 1, 0.01) << t;
    }
    for (double t = 300; t <= 1000; t += 50) EXPECT_NEAR(cp(gas.fuel, t) / vapour_cp_j_kg_k(fuel, t), 1, 0.10) << t;
    EXPECT_EQ(gas.air.constant_j_kg_k, gas_constant_j_kg_k(air));
    EXPECT_EQ(gas.burned.constant_j_kg_k, gas_constant_j_kg_k(burned));
  }
}

TEST(ThermoWorkingGas, HowMuchIsMissingWhereGasesBreakUp) {
  const LinearGas line = working_gas(petrol()).burned;
  const Atoms charge = charge_atoms(petrol().mol_kg, 1, kDryAirMakeup);
  const auto energy_j_kg = [&](const GasMix& mix, double t) {
    return (enthalpy_j(mix, t) - mix.total_mol() * kMolarGasConstant * t) / mass_kg(charge);
  };
  const double cold = energy_j_kg(complete_products(charge), 300);
  struct Row {
    double temp_k, share;  // as the header says
  };
  for (const Row& r : {Row{1500, 0.99}, {2200, 0.98}, {2600, 0.94}, {3000, 0.87}}) {
    const double settled = energy_j_kg(equilibrium(charge, r.temp_k, 4e6).value(), r.temp_k) - cold;
    EXPECT_NEAR((line.energy_j_kg(r.temp_k) - line.energy_j_kg(300)) / settled, r.share, 0.008) << r.temp_k;
  }
}

TEST(ThermoWorkingGas, GammaAndEnergy) {
  const WorkingGas gas = working_gas(iso_octane());
  struct Row {
    double temp_k, air, burned;  // from the coefficients, apart from this program; as near as a line comes
  };
  for (const Row& r : {Row{500, 1.3860, 1.3468}, {1000, 1.3356, 1.2935}, {2000, 1.2980, 1.2525}}) {
    EXPECT_NEAR(gas.air.gamma(r.temp_k) / r.air, 1, 0.01) << r.temp_k;
    EXPECT_NEAR(gas.burned.gamma(r.temp_k) / r.burned, 1, 0.01) << r.temp_k;
  }
  const LinearGas line{287, 700, 0.2};
  EXPECT_EQ(line.energy_j_kg(0), 0);
  EXPECT_EQ(line.energy_j_kg(1000), 800e3);  // by hand
  EXPECT_EQ(line.cv_j_kg_k(1000), 900);
  // Keenan, Chao and Kaye, Gas Tables, from memory: 214.07 kJ/kg at 300 K, 1678.7 at 2000 K.
  EXPECT_NEAR((gas.air.energy_j_kg(2000) - gas.air.energy_j_kg(300)) / 1464.6e3, 1, 0.01);
}

}  // namespace
}  // namespace crankwise::thermo
