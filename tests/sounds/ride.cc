#include "tests/sounds/ride.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace crankwise::sounds {
namespace {

constexpr double kTwoPi = 2 * std::numbers::pi;

/// Seconds after `from_s` when the profile passes this speed, upwards or downwards.
double passes(const Profile& p, double from_s, double rpm, bool up) {
  double t = from_s;
  while (t < p.seconds() && (up ? p.rpm(t) < rpm : p.rpm(t) > rpm)) t += Profile::kStepS;
  return t;
}

/// Smooth noise of standard deviation 1: a few slow waves.
std::vector<double> slow_noise(std::size_t knots, Random& random) {
  std::vector<double> out(knots);
  constexpr int kWaves = 6;
  for (int w = 0; w < kWaves; ++w) {
    const double hz = random.uniform(0.2, 2.5), phase = random.uniform(0, kTwoPi);
    for (std::size_t i = 0; i < knots; ++i) {
      out[i] += std::sqrt(2.0 / kWaves) * std::sin(kTwoPi * hz * Profile::kStepS * static_cast<double>(i) + phase);
    }
  }
  return out;
}

/// Of what became of the knots that were within half a percent of `of`.
double mean_near(const std::vector<double>& before, const std::vector<double>& after, double of) {
  double sum = 0, count = 0;
  for (std::size_t i = 0; i < before.size(); ++i) {
    if (std::abs(before[i] - of) > 0.005 * of) continue;
    sum += after[i];
    count += 1;
  }
  return count > 0 ? sum / count : of;
}

}  // namespace

double Ride::now_s() const { return base_.empty() ? 0 : static_cast<double>(base_.size() - 1) * Profile::kStepS; }

template <class F>
Ride& Ride::add(double seconds, F rpm_at) {
  const auto n = static_cast<std::size_t>(std::lround(seconds / Profile::kStepS));
  for (std::size_t i = 1; i <= n; ++i) {
    base_.push_back(rpm_at(static_cast<double>(i) / static_cast<double>(n)));
    wander_.push_back(share_);
  }
  return *this;
}

Ride& Ride::start(double rpm) {
  base_.push_back(rpm);
  wander_.push_back(share_);
  return *this;
}

Ride& Ride::wander(double share) {
  share_ = share;
  return *this;
}

Ride& Ride::hold(double seconds) {
  const double rpm = this->rpm();
  return add(seconds, [=](double) { return rpm; });
}

Ride& Ride::silence(double seconds) {
  return add(seconds, [](double) { return 0.0; });
}

Ride& Ride::ramp(double to, double seconds) {
  const double from = rpm();
  return add(seconds, [=](double x) { return from + (to - from) * x; });
}

Ride& Ride::ease(double to, double seconds) {
  const double from = rpm();
  return add(seconds, [=](double x) { return from + (to - from) * (1 - std::cos(std::numbers::pi * x)) / 2; });
}

Ride& Ride::settle(double to, double tau, double seconds) {
  const double from = rpm();
  return add(seconds, [=](double x) { return to + (from - to) * std::exp(-x * seconds / tau); });
}

Ride& Ride::surge(double share, double hz, double seconds) {
  const double mean = rpm();
  return add(seconds, [=](double x) { return mean * (1 + share * std::sin(kTwoPi * hz * x * seconds)); });
}

Ride& Ride::cut(double limit, double dip, double hz, double seconds) {
  const double start_s = now_s(), share = share_;
  share_ = 0;
  constexpr double kFalling = 0.35;  // of each swing
  for (double done = 0; done < seconds - 1e-9;) {
    const double period = std::min(1 / (hz * random_.uniform(0.9, 1.1)), seconds - done);
    cuts_.push_back({.from_s = start_s + done, .to_s = start_s + done + kFalling * period, .strength = 0.05});
    const double low = limit - dip * random_.uniform(0.85, 1.15);
    ramp(low, kFalling * period).ramp(limit, (1 - kFalling) * period);
    done += period;
  }
  share_ = share;
  truth_.ceiling_rpm = limit;
  truth_.stop = Stop::hard_cut;
  return *this;
}

Ride& Ride::blip(double top, double rise, double hold_s, double tau) {
  Blip b{.open_s = now_s(), .from_rpm = rpm(), .top_rpm = top};
  ease(top, rise);
  b.top_s = now_s();
  hold(hold_s);
  b.chop_s = now_s();
  settle(b.from_rpm, tau, 6 * tau);
  base_.back() = b.from_rpm;  // what is left is a four-hundredth of the step
  b.closed_s = now_s();
  truth_.blips.push_back(b);
  return *this;
}

Ride& Ride::idles() {
  truth_.idle_rpm = rpm();
  return *this;
}

Ride& Ride::tops(Stop stop) {
  truth_.ceiling_rpm = rpm();
  truth_.stop = stop;
  return *this;
}

Truth Ride::truth() {
  Truth t = truth_;
  const std::vector<double> slow = slow_noise(base_.size(), random_);
  std::vector<double> rpm(base_.size());
  double share = wander_.empty() ? 0 : wander_.front();
  for (std::size_t i = 0; i < base_.size(); ++i) {
    share += (wander_[i] - share) * Profile::kStepS / 0.05;  // no jump where the wander changes
    rpm[i] = base_[i] * (1 + std::clamp(share * slow[i], -0.2, 0.2));
  }
  if (t.idle_rpm) t.idle_rpm = mean_near(base_, rpm, *t.idle_rpm);
  if (t.ceiling_rpm && t.stop != Stop::none && t.stop != Stop::hard_cut)
    t.ceiling_rpm = mean_near(base_, rpm, *t.ceiling_rpm);
  t.rpm = Profile(std::move(rpm));
  for (Blip& b : t.blips) {
    const double step = b.top_rpm - b.from_rpm, low = b.from_rpm + 0.1 * step, high = b.from_rpm + 0.9 * step;
    b.rise_s = passes(t.rpm, b.open_s, high, true) - passes(t.rpm, b.open_s, low, true);
    b.fall_s = passes(t.rpm, b.chop_s, low, false) - passes(t.rpm, b.chop_s, high, false);
  }
  if (t.idle_rpm && !t.blips.empty()) {
    const double half = passes(t.rpm, t.blips.back().chop_s, t.blips.back().top_rpm / 2, false);
    double since = half;  // near idle since
    for (double s = half; s < t.rpm.seconds() && s - since < 0.3; s += Profile::kStepS) {
      if (std::abs(t.rpm.rpm(s) - *t.idle_rpm) > 0.12 * *t.idle_rpm) since = s;
    }
    t.hang_s = since - half;
  }
  return t;
}

}  // namespace crankwise::sounds
