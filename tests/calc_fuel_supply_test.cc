// Fuel that the engine burns, and that tap, hose, pump, vent and injector let through.
#include "core/calc/fuel_supply.h"

#include <gtest/gtest.h>

#include <cmath>

#include "tests/calc_row.h"

namespace crankwise {
namespace {

constexpr double kMillilitresPerMinute = 1e-6 / 60;
constexpr double kLitre = 1e-3, kMillilitre = 1e-6;

double burns(double kilowatts, double kg_per_kwh) {
  return demand_from_power({kilowatts * 1e3, kg_per_kwh / 3.6e6}, kPetrol).volume_m3_s;
}
double ml_min(double flow_m3_s) { return flow_m3_s / kMillilitresPerMinute; }

TEST(CalcFuel, Petrol) {
  check({{"5.23", kPetrol.stoichiometric_air, 14.60, rel(0.01), "Heywood table D.4, petrol as CH1.87", kFromMemory},
         {"5.23", kPetrol.stoichiometric_air, 14.7, rel(0.01), "US Department of Energy fuel table", kRead},
         {"5.29", 1e6 * kPetrol.viscosity_m2_s, 0.55, off(0.05 + 1e-12), "US Department of Energy, 0.5 to 0.6 mm2/s",
          kRead}});
}

TEST(CalcFuel, DemandFromPower) {
  const char* definition = "power x consumption / density, 745 kg/m3";
  const FuelDemand d = demand_from_power({30e3, 0.50 / 3.6e6}, kPetrol);
  check({{"8.1", d.mass_kg_s * 3600, 15.0, rel(1e-3), definition, kComputed},
         {"8.1", ml_min(d.volume_m3_s), 335.6, rel(1e-3), definition, kComputed},
         {"8.2 250 two-stroke", ml_min(burns(39, 0.50)), 436.2, rel(1e-3), definition, kComputed},
         {"8.2 250F", ml_min(burns(36, 0.31)), 249.7, rel(1e-3), definition, kComputed},
         {"8.2 450F", ml_min(burns(46, 0.31)), 319.0, rel(1e-3), definition, kComputed},
         {"8.2 85", ml_min(burns(19, 0.50)), 212.5, rel(1e-3), definition, kComputed}});
  EXPECT_TRUE(d.flags.empty());
  EXPECT_TRUE(has(demand_from_power({30e3, 0.10 / 3.6e6}, kPetrol).flags, CalcFlag::consumption_unusual));
}

TEST(CalcFuel, DemandFromAir) {
  // By hand, 250F at 13 400 rpm: 249.6e-6 x 111.667 x 1.0 x 1.225 = 0.034144 kg/s of air, over 14.6 x 0.87 = 12.702.
  const AirLoad load{
      .displacement_m3 = 249.6e-6, .turns_per_s = 13400 / 60.0, .cycle = Cycle::four_stroke, .delivery_ratio = 1};
  const FuelDemand d = demand_from_air(load, kPetrol);
  EXPECT_NEAR(d.mass_kg_s, 2.6881e-3, 1e-6);
  EXPECT_TRUE(d.flags.empty());
  // The two ways are independent of each other; for a 250F they agree within a seventh.
  EXPECT_NEAR(d.volume_m3_s / burns(36, 0.31), 1, 0.14);
  // For a 250 two-stroke at 8500 rpm they do not: the header says 0.6.
  const AirLoad two_stroke{
      .displacement_m3 = 249.3e-6, .turns_per_s = 8500 / 60.0, .cycle = Cycle::two_stroke, .delivery_ratio = 1};
  EXPECT_NEAR(demand_from_air(two_stroke, kPetrol).volume_m3_s / burns(39, 0.50), 0.6, 0.05);
  AirLoad other = load;
  other.cycle = Cycle::two_stroke;
  EXPECT_NEAR(demand_from_air(other, kPetrol).mass_kg_s, 2 * d.mass_kg_s, 1e-12);
  other.delivery_ratio = 1.5;
  other.lambda = 0.6;
  EXPECT_TRUE(has(demand_from_air(other, kPetrol).flags, CalcFlag::delivery_unusual));
  EXPECT_TRUE(has(demand_from_air(other, kPetrol).flags, CalcFlag::mixture_unusual));
}

TEST(CalcFuel, TapAndHose) {
  const char* orifice = "Cd A sqrt(2 g h), Cd 0.6";
  const char* poiseuille = "128 mu L Q / (pi d^4)";
  const HoseLoss wide = hose_loss(400 * kMillilitresPerMinute, 6e-3, 0.3, kPetrol);
  const HoseLoss choked = hose_loss(400 * kMillilitresPerMinute, 3e-3, 0.3, kPetrol);
  const double millimetre = kPetrol.density_kg_m3 * 9.80665e-3;  // Pa to a mm of fuel
  check({{"8.4", ml_min(flow_by_head(2.5e-3, 0.20)), 350, rel(1e-3), orifice, kComputed},
         {"8.4", ml_min(flow_by_head(3.0e-3, 0.20)), 504, rel(1e-3), orifice, kComputed},
         {"8.4", ml_min(flow_by_head(4.0e-3, 0.20)), 896, rel(1e-3), orifice, kComputed},
         {"8.4", ml_min(flow_by_head(3.0e-3, 0.10)), 356, rounded_to(1), orifice, kComputed},
         {"8.5", wide.reynolds, 2358, rel(1e-3), poiseuille, kComputed},
         {"8.5", wide.laminar_pa, 28.1, rel(1e-3), poiseuille, kComputed},
         {"8.5", wide.laminar_pa / millimetre, 3.85, rel(1e-3), poiseuille, kComputed},
         {"8.6", choked.reynolds, 4716, rel(1e-3), poiseuille, kComputed},
         {"8.6", choked.laminar_pa, 449.7, rel(1e-3), poiseuille, kComputed},
         {"8.6", choked.laminar_pa / millimetre, 61.6, rel(1e-3), poiseuille, kComputed}});
  EXPECT_GT(choked.likely_pa, choked.laminar_pa);  // "real loss is larger, flow is turbulent"
  EXPECT_TRUE(has(choked.flags, CalcFlag::rough_flow));
  EXPECT_EQ(hose_loss(200 * kMillilitresPerMinute, 6e-3, 0.3, kPetrol).likely_pa,
            hose_loss(200 * kMillilitresPerMinute, 6e-3, 0.3, kPetrol).laminar_pa);
}

TEST(CalcFuel, PumpAgainstDemand) {
  const Supply s = pump_supply({89 * kMillilitre, 10, 294e3, 294e3}, burns(36, 0.31));
  const char* service = "factory service data, 250F: at least 89 mL in 10 s";
  check({{"8.3", ml_min(s.flow_m3_s), 534, rel(1e-3), service, kRead},
         {"8.3", s.margin, 2.1, rounded_to(0.1), "534 mL/min to row 8.2", kComputed}});
  EXPECT_TRUE(s.flags.empty());
  EXPECT_TRUE(has(pump_supply({89 * kMillilitre, 10, 250e3, 294e3}, burns(36, 0.31)).flags, CalcFlag::pressure_low));
  EXPECT_TRUE(has(pump_supply({30 * kMillilitre, 10, 294e3, 294e3}, burns(36, 0.31)).flags, CalcFlag::short_of_demand));
}

TEST(CalcFuel, TrapATapThatRunsCanStillBeShort) {  // T13
  const double demand = burns(39, 0.50);
  const GravityFeed dirty{.head_m = 0.15, .tap_bore_m = 2.5e-3, .hose_bore_m = 6e-3, .hose_m = 0.3};
  const Supply s = gravity_supply(dirty, kPetrol, demand);
  EXPECT_GT(ml_min(s.flow_m3_s), 250);  // it runs, and looks well
  EXPECT_LT(s.margin, 1);
  EXPECT_TRUE(has(s.flags, CalcFlag::short_of_demand));
  // A pump that was let run freely has not shown that it holds its pressure, however much comes.
  const Supply free = pump_supply({150 * kMillilitre, 10, 2e3, 294e3}, demand);
  EXPECT_GT(free.margin, 1.5);
  EXPECT_TRUE(has(free.flags, CalcFlag::not_under_pressure));
  // The same hole under pump pressure passes fourteen times what it does by its head.
  EXPECT_NEAR(flow_by_head(2.5e-3, 294e3 / (745 * 9.80665)) / flow_by_head(2.5e-3, 0.20), std::sqrt(294e3 / 1461),
              0.01);
}

TEST(CalcFuel, GravityFeed) {
  const double demand = burns(30, 0.50);
  const auto flow = [&](const GravityFeed& f) { return gravity_supply(f, kPetrol, demand).flow_m3_s; };
  const GravityFeed feed{.head_m = 0.2, .tap_bore_m = 3e-3, .hose_bore_m = 6e-3, .hose_m = 0.3};
  GravityFeed no_hose = feed;
  no_hose.hose_m = 0;
  EXPECT_NEAR(flow(no_hose), flow_by_head(3e-3, 0.2), 1e-12);
  EXPECT_LT(flow(feed), flow(no_hose));
  // Tap and hose together use up the head.
  const double used = std::pow(flow(feed) / flow_by_head(3e-3, 1), 2) +
                      hose_loss(flow(feed), 6e-3, 0.3, kPetrol).likely_pa / (745 * 9.80665);
  EXPECT_NEAR(used, 0.2, 1e-6);
  double before = 0;
  for (double head = 0.02; head < 0.4; head += 0.02) {
    GravityFeed f = feed;
    f.head_m = head;
    EXPECT_GE(flow(f), before);
    before = flow(f);
    GravityFeed narrow = f;
    narrow.hose_bore_m = 4e-3;
    EXPECT_LT(flow(narrow), flow(f));
  }
}

TEST(CalcFuel, TradeFiguresForATap) {  // common practice: 30 s into a measure, 1.5 times the demand; no factory number
  EXPECT_TRUE(measured_gravity_supply(335 * kMillilitre, 30, burns(39, 0.50)).flags.empty());
  EXPECT_TRUE(has(measured_gravity_supply(250 * kMillilitre, 30, burns(39, 0.50)).flags, CalcFlag::thin_margin));
  EXPECT_TRUE(has(measured_gravity_supply(200 * kMillilitre, 30, burns(39, 0.50)).flags, CalcFlag::short_of_demand));
  EXPECT_NEAR(ml_min(measured_gravity_supply(250 * kMillilitre, 30, burns(30, 0.50)).flow_m3_s), 500, 1e-9);
}

TEST(CalcFuel, BlockedVent) {
  struct Row {
    double litres, drawn_ml, seconds;
  };
  const char* boyle = "p V = const, head 0.20 m of petrol (1461 Pa)";
  for (const Row& r : {Row{0.5, 7.3, 1.5}, {2.0, 29.3, 5.9}, {5.0, 73.2, 14.6}}) {
    const VentAnswer a = blocked_vent({r.litres * kLitre, 0.20}, kPetrol, 300 * kMillilitresPerMinute);
    check({{"8.7", a.drawn_m3 / kMillilitre, r.drawn_ml, rounded_to(0.1), boyle, kComputed},
           {"8.7", a.seconds, r.seconds, rounded_to(0.1), boyle, kComputed}});
    EXPECT_TRUE(has(a.flags, CalcFlag::vapour_left_out));
    // The vacuum after that draw is the head.
    EXPECT_NEAR(vacuum_after_draw(r.litres * kLitre, a.drawn_m3, 101325), 745 * 9.80665 * 0.20, 1e-6);
  }
  check({{"8.7", 745 * 9.80665 * 0.20, 1461, rel(1e-3), "rho g h", kComputed},
         {"8.8", vacuum_after_draw(2 * kLitre, 100 * kMillilitre, 101325), 4825, rel(1e-3), boyle, kComputed}});
  const VentAnswer bowl =
      blocked_vent({2 * kLitre, 0.20, 101325, 60 * kMillilitre}, kPetrol, 300 * kMillilitresPerMinute);
  EXPECT_NEAR(bowl.seconds - blocked_vent({2 * kLitre, 0.20}, kPetrol, 300 * kMillilitresPerMinute).seconds, 12, 1e-9);
}

TEST(CalcFuel, InjectorByPressure) {
  const Injector injector{300 * kMillilitresPerMinute, 300e3};
  // By hand: sqrt(250 / 300) = 0.912871.
  EXPECT_NEAR(ml_min(injector_flow(injector, 250e3, 0).flow_m3_s), 273.861, 1e-3);
  EXPECT_NEAR(injector_flow(injector, 300e3, 150 * kMillilitresPerMinute).open_share, 0.5, 1e-12);
  EXPECT_TRUE(injector_flow(injector, 300e3, 150 * kMillilitresPerMinute).flags.empty());
  EXPECT_TRUE(has(injector_flow(injector, 300e3, 270 * kMillilitresPerMinute).flags, CalcFlag::injector_open_too_long));
  EXPECT_TRUE(has(injector_flow(injector, 100e3, 0).flags, CalcFlag::injector_pressure_far));
  EXPECT_TRUE(has(injector_flow(injector, 700e3, 0).flags, CalcFlag::injector_pressure_far));
}

}  // namespace
}  // namespace crankwise
