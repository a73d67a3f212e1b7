#include "core/sound/coarse.h"

#include <algorithm>
#include <cmath>

#include "core/sound/evidence.h"
#include "core/sound/path.h"
#include "core/sound/track.h"

namespace crankwise::sound {
namespace {

constexpr std::int64_t kBlock = 3000, kAhead = 250;  // hops decided at once, and looked at beyond them
constexpr int kHop = static_cast<int>(kHopS * kRateHz);

/// Takes the evidence for a tone, and for what its lines fit too, out of the rows.
void deafen(std::span<float> rows, const Grid& grid, double tone_hz) {
  constexpr double kWithin = 0.025;
  constexpr float kNothing = -0.1F;
  const auto width = static_cast<size_t>(grid.size);
  for (const double times : {1.0 / 4, 1.0 / 3, 1.0 / 2, 2.0 / 3, 1.0, 3.0 / 2, 2.0, 3.0}) {
    for (size_t bin = 0; bin < width; ++bin) {
      if (std::abs(grid.hz(static_cast<double>(bin)) / (tone_hz * times) - 1) > kWithin) continue;
      for (size_t at = bin; at < rows.size(); at += width) rows[at] = std::min(rows[at], kNothing);
    }
  }
}

}  // namespace

Coarse coarse_path(const Signal& signal, const Grid& grid, Cycle cycle, const Known& known,
                   const std::function<void(double)>& progress) {
  const auto hops = std::max<std::int64_t>(1, signal.samples / kHop);
  const auto width = static_cast<size_t>(grid.size);
  Evidence evidence(grid, cycle);
  const std::vector<int> roughness = cycle == Cycle::two_stroke ? std::vector<int>{1, 2, 3, 4} : std::vector<int>{1, 2};
  PathFinder finder(grid, roughness);
  Coarse out;
  std::vector<float> rows;
  std::vector<int> about;
  PathFinder::Place before;
  for (std::int64_t first = 0; first < hops; first += kBlock) {
    const std::int64_t here = std::min(kBlock, hops - first), looked = std::min(here + kAhead, hops - first);
    rows.resize(static_cast<size_t>(looked) * width);
    evidence.rows(signal, first, rows);
    for (const double hz : known.tones_hz) deafen(rows, grid, hz);
    about.clear();
    for (std::int64_t i = 0; i < looked && !known.about_hz.empty(); ++i)
      about.push_back(static_cast<int>(std::lround(grid.index(known.about_hz[static_cast<size_t>(first + i)]))));
    const std::vector<PathFinder::Place> path = finder.through(rows, before, about);
    for (std::int64_t i = 0; i < here; ++i) {
      const auto f = static_cast<size_t>(i);
      out.rough.push_back(roughness[static_cast<size_t>(path[f].rough)]);
      out.rate_hz.push_back(grid.hz(path[f].bin));
      out.strength.push_back(finder.evidence(std::span(rows).subspan(f * width, width), path[f]));
    }
    before = path[static_cast<size_t>(here - 1)];
    if (progress) progress(static_cast<double>(first + here) / static_cast<double>(hops));
  }
  return out;
}

}  // namespace crankwise::sound
