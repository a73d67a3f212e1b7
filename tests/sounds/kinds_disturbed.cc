// Wind, telephones, other engines and a noisy workshop.
#include "tests/sounds/recipe.h"

namespace crankwise::sounds {
namespace {

void blips(Recipe& r, Draw& d, bool four) {
  r.single = four ? d.four_stroke() : d.two_stroke();
  r.engine.rpm_min = four ? 1000 : 900, r.engine.rpm_max = four ? 14000 : 13500;
  const double top = d.of(four ? 9500 : 11000);
  Ride ride(d.random);
  ride.start(d.of(four ? 1900 : 1700)).wander(0.01).idles().hold(1.5).blip(top, d.of(0.7), 0.25, 0.28).hold(0.8);
  r.truth = ride.blip(top, d.of(0.8), 0.3, 0.28).hold(1.2).truth();
}

/// As one records on purpose: a hold, a rise, a hold.
void two_holds(Recipe& r, Draw& d, bool four) {
  r.single = four ? d.four_stroke() : d.two_stroke();
  r.engine.rpm_min = four ? 1000 : 900, r.engine.rpm_max = four ? 14000 : 13500;
  const double low = d.of(four ? 3500 : 4000), high = d.of(four ? 8000 : 9000);
  r.truth = Ride(d.random).start(low).wander(0.006).hold(2.5).ease(high, 1.5).hold(2.5).ease(low, 1.2).hold(1).truth();
}

void wind(Recipe& r, Draw& d, bool four, double snr_db) {
  two_holds(r, d, four);
  r.beside.push_back({Noise::wind, snr_db});
}

void two_wind_6(Recipe& r, Draw& d) { wind(r, d, false, 6); }
void two_wind_0(Recipe& r, Draw& d) { wind(r, d, false, 0); }
void two_wind_minus_6(Recipe& r, Draw& d) { wind(r, d, false, -6); }
void four_wind_6(Recipe& r, Draw& d) { wind(r, d, true, 6); }
void four_wind_0(Recipe& r, Draw& d) { wind(r, d, true, 0); }

void gusts(Recipe& r, Draw& d) {
  two_holds(r, d, false);
  r.beside.push_back({Noise::gusts, 3});
}

void agc(Recipe& r, Draw& d, bool four) {
  blips(r, d, four);
  r.phone.agc = true;
  r.phone.attack_s = d.of(0.008, 0.4), r.phone.release_s = d.of(0.4, 0.4);
  r.phone.clip = d.of(1.2, 0.1);
}

void two_agc(Recipe& r, Draw& d) { agc(r, d, false); }
void four_agc(Recipe& r, Draw& d) { agc(r, d, true); }

void two_high_pass(Recipe& r, Draw& d) {
  blips(r, d, false);
  r.phone.high_pass_hz = 250, r.phone.high_pass_times = 2;
}

void four_high_pass(Recipe& r, Draw& d) {
  blips(r, d, true);
  r.phone.high_pass_hz = 250, r.phone.high_pass_times = 2;
}

/// A messenger's voice note: 3.4 kHz, high-passed, level held.
void voice_message(Recipe& r, Draw& d) {
  blips(r, d, false);
  r.phone.high_pass_hz = 200, r.phone.low_pass_hz = 3400, r.phone.agc = true;
}

void echo(Recipe& r, Draw& d) {
  two_holds(r, d, true);
  r.phone.echo_s = d.of(0.0042, 0.3), r.phone.echo = d.of(0.7, 0.1);
}

void garage(Recipe& r, Draw& d) {
  blips(r, d, true);
  r.phone.echo_s = d.of(0.019, 0.2), r.phone.echo = 0.5;
  r.beside.push_back({Noise::compressor, 10});
}

void second(Recipe& r, Draw& d, double level_db) {
  two_holds(r, d, false);
  Single other = d.random.uniform() < 0.5 ? d.two_stroke() : d.four_stroke();
  Truth ridden = Ride(d.random).start(d.of(5200, 0.2)).wander(0.01).hold(4).ease(d.of(6300, 0.1), 2).hold(6).truth();
  r.second = Second{.single = std::move(other), .truth = std::move(ridden), .level_db = level_db};
}

void second_minus_6(Recipe& r, Draw& d) { second(r, d, -6); }
void second_equal(Recipe& r, Draw& d) { second(r, d, 0); }

void pass_by(Recipe& r, Draw& d) {
  r.single = d.two_stroke();
  r.engine.rpm_min = 900, r.engine.rpm_max = 13500;
  r.truth = Ride(d.random).start(d.of(7000)).wander(0.003).hold(7).truth();
  r.passing = Passing{.speed_mps = d.of(14), .closest_m = d.of(5, 0.3), .closest_s = d.of(3.5)};
  r.beside[0].snr_db = 20;
}

void beside(Recipe& r, Draw& d, bool four, Noise noise, double snr_db) {
  blips(r, d, four);
  r.beside.push_back({noise, snr_db});
}

void voice(Recipe& r, Draw& d) { beside(r, d, false, Noise::speech, 6); }
void hammering(Recipe& r, Draw& d) { beside(r, d, true, Noise::hammer, 6); }
void radio(Recipe& r, Draw& d) { beside(r, d, false, Noise::music, 10); }
void mains(Recipe& r, Draw& d) { beside(r, d, true, Noise::hum_50, 10); }
void hiss(Recipe& r, Draw& d) { beside(r, d, false, Noise::white, 3); }

}  // namespace

std::vector<Kind> disturbed_kinds() {
  return {{"2t_wind_6", true, two_wind_6},
          {"2t_wind_0", true, two_wind_0},
          {"2t_wind_minus_6", true, two_wind_minus_6},
          {"4t_wind_6", true, four_wind_6},
          {"4t_wind_0", true, four_wind_0},
          {"2t_gusts", false, gusts},
          {"2t_agc", true, two_agc},
          {"4t_agc", true, four_agc},
          {"2t_high_pass", true, two_high_pass},
          {"4t_high_pass", true, four_high_pass},
          {"2t_voice_message", false, voice_message},
          {"4t_echo", true, echo},
          {"4t_garage", true, garage},
          {"second_engine_minus_6", true, second_minus_6},
          {"second_engine_equal", true, second_equal},
          {"pass_by", true, pass_by},
          {"2t_voice", false, voice},
          {"4t_hammering", false, hammering},
          {"2t_radio", false, radio},
          {"4t_mains_hum", false, mains},
          {"2t_hiss", false, hiss}};
}

}  // namespace crankwise::sounds
