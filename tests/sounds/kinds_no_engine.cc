// Takes without an engine.
#include "tests/sounds/recipe.h"

namespace crankwise::sounds {
namespace {

/// `noise` 20 dB above the background; the telephone's owner says that it is a two-stroke.
void only(Recipe& r, Draw& d, Noise noise) {
  r.engine.rpm_min = 900, r.engine.rpm_max = 13500;
  r.truth.engine = false;
  r.truth.rpm = Ride(d.random).start(0).silence(6).truth().rpm;
  r.beside = {{noise, 0}, {Noise::air, 20}};
}

void silence(Recipe& r, Draw& d) {
  only(r, d, Noise::air);
  r.phone.level = 0.0005;
}
void speech(Recipe& r, Draw& d) { only(r, d, Noise::speech); }
void music(Recipe& r, Draw& d) { only(r, d, Noise::music); }
void wind(Recipe& r, Draw& d) { only(r, d, Noise::gusts); }
void white(Recipe& r, Draw& d) { only(r, d, Noise::white); }
void hum_50(Recipe& r, Draw& d) { only(r, d, Noise::hum_50); }
void hum_60(Recipe& r, Draw& d) {
  only(r, d, Noise::hum_60);
  r.single.cycle = Cycle::four_stroke;
}
void saw(Recipe& r, Draw& d) { only(r, d, Noise::saw); }
void compressor(Recipe& r, Draw& d) { only(r, d, Noise::compressor); }
void hammer(Recipe& r, Draw& d) { only(r, d, Noise::hammer); }

}  // namespace

std::vector<Kind> no_engine_kinds() {
  return {{"none_silence", true, silence},       {"none_speech", true, speech},  {"none_music", true, music},
          {"none_hum_50", true, hum_50},         {"none_hammer", true, hammer},  {"none_wind", false, wind},
          {"none_white", false, white},          {"none_hum_60", false, hum_60}, {"none_saw", false, saw},
          {"none_compressor", false, compressor}};
}

}  // namespace crankwise::sounds
