// What repairs do to the weights of the sets (set_table.h).
#include <algorithm>
#include <cassert>
#include <cmath>
#include <utility>

#include "core/belief/kernels.h"
#include "core/belief/set_table.h"

namespace crankwise {

using kernels::padded;

namespace {

std::vector<float> padded_column(std::span<const double> values) {
  std::vector<float> column(values.size() + kernels::kBlock, 0.0f);
  for (size_t i = 0; i < values.size(); ++i) column[i] = static_cast<float>(values[i]);
  return column;
}

std::vector<double> complement(std::span<const double> chance) {
  std::vector<double> keep(chance.begin(), chance.end());
  for (double& k : keep) k = 1 - k;
  return keep;
}

}  // namespace

void SetTable::lay_out() {
  const size_t n = static_cast<size_t>(n_);
  slab_.assign(n, 0);
  ahead_.assign(n + 1, 0);
  for (size_t j = 0; j < n; ++j) ahead_[j + 1] = ahead_[j] + padded(n - 1 - j);
  size_t length = 0;
  for (size_t i = 0; i < n; ++i) {
    slab_[i] = length;
    length += ahead_[n] - ahead_[i + 1];
  }
  one_.assign(n, 0.0);
  two_.assign(n * n, 0.0);
  three_.assign(length, 0.0f);
}

void SetTable::cure(std::span<const double> chance, std::optional<SetTable>* gone) {
  assert(static_cast<int>(chance.size()) == n_);
  const size_t n = chance.size(), stride = n + kernels::kBlock;
  const std::vector<double> keep = complement(chance);
  const std::vector<float> c = padded_column(chance), kept = padded_column(keep);
  // What comes to a set from those with one member more, two, three.
  std::vector<float> pair(n * stride, 0.0f);
  double sum = 0;
  for (size_t i = 0; i < n; ++i) {
    kernels::pair_slab(pair.data(), stride, slab(i), c.data(), n, i);
    sum += kernels::multiply_slab(slab(i), kept.data(), n, i, 0, kept[i]);
  }
  SetTable more = up_to_two();
  more.clear();
  for (size_t i = 0; i < n; ++i) {
    more.empty_ += chance[i] * one_[i];
    for (size_t j = i + 1; j < n; ++j) {
      const double two = two_[i * n + j], third = static_cast<double>(pair[i * stride + j]);
      more.empty_ += chance[i] * chance[j] * (two + third / 3);  // every set of three has three pairs, every member two
      more.one_[i] += keep[i] * chance[j] * (two + third / 2);
      more.one_[j] += keep[j] * chance[i] * (two + third / 2);
      more.two_[i * n + j] = keep[i] * keep[j] * third;
    }
  }
  const auto take = [&](SetTable& table, double ratio) {
    double total = table.empty_ += ratio * more.empty_;
    for (size_t i = 0; i < n; ++i) {
      total += table.one_[i] = keep[i] * table.one_[i] + ratio * more.one_[i];
      for (size_t j = i + 1; j < n; ++j) {
        double& two = table.two_[i * n + j];
        total += two = keep[i] * keep[j] * two + ratio * more.two_[i * n + j];
      }
    }
    return total;
  };
  if (gone != nullptr) {
    if (*gone) {
      take(**gone, scale_ * std::exp(log_total_ - (*gone)->log_total_) / (*gone)->scale_);
    } else {
      *gone = more;
    }
  }
  scale_ = 1 / (sum + take(*this, 1));
}

SetTable SetTable::up_to_two() const {
  SetTable small;
  small.small_ = true, small.n_ = n_, small.empty_ = empty_, small.one_ = one_, small.two_ = two_;
  small.scale_ = scale_, small.log_evidence_ = log_evidence_, small.log_total_ = log_total_;
  return small;
}

void SetTable::clear() {
  empty_ = 0;
  std::fill(one_.begin(), one_.end(), 0.0);
  std::fill(two_.begin(), two_.end(), 0.0);
  std::fill(three_.begin(), three_.end(), 0.0f);
}

void SetTable::raise(std::span<const double> chance, const SetTable& smaller) {
  assert(static_cast<int>(chance.size()) == n_ && smaller.n_ == n_);
  const size_t n = chance.size(), stride = n + kernels::kBlock;
  const std::vector<double> keep = complement(chance);
  const double ratio = smaller.scale_ * std::exp(smaller.log_total_ - log_total_) / scale_;
  const double none = ratio * smaller.empty_;
  std::vector<double> single(n), one(n);
  std::vector<float> pair(n * stride, 0.0f), with_i(n);
  for (size_t i = 0; i < n; ++i) {
    single[i] = ratio * keep[i] * smaller.one_[i];
    for (size_t j = i + 1; j < n; ++j)
      pair[i * stride + j] = static_cast<float>(ratio * keep[i] * keep[j] * smaller.two_[i * n + j]);
  }
  const std::vector<float> c = padded_column(chance), kept = padded_column(keep), alone = padded_column(single);
  double sum = empty_;
  for (size_t i = 0; i < n; ++i) {
    sum += one_[i] = keep[i] * one_[i] + chance[i] * none;
    for (size_t j = i + 1; j < n; ++j) {
      const double rest = single[i] * chance[j] + chance[i] * single[j] + chance[i] * chance[j] * none;
      sum += two_[i * n + j] = keep[i] * keep[j] * two_[i * n + j] + rest;
      with_i[j] = pair[i * stride + j] + static_cast<float>(rest);
    }
    if (small_) continue;
    sum +=
        kernels::raise_slab(slab(i), {kept.data(), c.data(), alone.data(), pair.data(), with_i.data(), stride}, n, i);
  }
  if (!(sum > 0)) return;
  log_total_ += std::log(sum * scale_);
  scale_ = 1 / sum;
}

template <class Each>
void SetTable::for_pairs(int from, int to, const Each& each) {
  const size_t n = static_cast<size_t>(n_), a = static_cast<size_t>(from), b = static_cast<size_t>(to);
  const auto two = [&](size_t x, size_t y) -> double& { return two_[std::min(x, y) * n + std::max(x, y)]; };
  const auto three = [&](size_t x, size_t y, size_t z) -> float& {  // x < y
    if (z < x) std::swap(x, z), std::swap(y, z);
    if (z < y) std::swap(y, z);
    return slab(x)[ahead_[y] - ahead_[x + 1] + z - y - 1];
  };
  each(one_[a], one_[b]);
  for (size_t x = 0; x < n; ++x) {
    if (x == a || x == b) continue;
    each(two(x, a), two(x, b));
    for (size_t y = x + 1; y < n && !small_; ++y) {
      if (y != a && y != b) each(three(x, y, a), three(x, y, b));
    }
  }
}

void SetTable::move(int from, int to, double share) {
  for_pairs(from, to, [&](auto& a, auto& b) {
    using Number = std::remove_reference_t<decltype(a)>;
    b += static_cast<Number>(share) * a;
    a *= static_cast<Number>(1 - share);
  });
}

void SetTable::draw(int from, int to, double share) {
  for_pairs(from, to, [&](auto& a, auto& b) {
    using Number = std::remove_reference_t<decltype(a)>;
    a = static_cast<Number>(1 - share) * a + static_cast<Number>(share) * b;
  });
}

double SetTable::observe(const Observation& seen, const Likelihood& if_gone, const SetTable& gone) {
  assert(gone.n_ == n_ && gone.small_ && seen.offset == 0 && seen.weight == 1);
  const SetTable before = *this;
  SetTable part = gone;
  part.scale_ *= std::exp(gone.log_total_ - log_total_);
  const double ratio = part.scale_ / scale_;
  const auto take = [&](double& rest, double of_part) { rest = std::max(rest - ratio * of_part, 0.0); };
  take(empty_, part.empty_);
  for (size_t i = 0; i < one_.size(); ++i) take(one_[i], part.one_[i]);
  for (size_t i = 0; i < two_.size(); ++i) take(two_[i], part.two_[i]);
  double sum = part.multiply(if_gone);
  double rest = 0;
  for (const Likelihood& l : seen.parts) rest = multiply(l);
  sum += rest;
  if (!(sum > 1e-30)) {
    *this = before;
    return 0;
  }
  empty_ += part.empty_;
  for (size_t i = 0; i < one_.size(); ++i) one_[i] += part.one_[i];
  for (size_t i = 0; i < two_.size(); ++i) two_[i] += part.two_[i];
  scale_ = 1 / sum;
  log_evidence_ += std::log(sum);
  log_total_ += std::log(sum);
  return sum;
}

void SetTable::times(const SetTable& by) {
  assert(by.n_ == n_);
  double sum = empty_ *= by.empty_;
  for (size_t i = 0; i < one_.size(); ++i) sum += one_[i] *= by.one_[i];
  for (size_t i = 0; i < two_.size(); ++i) sum += two_[i] *= by.two_[i];
  sum += kernels::times(three_.data(), by.three_.data(), three_.size());
  log_total_ += by.log_total_ + std::log(sum * scale_ * by.scale_);
  scale_ = 1 / sum;
}

void SetTable::resize(int faults) {
  if (faults == n_) return;
  SetTable old = std::move(*this);
  *this = SetTable();
  n_ = faults;
  lay_out();
  small_ = old.small_;
  if (small_) three_.clear();
  empty_ = old.empty_, scale_ = old.scale_, log_evidence_ = old.log_evidence_, log_total_ = old.log_total_;
  const size_t m = static_cast<size_t>(std::min(faults, old.n_)), n = static_cast<size_t>(n_);
  for (size_t i = 0; i < m; ++i) {
    one_[i] = old.one_[i];
    for (size_t j = i + 1; j < m; ++j) {
      two_[i * n + j] = old.two_[i * static_cast<size_t>(old.n_) + j];
      if (small_) continue;
      const float* row = old.slab(i) + (old.ahead_[j] - old.ahead_[i + 1]);
      std::copy(row, row + (m - 1 - j), slab(i) + (ahead_[j] - ahead_[i + 1]));
    }
  }
}

}  // namespace crankwise
