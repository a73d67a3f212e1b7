// Four-strokes, undisturbed.
#include "tests/sounds/recipe.h"

namespace crankwise::sounds {
namespace {

/// The limits that go with a 250.
void four_stroke(Recipe& r, Draw& d) {
  r.single = d.four_stroke();
  r.engine.rpm_min = 1000, r.engine.rpm_max = 14000;
}

void steady(Recipe& r, Draw& d) {
  four_stroke(r, d);
  r.truth = Ride(d.random).start(d.of(4000)).hold(6).truth();
}

void idle(Recipe& r, Draw& d) {
  four_stroke(r, d);
  r.single.scatter = 0.25, r.single.jitter = 0.012;
  r.truth = Ride(d.random).start(d.of(1800)).wander(0.015).idles().hold(8).truth();
}

void blips(Recipe& r, Draw& d) {
  four_stroke(r, d);
  Ride ride(d.random);
  const double top = d.of(9500);
  ride.start(d.of(1900)).wander(0.01).idles().hold(1.5).blip(top, d.of(0.7), 0.2, 0.3).hold(0.8);
  const double lower = d.of(7500), quicker_s = d.of(0.6);
  r.truth = ride.blip(lower, quicker_s, 0.1, 0.3).hold(0.8).blip(top, d.of(0.8), 0.3, 0.3).hold(1.2).truth();
  r.engine.idle_rpm = *r.truth.idle_rpm * d.random.uniform(0.85, 1.15);
}

void fast_ramp(Recipe& r, Draw& d) {
  four_stroke(r, d);
  Ride ride(d.random);
  const double first = d.of(11000, 0.06), first_s = d.of(0.8, 0.08), second = d.of(11000, 0.06),
               second_s = d.of(0.8, 0.08);
  ride.start(2000).hold(1).ramp(first, first_s).hold(0.6).settle(2000, 0.35, 1.8);
  r.truth = ride.ramp(second, second_s).hold(0.6).settle(2000, 0.35, 1.8).truth();
}

void misfire(Recipe& r, Draw& d) {
  four_stroke(r, d);
  r.single.weak.push_back({.share = d.of(0.15), .strength = 0.15});
  r.truth = Ride(d.random).start(d.of(5000)).wander(0.008).hold(2.5).ease(d.of(7500), 1.5).hold(2.5).truth();
}

void limiter(Recipe& r, Draw& d) {
  four_stroke(r, d);
  Ride ride(d.random);
  const double top = d.of(10200, 0.1), dip = d.of(400), hz = d.of(12);
  ride.start(d.of(1900))
      .wander(0.01)
      .idles()
      .hold(1)
      .ease(top, 1.2)
      .cut(top, dip, hz, 2.5)
      .settle(1900, 0.4, 2.2)
      .hold(1);
  r.single.weak = ride.cuts();
  r.truth = ride.truth();
}

/// Cold and hunting.
void cold_idle(Recipe& r, Draw& d) {
  four_stroke(r, d);
  r.single.scatter = 0.3, r.single.jitter = 0.02;
  const double share = d.of(0.12), hz = d.of(0.6);
  r.truth = Ride(d.random).start(d.of(2100)).wander(0.01).idles().surge(share, hz, 8).truth();
}

void big_single_idle(Recipe& r, Draw& d) {
  four_stroke(r, d);
  r.engine.rpm_min = 800, r.engine.rpm_max = 12000;
  r.single.blow_down_s = 0.0025;
  r.single.scatter = 0.25, r.single.jitter = 0.015;
  r.truth = Ride(d.random).start(1500).wander(0.015).idles().hold(4).blip(d.of(5000), 0.8, 0.3, 0.45).hold(2).truth();
}

/// The throttle is chopped and the speed comes down late.
void hanging_idle(Recipe& r, Draw& d) {
  four_stroke(r, d);
  Ride ride(d.random);
  ride.start(d.of(1800)).wander(0.01).idles().hold(1.5);
  const double top = d.of(8500), tau_s = d.of(1.1);
  r.truth = ride.blip(top, 0.8, 0.3, tau_s).hold(1.5).truth();
  r.engine.idle_rpm = r.truth.idle_rpm;
}

}  // namespace

std::vector<Kind> four_stroke_kinds() {
  return {{"4t_steady", true, steady},
          {"4t_idle", true, idle},
          {"4t_blips", true, blips},
          {"4t_fast_ramp", true, fast_ramp},
          {"4t_misfire", true, misfire},
          {"4t_limiter", true, limiter},
          {"4t_cold_idle", false, cold_idle},
          {"4t_big_idle", false, big_single_idle},
          {"4t_hanging_idle", true, hanging_idle}};
}

}  // namespace crankwise::sounds
