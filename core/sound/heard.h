// All that is taken from one take.
//
//   const Track track = follow(signal, engine);
//   const Heard heard = listen(signal, track, engine);
//   if (heard.ceiling) heard.ceiling->rpm;
//
// With an open octave nothing is said that hangs on the speed; each reading can be listened to by itself:
//   listen(signal, taken_as(track, 1), engine), listen(signal, taken_as(track, track.other), engine)
#pragma once

#include <vector>

#include "core/sound/answer.h"
#include "core/sound/blips.h"
#include "core/sound/ceiling.h"
#include "core/sound/firings.h"
#include "core/sound/idle.h"
#include "core/sound/lines.h"
#include "core/sound/others.h"
#include "core/sound/pass_by.h"
#include "core/sound/presence.h"
#include "core/sound/track.h"

namespace crankwise::sound {

struct Heard {
  double seconds = 0;
  // What the take is.
  std::vector<Stretch> stretches;
  EngineShare share;
  Octave octave = Octave::settled;
  Answer<PassBy> pass_by = Why::no_engine;
  Answer<SecondEngine> second = Why::no_engine;
  Answer<Bangs> bangs = Why::no_engine;
  std::vector<FixedLine> lines;
  // What the engine does.
  Answer<Idle> idle = Why::no_engine;
  Answer<std::vector<Blip>> blips = Why::no_engine;
  std::vector<WeakBand> weak;                 // from 1.3 times the idle on
  std::vector<AlternationBand> alternations;  // likewise
  Answer<Ceiling> ceiling = Why::no_engine;
};

Heard listen(const Signal&, const Track&, const Engine&);

/// The track with its speeds so many times those found, as if that were settled.
Track taken_as(Track, double times);

}  // namespace crankwise::sound
