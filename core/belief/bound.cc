#include "core/belief/bound.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <vector>

namespace crankwise {
namespace {

constexpr int kFirst = 4;         // the table holds sets up to three
constexpr int kTail = 8;          // from here on the exponential series
constexpr double kMaxTheta = 40;  // exp(-40) is nothing beside the rounding of the weights

struct Falling {
  double log_at_none;         // ln(a + b)
  double share_fixed;         // a / (a + b)
  std::vector<double> log_g;  // n
  double least_q = 1;
  int touched = 0;  // factors below one
};

struct Rising {
  double a, b;                // a - b exp(-x)
  std::vector<double> theta;  // n
  double contact = 1;         // x of the tangent
  double value() const { return std::max(a - b * std::exp(-contact), 1e-300); }
  double slope() const { return b * std::exp(-contact) / value(); }
};

/// kappa_m of the header.
double exponent(const Falling& f, int m) {
  const double a = f.share_fixed, b = 1 - a;
  if (a <= 0 || f.touched <= 1) return 1;
  const double log_one = std::log(a + b * f.least_q);
  if (log_one >= 0) return 1;
  double least = 1;
  for (int j = 2; j <= std::min(m, f.touched); ++j) {
    least = std::min(least, std::log(a + b * std::pow(f.least_q, j)) / (j * log_one));
  }
  return least;
}

/// e_0 .. e_kTail of the values.
std::array<double, kTail + 1> symmetric_sums(std::span<const double> values) {
  std::array<double, kTail + 1> e{};
  e[0] = 1;
  for (double r : values) {
    for (size_t m = kTail; m > 0; --m) e[m] += r * e[m - 1];
  }
  return e;
}

struct Cover {
  size_t n = 0;
  std::vector<double> log_odds;
  std::vector<Falling> falling;
  std::vector<Rising> rising;
  double log_constant = 0;  // observations that no fault touches

  void add(double constant, double coef, std::span<const float> factor) {
    if (coef == 0) {
      log_constant += std::log(std::max(constant, 1e-300));
    } else if (coef > 0) {
      Falling f{std::log(constant + coef), constant / (constant + coef), std::vector<double>(n), 1, 0};
      for (size_t i = 0; i < n; ++i) {
        const double q = std::clamp(static_cast<double>(factor[i]), 0.0, 1.0);
        f.log_g[i] = std::log(std::max(f.share_fixed + (1 - f.share_fixed) * q, 1e-300));
        f.least_q = std::min(f.least_q, q);
        f.touched += q < 1;
      }
      falling.push_back(std::move(f));
    } else {
      Rising r{constant, -coef, std::vector<double>(n)};
      for (size_t i = 0; i < n; ++i) {
        r.theta[i] = std::clamp(-std::log(std::max(static_cast<double>(factor[i]), 1e-30)), 0.0, kMaxTheta);
      }
      rising.push_back(std::move(r));
    }
  }

  void add(const Observation& o) {
    if (o.offset == 0) {
      for (const Likelihood& l : o.parts) add(o.weight * l.constant, o.weight * l.coef, l.factor);
      return;
    }
    // All parts but one at their greatest; the one is that which says most about a healthy bike.
    const Likelihood* telling = nullptr;
    double others = o.weight;
    for (const Likelihood& l : o.parts) {
      others *= l.greatest();
      if (telling == nullptr || l.at_none() / l.greatest() < telling->at_none() / telling->greatest()) telling = &l;
    }
    if (telling == nullptr || !(others > 0)) return add(std::max(o.offset, o.offset + others), 0, {});
    const double rest = others / telling->greatest();
    add(o.offset + rest * telling->constant, rest * telling->coef, telling->factor);
  }

  /// r'_i for sets of size m.
  std::vector<double> covered_odds(int m) const {
    std::vector<double> log_r = log_odds;
    for (const auto& f : falling) {
      const double kappa = exponent(f, m);
      for (size_t i = 0; i < n; ++i) log_r[i] += kappa * f.log_g[i];
    }
    for (const auto& r : rising) {
      const double s = r.slope();
      for (size_t i = 0; i < n; ++i) log_r[i] += s * r.theta[i];
    }
    for (double& x : log_r) x = std::exp(std::min(x, 200.0));
    return log_r;
  }

  double log_scale() const {
    double c = log_constant;
    for (const auto& f : falling) c += f.log_at_none;
    for (const auto& r : rising) c += std::log(r.value()) - r.slope() * r.contact;
    return c;
  }

  /// Moves each tangent to the mean of its x under the covering weights of the sets of size four.
  void settle() {
    for (int round = 0; round < 12; ++round) {
      const std::vector<double> r = covered_odds(kFirst);
      const auto e = symmetric_sums(r);
      if (!(e[kFirst] > 0) || !std::isfinite(e[kFirst])) return;
      // Chance that i is in a set of four: r_i e_3(others) / e_4, with e_3 from the sums before and after i; a division
      // by (1 + r_i x) would cancel where one fault outweighs the others.
      std::vector<std::array<double, kFirst>> after(n + 1);
      after[n] = {1};
      for (size_t i = n; i-- > 0;) {
        after[i] = after[i + 1];
        for (size_t m = kFirst - 1; m > 0; --m) after[i][m] += r[i] * after[i + 1][m - 1];
      }
      std::vector<double> inside(n);
      std::array<double, kFirst> before{1};
      for (size_t i = 0; i < n; ++i) {
        double without = 0;
        for (size_t m = 0; m < kFirst; ++m) without += before[m] * after[i + 1][kFirst - 1 - m];
        inside[i] = std::clamp(r[i] * without / e[kFirst], 0.0, 1.0);
        for (size_t m = kFirst - 1; m > 0; --m) before[m] += r[i] * before[m - 1];
      }
      for (auto& rise : rising) {
        double mean = 0;
        for (size_t i = 0; i < n; ++i) mean += inside[i] * rise.theta[i];
        rise.contact = std::clamp(0.5 * (rise.contact + mean), 1e-4, kMaxTheta);
      }
    }
  }
};

}  // namespace

double left_out_bound(std::span<const double> odds, std::span<const Observation> observations, double log_total) {
  if (odds.size() < kFirst) return 0;
  Cover cover;
  cover.n = odds.size();
  for (double r : odds) cover.log_odds.push_back(std::log(r));
  for (const auto& o : observations) cover.add(o);
  cover.settle();

  double sum = 0;
  for (int m = kFirst; m < kTail; ++m) sum += symmetric_sums(cover.covered_odds(m))[static_cast<size_t>(m)];
  double total = 0;
  for (double r : cover.covered_odds(static_cast<int>(cover.n))) total += r;
  double term = 1;
  for (int m = 1; m <= kTail; ++m) term *= total / m;
  if (cover.n >= kTail) sum += total < kTail + 1 ? term / (1 - total / (kTail + 1)) : std::exp(std::min(total, 700.0));

  const double log_ratio = std::log(std::max(sum, 1e-300)) + cover.log_scale() - log_total;
  return 1 / (1 + std::exp(-log_ratio));
}

}  // namespace crankwise
