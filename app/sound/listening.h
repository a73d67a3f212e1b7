// A recording listened to: what was heard, and which readings of a job that makes.
//
//   const Listened l = listen_to("blip.m4a", engine_of(bike), {});
//   for (const ToldReading& p : proposals(l, knowledge, bike).readings) show(p.words);   // for a yes before it counts
//
// Nothing is written down here.
#pragma once

#include <filesystem>
#include <functional>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "core/sound/heard.h"
#include "core/sound/pull.h"
#include "edge/audio/take.h"
#include "edge/job.h"

namespace crankwise {

/// What was done while it was recorded; each is a step of the knowledge.
enum class TakeOf { idle, blips, hold, pull };
std::string_view text(TakeOf);
/// 1, or the multiple or part that is nearly meant by a number as told (0.333 is a third); none if it is none of them.
std::optional<double> times_from(double told);
std::optional<TakeOf> take_of_from(std::string_view);
/// "record-idle" ...
std::string step_of(TakeOf);

struct ListenAsk {
  std::optional<TakeOf> of = {};              // left out: by what is heard
  std::optional<sound::PullSetup> pull = {};  // of a pull in one gear: its power too
  std::optional<double> times = {};           // the speeds are so many times those found: the answer to an open octave
};

struct Listened {
  audio::Take take;
  sound::Engine engine;
  sound::Track track;
  sound::Heard heard;
  TakeOf of = TakeOf::idle;
  std::optional<sound::Answer<sound::Pull>> pull;
};

/// `progress`: the share done, 0 to 1. Throws BadInput for what is no recording, and where nothing can be said of it:
/// no engine in it, too short, more than one cylinder.
Listened listen_to(const std::filesystem::path&, const sound::Engine&, const ListenAsk&,
                   const std::function<void(double)>& progress = {});

/// The same of an upload in memory; `name` is for messages.
Listened listen_to_bytes(std::string_view bytes, const std::string& name, const sound::Engine&, const ListenAsk&,
                         const std::function<void(double)>& progress = {});

/// A reading as a job would take it, with its uncertainty among its conditions.
struct ToldReading {
  Took took;
  std::string words;  // "idle speed 1,684 rpm, give or take 0.7 %"
};
struct Proposals {
  std::string step;
  std::vector<ToldReading> readings;  // that this sort of take gives, as far as heard
  std::vector<std::string> not_told;  // the others, with the reason
};
Proposals proposals(const Listened&, const Knowledge&, const Bike&);

}  // namespace crankwise
