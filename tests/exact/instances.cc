#include "tests/exact/instances.h"

#include <random>

#include "tests/plan_case.h"

namespace crankwise::exact {
namespace {

class Dice {
 public:
  explicit Dice(unsigned seed) : engine_(seed) {}
  double between(double low, double high) { return low + (high - low) * static_cast<double>(engine_()) / 4294967296.0; }
  int whole(int low, int high) { return static_cast<int>(between(low, high + 1)); }  // both included
  bool chance(double p) { return between(0, 1) < p; }

 private:
  std::mt19937 engine_;
};

}  // namespace

Job Job::one_fault(const std::vector<double>& shares) {
  Job job;
  job.model = plan_case::single_fault(shares);
  job.model.better_if_cured = job.model.better_if_not = 0;
  return job;
}

Job Job::some_faults(const std::vector<double>& chances) {
  Job job = one_fault({});
  job.model.faults = plan_case::independent_faults(chances).faults;
  return job;
}

int Job::repair(double minutes, std::vector<Cure> cures, std::vector<int> off) {
  return plan_case::add(plan, plan_case::repair(minutes, std::move(cures), std::move(off)));
}

int Job::look(int fault, double minutes, double hit, double false_alarm, std::vector<int> off) {
  return plan_case::add(plan, plan_case::look(model, fault, minutes, hit, false_alarm, std::move(off)));
}

void Job::close(double run_min, double last_resort_min, std::vector<int> on_to_run) {
  plan_case::close(plan, run_min, last_resort_min, std::move(on_to_run));
}

Job behind_a_cover(double closing_min, double run_min, bool closed_to_run) {
  Job job = Job::one_fault({.15, .10, .35, .25, .15});
  job.plan.access = Access({{15, closing_min, 0, {}}});
  job.repair(5, {{0, 1}});
  job.repair(2, {{1, 1}});
  job.repair(6, {{2, 1}}, {0});
  job.repair(3, {{3, 1}}, {0});
  job.repair(9, {{4, 1}}, {0});
  job.close(run_min, 1000, closed_to_run ? std::vector<int>{0} : std::vector<int>{});
  return job;
}

Job car_start(bool test) {
  Job job = Job::one_fault({.3, .2, .5});
  job.repair(4, {{0, 1}});
  job.repair(2, {{1, 0.5}});
  if (test) job.look(1, 0.5, 1, 0);
  job.close(0, 15);
  return job;
}

Job strip_down() {
  constexpr int plug = 0, filter = 1, jet = 2, box = 3, reed = 4, tank = 0, carburettor = 1;
  Job job = Job::one_fault({0.30, 0.22, 0.20, 0.13, 0.15});
  job.plan.access = Access({{3, 3, 0, {}}, {6, 6, 0, {tank}}});
  job.repair(4, {{plug, 1}}, {tank});
  job.repair(6, {{filter, 1}});
  job.repair(5, {{jet, 1}}, {carburettor});
  job.repair(12, {{box, 1}}, {tank});
  job.repair(8, {{reed, 1}}, {carburettor});
  job.look(plug, 3, 0.60, 0.10, {tank});
  job.look(filter, 2, 0.95, 0.05);
  job.look(jet, 4, 0.90, 0, {carburettor});
  job.look(reed, 2, 0.85, 0.05, {carburettor});
  job.close(5, 90, {tank, carburettor});
  return job;
}

Job random_job(unsigned seed) {
  constexpr int kFaults = 5;
  Dice dice(seed);
  std::vector<double> shares;
  for (int f = 0; f < kFaults; ++f) shares.push_back(dice.between(0.05, 1));
  Job job = Job::one_fault(shares);
  const int parts = dice.whole(2, 3);
  std::vector<AccessPart> access;
  std::vector<int> all;
  for (int p = 0; p < parts; ++p) {
    const double minutes = dice.between(1, 9);
    AccessPart part{minutes, minutes * dice.between(0.8, 1.3), 0, {}};
    if (p > 0 && dice.chance(0.7)) part.after = {dice.whole(0, p - 1)};
    access.push_back(std::move(part));
    all.push_back(p);
  }
  job.plan.access = Access(access);
  std::vector<std::vector<int>> behind;  // of each fault
  for (int f = 0; f < kFaults; ++f) {
    const int part = dice.whole(-1, parts - 1);
    behind.push_back(part < 0 ? std::vector<int>{} : std::vector<int>{part});
    job.repair(dice.between(3, 20), {{f, 1}}, behind.back());
  }
  int skipped = dice.whole(0, 2);  // faults without a look
  for (int f = 0; f < kFaults; ++f) {
    if (skipped > 0 && dice.chance(static_cast<double>(skipped) / (kFaults - f))) {
      --skipped;
      continue;
    }
    const double hit = dice.between(0.55, 0.98), false_alarm = dice.chance(0.2) ? 0 : dice.between(0.01, 0.15);
    job.look(f, dice.between(1, 6), hit, false_alarm, behind[static_cast<std::size_t>(f)]);
  }
  job.close(dice.between(2, 8), dice.between(60, 150), all);
  return job;
}

}  // namespace crankwise::exact
