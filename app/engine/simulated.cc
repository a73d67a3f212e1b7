#include "app/engine/simulated.h"

#include <fmt/format.h>

#include <algorithm>
#include <atomic>
#include <mutex>
#include <thread>

#include "edge/problem.h"

namespace crankwise {
namespace {

double limit_of(const engine::Design& d) { return d.burn.limit_rpm > 0 ? d.burn.limit_rpm : 20000; }

/// Speeds that lie near each other run side by side: their cycles take as many steps.
struct Task {
  engine::Member member;
  size_t trial = 0, point = 0;
};

}  // namespace

Trial trial_of(const engine::Design& healthy, const std::string& fault, double severity) {
  if (fault.empty()) return {.design = healthy};
  const engine::SimulatedFault* known = engine::find_fault(fault);
  if (known == nullptr)
    throw BadInput({"", 0, "fault", fmt::format("the simulation does not know \"{}\"", fault),
                    "one that `crankwise power-curve --list` tells"});
  if (!engine::applies(*known, healthy))
    throw BadInput({"", 0, "fault", fmt::format("this engine cannot have \"{}\"", fault), "a fault of such an engine"});
  if (!(severity >= 0 && severity <= 1))
    throw BadInput(
        {"", 0, "severity", fmt::format("{:g} is no severity", severity), "0 (nothing) to 1 (as bad as it gets)"});
  return {.fault = fault, .severity = severity, .design = engine::with_fault(healthy, *known, severity)};
}

bool SimulatedCurve::whole() const {
  size_t repeat = 0;
  for (const engine::Outcome& o : at) {
    if (o.state == engine::Outcome::State::lost_gas) return false;
    repeat += o.state == engine::Outcome::State::repeats;
  }
  return 3 * (at.size() - repeat) <= at.size();
}

Sweep usual_sweep(const engine::Design& d) {
  // Mean piston speeds of light singles: 7 m/s is low, 27 m/s beyond what any turns. *Common practice*.
  const double least = 30 * 7 / d.train.stroke_m, most = 30 * 27 / d.train.stroke_m;
  Sweep s;
  s.from_rpm = 100 * std::round(least / 100);
  s.to_rpm = 100 * std::round(std::min(most, 1.04 * limit_of(d)) / 100);
  // 26 m/s of the road at the speed of most power: a middle gear.
  s.ride.wheel_m_per_turn = 26 * 60 / (30 * 20 / d.train.stroke_m);
  return s;
}

std::vector<SimulatedCurve> simulate(const std::vector<Trial>& trials, const Sweep& sweep,
                                     const std::function<void(double)>& progress) {
  std::vector<SimulatedCurve> out;
  std::vector<Task> tasks;
  for (size_t t = 0; t < trials.size(); ++t) {
    out.push_back({.trial = trials[t], .at = std::vector<engine::Outcome>(static_cast<size_t>(sweep.points))});
    for (int i = 0; i < sweep.points; ++i) {
      const double rpm = sweep.from_rpm + (sweep.to_rpm - sweep.from_rpm) * i / (sweep.points - 1);
      tasks.push_back({{trials[t].design, trials[t].around, rpm}, t, static_cast<size_t>(i)});
    }
  }
  std::stable_sort(tasks.begin(), tasks.end(),
                   [](const Task& a, const Task& b) { return a.member.rpm < b.member.rpm; });
  // Many at once, so that the slow ones come together; but something for each processor.
  const auto lanes = static_cast<size_t>(engine::members_at_once());
  const size_t processors = std::max(1U, std::thread::hardware_concurrency());
  const size_t batches = std::clamp<size_t>(tasks.size() / (lanes * processors), 1, 8), at_once = lanes * batches;
  std::atomic<size_t> next = 0, done = 0;
  std::mutex telling;
  const auto work = [&] {
    for (size_t first = next.fetch_add(at_once); first < tasks.size(); first = next.fetch_add(at_once)) {
      const size_t count = std::min(at_once, tasks.size() - first);
      std::vector<engine::Member> members;
      for (size_t i = first; i < first + count; ++i) members.push_back(tasks[i].member);
      const std::vector<engine::Outcome> outcomes = engine::run(members, sweep.options);
      for (size_t i = 0; i < count; ++i) out[tasks[first + i].trial].at[tasks[first + i].point] = outcomes[i];
      done += count;
      if (!progress) continue;
      const std::lock_guard lock(telling);
      progress(static_cast<double>(done) / static_cast<double>(tasks.size()));
    }
  };
  std::vector<std::jthread> others;
  for (size_t i = 1; i < processors; ++i) others.emplace_back(work);
  work();
  others.clear();
  for (SimulatedCurve& c : out) {
    c.power = engine::power_peak(c.at);
    c.torque = engine::torque_peak(c.at);
    c.neutral = engine::neutral_ceiling(c.at, limit_of(c.trial.design));
    engine::Ride ride = sweep.ride;
    ride.air_kg_m3 = c.trial.around.p_pa / (c.trial.design.fuel.gas.air.constant_j_kg_k * c.trial.around.temp_k);
    c.gear = engine::gear_ceiling(c.at, ride, limit_of(c.trial.design));
  }
  return out;
}

}  // namespace crankwise
