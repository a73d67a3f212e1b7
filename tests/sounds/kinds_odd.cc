// Tops, starts, stops and gears.
#include "tests/sounds/recipe.h"

namespace crankwise::sounds {
namespace {

void two_stroke(Recipe& r, Draw& d) {
  r.single = d.two_stroke();
  r.engine.rpm_min = 900, r.engine.rpm_max = 13500;
}

void four_stroke(Recipe& r, Draw& d) {
  r.single = d.four_stroke();
  r.engine.rpm_min = 1000, r.engine.rpm_max = 14000;
}

/// It flattens: the last thousand take as long as all before.
void soft_top(Recipe& r, Draw& d) {
  two_stroke(r, d);
  Ride ride(d.random);
  const double top = d.of(9500);
  ride.start(d.of(1900)).idles().hold(1).ease(0.88 * top, 0.9).settle(top, 0.45, 2.2).tops(Stop::soft).hold(1);
  r.truth = ride.settle(1900, 0.35, 2).hold(0.5).truth();
}

void breaking_up(Recipe& r, Draw& d) {
  two_stroke(r, d);
  const double top = d.of(9000);
  r.single.weak.push_back({.from_rpm = 0.95 * top, .share = d.of(0.3), .strength = 0.1});
  Ride ride(d.random);
  ride.start(d.of(1900)).idles().hold(1).ease(top, 1.1).wander(0.008).tops(Stop::breaking_up).hold(3);
  r.truth = ride.wander(0.004).settle(1900, 0.35, 2).hold(0.5).truth();
}

void surging(Recipe& r, Draw& d) {
  four_stroke(r, d);
  Ride ride(d.random);
  const double top = d.of(8800), share = d.of(0.06), hz = d.of(1.6);
  ride.start(d.of(1900)).idles().hold(1).ease(top, 1.2).tops(Stop::surging).surge(share, hz, 5);
  r.truth = ride.settle(1900, 0.4, 2).truth();
  r.truth.ceiling_rpm = top * (1 + share);
}

/// The float bowl runs dry.
void falls_away(Recipe& r, Draw& d) {
  four_stroke(r, d);
  Ride ride(d.random);
  ride.start(d.of(2000)).idles().hold(1).ease(d.of(10500), 1.3).tops(Stop::falls_away).hold(d.of(2.5));
  r.truth = ride.ease(d.of(7500), 1.5).wander(0.01).hold(2).settle(2000, 0.4, 2).truth();
}

void two_stroke_falls_away(Recipe& r, Draw& d) {
  two_stroke(r, d);
  Ride ride(d.random);
  ride.start(d.of(2000)).hold(1).ease(d.of(10000), 1).tops(Stop::falls_away).hold(d.of(3)).ease(d.of(6800), 1.2);
  const double from_s = ride.now_s() - 1.2;
  r.single.weak.push_back({.from_s = from_s, .share = 0.12, .strength = 0.2});
  r.truth = ride.hold(2).truth();
}

/// Full throttle through the gears: drops at each shift.
void pull(Recipe& r, Draw& d, bool shifts) {
  Ride ride(d.random);
  const double top = d.of(9000, 0.08);
  ride.start(d.of(3500)).hold(0.6).ramp(top, d.of(2.6));
  if (shifts) {
    for (const double left : {0.74, 0.8, 0.84})
      ride.settle(left * top * 0.98, 0.05, 0.15).ramp(left * top, 0.05).ramp(top, d.of(1.6));
  } else {
    ride.hold(0.6).ease(d.of(5000), 1).hold(0.5);
  }
  r.truth = ride.truth();
}

void four_stroke_gears(Recipe& r, Draw& d) {
  four_stroke(r, d);
  r.beside.push_back({Noise::wind, 12});
  pull(r, d, true);
}

void two_stroke_gears(Recipe& r, Draw& d) {
  two_stroke(r, d);
  r.beside.push_back({Noise::wind, 12});
  pull(r, d, true);
}

void pull_in_wind(Recipe& r, Draw& d) {
  four_stroke(r, d);
  r.beside.push_back({Noise::wind, d.of(6)});
  pull(r, d, false);
}

void starts(Recipe& r, Draw& d) {
  four_stroke(r, d);
  r.truth = Ride(d.random)
                .start(0)
                .silence(1.5)
                .start(1050)
                .ease(d.of(3000), 0.6)
                .settle(1900, 0.4, 2.4)
                .idles()
                .hold(3)
                .truth();
}

void stop_and_start(Recipe& r, Draw& d) {
  two_stroke(r, d);
  Ride ride(d.random);
  ride.start(d.of(1900)).wander(0.01).idles().hold(2.5).ease(900, 0.4).start(0).silence(2);
  r.truth = ride.start(1000).ease(d.of(2600), 0.5).settle(1900, 0.3, 2).hold(2).truth();
}

/// Two kicks that only turn it over, a third that fires.
void kick_over(Recipe& r, Draw& d) {
  two_stroke(r, d);
  r.beside.push_back({Noise::hammer, 22});  // the lever
  r.truth = Ride(d.random)
                .start(0)
                .silence(3.2)
                .start(950)
                .ease(d.of(2600), 0.5)
                .settle(1800, 0.3, 2)
                .idles()
                .hold(2.5)
                .truth();
}

/// Chopped to a stall.
void stall(Recipe& r, Draw& d) {
  four_stroke(r, d);
  Ride ride(d.random);
  ride.start(d.of(1800))
      .wander(0.015)
      .hold(1.5)
      .ease(d.of(7000), 0.8)
      .hold(0.5)
      .settle(1100, 0.35, 1.8)
      .start(0)
      .silence(2.5);
  r.truth = ride.truth();
}

}  // namespace

std::vector<Kind> odd_kinds() {
  return {{"2t_soft_top", true, soft_top},
          {"2t_breaking_up", true, breaking_up},
          {"4t_surging", true, surging},
          {"4t_falls_away", true, falls_away},
          {"2t_falls_away", false, two_stroke_falls_away},
          {"4t_pull_wind", true, pull_in_wind},
          {"4t_gears", false, four_stroke_gears},
          {"2t_gears", true, two_stroke_gears},
          {"4t_starts", true, starts},
          {"2t_stop_and_start", false, stop_and_start},
          {"2t_kick_over", false, kick_over},
          {"4t_stall", false, stall}};
}

}  // namespace crankwise::sounds
