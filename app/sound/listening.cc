#include "app/sound/listening.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

#include "edge/problem.h"

namespace crankwise {
namespace {

struct TakeRow {
  TakeOf of;
  std::string_view name;
};
constexpr std::array<TakeRow, 4> kTakes = {
    {{TakeOf::idle, "idle"}, {TakeOf::blips, "blips"}, {TakeOf::hold, "hold"}, {TakeOf::pull, "pull"}}};

constexpr double kShortestS = 0.5, kLeastEngine = 0.05, kLeastSure = 0.02;

[[noreturn]] void refuse(const std::string& file, const std::string& what, const std::string& right) {
  throw BadInput({file, 0, "", what, right});
}

/// "between 3.1 and 7.0 s and between 9.0 and 9.6 s"
std::string where(const std::vector<sound::Stretch>& stretches, sound::Stretch::Kind kind) {
  std::string words;
  for (const sound::Stretch& s : stretches) {
    if (s.kind != kind) continue;
    words += fmt::format("{}between {:.1f} and {:.1f} s", words.empty() ? "" : " and ", s.from_s, s.to_s);
  }
  return words;
}

TakeOf sort_of(const Listened& l) {
  if (l.pull && *l.pull) return TakeOf::pull;
  if (l.heard.ceiling && l.heard.ceiling->held_s > 0) return TakeOf::hold;
  if (l.heard.blips && !l.heard.blips->empty()) return TakeOf::blips;
  return TakeOf::idle;
}

void refuse_without_engine(const std::string& file, const Listened& l) {
  const bool heard = l.heard.share.engine >= kLeastEngine;
  if (heard && (l.heard.share.sure >= kLeastSure || l.heard.octave == sound::Octave::open)) return;
  const std::string silent = where(l.heard.stretches, sound::Stretch::Kind::silence);
  const std::string other = where(l.heard.stretches, sound::Stretch::Kind::no_engine);
  std::string what = heard ? "no one engine is heard well enough in it: too much else, or a second engine"
                           : "no engine is heard in it";
  if (!silent.empty()) what += "; silence " + silent;
  if (!other.empty()) what += "; sound that is no engine's " + other;
  refuse(file, what,
         "a take of the running engine, the phone a metre from the silencer, nobody talking, out of the wind");
}

}  // namespace

std::string_view text(TakeOf of) {
  return std::find_if(kTakes.begin(), kTakes.end(), [&](const TakeRow& r) { return r.of == of; })->name;
}

std::optional<TakeOf> take_of_from(std::string_view name) {
  const auto row = std::find_if(kTakes.begin(), kTakes.end(), [&](const TakeRow& r) { return r.name == name; });
  return row == kTakes.end() ? std::nullopt : std::optional(row->of);
}

std::optional<double> times_from(double told) {
  for (const double times : {1.0, 2.0, 3.0, 4.0, 1.0 / 2, 2.0 / 3, 1.0 / 3, 1.0 / 4})
    if (std::abs(told - times) < 0.01 * times) return times;
  return {};
}

std::string step_of(TakeOf of) { return fmt::format("record-{}", text(of)); }

namespace {

/// Decoding counts as so much of the work.
constexpr double kDecoding = 0.3;

std::function<void(double)> part(const std::function<void(double)>& progress, double from, double to) {
  return [progress, from, to](double done) {
    if (progress) progress(from + done * (to - from));
  };
}

Listened listened(audio::Take take, const std::string& file, const sound::Engine& engine, const ListenAsk& ask,
                  const std::function<void(double)>& progress) {
  Listened l;
  l.engine = engine;
  l.take = std::move(take);
  if (l.take.seconds < kShortestS)
    refuse(file, fmt::format("it is only {:.2f} s long", l.take.seconds), "some seconds of the running engine");
  if (l.take.slowed != 1)
    refuse(
        file,
        fmt::format("it plays {:.3g} times slower than life, and what it says of speeds would be false", l.take.slowed),
        "a recording at normal speed, without slow motion or time lapse");
  l.track = sound::follow(l.take.signal, engine, part(progress, kDecoding, 1));
  if (ask.times) l.track = sound::taken_as(std::move(l.track), *ask.times);
  l.heard = sound::listen(l.take.signal, l.track, engine);
  refuse_without_engine(file, l);
  if (l.heard.bangs && l.heard.bangs->more_than_one)
    refuse(file, "the engine in it bangs more than once a cycle: it has more than one cylinder, or two engines run",
           "a single");
  if (ask.pull) l.pull = sound::pull_of(l.track, *ask.pull);
  l.of = ask.of.value_or(sort_of(l));
  return l;
}

}  // namespace

Listened listen_to(const std::filesystem::path& file, const sound::Engine& engine, const ListenAsk& ask,
                   const std::function<void(double)>& progress) {
  return listened(audio::read_take(file, {}, part(progress, 0, kDecoding)), file.string(), engine, ask, progress);
}

Listened listen_to_bytes(std::string_view bytes, const std::string& name, const sound::Engine& engine,
                         const ListenAsk& ask, const std::function<void(double)>& progress) {
  return listened(audio::read_take_bytes(bytes, name, {}, part(progress, 0, kDecoding)), name, engine, ask, progress);
}

}  // namespace crankwise
