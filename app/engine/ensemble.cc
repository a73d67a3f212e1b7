#include "app/engine/ensemble.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <random>

#include "core/calc/air.h"

namespace crankwise {
namespace {

using engine::Outcome;

/// What is left of the power when a rider is sure that some is missing; he feels a tenth (*common practice*).
constexpr double kMissed = 0.8;

struct Draw {
  engine::Design design;
  engine::Surroundings around;
  double severity = 0;
};

class Chance {
 public:
  explicit Chance(std::uint64_t seed) : random_(seed) {}
  double even(double low, double high) { return low + (high - low) * static_cast<double>(random_() >> 11) * 0x1p-53; }
  /// About 1, by the sum of twelve even ones; within six standard deviations.
  double about_1(double deviation) { return std::exp(deviation * normal()); }
  double normal() {
    double sum = -6;
    for (int i = 0; i < 12; ++i) sum += even(0, 1);
    return sum;
  }

 private:
  std::mt19937_64 random_;
};

void vary(std::vector<flow::Stretch>& stretches, const Spread& s, Chance& c) {
  for (flow::Stretch& x : stretches) x.length_m *= c.about_1(s.length);
}

Draw drawn(const engine::Design& d, const EnsembleOptions& o, Chance& c) {
  const Spread& s = o.spread;
  Draw out{d, {}, 0};
  engine::Design& x = out.design;
  vary(x.runner, s, c);
  vary(x.exhaust, s, c);
  vary(x.four.port, s, c);
  x.clearance_m3 *= c.about_1(s.area);
  x.box.filter_m2 *= c.about_1(4 * s.area);
  x.two.reed.lift_m_pa *= c.about_1(2 * s.area);
  x.two.case_m3 *= c.about_1(s.area);
  for (engine::Port* port : {&x.two.transfer_port, &x.two.exhaust_port}) {
    port->opens_rad += s.angle_rad * c.normal();
    port->width_m *= c.about_1(s.area);
  }
  x.two.scavenging.short_circuit *= c.about_1(0.3);
  for (engine::Valve* v : {&x.four.inlet, &x.four.exhaust}) {
    v->opens_rad += s.angle_rad * c.normal();
    v->closes_rad += s.angle_rad * c.normal();
    v->discharge *= c.about_1(s.area);
  }
  for (auto& point : x.burn.spark_rad.points) point.y += s.spark_rad * 0.5 * c.normal();
  x.burn.duration_rad *= c.about_1(s.area);
  x.friction.constant_pa *= c.about_1(s.friction);
  x.mixture.jets.main_m2 *= c.about_1(s.jets);
  x.mixture.injected_share *= c.about_1(0.5 * s.jets);
  x.mixture.lambda *= c.about_1(0.5 * s.jets);
  out.around.temp_k = c.even(s.coldest_k, s.hottest_k);
  const double height_m = c.even(0, s.highest_m);
  out.around.p_pa = standard_air(height_m).pressure_pa;
  out.severity = c.even(o.least_severity, 1);
  return out;
}

/// Mean of a figure between two speeds; no number if no point there repeats, which shows nothing.
double mean_between(const SimulatedCurve& c, double from_rpm, double to_rpm, double Outcome::*value) {
  double sum = 0;
  int count = 0;
  for (const Outcome& o : c.at) {
    if (o.state != Outcome::State::repeats || o.rpm < from_rpm || o.rpm > to_rpm) continue;
    sum += o.*value;
    ++count;
  }
  return count > 0 ? sum / count : std::nan("");
}

/// Where one ceiling after the other lies, as a share of the healthy one.
class Stopping {
 public:
  void add(const engine::Ceiling& healthy, const engine::Ceiling& faulty) {
    const bool compared =
        healthy.rpm > 0 && healthy.how != engine::Stop::unknown && faulty.how != engine::Stop::unknown;
    if (!compared) return;
    if (faulty.how == engine::Stop::never_pulls)
      ++never_;
    else
      shares_.push_back(faulty.rpm / healthy.rpm);
  }
  SimulatedClass::Stops result() {
    constexpr size_t kLeast = 4;  // fewer say nothing of how they spread
    SimulatedClass::Stops out;
    const auto known = static_cast<double>(shares_.size() + never_);
    if (known > 0) out.never = static_cast<double>(never_) / known;
    if (shares_.size() < kLeast) return out;
    std::sort(shares_.begin(), shares_.end());
    out.at.emplace();
    constexpr std::array<double, 5> shares = {0.05, 0.25, 0.5, 0.75, 0.95};
    for (size_t i = 0; i < shares.size(); ++i) {
      const double place = shares[i] * static_cast<double>(shares_.size() - 1);
      const auto low = static_cast<size_t>(place);
      const size_t high = std::min(low + 1, shares_.size() - 1);
      (*out.at)[i] = shares_[low] + (place - static_cast<double>(low)) * (shares_[high] - shares_[low]);
    }
    return out;
  }

 private:
  std::vector<double> shares_;
  size_t never_ = 0;
};

}  // namespace

const std::vector<std::string>& findings_of_physics() {
  static const std::vector<std::string> all = {
      "no-power",   "bogs-up-top",    "flat-on-top",           "wall-at-one-speed", "breaks-up",
      "blubbers",   "weak-low-down",  "starves-after-seconds", "knocks-pings",      "overheats",
      "plug-white", "plug-black-dry", "not-even-in-neutral"};
  return all;
}

std::vector<std::string> shows_in(const SimulatedCurve& h, const SimulatedCurve& f) {
  std::vector<std::string> shows;
  const double peak = h.power.rpm, top = 0.85 * peak, low = 0.62 * peak, past = 1.06 * peak;
  const auto of = [&](const SimulatedCurve& c, double from, double to, double Outcome::*v) {
    return mean_between(c, from, to, v);
  };
  const double up = of(f, top, past, &Outcome::power_w) / of(h, top, past, &Outcome::power_w);
  const double down = of(f, 0, low, &Outcome::power_w) / of(h, 0, low, &Outcome::power_w);
  const double left = f.power.value / h.power.value, gear = f.gear.rpm / h.gear.rpm,
               neutral = f.neutral.rpm / h.neutral.rpm;
  const double misfire = of(f, top, past, &Outcome::misfire);
  const double lambda = of(f, low, past, &Outcome::lambda), lambda_was = of(h, low, past, &Outcome::lambda);
  if (left < kMissed) shows.emplace_back("no-power");
  if (up < 0.75 && down > up + 0.15) shows.emplace_back("bogs-up-top");
  if (gear < 0.95 && f.gear.how == engine::Stop::flat) shows.emplace_back("flat-on-top");
  if (gear < 0.95 && f.gear.how == engine::Stop::sharp) shows.emplace_back("wall-at-one-speed");
  if (misfire > 0.08 && lambda > 0.72) shows.emplace_back("breaks-up");
  if (misfire > 0.04 && lambda < 0.72) shows.emplace_back("blubbers");
  if (down < 0.8 && up > down + 0.1) shows.emplace_back("weak-low-down");
  const double needed = of(h, top, past, &Outcome::fuel_kg_s);
  if (f.trial.design.mixture.by == engine::Fuelling::carburettor && f.trial.design.mixture.supply_kg_s < needed)
    shows.emplace_back("starves-after-seconds");
  const double knock = of(f, low, past, &Outcome::knock_margin) - of(h, low, past, &Outcome::knock_margin);
  if (knock < -0.25 && misfire < 0.3) shows.emplace_back("knocks-pings");
  const double hotter = of(f, low, past, &Outcome::exhaust_k) - of(h, low, past, &Outcome::exhaust_k);
  const double walls = of(f, low, past, &Outcome::wall_w) / of(h, low, past, &Outcome::wall_w);
  if (hotter > 70 || walls > 1.12) shows.emplace_back("overheats");
  if (lambda > lambda_was + 0.1) shows.emplace_back("plug-white");
  if (lambda < lambda_was - 0.09) shows.emplace_back("plug-black-dry");
  if (neutral < 0.9 && f.neutral.how != engine::Stop::unknown) shows.emplace_back("not-even-in-neutral");
  return shows;
}

EngineEvidence gather(const std::string& id, const engine::Design& design, const EnsembleOptions& options,
                      const std::function<bool(std::string_view fault)>& has) {
  EngineEvidence out{.engine = id, .faults = {}, .leak = {}};
  Sweep sweep = usual_sweep(design);
  sweep.points = options.points;
  // The same bikes for every fault, so that faults can be held against each other.
  Chance chance(options.seed);
  std::vector<Draw> draws;
  for (int i = 0; i < options.draws; ++i) draws.push_back(drawn(design, options, chance));
  std::vector<Trial> trials;
  for (const Draw& d : draws) trials.push_back({.fault = "", .severity = 0, .design = d.design, .around = d.around});
  // Faults that change the engine in one way are simulated once.
  std::vector<const engine::SimulatedFault*> faults;
  std::map<void (*)(engine::Design&, double), size_t> first_trial;
  for (const engine::SimulatedFault& f : engine::simulated_faults()) {
    if (!engine::applies(f, design) || !has(f.id)) continue;
    faults.push_back(&f);
    if (!first_trial.try_emplace(f.change, trials.size()).second) continue;
    for (const Draw& d : draws)
      trials.push_back({.fault = std::string(f.id),
                        .severity = d.severity,
                        .design = engine::with_fault(d.design, f, d.severity),
                        .around = d.around});
  }
  const std::vector<SimulatedCurve> curves = simulate(trials, sweep);

  const auto share = [](int n, int of) { return (n + 0.5) / (of + 1.0); };
  std::map<std::string, int> by_chance;
  int pairs = 0;
  for (size_t i = 1; i < draws.size(); ++i) {
    if (!curves[i].whole() || !curves[i - 1].whole()) continue;
    ++pairs;
    for (const std::string& finding : shows_in(curves[i - 1], curves[i])) ++by_chance[finding];
  }
  for (const std::string& finding : findings_of_physics()) out.leak[finding] = share(by_chance[finding], pairs);
  for (size_t f = 0; f < faults.size(); ++f) {
    FaultEvidence e{.fault = std::string(faults[f]->id), .draws = 0, .failed = 0, .shows = {}};
    std::map<std::string, int> shows;
    Stopping neutral, gear;
    for (size_t i = 0; i < draws.size(); ++i) {
      const SimulatedCurve &healthy = curves[i], &faulty = curves[first_trial.at(faults[f]->change) + i];
      if (!healthy.whole()) continue;
      ++e.draws;
      if (!faulty.whole()) {
        // It hardly runs: what it does is not known, but that there is no power.
        ++e.failed;
        if (faulty.power.value < kMissed * healthy.power.value) ++shows["no-power"];
        continue;
      }
      for (const std::string& finding : shows_in(healthy, faulty)) ++shows[finding];
      neutral.add(healthy.neutral, faulty.neutral);
      gear.add(healthy.gear, faulty.gear);
    }
    for (const std::string& finding : findings_of_physics()) e.shows[finding] = share(shows[finding], e.draws);
    e.neutral = neutral.result();
    e.gear = gear.result();
    out.faults.push_back(std::move(e));
  }
  return out;
}

}  // namespace crankwise
