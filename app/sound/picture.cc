#include "app/sound/picture.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "core/sound/spectrogram.h"
#include "edge/base64.h"
#include "edge/png.h"

namespace crankwise {
namespace {

constexpr double kWidth = 960, kLeft = 78, kRight = 18, kPlot = kWidth - kLeft - kRight;
constexpr const char* kInk = "#1c2321";
constexpr const char* kRule = "#c9d1cd";
constexpr const char* kSpeed = "#b3261e";
constexpr const char* kBefore = "#6b7672";
constexpr const char* kMark = "#0b5c8a";

/// Values over time in a box of the picture.
struct Axes {
  double top = 0, height = 0;
  double seconds = 1, most = 1;

  double x(double s) const { return kLeft + kPlot * s / seconds; }
  double y(double v) const { return top + height * (1 - v / most); }
};

/// 1, 2 or 5 times a power of ten: about `count` to the whole.
double even_step(double whole, int count) {
  const double rough = whole / count, power = std::pow(10, std::floor(std::log10(rough)));
  for (const double times : {1.0, 2.0, 5.0}) {
    if (times * power >= rough) return times * power;
  }
  return 10 * power;
}

std::string text(double x, double y, const std::string& words, const char* anchor = "start", const char* fill = kInk) {
  return fmt::format("<text x='{:.1f}' y='{:.1f}' text-anchor='{}' fill='{}'>{}</text>\n", x, y, anchor, fill, words);
}

std::string grid(const Axes& a, const std::string& label) {
  std::string out;
  const double step = even_step(a.most, 8), second = even_step(a.seconds, 10);
  for (double v = 0; v <= a.most * 1.001; v += step) {
    out += fmt::format("<path d='M{} {:.1f}H{}' stroke='{}'/>\n", kLeft, a.y(v), kLeft + kPlot, kRule);
    out += text(kLeft - 8, a.y(v) + 5, fmt::format("{:g}", v), "end");
  }
  for (double s = 0; s <= a.seconds * 1.001; s += second) {
    out += fmt::format("<path d='M{:.1f} {}v6' stroke='{}'/>\n", a.x(s), a.top + a.height, kInk);
    out += text(a.x(s), a.top + a.height + 22, fmt::format("{:g}{}", s, s == 0 ? " s" : ""), "middle");
  }
  return out + text(kLeft, a.top - 8, label);
}

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
    if (!shown(track, i, sure) || s < 0 || s > a.seconds) {
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
      return fmt::format("{:.1f} {:.1f}", a.x(track.seconds(i)), a.y(std::clamp(v, 0.0, a.most)));
    };
    const double rpm = static_cast<double>(f.rpm), two = 2 * static_cast<double>(f.sigma_rpm);
    upper += (upper.empty() ? "" : "L") + at(rpm + two);
    lower = at(rpm - two) + (lower.empty() ? "" : "L") + lower;
  }
  close();
  return out;
}

std::string level(const Axes& a, double rpm, const std::string& words, const char* colour, bool below = false) {
  return fmt::format("<path d='M{} {:.1f}H{}' stroke='{}' stroke-width='1.5' stroke-dasharray='9 5'/>\n", kLeft,
                     a.y(rpm), kLeft + kPlot, colour) +
         text(kLeft + kPlot - 4, a.y(rpm) + (below ? 17 : -6), words, "end", colour);
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
  const sound::Spectrogram s = sound::spectrogram(l.take.signal, kColumns, kRows, a.most);
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
      kLeft, a.top, kPlot, a.height, base64_of(png_of(kColumns, kRows, rgb)));
}

double highest_rpm(const Listened& l) {
  double most = 1000;
  for (const sound::Frame& f : l.track.frames) most = std::max(most, static_cast<double>(f.rpm));
  return most;
}

std::string page(double height, const std::string& title, const std::string& inside) {
  return fmt::format(
      "<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 {0} {1}' width='{0}' height='{1}' role='img' "
      "aria-label='{2}' font-family='sans-serif' font-size='15'>\n<title>{2}</title>\n"
      "<rect width='{0}' height='{1}' fill='#fff'/>\n{3}</svg>\n",
      kWidth, height, title, inside);
}

std::string drawn(const std::string& d, const char* colour, double width, double opacity = 1) {
  if (d.empty()) return "";
  return fmt::format(
      "<path d='{}' fill='none' stroke='{}' stroke-width='{}' stroke-linejoin='round' stroke-linecap='round' "
      "stroke-opacity='{}'/>\n",
      d, colour, width, opacity);
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
  const double most = even_step(highest_rpm(l), 8) * std::ceil(highest_rpm(l) * 1.08 / even_step(highest_rpm(l), 8));
  const Axes sound{44, 250, seconds, 1000};
  const Axes speed{360, 320, seconds, most};
  std::string out = spectrogram_image(l, sound) + grid(sound, "Hz, and the firing on it");
  const double per_rpm = l.engine.firing_hz(1);
  out += drawn(line(l.track, sound, per_rpm, true), "#fff", 1.6, 0.9);
  out += grid(speed, "rpm, with twice its uncertainty; thin where it is not sure");
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
  const double high = std::max(highest_rpm(before), highest_rpm(after)), step = even_step(high, 8);
  const Axes a{54, 380, seconds, step * std::ceil(high * 1.08 / step)};
  std::string out = grid(a, "rpm; before thin and grey, after bold");
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
