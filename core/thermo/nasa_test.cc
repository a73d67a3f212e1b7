// Heat capacities and enthalpies against JANAF and CODATA.
#include "core/thermo/nasa.h"

#include <gtest/gtest.h>

#include <cmath>
#include <initializer_list>

namespace crankwise::thermo {
namespace {

using enum Species;

void near(double got, double expected, double share, const char* what) {
  EXPECT_NEAR(got / expected, 1, share) << what << ": " << got << ", expected " << expected;
}

TEST(ThermoNasa, HeatCapacity) {
  struct Row {
    Species species;
    double at_300, at_500, at_1500, at_2500;      // computed from the coefficients apart from this program
    double cold, hot, hottest, share, share_hot;  // JANAF tables, from memory: 298.15, 1000, 2000 K
  };
  for (const Row& r : {
           Row{n2, 29.075, 29.636, 34.805, 36.646, 29.124, 32.697, 35.971, 3e-3, 3e-3},
           {o2, 29.388, 31.084, 36.575, 38.907, 29.376, 34.870, 37.741, 2e-3, 2e-3},
           {co2, 37.218, 44.620, 58.396, 61.413, 37.129, 54.308, 60.350, 1e-3, 1e-3},
           {h2o, 33.596, 35.214, 47.291, 54.806, 33.590, 41.268, 51.180, 1e-3, 1.2e-2},
           {co, 29.143, 29.811, 35.211, 36.816, 29.142, 33.183, 36.250, 1e-3, 1e-3},
           {h2, 28.851, 29.298, 32.279, 35.851, 28.836, 30.205, 34.280, 2e-3, 2e-3},
       }) {
    const auto cp = [&](double t) { return molar_cp_j_mol_k(r.species, t); };
    near(cp(300), r.at_300, 3e-5, "300 K");
    near(cp(500), r.at_500, 3e-5, "500 K");
    near(cp(1500), r.at_1500, 3e-5, "1500 K");
    near(cp(2500), r.at_2500, 3e-5, "2500 K");
    near(cp(298.15), r.cold, r.share, "298.15 K");
    near(cp(1000), r.hot, r.share_hot, "1000 K");
    near(cp(2000), r.hottest, r.share_hot, "2000 K");
  }
}

TEST(ThermoNasa, Enthalpy) {
  struct Row {
    Species species;
    double at_1000, at_2000;  // JANAF tables, from memory: h(T) - h(298.15), kJ/mol
  };
  for (const Row& r : {Row{n2, 21.463, 56.137},
                       {o2, 22.703, 59.175},
                       {co2, 33.397, 91.439},
                       {h2o, 26.000, 72.790},
                       {co, 21.690, 56.744},
                       {h2, 20.680, 52.951}}) {
    const auto rise = [&](double t) {
      return (molar_enthalpy_j_mol(r.species, t) - molar_enthalpy_j_mol(r.species, kReferenceK)) / 1e3;
    };
    near(rise(1000), r.at_1000, 1e-3, "1000 K");
    near(rise(2000), r.at_2000, 4e-3, "2000 K");
  }
  const auto formed = [](Species s) { return molar_enthalpy_j_mol(s, kReferenceK) / 1e3; };
  // CODATA and JANAF, from memory.
  EXPECT_NEAR(formed(co2), -393.51, 0.02);
  EXPECT_NEAR(formed(h2o), -241.83, 0.02);
  EXPECT_NEAR(formed(co), -110.53, 0.02);
  // NIST WebBook, from memory.
  EXPECT_NEAR(formed(c2h5oh), -234.95, 0.1);
  EXPECT_NEAR(formed(c8h18), -224.1, 0.7);
}

TEST(ThermoNasa, Entropy) {
  const auto s = [](Species species) { return molar_entropy_j_mol_k(species, kReferenceK); };
  // CODATA key values at 1 bar, from memory; 1 atm is R ln 1.01325 = 0.11 less.
  const double atm = kMolarGasConstant * std::log(1.01325);
  EXPECT_NEAR(s(n2), 191.609 - atm, 0.15);
  EXPECT_NEAR(s(o2), 205.152 - atm, 0.15);
  EXPECT_NEAR(s(co2), 213.785 - atm, 0.15);
  EXPECT_NEAR(s(h2o), 188.835 - atm, 0.15);
  EXPECT_NEAR(s(h2), 130.680 - atm, 0.15);
}

TEST(ThermoNasa, EverySpeciesJoinsAndIntegrates) {
  for (std::size_t i = 0; i < kSpecies; ++i) {
    const Species s = static_cast<Species>(i);
    const double middle = s == c8h18 ? 1396 : 1000;
    for (const double t : {400.0, middle, 1900.0}) {
      // By definition: cp is the slope of h, and cp / T that of s; at the middle the two ranges meet.
      const double step = t == middle ? 1e-6 : 0.1;
      const double cp = molar_cp_j_mol_k(s, t);
      const double rise = molar_enthalpy_j_mol(s, t + step) - molar_enthalpy_j_mol(s, t - step);
      const double order = molar_entropy_j_mol_k(s, t + step) - molar_entropy_j_mol_k(s, t - step);
      if (t == middle) {
        EXPECT_NEAR(rise, 0, 50) << i;
        EXPECT_NEAR(order, 0, 0.05) << i;
        EXPECT_NEAR(molar_cp_j_mol_k(s, t - step) / cp, 1, 5e-3) << i;
      } else {
        EXPECT_NEAR(rise / (2 * step) / cp, 1, 1e-6) << i;
        EXPECT_NEAR(order / (2 * step) * t / cp, 1, 1e-6) << i;
      }
    }
  }
  EXPECT_NEAR(molar_mass_kg_mol(c8h18), 114.23e-3, 1e-5);  // Heywood, table D.4
  EXPECT_NEAR(molar_mass_kg_mol(h2o), 18.015e-3, 1e-6);
}

}  // namespace
}  // namespace crankwise::thermo
