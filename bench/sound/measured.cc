#include "bench/sound/measured.h"

#include <algorithm>
#include <cmath>

#include "bench/sound/table.h"
#include "core/sound/heard.h"

namespace crankwise::bench {
namespace {

using sounds::Stop;
using sounds::Truth;

double error(double said, double truth) { return std::abs(said / truth - 1); }

bool same(sound::Top said, Stop truth) {
  switch (said) {
    case sound::Top::hard_cut:
      return truth == Stop::hard_cut;
    case sound::Top::flattening:
      return truth == Stop::soft;
    case sound::Top::breaking_up:
      return truth == Stop::breaking_up;
    case sound::Top::surging:
      return truth == Stop::surging;
    case sound::Top::falls_away:
      return truth == Stop::falls_away;
  }
  return false;
}

void top(Measured& m, const sound::Heard& heard, const Truth& truth) {
  if (truth.ceiling_rpm && heard.ceiling) m.ceiling = error(heard.ceiling->rpm.value, *truth.ceiling_rpm);
  if (truth.stop == Stop::none) return;
  const bool named = heard.ceiling && heard.ceiling->shape, right = named && same(*heard.ceiling->shape, truth.stop);
  m.stop_right = right ? 1 : 0;
  m.stop_wrong = named && !right ? 1 : 0;
}

void blips(Measured& m, const sound::Heard& heard, const Truth& truth) {
  if (truth.blips.empty()) return;
  double sum = 0;
  for (const sounds::Blip& b : truth.blips) {
    double off = 1;
    if (heard.blips) {
      for (const sound::Blip& h : *heard.blips) {
        if (h.peak_s < b.open_s || h.peak_s > b.closed_s) continue;
        off = std::min(off, error(h.rise_s.value, b.rise_s));
        if (truth.hang_s && &b == &truth.blips.back() && h.settling)
          m.hang = error(h.settling->hang_s.value, *truth.hang_s);
      }
    }
    sum += off;
  }
  m.rise = sum / static_cast<double>(truth.blips.size());
}

/// Share of the firings heard from `least_rpm` on that are weak; only those in bands where they are told, if so wanted.
std::optional<double> weak_share(const sound::Heard& heard, bool only_told) {
  double weak = 0, all = 0;
  for (const sound::WeakBand& b : heard.weak) {
    if (!b.weak) continue;
    all += b.weak->seen.n;
    if (!only_told || b.weak->more_than_scatter()) weak += b.weak->seen.hits;
  }
  return all > 0 ? std::optional(weak / all) : std::nullopt;
}

void firings(Measured& m, const sound::Heard& heard, const Truth& truth) {
  const double least_rpm = 1.3 * truth.idle_rpm.value_or(0), weak = truth.weak_share(least_rpm);
  if (weak > 0) {
    m.weak_true = weak;
    m.weak_found = weak_share(heard, false);
  } else {
    m.false_weak = weak_share(heard, true);
  }
  double bands = 0, regular = 0;
  for (const sound::AlternationBand& b : heard.alternations) {
    const bool there = truth.four_stroking_rpm && b.to_rpm > truth.four_stroking_rpm->from + 200 &&
                       b.from_rpm < truth.four_stroking_rpm->to - 200;
    if (!b.is || there != truth.four_stroking_rpm.has_value()) continue;
    bands += 1;
    regular += b.is->regular ? 1 : 0;
  }
  if (bands > 0) (truth.four_stroking_rpm ? m.four_stroking : m.false_four_stroking) = regular / bands;
}

void others(Measured& m, const sound::Heard& heard, const Truth& truth) {
  const bool passes = static_cast<bool>(heard.pass_by), second = heard.second && heard.second->suspected;
  if (truth.pass_by) m.other_right = passes ? 1 : 0;
  if (truth.second_engine) m.other_right = second ? 1 : 0;
  m.other_wrong = (passes && !truth.pass_by) || (second && !truth.second_engine) ? 1 : 0;
}

}  // namespace

Measured measured(const SoundTake& take) {
  const sound::Signal signal = sound::signal_of(take.samples);
  const sound::Heard heard = sound::listen(signal, sound::follow(signal, take.engine), take.engine);
  const Truth& truth = *take.truth;
  Measured m;
  m.name = take.name;
  top(m, heard, truth);
  if (truth.idle_rpm && heard.idle) m.idle = error(heard.idle->rpm.value, *truth.idle_rpm);
  blips(m, heard, truth);
  firings(m, heard, truth);
  others(m, heard, truth);
  return m;
}

std::string measured_table(const std::vector<Measured>& rows) {
  std::vector<std::string> names;
  for (const Measured& m : rows) names.push_back(m.name);
  const auto column = [&](const std::string& head, std::optional<double> Measured::*value, int digits) {
    Column c{head, {}, digits};
    for (const Measured& m : rows) c.values.push_back(m.*value);
    return c;
  };
  return markdown(names,
                  {column("ceiling", &Measured::ceiling, 2), column("stop named", &Measured::stop_right, 0),
                   column("stop misnamed", &Measured::stop_wrong, 0), column("idle", &Measured::idle, 2),
                   column("rise time", &Measured::rise, 1), column("hang", &Measured::hang, 1),
                   column("weak, true", &Measured::weak_true, 1), column("weak, found", &Measured::weak_found, 1),
                   column("false weak", &Measured::false_weak, 1), column("four-stroking", &Measured::four_stroking, 0),
                   column("false four-stroking", &Measured::false_four_stroking, 1),
                   column("other heard", &Measured::other_right, 0), column("false other", &Measured::other_wrong, 1)});
}

}  // namespace crankwise::bench
