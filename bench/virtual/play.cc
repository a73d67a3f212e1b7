#include "bench/virtual/play.h"

#include <ctime>

namespace crankwise::bench {
namespace {

double thread_ms() {
  timespec t{};
  clock_gettime(CLOCK_THREAD_CPUTIME_ID, &t);
  return 1e3 * static_cast<double>(t.tv_sec) + 1e-6 * static_cast<double>(t.tv_nsec);
}

}  // namespace

Played play(Policy& policy, const BikeModel& real, const Job& job, const Watch& watch) {
  constexpr int kMostSteps = 300, kMostIdle = 3;
  Hands hands(real, job);
  Played played;
  const auto note = [&](const std::vector<Entry>& entries) {
    const double from = thread_ms();
    policy.note(entries);
    played.judging_ms.push_back(thread_ms() - from);
  };
  note(hands.take_in());
  int idle = 0;
  while (!hands.ended()) {
    const double from = thread_ms();
    const std::optional<int> step = policy.next();
    played.advice_ms.push_back(thread_ms() - from);
    if (watch) watch(policy, step, hands);
    if (!step) {
      hands.close();
      break;
    }
    idle = hands.idle(*step) ? idle + 1 : 0;
    if (idle == kMostIdle || hands.bill().steps == kMostSteps) {
      hands.give_up_stalled();
      break;
    }
    std::vector<Entry> done = hands.perform(*step);
    note(policy.reads_gauges() ? hands.as_read(std::move(done)) : std::move(done));
  }
  played.bill = hands.bill();
  return played;
}

}  // namespace crankwise::bench
