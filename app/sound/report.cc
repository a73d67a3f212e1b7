#include "app/sound/report.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>

namespace crankwise {
namespace {

using sound::Value;

/// "1,684": thousands apart, for speeds.
std::string speed(double rpm) {
  const long whole = std::lround(rpm);
  return whole < 1000 ? fmt::format("{}", whole) : fmt::format("{},{:03}", whole / 1000, whole % 1000);
}
std::string rpm(const Value& v) { return fmt::format("{} +- {} rpm", speed(v.value), speed(std::max(1.0, v.sigma))); }
std::string percent(double share) { return fmt::format("{:.{}f} %", 100 * share, share < 0.1 ? 1 : 0); }
std::string band(double from, double to) { return fmt::format("{} to {} rpm", speed(from), speed(to)); }

const char* in_words(sound::Top top) {
  switch (top) {
    case sound::Top::hard_cut:
      return "its firing is cut there, as a limiter does";
    case sound::Top::flattening:
      return "it flattens out and fires on";
    case sound::Top::breaking_up:
      return "it breaks up: firings fail at random";
    case sound::Top::surging:
      return "it surges there";
    case sound::Top::falls_away:
      return "it reaches that and sinks away while held open";
  }
  return "";
}

std::string idle_words(const sound::Idle& idle) {
  std::string words = rpm(idle.rpm);
  if (idle.wander) words += fmt::format(", wanders {}", percent(idle.wander->value));
  if (idle.hunting)
    words += fmt::format(", hunts by {} every {:.1f} s", percent(idle.hunting->depth), idle.hunting->period_s);
  return words + fmt::format(", heard for {:.1f} s", idle.seconds);
}

std::string blip_words(const sound::Blip& b) {
  std::string words = fmt::format("at {:.1f} s from {} to {}, up in {:.2f} s", b.start_s, speed(b.from_rpm),
                                  rpm(b.peak_rpm), b.rise_s.value);
  if (b.fall_s) words += fmt::format(", down in {:.2f} s", b.fall_s->value);
  if (b.settling) {
    words += fmt::format(", idles {:.2f} s after half way down", b.settling->hang_s.value);
    if (b.settling->dip.value > 0.03) words += fmt::format(", dips {} below idle", percent(b.settling->dip.value));
    if (b.settling->hanging) words += ": the idle hangs";
  }
  return words;
}

std::string ceiling_words(const sound::Ceiling& c) {
  std::string words = fmt::format("{}, reached at {:.1f} s and held {:.1f} s; ", rpm(c.rpm), c.reached_s, c.held_s);
  words +=
      c.shape ? in_words(*c.shape) : fmt::format("how it ends cannot be told: {}", sound::in_words(c.shape.why_not()));
  if (c.surge) words += fmt::format(" by {} every {:.1f} s", percent(c.surge->depth), c.surge->period_s);
  if (c.weak)
    words += fmt::format("; weak firings {} ({} to {})", percent(c.weak->seen.share), percent(c.weak->seen.low),
                         percent(c.weak->seen.high));
  return words;
}

void add_stretches(const Listened& l, std::vector<ReportLine>& lines) {
  for (const sound::Stretch& s : l.heard.stretches) {
    if (s.kind == sound::Stretch::Kind::engine) continue;
    const char* what = s.kind == sound::Stretch::Kind::silence ? "silence" : "no engine heard";
    lines.emplace_back("", fmt::format("{} between {:.1f} and {:.1f} s", what, s.from_s, s.to_s));
  }
}

void add_firing(const Listened& l, std::vector<ReportLine>& lines) {
  for (const sound::WeakBand& b : l.heard.weak) {
    if (!b.weak || !b.weak->more_than_scatter()) continue;
    const sound::Share& s = b.weak->seen;
    lines.emplace_back("weak firings", fmt::format("{} of {} at {} ({} to {})", percent(s.share), s.n,
                                                   band(b.from_rpm, b.to_rpm), percent(s.low), percent(s.high)));
  }
  const char* what = l.engine.cycle == Cycle::two_stroke ? "four-strokes" : "every second cycle weak";
  for (const sound::AlternationBand& b : l.heard.alternations) {
    if (!b.is || !b.is->regular) continue;
    lines.emplace_back(what, fmt::format("at {}: every second firing about {} weaker", band(b.from_rpm, b.to_rpm),
                                         percent(1 - b.is->weaker)));
  }
}

void add_oddities(const Listened& l, std::vector<ReportLine>& lines) {
  const sound::Heard& h = l.heard;
  if (h.pass_by)
    lines.emplace_back("passes by",
                       fmt::format("at {:.0f} km/h: speeds are false by Doppler; the engine turned {}. Record on "
                                   "the rider",
                                   3.6 * h.pass_by->speed_m_s.value, rpm(h.pass_by->rpm)));
  if (h.second && h.second->suspected)
    lines.emplace_back("second engine", fmt::format("heard between {:.1f} and {:.1f} s: record again without it",
                                                    h.second->from_s, h.second->to_s));
  for (const sound::FixedLine& f : h.lines)
    lines.emplace_back("fixed tone", fmt::format("{:.0f} Hz: mains, a compressor or the like", f.hz));
  for (const std::string& note : l.take.notes) lines.emplace_back("recording", note);
}

}  // namespace

std::string cycle_doubt(const Listened& l) {
  if (l.heard.octave == sound::Octave::open) return "";
  constexpr double kTooSlow = 1000;  // no two-stroke single idles below it (*common practice*: 1,200 to 1,900)
  if (l.engine.cycle == Cycle::two_stroke && l.heard.idle && l.heard.idle->rpm.value < kTooSlow)
    return fmt::format(
        "An idle of {} rpm is too slow for a two-stroke. If it is a four-stroke it turned twice as fast as said here.",
        speed(l.heard.idle->rpm.value));
  constexpr double kNearLimit =
      0.97;  // of limits that are wide: a two-stroke taken for a four-stroke seems twice as fast
  constexpr std::ptrdiff_t kHeldThere = 15;  // frames: 0.3 s
  const auto at_limit = std::count_if(l.track.frames.begin(), l.track.frames.end(), [&](const sound::Frame& f) {
    return static_cast<double>(f.rpm) > kNearLimit * l.engine.rpm_max;
  });
  if (l.engine.cycle != Cycle::four_stroke || at_limit < kHeldThere) return "";
  return "It turns faster than such an engine can. If it is a two-stroke it turned half as fast as said here.";
}

std::string octave_question(const Listened& l) {
  if (l.heard.octave == sound::Octave::settled) return "";
  std::vector<float> speeds;
  for (const sound::Frame& f : l.track.frames) {
    if (f.rpm > 0 && f.confidence >= sound::kSure) speeds.push_back(f.rpm);
  }
  if (speeds.empty()) return "";
  const auto ends = std::minmax_element(speeds.begin(), speeds.end());
  const auto range = [&](double times) {
    return band(times * static_cast<double>(*ends.first), times * static_cast<double>(*ends.second));
  };
  return fmt::format(
      "Did it turn {} or {}? The sound alone fits both: an engine that fires weakly every second time sounds "
      "like one at half the speed.",
      range(1), range(l.track.other));
}

std::vector<ReportLine> report(const Listened& l) {
  const sound::Heard& h = l.heard;
  std::vector<ReportLine> lines;
  lines.emplace_back(
      "recording",
      fmt::format("{:.1f} s, {} in {}, {} Hz{}", l.take.seconds, l.take.codec, l.take.container, l.take.source_rate_hz,
                  l.take.channels > 1 ? fmt::format(", the louder of {} channels", l.take.channels) : ""));
  lines.emplace_back("engine",
                     fmt::format("heard in {} of it, surely in {}", percent(h.share.engine), percent(h.share.sure)));
  add_stretches(l, lines);
  add_oddities(l, lines);
  if (const std::string question = octave_question(l); !question.empty()) {
    lines.emplace_back("speed", question);
    return lines;
  }
  if (const std::string doubt = cycle_doubt(l); !doubt.empty()) lines.emplace_back("cycle", doubt);
  lines.emplace_back("idle", h.idle ? idle_words(*h.idle) : sound::in_words(h.idle.why_not()));
  if (h.blips) {
    for (const sound::Blip& b : *h.blips) lines.emplace_back("blip", blip_words(b));
  } else {
    lines.emplace_back("blips", sound::in_words(h.blips.why_not()));
  }
  lines.emplace_back("ceiling", h.ceiling ? ceiling_words(*h.ceiling) : sound::in_words(h.ceiling.why_not()));
  add_firing(l, lines);
  if (!l.pull) return lines;
  if (!*l.pull) {
    lines.emplace_back("pull", sound::in_words(l.pull->why_not()));
    return lines;
  }
  const sound::Pull& pull = **l.pull;
  lines.emplace_back(
      "pull", fmt::format("{:.1f} to {:.1f} s; at the wheel {:.1f} +- {:.1f} kW at {} rpm, of which {} is what all "
                          "points share (mass, slope, slip)",
                          pull.from_s, pull.to_s, pull.peak_w.value / 1e3, pull.peak_w.sigma / 1e3,
                          speed(pull.peak_rpm), percent(pull.common_share)));
  lines.emplace_back("", pull.flattens_rpm ? fmt::format("flattens from {} rpm on", speed(*pull.flattens_rpm))
                                           : sound::in_words(pull.flattens_rpm.why_not()));
  return lines;
}

std::vector<ReportLine> report(const Listened& before, const Listened& after) {
  std::vector<sound::Change> changes = sound::compare(before.heard, after.heard);
  if (before.pull && *before.pull && after.pull && *after.pull)
    changes.push_back(sound::compare(**before.pull, **after.pull));
  std::stable_partition(changes.begin(), changes.end(), [](const sound::Change& c) { return c.real(); });
  std::vector<ReportLine> lines;
  for (const sound::Change& c : changes) lines.emplace_back(c.real() ? "changed" : "", sound::in_words(c));
  if (lines.empty()) lines.emplace_back("", "the two takes tell nothing in common: make them alike");
  return lines;
}

}  // namespace crankwise
