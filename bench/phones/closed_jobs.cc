#include "bench/phones/closed_jobs.h"

#include <fmt/chrono.h>
#include <fmt/format.h>
#include <fmt/ranges.h>

#include <nlohmann/json.hpp>
#include <optional>
#include <random>

#include "app/places.h"
#include "app/shop.h"
#include "app/shop_file.h"
#include "app/telling.h"
#include "bench/virtual/hands.h"

namespace crankwise::bench {
namespace {

struct Line {
  std::string kind;
  Json data;
};
using Script = std::vector<Line>;  // what was written down on one job, opening and closing included

/// A virtual job as the program's own advice does it; nothing if it is given up.
std::optional<Script> play(const Knowledge& k, int bike, const BikeModel& real, const Job& job) {
  constexpr int kMostSteps = 60;
  Shop shop(k, Store::in_memory(), utc_now);
  std::vector<std::string> told;
  for (const int f : job.told) told.push_back(real.findings[static_cast<size_t>(f)]->name);
  const int number =
      shop.take_in(shop.add_bike(shop_bike(k, bike)), fmt::format("the rider says: {}", fmt::join(told, ", ")));
  Hands hands(real, job);
  shop.write(number, hands.take_in());
  for (int steps = 0; steps < kMostSteps; ++steps) {
    const Advice advice = shop.diagnosis(number).advice;
    if (advice.proven) {
      shop.close(number, JobEnd::proven, {}, "found and put right, and run since");
      Script script;
      for (const FileEvent& e : shop.hand_over({}, "").jobs.front().events) script.push_back({e.kind, e.data});
      return script;
    }
    const std::vector<Entry> done = hands.perform(advice.options.front().step);
    if (hands.ended()) return {};
    shop.write(number, hands.as_read(done));
  }
  return {};
}

std::vector<Script> play_jobs(const Knowledge& k, int bike, int count, std::uint64_t seed) {
  const BikeModel real = fit(k, shop_bike(k, bike), {}, {});
  std::vector<Script> scripts;
  for (int number = 0; static_cast<int>(scripts.size()) < count; ++number) {
    if (auto script = play(k, bike, real, draw_job(real, seed, number))) scripts.push_back(std::move(*script));
  }
  return scripts;
}

/// Moments from 2020 on, one for each event.
class Calendar {
 public:
  std::string next() {
    constexpr std::time_t kStart = 1577836800, kMinute = 60;
    return fmt::format("{:%Y-%m-%dT%H:%M:%S}.000Z", fmt::gmtime(kStart + kMinute * minutes_++));
  }
  void pause(int minutes) { minutes_ += minutes; }

 private:
  std::time_t minutes_ = 0;
};

/// Events in transactions of some thousands.
class Writer {
 public:
  explicit Writer(const std::filesystem::path& path) : store_(Store::open(path, Store::Mode::create)) {}
  void add(std::string subject, std::string kind, const Json& data) {
    constexpr size_t kAtOnce = 5000;
    events_.push_back({std::move(subject), std::move(kind), data.dump(), calendar.next()});
    if (events_.size() >= kAtOnce) flush();
  }
  void flush() {
    store_.append(events_, utc_now());
    events_.clear();
  }
  Calendar calendar;

 private:
  Store store_;
  std::vector<NewEvent> events_;
};

}  // namespace

std::string shop_bike_id(int number) { return fmt::format("bike-{}", number + 1); }

Bike shop_bike(const Knowledge& k, int number) {
  BikeTold told{fmt::format("Bike {}", number + 1), kClasses[static_cast<size_t>(number) % kClasses.size()], {}, {}};
  told.hours = 20 + number % 40;
  return bike_told(k, told);
}

void make_shop(const Knowledge& k, const std::filesystem::path& path, const ClosedJobs& plan) {
  const int kinds = static_cast<int>(kClasses.size());
  std::vector<std::vector<Script>> scripts;  // by kind of bike
  for (int kind = 0; kind < kinds; ++kind)
    scripts.push_back(play_jobs(k, kind, (plan.different + kinds - 1) / kinds, plan.seed));

  const std::filesystem::path part = path.string() + ".part";
  for (const char* ending : {"", "-wal", "-shm"}) std::filesystem::remove(part.string() + ending);
  {
    Writer writer(part);
    std::vector<double> hours;
    for (int b = 0; b < plan.bikes; ++b) {
      const Bike bike = shop_bike(k, b);
      hours.push_back(bike.hours);
      writer.add("bike/" + shop_bike_id(b), "added", bike_data(bike));
    }
    std::mt19937_64 dice(plan.seed);
    for (int job = 1; job <= plan.jobs; ++job) {
      constexpr double kRidden_h = 2;  // between two jobs of a bike
      constexpr int kBetween_min = 120;
      const size_t bike = dice() % hours.size();
      const std::string id = shop_bike_id(static_cast<int>(bike)), subject = fmt::format("job/{}", job);
      const std::vector<Script>& of_kind = scripts[bike % kClasses.size()];
      const double now = hours[bike] += kRidden_h;
      writer.calendar.pause(kBetween_min);
      writer.add("bike/" + id, "hours", {{"hours", now}, {"meter", now}});
      for (Line line : of_kind[dice() % of_kind.size()]) {
        if (line.kind == "opened") line.data["bike"] = id;
        if (line.data.contains("hours")) line.data["hours"] = now;
        writer.add(subject, line.kind, line.data);
      }
    }
    writer.flush();
  }
  std::filesystem::rename(part, path);
}

}  // namespace crankwise::bench
