#include "core/belief/tries.h"

#include <algorithm>

namespace crankwise {
namespace {

/// Each fault split by which of its repairs work, every try with its own luck. Prior odds beside.
void split_faults(const Model& model, std::span<const Happening> history, std::vector<Try>& atoms,
                  std::vector<double>& odds) {
  for (size_t f = 0; f < model.faults.size(); ++f) {
    const size_t first = atoms.size();
    atoms.push_back({static_cast<int>(f), {}});
    odds.push_back(model.faults[f].odds);
    int nth = 0;
    for (const auto& h : history) {
      if (const auto* r = std::get_if<Repaired>(&h)) {
        for (const Cure& c : r->cures) {
          if (c.fault != static_cast<int>(f)) continue;
          // Put in and out again and again: beyond a dozen cases a try goes as the one before went.
          constexpr size_t kMostCases = 12;
          if (atoms.size() - first >= kMostCases) {
            for (size_t a = first; a < atoms.size(); ++a) {
              auto& works = atoms[a].put_right_by;
              if (atoms[a].cured || works.empty() || works.back() != nth - 1) continue;
              works.push_back(nth);
              atoms[a].cured = true;
            }
            ++nth;
            continue;
          }
          for (size_t a = first, end = atoms.size(); a < end; ++a) {
            if (atoms[a].cured) continue;
            Try right = atoms[a];
            right.put_right_by.push_back(nth);
            right.cured = true;
            atoms.push_back(std::move(right));
            odds.push_back(odds[a] * c.chance);
            odds[a] *= 1 - c.chance;
          }
          ++nth;
        }
      } else if (const auto* p = std::get_if<PutBack>(&h)) {
        if (std::find(p->faults.begin(), p->faults.end(), static_cast<int>(f)) == p->faults.end()) continue;
        for (size_t a = first; a < atoms.size(); ++a) {
          if (atoms[a].cured && atoms[a].put_right_by.back() == nth - 1) atoms[a].cured = false;
        }
      }
    }
  }
  size_t kept = 0;
  for (size_t a = 0; a < atoms.size(); ++a) {
    if (!(odds[a] > 0)) continue;
    if (kept != a) atoms[kept] = std::move(atoms[a]);
    odds[kept] = odds[a];
    atoms[kept++].cured = false;
  }
  atoms.resize(kept);
  odds.resize(kept);
}

}  // namespace

Tries::Tries(const Model& model, std::span<const Happening> history) : count_(model.faults.size(), 0) {
  split_faults(model, history, members, odds);
}

void Tries::repaired(const Cure& c) {
  const int nth = count_[static_cast<size_t>(c.fault)]++;
  for (Try& t : members) {
    if (t.fault != c.fault) continue;
    if (std::find(t.put_right_by.begin(), t.put_right_by.end(), nth) != t.put_right_by.end())
      t.cured = t.since_run = true;
  }
}

void Tries::put_back(int fault) {
  const int last = count_[static_cast<size_t>(fault)] - 1;
  for (Try& t : members) {
    if (t.fault != fault) continue;
    if (std::find(t.put_right_by.begin(), t.put_right_by.end(), last) != t.put_right_by.end())
      t.cured = t.since_run = false;
  }
}

void Tries::ran() {
  for (Try& t : members) t.since_run = false;
}

}  // namespace crankwise
