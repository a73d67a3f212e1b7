// Any samples: followed and measured, as a two-stroke and a four-stroke with any hints. The first two bytes are the
// engine, the rest samples of 16 bits; odd values of the second byte make them loud and infinite now and then.
#include <cmath>
#include <cstdint>
#include <cstring>
#include <limits>
#include <vector>

#include "core/sound/compare.h"
#include "core/sound/heard.h"
#include "core/sound/spectrogram.h"
#include "tests/fuzz/must.h"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace crankwise;
  using namespace crankwise::sound;
  using crankwise::fuzz::must;
  if (size < 4) return 0;
  Engine engine{.cycle = data[0] % 2 == 0 ? Cycle::two_stroke : Cycle::four_stroke};
  engine.rpm_min = 300 + 10.0 * (data[0] / 2);
  engine.rpm_max = 2 * engine.rpm_min + 60.0 * data[1];
  if (data[0] % 3 == 0) engine.idle_rpm = 600 + 8.0 * data[1];
  if (data[1] % 5 == 0) engine.ceiling_rpm = 4000 + 40.0 * data[0];
  std::vector<float> samples((size - 2) / 2);
  for (std::size_t i = 0; i < samples.size(); ++i) {
    std::int16_t s = 0;
    std::memcpy(&s, data + 2 + 2 * i, 2);
    samples[i] = static_cast<float>(s) / 32768;
    if (data[1] % 2 == 1 && s == 0x7fff) samples[i] = 1e6F;
  }
  // A short input is played again and again, so that it is long enough to be something.
  while (!samples.empty() && samples.size() < 12000) samples.insert(samples.end(), samples.begin(), samples.end());
  const Signal signal = signal_of(samples);
  const Track track = follow(signal, engine);
  for (std::size_t i = 0; i < track.frames.size(); ++i) {
    const Frame& f = track.frames[i];
    must(std::isfinite(f.rpm) && f.rpm >= 0 && f.rpm < 60000, "a speed that can be");
    must(std::isfinite(f.sigma_rpm) && f.sigma_rpm >= 0, "an uncertainty that can be");
    must(f.confidence >= 0 && f.confidence <= 1, "a confidence");
  }
  const Heard heard = listen(signal, track, engine);
  for (const WeakBand& b : heard.weak) must(!b.weak || (b.weak->seen.share >= 0 && b.weak->seen.share <= 1), "a share");
  if (heard.ceiling) must(std::isfinite(heard.ceiling->rpm.value) && heard.ceiling->rpm.sigma >= 0, "a ceiling");
  for (const Change& c : compare(heard, heard)) must(!c.real(), "nothing changed");
  spectrogram(signal, 20, 20, 1000);
  return 0;
}
