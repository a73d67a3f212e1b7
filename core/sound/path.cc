#include "core/sound/path.h"

#include <algorithm>
#include <array>
#include <cassert>
#include <cmath>
#include <numbers>

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
constexpr int kTile = 32;  // bins taken at once

constexpr int bins_in_hop(double per_s) {
  const double bins = per_s * kHopS * Grid::kPerOctave / std::numbers::ln2;
  const auto whole = static_cast<int>(bins);
  return whole + (whole < bins ? 1 : 0);
}
constexpr int kUp = bins_in_hop(kMostRisePerS), kDown = bins_in_hop(kMostFallPerS);

constexpr float move_cost(int move) { return kMoveCost * static_cast<float>(move * move); }

}  // namespace

PathFinder::PathFinder(const Grid& grid, const std::vector<int>& roughness) : grid_(grid) {
  for (const int m : roughness)
    below_.push_back(static_cast<int>(std::lround(Grid::kPerOctave * std::log2(static_cast<double>(m)))));
}

float* PathFinder::sums(std::size_t hop, int rough) {
  const auto beside = static_cast<size_t>(kUp + grid_.size + kDown + kTile);
  return &sums_[(hop * below_.size() + static_cast<size_t>(rough)) * beside + kUp];
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

PathFinder::Place PathFinder::leader_of(std::size_t hop) {
  Place best{0, 0};
  for (int r = 0; r < static_cast<int>(below_.size()); ++r) {
    const float* const s = sums(hop, r);
    const auto bin = static_cast<int>(std::max_element(s, s + grid_.size) - s);
    if (s[bin] > sums(hop, best.rough)[best.bin]) best = {bin, r};
  }
  return best;
}

/// The best sum with which each bin is come to from the hop before; came_from() tells the way.
void PathFinder::arrive(std::size_t hop, int rough, Place leader) {
  const int n = grid_.size;
  float* const to = sums(hop, rough);
  std::fill(to, to + n, sums(hop - 1, leader.rough)[leader.bin] - kRestartCost - (rough > 0 ? kRoughCost : 0));
  for (int other = 0; other < static_cast<int>(below_.size()); ++other) {
    if (other == rough) continue;
    const float* const from = sums(hop - 1, other);
    for (int i = 0; i < n; ++i) to[i] = std::max(to[i], from[i] - kRoughCost);
  }
  const float* const from = sums(hop - 1, rough);
  for (int tile = 0; tile < n; tile += kTile) {
    std::array<float, kTile> most;  // in registers while all moves are tried
    std::copy_n(to + tile, kTile, most.begin());
    for (int move = -kDown; move <= kUp; ++move) {  // from bin i - move to bin i
      const float cost = move_cost(move);
      const float* const old = from + tile - move;
      for (size_t i = 0; i < kTile; ++i) most[i] = std::max(most[i], old[i] - cost);
    }
    std::copy_n(most.begin(), std::min(kTile, n - tile), to + tile);
  }
}

PathFinder::Place PathFinder::came_from(std::size_t hop, Place p, Place leader) {
  float most = sums(hop - 1, leader.rough)[leader.bin] - kRestartCost - (p.rough > 0 ? kRoughCost : 0);
  Place best = leader;
  const auto consider = [&](Place from, float cost) {
    const float value = sums(hop - 1, from.rough)[from.bin] - cost;
    if (value > most) most = value, best = from;
  };
  for (int other = 0; other < static_cast<int>(below_.size()); ++other)
    if (other != p.rough) consider({p.bin, other}, kRoughCost);
  for (int move = -kDown; move <= kUp; ++move) consider({p.bin - move, p.rough}, move_cost(move));
  return best;
}

std::vector<PathFinder::Place> PathFinder::through(std::span<const float> rows, Place before,
                                                   std::span<const int> about) {
  const int n = grid_.size, kinds = static_cast<int>(below_.size());
  const auto width = static_cast<size_t>(n);
  const size_t frames = rows.size() / width;
  assert(frames > 0 && frames * width == rows.size());
  const auto row = [&](size_t f) { return rows.subspan(f * width, width); };
  sums_.assign(frames * below_.size() * static_cast<size_t>(kUp + n + kDown + kTile), kNowhere);
  for (int r = 0; r < kinds; ++r) {
    for (int i = 0; i < n; ++i) {
      float& start = sums(0, r)[i];
      start = worth(row(0), {i, r}, about, 0) - (before.bin < 0 && r > 0 && about.empty() ? kRoughCost : 0);
      if (before.bin < 0) continue;
      if (i - before.bin > kUp || before.bin - i > kDown) start -= kRestartCost;
      if (r != before.rough) start -= kRoughCost;
    }
  }
  std::vector<Place> leader(frames);  // the best place of the hop before
  for (size_t f = 1; f < frames; ++f) {
    leader[f] = leader_of(f - 1);
    for (int r = 0; r < kinds; ++r) {
      arrive(f, r, leader[f]);
      float* const s = sums(f, r);
      for (int i = 0; i < n; ++i) s[i] += worth(row(f), {i, r}, about, f);
    }
  }
  std::vector<Place> path(frames);
  path.back() = leader_of(frames - 1);
  for (size_t f = frames - 1; f > 0; --f) path[f - 1] = came_from(f, path[f], leader[f]);
  return path;
}

}  // namespace crankwise::sound
