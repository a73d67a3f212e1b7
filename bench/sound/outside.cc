#include "bench/sound/outside.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstring>
#include <fstream>
#include <sstream>
#include <stdexcept>

#include "bench/sound/wav.h"
#include "bench/virtual/readme.h"
#include "tests/sounds/process.h"

namespace crankwise::bench {
namespace {

namespace fs = std::filesystem;
using sounds::find_program;
using sounds::output_of;

constexpr double kFaster = 8;  // SWIPE' takes pitches of voices only: it is told that the sound plays so much faster

std::string aubio() { return find_program("aubiopitch"); }
std::string swipe() { return find_program("", {"/usr/libexec/sptk/bin/pitch", "/usr/lib/sptk/bin/pitch"}); }
std::string praat() { return find_program("praat"); }

/// A rate at a time.
struct Heard {
  double at_s, hz;
};

/// Lines of "seconds hertz"; what is no number (Praat's --undefined--) is no answer.
std::vector<Heard> lines(const std::string& text, double later_s) {
  std::vector<Heard> out;
  std::istringstream in(text);
  for (std::string line; std::getline(in, line);) {
    std::istringstream words(line);
    double at = 0, hz = 0;
    if (words >> at >> hz) out.push_back({at + later_s, hz});
  }
  return out;
}

std::vector<Heard> by_aubio(const fs::path& wav, const std::string& window) {
  // Its time is that of the newest samples' beginning; what it says is of the middle of its window.
  const double middle_s = (80 - std::stod(window) / 2) / sound::kRateHz;
  return lines(
      output_of({aubio(), "-i", wav.string(), "-p", "yinfft", "-B", window, "-H", "80", "-r", "0", "-s", "-90"}),
      middle_s);
}

std::vector<Heard> by_swipe(const fs::path& raw, const std::string& threshold, double low_hz, double high_hz) {
  const std::string bytes = output_of({swipe(), "-a", "1", "-s", fmt::format("{}", kFaster * sound::kRateHz / 1000),
                                       "-p", "80", "-t", threshold, "-L", fmt::format("{:.2f}", kFaster * low_hz), "-H",
                                       fmt::format("{:.2f}", kFaster * high_hz), "-o", "1", raw.string()});
  std::vector<Heard> out(bytes.size() / sizeof(float));
  for (std::size_t i = 0; i < out.size(); ++i) {
    float hz = 0;
    std::memcpy(&hz, bytes.data() + i * sizeof hz, sizeof hz);
    out[i] = {static_cast<double>(i) * kFrameS, hz / kFaster};
  }
  return out;
}

std::vector<Heard> by_praat(const fs::path& wav, const std::string& accurate, double low_hz, double high_hz,
                            const fs::path& scratch) {
  const fs::path script = scratch / "pitch.praat";
  write_file(script.string(), fmt::format(R"(Read from file: "{}"
To Pitch (ac): {}, {:.3f}, 15, "{}", 0.03, 0.45, 0.01, 0.35, 0.14, {:.3f}
n = Get number of frames
for i to n
  t = Get time from frame number: i
  f = Get value in frame: i, "Hertz"
  appendInfoLine: t, " ", f
endfor
)",
                                          wav.string(), kFrameS, low_hz, accurate, high_hz));
  return lines(output_of({praat(), "--run", script.string()}), 0);
}

}  // namespace

std::vector<Outside> outside_trackers() {
  std::vector<Outside> out;
  if (!aubio().empty()) {
    for (const char* window : {"1024", "2048", "4096"}) out.push_back({"yinfft", window});
  }
  if (!swipe().empty()) {
    for (const char* threshold : {"0.1", "0.2", "0.3"}) out.push_back({"SWIPE'", threshold});
  }
  if (!praat().empty()) {
    for (const char* accurate : {"no", "yes"}) out.push_back({"Praat", accurate});  // yes: a window twice as long
  }
  return out;
}

std::vector<std::string> outside_missing() {
  std::vector<std::string> out;
  if (aubio().empty()) out.emplace_back("aubiopitch is not installed (package aubio-tools)");
  if (swipe().empty()) out.emplace_back("SPTK's pitch is not installed (package sptk)");
  if (praat().empty()) out.emplace_back("praat is not installed (package praat)");
  return out;
}

std::vector<Said> listen(const Outside& with, const SoundTake& take, const fs::path& scratch) {
  const double low = take.engine.firing_hz(take.engine.rpm_min), high = take.engine.firing_hz(take.engine.rpm_max);
  std::vector<Heard> heard;
  if (with.tracker == "SWIPE'") {
    const fs::path raw = scratch / "take.f32";
    write_file(raw.string(),
               std::string(reinterpret_cast<const char*>(take.samples.data()), take.samples.size() * sizeof(float)));
    heard = by_swipe(raw, with.setting, low, high);
  } else {
    const fs::path wav = scratch / "take.wav";
    write_file(wav.string(), wav_of(take.samples));
    heard = with.tracker == "yinfft" ? by_aubio(wav, with.setting) : by_praat(wav, with.setting, low, high, scratch);
  }
  std::vector<Said> out(frames_of(take));
  std::size_t k = 0;
  for (std::size_t i = 0; i < out.size() && !heard.empty(); ++i) {
    const double t = static_cast<double>(i) * kFrameS;
    while (k + 1 < heard.size() && std::abs(heard[k + 1].at_s - t) <= std::abs(heard[k].at_s - t)) ++k;
    const auto [at_s, hz] = heard[k];
    if (std::abs(at_s - t) <= kFrameS && hz >= low && hz <= high) out[i].rpm = take.engine.rpm_of(hz);
  }
  return out;
}

}  // namespace crankwise::bench
