#include "core/sound/path.h"

#include <algorithm>
#include <cassert>
#include <cmath>

#include "core/sound/track.h"

namespace crankwise::sound {
namespace {

constexpr float kMoveCost = 0.015F;    // for a bin in a hop, squared
constexpr float kRestartCost = 12.5F;  // a recording that was cut
constexpr float kRoughCost = 3.5F;     // it begins or ceases to be rough
constexpr float kLeast = -0.1F;        // no evidence speaks against a rate more than this
constexpr float kOwn = 0.5F;           // weight of a rate's own evidence beside that of its part
constexpr float kOwnLeast = 0.25F;     // a firing that is there has so much evidence, however rough
constexpr float kNowhere = -1e9F;
constexpr std::int8_t kRestart = 127, kFromRough = 100;  // kFromRough + r: the same bin, as rough as r before

int bins_in_hop(double per_s) { return static_cast<int>(std::ceil(per_s * kHopS * Grid::kPerOctave / std::log(2.0))); }

}  // namespace

PathFinder::PathFinder(const Grid& grid, const std::vector<int>& roughness) : grid_(grid) {
  for (const int m : roughness)
    below_.push_back(static_cast<int>(std::lround(Grid::kPerOctave * std::log2(static_cast<double>(m)))));
  best_.assign(roughness.size(), std::vector<float>(static_cast<size_t>(grid.size)));
  next_ = best_;
}

float PathFinder::evidence(std::span<const float> row, Place p) const {
  const int bin = p.bin - below_[static_cast<size_t>(p.rough)];
  return bin < 0 ? kNowhere : std::max(row[static_cast<size_t>(bin)], kLeast);
}

float PathFinder::worth(std::span<const float> row, Place p, std::span<const int> about, std::size_t hop) const {
  if (about.empty())
    return evidence(row, p) + (p.rough > 0 ? kOwn * std::min(0.0F, evidence(row, {p.bin, 0}) - kOwnLeast) : 0);
  if (std::abs(p.bin - about[hop]) > Grid::kPerOctave / 2) return kNowhere / 1e3F;
  return evidence(row, p) + kOwn * evidence(row, {p.bin, 0});
}

/// The best way to each bin within one roughness.
void PathFinder::advance(std::size_t rough, std::int8_t* from) {
  const int n = grid_.size, up = bins_in_hop(kMostRisePerS), down = bins_in_hop(kMostFallPerS);
  float* const next = next_[rough].data();
  for (int move = -down; move <= up; ++move) {  // from bin i - move to bin i
    const float cost = kMoveCost * static_cast<float>(move * move);
    const int first = std::max(0, move), last = std::min(n, n + move);
    const float* const old = best_[rough].data() - move;
    const auto step = static_cast<std::int8_t>(move);
    for (int i = first; i < last; ++i) {
      const float value = old[i] - cost;
      const bool better = value > next[i];
      next[i] = better ? value : next[i];
      from[i] = better ? step : from[i];
    }
  }
}

std::vector<PathFinder::Place> PathFinder::through(std::span<const float> rows, Place before,
                                                   std::span<const int> about) {
  const int n = grid_.size;
  const auto width = static_cast<size_t>(n), kinds = best_.size();
  const size_t frames = rows.size() / width;
  assert(frames > 0 && frames * width == rows.size());
  const auto row = [&](size_t f) { return rows.subspan(f * width, width); };
  from_.assign(frames * kinds * width, kRestart);
  std::vector<Place> leader(frames);  // the best place of the hop before
  for (size_t r = 0; r < kinds; ++r) {
    for (int i = 0; i < n; ++i) {
      const Place here{i, static_cast<int>(r)};
      float& start = best_[r][static_cast<size_t>(i)];
      start = worth(row(0), here, about, 0) - (before.bin < 0 && r > 0 && about.empty() ? kRoughCost : 0);
      if (before.bin < 0) continue;
      const bool reachable =
          i - before.bin <= bins_in_hop(kMostRisePerS) && before.bin - i <= bins_in_hop(kMostFallPerS);
      if (!reachable) start -= kRestartCost;
      if (here.rough != before.rough) start -= kRoughCost;
    }
  }
  for (size_t f = 1; f < frames; ++f) {
    float most = kNowhere;
    for (size_t r = 0; r < kinds; ++r) {
      const auto at = std::max_element(best_[r].begin(), best_[r].end());
      if (*at > most) most = *at, leader[f] = {static_cast<int>(at - best_[r].begin()), static_cast<int>(r)};
    }
    for (size_t r = 0; r < kinds; ++r) {
      std::int8_t* const from = &from_[(f * kinds + r) * width];
      std::fill(next_[r].begin(), next_[r].end(), most - kRestartCost - (r > 0 ? kRoughCost : 0));
      for (size_t other = 0; other < kinds; ++other) {
        if (other == r) continue;
        for (size_t i = 0; i < width; ++i) {
          const float value = best_[other][i] - kRoughCost;
          const bool better = value > next_[r][i];
          next_[r][i] = better ? value : next_[r][i];
          from[i] = better ? static_cast<std::int8_t>(kFromRough + static_cast<int>(other)) : from[i];
        }
      }
      advance(r, from);
      for (int i = 0; i < n; ++i) next_[r][static_cast<size_t>(i)] += worth(row(f), {i, static_cast<int>(r)}, about, f);
    }
    best_.swap(next_);
  }
  Place place{0, 0};
  float most = kNowhere;
  for (size_t r = 0; r < kinds; ++r) {
    const auto at = std::max_element(best_[r].begin(), best_[r].end());
    if (*at > most) most = *at, place = {static_cast<int>(at - best_[r].begin()), static_cast<int>(r)};
  }
  std::vector<Place> path(frames);
  for (size_t f = frames; f-- > 0;) {
    path[f] = place;
    const std::int8_t move =
        from_[(f * kinds + static_cast<size_t>(place.rough)) * width + static_cast<size_t>(place.bin)];
    if (move == kRestart) {
      place = leader[f];
    } else if (move >= kFromRough) {
      place.rough = move - kFromRough;
    } else {
      place.bin -= move;
    }
  }
  return path;
}

}  // namespace crankwise::sound
