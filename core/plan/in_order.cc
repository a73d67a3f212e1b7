// Working through the blocks one by one: what it costs until a run is clean.
//
// Every world is kept with its chance for each subset of its faults that may still be there, so that looks that miss,
// repairs that fail and several faults at once are counted as they are. The order is greedy: the block with the highest
// chance of ending the job, as things stand then, for its cost. A look and the blind repair of the same fault are two
// blocks.
#include <algorithm>
#include <queue>

#include "core/plan/working.h"

namespace crankwise::plan {
namespace {

/// The worlds on the way, by subset of the faults left (bit k: fault k of the world is still there).
struct Way {
  const Worlds& worlds;
  std::vector<std::array<double, 8>> left;
  std::vector<double> alive;                         // per world: something is still there
  std::vector<double> alone;                         // per fault: only this is still there
  std::vector<std::vector<std::pair<int, int>>> of;  // per fault: its worlds, and its bit there
  double total = 0;                                  // of alive

  Way(const Worlds& all, size_t faults)
      : worlds(all), left(all.size()), alive(all.size()), alone(faults, 0.0), of(faults) {
    for (size_t h = 0; h < all.size(); ++h) {
      const World& w = all[h];
      left[h] = {};
      if (w.weight <= 0) continue;
      left[h][(1u << w.left.size()) - 1] = alive[h] = w.weight;
      total += w.weight;
      for (int k = 0; k < w.left.size(); ++k) {
        of[static_cast<size_t>(w.left.fault[static_cast<size_t>(k)])].emplace_back(static_cast<int>(h), k);
      }
      if (w.left.size() == 1) alone[static_cast<size_t>(w.left.fault[0])] += w.weight;
    }
  }

  /// Worlds in which nothing is left end at the next run.
  void end_empty() {
    for (size_t h = 0; h < worlds.size(); ++h) {
      if (!worlds[h].left.none() || alive[h] == 0) continue;
      total -= alive[h];
      alive[h] = left[h][0] = 0;
    }
  }

  /// The fault goes with the chance that `chance` gives for the world's set.
  template <class Chance>
  void cure(int fault, Chance chance) {
    for (const auto& [h, k] : of[static_cast<size_t>(fault)]) {
      const size_t w = static_cast<size_t>(h);
      const Left& members = worlds[w].left;
      const double p = chance(worlds[w].set);
      for (unsigned mask = 7; mask > 0; --mask) {
        if (!(mask >> k & 1u) || left[w][mask] == 0) continue;
        const double moved = left[w][mask] * p;
        const unsigned rest = mask & ~(1u << k);
        left[w][mask] -= moved;
        left[w][rest] += moved;
        if (rest == 0) {
          alone[static_cast<size_t>(fault)] -= moved;
          alive[w] -= moved;
          total -= moved;
        } else if ((rest & (rest - 1)) == 0) {
          alone[static_cast<size_t>(members.fault[rest == 1 ? 0 : rest == 2 ? 1 : 2])] += moved;
        }
      }
    }
  }
};

struct Entry {
  double index;
  size_t block;
  bool operator<(const Entry& o) const { return index != o.index ? index < o.index : block > o.block; }
};

}  // namespace

double Working::in_order(const Worlds& worlds, PartMask from, const std::vector<int>& asked) const {
  Way way(worlds, belief_model_.faults.size());
  const double sum = way.total;
  if (sum <= 0) return 0;
  const std::vector<double> bad = chances_bad(worlds, sum);
  const auto bad_of = [&](const Block& b) { return b.look >= 0 ? bad[static_cast<size_t>(b.finding)] : 0.0; };
  const auto usable = [&](const Block& b) {
    return b.look < 0 || std::find(asked.begin(), asked.end(), b.finding) == asked.end();
  };

  // The first block is chosen from where the bike stands now; after its run everything is on.
  size_t first = blocks_.size();
  double first_index = 0;
  std::priority_queue<Entry> queue;
  const double slight = 1e-6 * sum;
  for (size_t b = 0; b < blocks_.size(); ++b) {
    const double p = ends(blocks_[b], way.alone);
    if (p < slight || !usable(blocks_[b])) continue;
    queue.push({p / cost(blocks_[b], bad_of(blocks_[b]), 0), b});
    if (p <= first_index * blocks_[b].least) continue;
    const double index = p / cost(blocks_[b], bad_of(blocks_[b]), from);
    if (index > first_index) first_index = index, first = b;
  }

  double spent = 0;
  double least = sum * (give_up_later_ + joined(model_.access.move(from, 0)));
  const auto work = [&](size_t index, PartMask open) {
    const Block& b = blocks_[index];
    const auto [looking, repairing] = costs(b, open);
    if (b.look >= 0) {
      const std::vector<float>& y = yes(b.finding);
      double said_bad = 0;
      for (size_t h = 0; h < worlds.size(); ++h) {
        said_bad += way.alive[h] * static_cast<double>(y[static_cast<size_t>(worlds[h].set)]);
      }
      spent += way.total * looking + said_bad * repairing;
      way.cure(b.fault, [&](int set) { return b.cure * static_cast<double>(y[static_cast<size_t>(set)]); });
    } else {
      spent += way.total * repairing;
      for (const Cure& c : model_.steps[static_cast<size_t>(b.repair)].cures)
        way.cure(c.fault, [&](int) { return c.chance; });
    }
    way.end_empty();
    least = std::min(least, spent + std::max(way.total, 0.0) * give_up_later_);
  };
  if (first < blocks_.size()) work(first, from);
  while (!queue.empty() && spent < least) {
    const Entry top = queue.top();
    queue.pop();
    if (top.block == first) continue;
    const Block& b = blocks_[top.block];
    const double p = ends(b, way.alone);
    if (p < slight) continue;
    const double index = p / cost(b, bad_of(b), 0);
    if (!queue.empty() && index < queue.top().index * (1 - 1e-9)) {
      queue.push({index, top.block});
      continue;
    }
    work(top.block, 0);
  }
  return least;
}

}  // namespace crankwise::plan
