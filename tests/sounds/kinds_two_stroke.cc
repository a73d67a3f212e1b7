// Two-strokes, undisturbed.
#include "tests/sounds/recipe.h"

namespace crankwise::sounds {
namespace {

/// The limits that go with a 125 or 250.
void two_stroke(Recipe& r, Draw& d) {
  r.single = d.two_stroke();
  r.engine.rpm_min = 900, r.engine.rpm_max = 13500;
}

void steady(Recipe& r, Draw& d) {
  two_stroke(r, d);
  r.truth = Ride(d.random).start(d.of(6000)).hold(6).truth();
}

void idle(Recipe& r, Draw& d) {
  two_stroke(r, d);
  r.single.scatter = 0.35, r.single.jitter = 0.02;
  r.truth = Ride(d.random).start(d.of(1500)).wander(0.02).idles().hold(8).truth();
}

Truth blips(Draw& d, double idle, double top, double tau = 0.28) {
  Ride ride(d.random);
  ride.start(idle).wander(0.01).idles().hold(1.5).blip(top, d.of(0.7), 0.25, tau).hold(0.6);
  const double lower = d.of(0.8 * top), quicker_s = d.of(0.55);
  ride.blip(lower, quicker_s, 0.1, tau).hold(0.8).blip(top, d.of(0.8), 0.3, tau).hold(1.2);
  return ride.truth();
}

void blip(Recipe& r, Draw& d) {
  two_stroke(r, d);
  const double idle = d.of(1700), top = d.of(11000);
  r.truth = blips(d, idle, top);
  r.engine.idle_rpm = *r.truth.idle_rpm * d.random.uniform(0.85, 1.15);
}

void ramp(Recipe& r, Draw& d) {
  two_stroke(r, d);
  const double top = d.of(12000, 0.05), rise_s = d.of(1.5);
  r.truth = Ride(d.random).start(d.of(2000)).hold(1.2).ramp(top, rise_s).hold(1).settle(2000, 0.35, 2).truth();
}

void fast_ramp(Recipe& r, Draw& d) {
  two_stroke(r, d);
  Ride ride(d.random);
  const double first = d.of(12000, 0.05), first_s = d.of(0.5, 0.08), second = d.of(12000, 0.05),
               second_s = d.of(0.6, 0.08);
  ride.start(2000).hold(1).ramp(first, first_s).hold(0.4).settle(2000, 0.3, 1.6);
  ride.ramp(second, second_s).hold(0.4).settle(2000, 0.3, 1.6);
  r.truth = ride.truth();
}

void four_stroking(Recipe& r, Draw& d, double strength) {
  two_stroke(r, d);
  r.single.weak.push_back({.alternate = true, .strength = strength});
  r.truth = Ride(d.random).start(d.of(7200)).wander(0.008).hold(6).truth();
  r.truth.four_stroking_rpm = Range{0, 20000};
}

void four_stroking_55(Recipe& r, Draw& d) { four_stroking(r, d, d.of(0.55, 0.05)); }

void four_stroking_15(Recipe& r, Draw& d) {
  four_stroking(r, d, 0.15);
  r.truth.octave_open = true;
}

/// The rider says that it never was below some speed.
void four_stroking_told(Recipe& r, Draw& d) {
  four_stroking(r, d, 0.15);
  r.engine.rpm_min = 0.7 * r.truth.rpm.rpm(0);
}

/// Clean at idle, so that one path tells.
void four_stroking_from_idle(Recipe& r, Draw& d) {
  two_stroke(r, d);
  const double top = d.of(7500);
  r.single.weak.push_back({.from_rpm = 0.7 * top, .alternate = true, .strength = 0.2});
  r.truth = Ride(d.random).start(d.of(1900)).idles().hold(1.5).ease(top, 1.2).hold(3).settle(1900, 0.35, 2.2).truth();
  r.truth.four_stroking_rpm = Range{0.7 * top, 20000};
}

void rich_ramp(Recipe& r, Draw& d) {
  two_stroke(r, d);
  r.single.weak.push_back({.alternate = true, .strength = d.of(0.5, 0.06)});
  const double top = d.of(9500), rise_s = d.of(3);
  r.truth = Ride(d.random).start(d.of(3000)).hold(1).ramp(top, rise_s).hold(1.5).truth();
  r.truth.four_stroking_rpm = Range{0, 20000};
}

/// Half throttle: every second firing weak in the middle only.
void rich_middle(Recipe& r, Draw& d) {
  two_stroke(r, d);
  r.single.weak.push_back({.from_rpm = 4500, .to_rpm = 7000, .alternate = true, .strength = d.of(0.45, 0.06)});
  r.truth =
      Ride(d.random).start(d.of(2200)).hold(1).ramp(5800, 1.2).hold(2.5).ramp(d.of(10000, 0.06), 1.2).hold(1.5).truth();
  r.truth.four_stroking_rpm = Range{4500, 7000};
}

void misfire(Recipe& r, Draw& d, double share) {
  two_stroke(r, d);
  r.single.weak.push_back({.share = share, .strength = 0.15});
  r.truth = Ride(d.random).start(d.of(5500)).wander(0.008).hold(2.5).ease(d.of(8000), 1.5).hold(2.5).truth();
}

void misfire_10(Recipe& r, Draw& d) { misfire(r, d, d.of(0.10)); }
void misfire_30(Recipe& r, Draw& d) { misfire(r, d, d.of(0.30, 0.06)); }

void limiter(Recipe& r, Draw& d) {
  two_stroke(r, d);
  Ride ride(d.random);
  const double top = d.of(10500, 0.08), dip = d.of(350), hz = d.of(10);
  ride.start(d.of(1900))
      .wander(0.01)
      .idles()
      .hold(1)
      .ease(top, 1.1)
      .cut(top, dip, hz, 2.5)
      .settle(1900, 0.35, 2)
      .hold(1);
  r.single.weak = ride.cuts();
  r.truth = ride.truth();
}

/// One silencer that rings louder than all.
void resonant(Recipe& r, Draw& d) {
  two_stroke(r, d);
  r.single.pipe.push_back({d.of(480, 0.3), 18, 3});
  r.truth = Ride(d.random).start(d.of(4000)).hold(1.5).ease(d.of(7500), 2).hold(2).ease(d.of(5000), 1).hold(1).truth();
}

void small_engine(Recipe& r, Draw& d) {
  two_stroke(r, d);
  r.engine.rpm_max = 14500;
  r.truth = Ride(d.random).start(d.of(2200)).idles().hold(1).blip(12500, 0.7, 1.5, 0.25).hold(1.5).truth();
  r.truth.ceiling_rpm = 12500;
}

void short_clip(Recipe& r, Draw& d) {
  two_stroke(r, d);
  r.truth = Ride(d.random).start(d.of(5200)).wander(0.01).hold(1).truth();
}

}  // namespace

std::vector<Kind> two_stroke_kinds() {
  return {{"2t_steady", true, steady},
          {"2t_idle", true, idle},
          {"2t_blips", true, blip},
          {"2t_ramp", true, ramp},
          {"2t_fast_ramp", true, fast_ramp},
          {"2t_four_stroking_55", true, four_stroking_55},
          {"2t_four_stroking_15", true, four_stroking_15},
          {"2t_four_stroking_told", true, four_stroking_told},
          {"2t_four_stroking_from_idle", false, four_stroking_from_idle},
          {"2t_rich_ramp", true, rich_ramp},
          {"2t_rich_middle", false, rich_middle},
          {"2t_misfire_10", true, misfire_10},
          {"2t_misfire_30", true, misfire_30},
          {"2t_limiter", true, limiter},
          {"2t_resonant", true, resonant},
          {"2t_small", false, small_engine},
          {"2t_one_second", false, short_clip}};
}

}  // namespace crankwise::sounds
