// Bangs of a real engine on an exact clock.
#include <algorithm>
#include <cmath>
#include <fstream>
#include <stdexcept>

#include "tests/sounds/archives.h"
#include "tests/sounds/packages.h"
#include "tests/sounds/real.h"
#include "tests/sounds/recipe.h"

namespace crankwise::sounds {
namespace {

constexpr int kBangs = 13;

/// engine_00.wav .. engine_12.wav at their own rate.
std::vector<Pcm> bangs(const std::filesystem::path& cache) {
  const auto file = from_package("xmoto-data", "usr/share/games/xmoto/xmoto.bin", cache);
  std::ifstream in(file, std::ios::binary);
  const std::string bytes{std::istreambuf_iterator<char>(in), {}};
  std::vector<Pcm> out;
  for (int i = 0; i < kBangs; ++i) {
    const std::string number = (i < 10 ? "0" : "") + std::to_string(i);
    out.push_back(pcm_of(out_of_bin(bytes, "Textures/Sounds/engine_" + number + ".wav")));
  }
  return out;
}

/// Straight between samples, at 44.1 kHz: what that costs is above 8 kHz.
double at(const Pcm& bang, double seconds) {
  const double x = seconds * bang.rate_hz;
  if (x < 0 || x >= static_cast<double>(bang.samples.size() - 1)) return 0;
  const auto i = static_cast<std::size_t>(x);
  return bang.samples[i] + (x - static_cast<double>(i)) * (bang.samples[i + 1] - bang.samples[i]);
}

Truth ride(const std::string& name, Random& random) {
  Ride r(random);
  if (name == "bangs_4t_idle") return r.start(1500).wander(0.015).idles().hold(7).truth();
  if (name == "bangs_4t_blips") {
    r.start(1800).wander(0.01).idles().hold(1.5).blip(7500, 0.7, 0.2, 0.3).hold(0.7).blip(8500, 0.8, 0.3, 0.3);
    return r.hold(1).truth();
  }
  if (name == "bangs_4t_pull") return r.start(3500).hold(0.7).ramp(8500, 3).hold(0.7).ease(5000, 1).hold(0.5).truth();
  if (name == "bangs_2t_ramp") return r.start(2200).hold(1).ramp(9000, 2).hold(1).settle(2200, 0.4, 2.4).truth();
  throw std::invalid_argument("no such ride: " + name);
}

}  // namespace

std::vector<std::string> bang_names() { return {"bangs_4t_idle", "bangs_4t_blips", "bangs_4t_pull", "bangs_2t_ramp"}; }

Case make_bangs(const std::string& name, const std::filesystem::path& cache) {
  Random random(name.size() * 7919 + 5);
  Case c;
  c.name = name;
  c.engine.cycle = name.find("_2t_") != std::string::npos ? Cycle::two_stroke : Cycle::four_stroke;
  c.engine.rpm_min = 1000, c.engine.rpm_max = 13000;
  c.truth = ride(name, random);
  Single even;
  even.cycle = c.engine.cycle;
  even.jitter = 0;
  c.truth.firings = firings(even, c.truth.rpm, random);
  const std::vector<Pcm> all = bangs(cache);
  Sound s(static_cast<std::size_t>(std::lround(c.truth.rpm.seconds() * kInsideHz)));
  for (const Firing& f : c.truth.firings) {
    const Pcm& bang = all[static_cast<std::size_t>(random.index(kBangs))];
    const auto first = static_cast<std::size_t>(std::ceil(f.at_s * kInsideHz));
    const auto length = static_cast<std::size_t>(static_cast<double>(bang.samples.size()) / bang.rate_hz * kInsideHz);
    for (std::size_t i = first; i < std::min(first + length, s.size()); ++i) {
      s[i] += at(bang, static_cast<double>(i) / kInsideHz - f.at_s);
    }
  }
  add(s, noise(Noise::air, s.size(), random), 0.03 * std::sqrt(power(s)));
  c.samples = record(std::move(s), Phone{});
  return c;
}

}  // namespace crankwise::sounds
