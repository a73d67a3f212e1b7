#include "bench/sound/takes.h"

#include <fmt/format.h>

#include <cstdio>
#include <stdexcept>
#include <utility>

#include "edge/audio/take.h"
#include "tests/sounds/real.h"

namespace crankwise::bench {
namespace {

SoundTake of_case(sounds::Case c) {
  SoundTake t;
  t.name = std::move(c.name);
  t.engine = c.engine;
  t.samples = std::move(c.samples);
  t.rpm = [p = c.truth.rpm](double s) { return p.rpm(s); };
  t.engine_there = c.truth.engine;
  t.ceiling_rpm = c.truth.ceiling_rpm;
  t.truth = std::move(c.truth);
  return t;
}

SoundTake of_label(const sounds::Label& label, const std::filesystem::path& cache) {
  const sound::Signal signal = audio::read_take(sounds::recording(label, cache)).signal;
  SoundTake t;
  t.name = label.name;
  t.engine = label.engine;
  t.samples.resize(static_cast<std::size_t>(signal.samples));
  signal.read(0, t.samples);
  t.rpm = [label](double s) { return label.rpm(s); };
  t.silence_known = false;
  return t;
}

}  // namespace

SoundTake made_take(sounds::Set set, const std::string& name) { return of_case(sounds::make(set, name)); }

std::vector<SoundTake> real_takes(const std::filesystem::path& labels, const std::filesystem::path& cache) {
  std::vector<SoundTake> out;
  const auto attempt = [&](const std::string& name, auto make) {
    try {
      out.push_back(make());
    } catch (const std::exception& e) {
      fmt::print(stderr, "left out: {}: {}\n", name, e.what());
    }
  };
  for (const sounds::Label& l : sounds::read_labels(labels)) attempt(l.name, [&] { return of_label(l, cache); });
  for (const std::string& n : sounds::bang_names()) attempt(n, [&] { return of_case(sounds::make_bangs(n, cache)); });
  return out;
}

}  // namespace crankwise::bench
