#include "bench/sound/score.h"

#include <algorithm>
#include <cmath>

namespace crankwise::bench {
namespace {

bool off(double said, double truth) { return std::abs(said - truth) > kGross * truth; }

bool octave_off(double said, double truth) {
  for (const double m : {2.0, 3.0, 4.0}) {
    if (!off(said, m * truth) || !off(said * m, truth)) return true;
  }
  return false;
}

std::optional<double> share(double part, double all) { return all > 0 ? std::optional(part / all) : std::nullopt; }

std::vector<double> present(const std::vector<std::optional<double>>& values) {
  std::vector<double> out;
  for (const auto& v : values) {
    if (v) out.push_back(*v);
  }
  std::ranges::sort(out);
  return out;
}

double middle(const std::vector<double>& sorted) {
  const std::size_t n = sorted.size();
  return n % 2 == 1 ? sorted[n / 2] : (sorted[n / 2 - 1] + sorted[n / 2]) / 2;
}

}  // namespace

Score score(const SoundTake& take, const std::vector<Said>& said) {
  double turning = 0, gross = 0, octave = 0, sure = 0, sure_turning = 0, sure_wrong = 0, sure_octave = 0, covered = 0,
         stated = 0;
  double nothing = 0, heard_in_nothing = 0, sure_in_nothing = 0;
  std::vector<double> errors, tops;
  for (std::size_t i = 0; i < frames_of(take); ++i) {
    const double truth = take.rpm(static_cast<double>(i) * kFrameS);
    const Said s = i < said.size() ? said[i] : Said{};
    if (s.sure) tops.push_back(s.rpm);
    if (truth <= 0) {
      if (!take.silence_known) continue;
      nothing += 1;
      heard_in_nothing += s.rpm > 0 ? 1 : 0;
      sure_in_nothing += s.sure ? 1 : 0;
      sure += s.sure ? 1 : 0;
      sure_wrong += s.sure ? 1 : 0;
      continue;
    }
    turning += 1;
    const bool wrong = s.rpm <= 0 || off(s.rpm, truth), by_octave = s.rpm > 0 && wrong && octave_off(s.rpm, truth);
    gross += wrong ? 1 : 0;
    octave += by_octave ? 1 : 0;
    if (s.sure) {
      sure += 1, sure_turning += 1;
      sure_wrong += wrong ? 1 : 0;
      sure_octave += by_octave ? 1 : 0;
    }
    if (wrong) continue;
    errors.push_back(std::abs(s.rpm / truth - 1));
    if (s.sigma > 0) {
      stated += 1;
      covered += std::abs(s.rpm - truth) <= 2 * s.sigma ? 1 : 0;
    }
  }
  Score out{.gross = share(gross, turning),
            .octave = share(octave, turning),
            .sure = share(sure_turning, turning),
            .sure_wrong = share(sure_wrong, sure),
            .sure_octave = share(sure_octave, sure),
            .covered = share(covered, stated),
            .heard_in_nothing = share(heard_in_nothing, nothing),
            .sure_in_nothing = share(sure_in_nothing, nothing)};
  std::ranges::sort(errors);
  if (!errors.empty()) out.median = middle(errors);
  if (take.ceiling_rpm && !tops.empty()) {
    std::ranges::sort(tops);
    const double top = tops[static_cast<std::size_t>(0.97 * static_cast<double>(tops.size() - 1))];
    out.ceiling = std::abs(top / *take.ceiling_rpm - 1);
  }
  return out;
}

std::optional<double> mean(const std::vector<std::optional<double>>& values) {
  const std::vector<double> v = present(values);
  double sum = 0;
  for (const double x : v) sum += x;
  return share(sum, static_cast<double>(v.size()));
}

std::optional<double> median(const std::vector<std::optional<double>>& values) {
  const std::vector<double> v = present(values);
  return v.empty() ? std::nullopt : std::optional(middle(v));
}

}  // namespace crankwise::bench
