#include "app/sound/picture.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "core/sound/spectrogram.h"
#include "edge/base64.h"
#include "edge/plot.h"
#include "edge/png.h"

namespace crankwise {
namespace {

using namespace plot;

constexpr const char* kSpeed = kMain;
constexpr const char* kBefore = kBeside;

bool shown(const sound::Track& track, std::size_t i, bool sure) {
  const sound::Frame& f = track.frames[i];
  return f.rpm > 0 && (f.confidence >= sound::kSure) == sure;
}

/// Points no closer than half a pixel, broken where nothing is said.
std::string line(const sound::Track& track, const Axes& a, double times, bool sure, double from_s = 0) {
  std::string d;
  bool pen = false;
  const std::size_t every = std::max<std::size_t>(1, track.frames.size() / 1800);
  for (std::size_t i = 0; i < track.frames.size(); i += every) {
    const double s = track.seconds(i) - from_s;
    if (!shown(track, i, sure) || s < 0 || s > a.to_x) {
      pen = false;
      continue;
    }
    d += fmt::format("{}{:.1f} {:.1f}", pen ? "L" : "M", a.x(s), a.y(times * static_cast<double>(track.frames[i].rpm)));
    if (!pen) d += "h.01";
    pen = true;
  }
  return d;
}

std::string doubt_band(const sound::Track& track, const Axes& a) {
  std::string out;
  const std::size_t every = std::max<std::size_t>(1, track.frames.size() / 900);
  std::string upper, lower;
  const auto close = [&] {
    if (!upper.empty()) out += fmt::format("<path d='M{}L{}Z' fill='{}' fill-opacity='.18'/>\n", upper, lower, kSpeed);
    upper.clear(), lower.clear();
  };
  for (std::size_t i = 0; i < track.frames.size(); i += every) {
    const sound::Frame& f = track.frames[i];
    if (!(f.rpm > 0)) {
      close();
      continue;
    }
    const auto at = [&](double v) {
      return fmt::format("{:.1f} {:.1f}", a.x(track.seconds(i)), a.y(std::clamp(v, 0.0, a.to_y)));
    };
    const double rpm = static_cast<double>(f.rpm), two = 2 * static_cast<double>(f.sigma_rpm);
    upper += (upper.empty() ? "" : "L") + at(rpm + two);
    lower = at(rpm - two) + (lower.empty() ? "" : "L") + lower;
  }
  close();
  return out;
}

/// Dark to light by loudness.
std::array<std::uint8_t, 3> shade(float db) {
  const double t = std::clamp((static_cast<double>(db) + 75) / 75, 0.0, 1.0);
  const auto mix = [t](double a, double b, double c) {
    return static_cast<std::uint8_t>(std::lround(t < 0.5 ? a + 2 * t * (b - a) : b + (2 * t - 1) * (c - b)));
  };
  return {mix(16, 44, 250), mix(24, 108, 240), mix(32, 112, 200)};
}

std::string spectrogram_image(const Listened& l, const Axes& a) {
  constexpr int kColumns = 864, kRows = 240;
  const sound::Spectrogram s = sound::spectrogram(l.take.signal, kColumns, kRows, a.to_y);
  std::vector<std::uint8_t> rgb;
  rgb.reserve(static_cast<std::size_t>(kColumns) * kRows * 3);
  for (int row = kRows - 1; row >= 0; --row) {
    for (int c = 0; c < kColumns; ++c) {
      for (const std::uint8_t v : shade(s.at(c, row))) rgb.push_back(v);
    }
  }
  return fmt::format(
      "<image x='{}' y='{}' width='{}' height='{}' preserveAspectRatio='none' "
      "href='data:image/png;base64,{}'/>\n",
      kLeft, a.top, kWide, a.height, base64_of(png_of(kColumns, kRows, rgb)));
}

double highest_rpm(const Listened& l) {
  double most = 1000;
  for (const sound::Frame& f : l.track.frames) most = std::max(most, static_cast<double>(f.rpm));
  return most;
}

/// Half a second before the engine first leaves its idle, so that two takes lie over each other.
double start_of(const Listened& l) {
  double first = -1;
  if (l.heard.blips && !l.heard.blips->empty()) first = l.heard.blips->front().start_s;
  for (std::size_t i = 0; first < 0 && i < l.track.frames.size(); ++i) {
    if (l.track.sure(i)) first = l.track.seconds(i);
  }
  return std::max(0.0, first - 0.5);
}

}  // namespace

std::string picture_of(const Listened& l) {
  const double seconds = std::max(0.1, l.take.seconds);
  const Axes sound{44, 250, 0, seconds, 0, 1000};
  const Axes speed{360, 320, 0, seconds, 0, even_top(highest_rpm(l))};
  std::string out = spectrogram_image(l, sound) + grid(sound, "Hz, and the firing on it", "s");
  const double per_rpm = l.engine.firing_hz(1);
  out += drawn(line(l.track, sound, per_rpm, true), "#fff", 1.6, 0.9);
  out += grid(speed, "rpm, with twice its uncertainty; thin where it is not sure", "s");
  out += doubt_band(l.track, speed) + drawn(line(l.track, speed, 1, false), kSpeed, 1, 0.5) +
         drawn(line(l.track, speed, 1, true), kSpeed, 2.4);
  if (l.heard.ceiling) {
    const sound::Value& c = l.heard.ceiling->rpm;
    out += level(speed, c.value, fmt::format("ceiling {:.0f} rpm", c.value), kMark);
  }
  if (l.heard.idle)
    out += level(speed, l.heard.idle->rpm.value, fmt::format("idle {:.0f} rpm", l.heard.idle->rpm.value), kMark);
  if (l.heard.octave == sound::Octave::open)
    out += drawn(line(l.track, speed, l.track.other, true), kBefore, 1.6) +
           text(kLeft + 8, speed.top + 20, "Both fit the sound: crankwise cannot tell which it turned.");
  return page(730, "Speed of the engine from its sound", out);
}

std::string picture_of(const Listened& before, const Listened& after) {
  const double from_before = start_of(before), from_after = start_of(after);
  const double seconds = std::max({0.1, before.take.seconds - from_before, after.take.seconds - from_after});
  const Axes a{54, 380, 0, seconds, 0, even_top(std::max(highest_rpm(before), highest_rpm(after)))};
  std::string out = grid(a, "rpm; before thin and grey, after bold", "s");
  out += drawn(line(before.track, a, 1, true, from_before), kBefore, 1.6) +
         drawn(line(after.track, a, 1, true, from_after), kSpeed, 2.6);
  if (before.heard.ceiling)
    out += level(a, before.heard.ceiling->rpm.value, fmt::format("before {:.0f} rpm", before.heard.ceiling->rpm.value),
                 kBefore, true);
  if (after.heard.ceiling)
    out += level(a, after.heard.ceiling->rpm.value, fmt::format("after {:.0f} rpm", after.heard.ceiling->rpm.value),
                 kSpeed);
  return page(480, "Speed before and after", out);
}

}  // namespace crankwise
