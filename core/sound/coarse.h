// The path of the firing in steps of the grid, before its rates are looked at closely (core/sound/refine.h).
#pragma once

#include <functional>
#include <vector>

#include "core/calc/cycle.h"
#include "core/sound/grid.h"
#include "core/sound/signal.h"

namespace crankwise::sound {

/// By hop.
struct Coarse {
  std::vector<double> rate_hz;
  std::vector<float> strength;  // of the evidence for it
  std::vector<int> rough;       // firings until the sound repeats
};

/// What is known of the path before.
struct Known {
  std::vector<double> about_hz = {};  // by hop, within half an octave; empty: nothing
  std::vector<double> tones_hz =
      {};  // that sound beside the engine all along: they, their parts and multiples say nothing
};

Coarse coarse_path(const Signal&, const Grid&, Cycle, const Known&, const std::function<void(double)>& progress);

}  // namespace crankwise::sound
