#include "core/belief/set_table.h"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <utility>

#include "core/belief/kernels.h"

namespace crankwise {

using kernels::padded;

namespace {

/// A column with room behind it, so that a row may read whole blocks past the last fault.
std::vector<float> padded_column(std::span<const float> factor) {
  std::vector<float> column(factor.begin(), factor.end());
  column.resize(factor.size() + kernels::kBlock, 0.0f);
  return column;
}

}  // namespace

SetTable::SetTable(std::span<const double> odds, std::span<const std::pair<int, int>> exclusive)
    : n_(static_cast<int>(odds.size())), empty_(1) {
  const size_t n = odds.size();
  lay_out();
  one_.assign(odds.begin(), odds.end());
  const std::vector<float> column = padded_column(std::vector<float>(odds.begin(), odds.end()));
  double sum = 1;
  for (size_t i = 0; i < n; ++i) {
    assert(odds[i] > 0);
    sum += odds[i];
    for (size_t j = i + 1; j < n; ++j) sum += two_[i * n + j] = odds[i] * odds[j];
    sum += kernels::fill_slab(slab(i), column.data(), n, i, static_cast<float>(odds[i]));
  }
  // A pair that cannot be together takes every set that holds both.
  for (auto [a, b] : exclusive) {
    const size_t i = static_cast<size_t>(std::min(a, b)), j = static_cast<size_t>(std::max(a, b));
    sum -= std::exchange(two_[i * n + j], 0.0);
    const auto drop = [&](size_t x, size_t y, size_t z) {
      sum -= static_cast<double>(std::exchange(slab(x)[ahead_[y] - ahead_[x + 1] + z - y - 1], 0.0f));
    };
    for (size_t k = 0; k < i; ++k) drop(k, i, j);
    for (size_t k = i + 1; k < j; ++k) drop(i, k, j);
    for (size_t k = j + 1; k < n; ++k) drop(i, j, k);
  }
  scale_ = 1 / sum;
  log_total_ = std::log(sum);
}

double SetTable::multiply(const Likelihood& l) {
  const size_t n = static_cast<size_t>(n_);
  assert(l.factor.size() == n);
  const std::vector<float> q = padded_column(l.factor);
  const double constant = l.constant * scale_, coef = l.coef * scale_;
  scale_ = 1;
  double sum = empty_ *= constant + coef;
  for (size_t i = 0; i < n; ++i) {
    const double s_i = coef * static_cast<double>(q[i]);
    sum += one_[i] *= constant + s_i;
    for (size_t j = i + 1; j < n; ++j) sum += two_[i * n + j] *= constant + s_i * static_cast<double>(q[j]);
    if (small_) continue;
    sum += kernels::multiply_slab(slab(i), q.data(), n, i, static_cast<float>(constant), static_cast<float>(s_i));
  }
  return sum;
}

double SetTable::blend(double offset, double weight, const SetTable& before) {
  offset *= before.scale_;
  const auto mix = [&](double& now, double then) { return now = std::max(offset * then + weight * now, 0.0); };
  double sum = mix(empty_, before.empty_);
  for (size_t i = 0; i < one_.size(); ++i) sum += mix(one_[i], before.one_[i]);
  for (size_t i = 0; i < two_.size(); ++i) sum += mix(two_[i], before.two_[i]);
  return sum + kernels::blend(three_.data(), before.three_.data(), three_.size(), static_cast<float>(offset),
                              static_cast<float>(weight));
}

double SetTable::observe(const Observation& observation) {
  assert(!observation.parts.empty());
  bool possible = true;  // surely possible under every set
  for (const Likelihood& l : observation.parts) possible = possible && std::min(l.constant, l.at_none()) > 1e-9;
  const bool mixed = observation.offset != 0 || observation.weight != 1;
  const bool keep = mixed || !possible;  // else only a table without any weight comes to nothing
  const SetTable before = keep ? *this : SetTable();
  double sum = 1;
  for (const Likelihood& l : observation.parts) sum = multiply(l);
  if (mixed) sum = blend(observation.offset, observation.weight, before);
  if (!(sum > 1e-30)) {
    if (keep) *this = before;
    return 0;
  }
  scale_ = 1 / sum;
  log_evidence_ += std::log(sum);
  log_total_ += std::log(sum);
  return sum;
}

std::vector<double> SetTable::marginals() const {
  const size_t n = static_cast<size_t>(n_);
  std::vector<double> m = one_;
  std::vector<float> third(n + kernels::kBlock);
  for (size_t i = 0; i < n; ++i) {
    std::fill(third.begin(), third.end(), 0.0f);
    m[i] += kernels::marginal_slab(third.data(), slab(i), n, i);
    for (size_t j = i + 1; j < n; ++j) {
      m[i] += two_[i * n + j];
      m[j] += two_[i * n + j] + static_cast<double>(third[j]);
    }
  }
  for (double& x : m) x *= scale_;
  return m;
}

std::vector<double> SetTable::alone() const {
  std::vector<double> m = one_;
  for (double& x : m) x *= scale_;
  return m;
}

double SetTable::expect(std::span<const float> factor) const {
  assert(static_cast<int>(factor.size()) == n_);
  const size_t n = factor.size();
  const std::vector<float> q = padded_column(factor);
  double sum = empty_;
  for (size_t i = 0; i < n; ++i) {
    const double q_i = static_cast<double>(q[i]);
    if (q_i == 0) continue;
    double inner = one_[i];
    for (size_t j = i + 1; j < n; ++j) inner += static_cast<double>(q[j]) * two_[i * n + j];
    sum += q_i * (inner + kernels::dot_slab(slab(i), q.data(), n, i));
  }
  return sum * scale_;
}

std::vector<double> SetTable::expect_absent(std::span<const Sparse> findings) const {
  const size_t n = static_cast<size_t>(n_), stride = n + kernels::kBlock;
  std::vector<float> pair(n * stride, 0.0f);
  const std::vector<float> alike = padded_column(std::vector<float>(n, 1.0f));
  for (size_t i = 0; i < n; ++i) kernels::pair_slab(pair.data(), stride, slab(i), alike.data(), n, i);
  const std::vector<double> single = marginals();
  // prod (1 - c) over the members that are linked = 1 - sum c + sum of pairs c c - sum of triples c c c.
  std::vector<double> out;
  for (const Sparse& links : findings) {
    double ones = 0, twos = 0, threes = 0;
    for (size_t a = 0; a < links.size(); ++a) {
      const size_t i = static_cast<size_t>(links[a].first);
      ones += links[a].second * single[i];
      for (size_t b = a + 1; b < links.size(); ++b) {
        const size_t j = static_cast<size_t>(links[b].first);
        const double both = links[a].second * links[b].second;
        twos += both * (two_[i * n + j] + static_cast<double>(pair[i * stride + j]));
        for (size_t c = b + 1; c < links.size(); ++c) {
          threes += both * links[c].second * triple(i, j, static_cast<size_t>(links[c].first));
        }
      }
    }
    out.push_back(1 - ones + (twos - threes) * scale_);
  }
  return out;
}

std::vector<SetTable::Entry> SetTable::heaviest(std::size_t count) const {
  const int n = n_;
  std::vector<Entry> heap;  // lightest on top
  const auto heavier = [](const Entry& a, const Entry& b) {
    if (a.weight != b.weight) return a.weight > b.weight;
    return std::lexicographical_compare(a.member, a.member + 3, b.member, b.member + 3);
  };
  double least = 0;  // stored weight below which nothing gets in
  const auto offer = [&](int i, int j, int k, double weight) {
    if (weight <= 0 || weight < least || count == 0) return;
    const Entry e{{i, j, k}, weight};
    if (heap.size() == count) {
      if (!heavier(e, heap.front())) return;
      std::pop_heap(heap.begin(), heap.end(), heavier);
      heap.back() = e;
    } else {
      heap.push_back(e);
    }
    std::push_heap(heap.begin(), heap.end(), heavier);
    if (heap.size() == count) least = heap.front().weight;
  };
  offer(-1, -1, -1, empty_);
  for (int i = 0; i < n; ++i) offer(i, -1, -1, one_[static_cast<size_t>(i)]);
  for (int i = 0; i < n; ++i) {
    for (int j = i + 1; j < n; ++j) offer(i, j, -1, two_[static_cast<size_t>(i * n + j)]);
  }
  for (int i = 0; i < n; ++i) {
    const float* w = slab(static_cast<size_t>(i));
    for (int j = i + 1; j < n; ++j) {
      for (int k = j + 1; k < n; ++k) {
        const double x = static_cast<double>(w[k - j - 1]);
        if (x >= least) offer(i, j, k, x);
      }
      w += padded(static_cast<size_t>(n - 1 - j));
    }
  }
  std::sort_heap(heap.begin(), heap.end(), heavier);
  for (Entry& e : heap) e.weight *= scale_;
  return heap;
}

double SetTable::share(const int (&member)[3]) const {
  if (member[0] < 0) return empty_ * scale_;
  const size_t n = static_cast<size_t>(n_), i = static_cast<size_t>(member[0]);
  if (member[1] < 0) return one_[i] * scale_;
  const size_t j = static_cast<size_t>(member[1]);
  if (member[2] < 0) return two_[i * n + j] * scale_;
  return triple(i, j, static_cast<size_t>(member[2])) * scale_;
}

}  // namespace crankwise
