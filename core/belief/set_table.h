// Weights of all fault sets with at most three members.
//
// n independent faults with prior odds r_i; the weight of a set is prod r_i times the likelihood of what was observed.
// All 1 + n + n(n-1)/2 + n(n-1)(n-2)/6 weights stand in one array (120 faults: 288,100 floats, 1.3 MB), laid out so
// that one term of an observation is one pass of multiply-adds: for every pair i<j the weights of {i,j,k}, k = j+1 ..
// n-1, follow each other and meet the column factor[j+1 .. n-1].
//
// Exact up to size three; bound.h says how much the larger sets can weigh.
// Method: truncated enumeration (Cooper 1984; Peng and Reggia 1990). Cost per pass O(n^3/6), no allocation.
#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <utility>
#include <vector>

#include "core/belief/likelihood.h"

namespace crankwise {

class SetTable {
 public:
  /// One set with its share of the total weight; members in ascending order, -1 where there is none.
  struct Entry {
    int member[3] = {-1, -1, -1};
    double weight = 0;
    int size() const { return (member[0] >= 0) + (member[1] >= 0) + (member[2] >= 0); }
  };

  SetTable() = default;
  /// `odds`: n prior odds, each above 0. `exclusive`: pairs that are never there together.
  SetTable(std::span<const double> odds, std::span<const std::pair<int, int>> exclusive);

  /// Multiplies every weight by what the observation says of its set and rescales to sum one. Returns the probability
  /// of the observation given all before it; 0 (and the table left as it was) if no set of the table allows it.
  double observe(const Observation&);
  double observe(const Likelihood& one) { return observe(Observation{0, 1, {one}}); }

  // What repairs do. The weights of all sets stay the same in total; none of these is an observation.
  /// Every member leaves its set with its own chance (n of them), and what is left of the set takes over the weight.
  /// `gone`, if wanted, is the part of the table that lost a member here or was in `gone` before: sets of up to two.
  void cure(std::span<const double> chance, std::optional<SetTable>* gone = nullptr);
  /// `share` of the weight of every set with `from` goes to the set with `to` in its place. No set may hold both.
  void move(int from, int to, double share);
  /// Cuts off the last members, which must have no weight, or puts more without weight behind.
  void resize(int faults);
  /// As observe(), with another likelihood for the part of the table that is in `gone`.
  double observe(const Observation&, const Likelihood& if_gone, const SetTable& gone);

  // The same read backwards, for tables of how probable everything later is, given the set now. Here the total changes.
  SetTable up_to_two() const;  // the same without the sets of three
  /// The mean over what cure() makes of each set: of this table if all stay, of `smaller` (may be this) if any goes.
  void raise(std::span<const double> chance, const SetTable& smaller);
  void draw(int from, int to, double share);  // the mean over what move() makes of each set
  void times(const SetTable&);                // weight by weight
  void clear();                               // no weight at all

  int faults() const { return n_; }
  /// ln of the probability of everything observed, relative to the prior over all sets of at most three.
  double log_evidence() const { return log_evidence_; }
  /// ln of (total weight of the table) / (prior weight of the empty set): Z of bound.h.
  double log_total() const { return log_total_; }

  double empty() const { return empty_ * scale_; }  // P(no fault at all)
  std::vector<double> marginals() const;            // n: P(i in H)
  std::vector<double> alone() const;                // n: P(H = {i})
  /// E[prod over i in H of factor[i]], n factors.
  double expect(std::span<const float> factor) const;
  /// E[prod over i in H of (1 - strength)] for many sparse findings at once: each is a list of (fault, strength),
  /// faults ascending. One pass for the pairs, then only the links count; the same values as expect().
  using Sparse = std::vector<std::pair<int, double>>;
  std::vector<double> expect_absent(std::span<const Sparse> findings) const;
  /// The heaviest `count` sets, heaviest first (ties by members), weights as shares of the whole table.
  std::vector<Entry> heaviest(std::size_t count) const;
  /// Share of one set; members in ascending order, -1 where there is none.
  double share(const int (&member)[3]) const;

 private:
  const float* slab(std::size_t i) const { return three_.data() + slab_[i]; }
  float* slab(std::size_t i) { return three_.data() + slab_[i]; }
  double triple(std::size_t i, std::size_t j, std::size_t k) const {  // stored weight of {i,j,k}
    return static_cast<double>(three_[slab_[i] + ahead_[j] - ahead_[i + 1] + k - j - 1]);
  }
  void lay_out();  // for n_ faults, all weights zero
  template <class Each>
  void for_pairs(int from, int to, const Each&);  // each(weight of X with from, weight of X with to), all X of neither
  double multiply(const Likelihood&);             // returns the new total
  double blend(double offset, double weight, const SetTable& before);

  int n_ = 0;
  bool small_ = false;  // without sets of three
  double empty_ = 0;
  std::vector<double> one_;         // n
  std::vector<double> two_;         // n*n, only i<j used
  std::vector<float> three_;        // one slab for each first fault (kernels.h)
  std::vector<std::size_t> slab_;   // n: where it begins
  std::vector<std::size_t> ahead_;  // n + 1: padded length of the rows of all second faults before
  double scale_ = 1;                // true weight = stored weight * scale_; put in with the next observation
  double log_evidence_ = 0;
  double log_total_ = 0;
};

}  // namespace crankwise
