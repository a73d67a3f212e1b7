// What the shop learns from its closed jobs, and what it writes down for that.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>

#include "app/shop.h"

namespace crankwise {
namespace {

Lesson lesson_of(const Knowledge& k, const Job& j, const Bike& b) {
  Lesson lesson{j.bike, b.traits, j.credit, j.expected_more, {}};
  add_answers(lesson, k, j.plain_entries());
  return lesson;
}

/// Three digits are enough to keep.
double rounded(double chance) { return std::round(chance * 1e3) / 1e3; }

}  // namespace

std::vector<const Job*> Shop::teachers() const {
  std::vector<const Job*> out;
  for (const auto& [number, job] : jobs_) {
    if (job.end == JobEnd::proven && job.teaches && !job.credit.empty()) out.push_back(&job);
  }
  std::sort(out.begin(), out.end(), [](const Job* a, const Job* b) { return a->closed < b->closed; });
  return out;
}

Learned Shop::learned_from(std::vector<const Job*> jobs, const std::string& bike_id) const {
  if (jobs.size() > kMostLessons) jobs.erase(jobs.begin(), jobs.end() - static_cast<std::ptrdiff_t>(kMostLessons));
  std::vector<Lesson> lessons;
  for (const Job* j : jobs) lessons.push_back(lesson_of(*knowledge_, *j, bike(j->bike)));
  return learn(*knowledge_, bike(bike_id), lessons);
}

Learned Shop::learned_now(const std::string& bike_id) const { return learned_from(teachers(), bike_id); }

Learned Shop::learned(int number) const {
  const Job& j = job(number);
  constexpr size_t kKept = 256;
  if (learned_.size() >= kKept && learned_.count(number) == 0) learned_.clear();
  const auto [at, fresh] = learned_.try_emplace(number);
  if (fresh) {
    std::vector<const Job*> before = teachers();
    std::erase_if(before, [&](const Job* t) { return t->closed > j.opened; });
    at->second = learned_from(std::move(before), j.bike);
  }
  return at->second;
}

Diagnosis Shop::judged(int number) const {
  const Job& j = job(number);
  return judge(*knowledge_, bike_on_job(number), j.plain_entries(), settings_, learned(number));
}

Json Shop::believed_before(int number) const {
  const Diagnosis d = judged(number);
  Json chances = Json::object();
  const std::vector<double> there = d.belief.still_there();
  for (size_t f = 0; f < there.size(); ++f) {
    if (there[f] >= kWorthNoting) chances[d.fault(static_cast<int>(f)).id] = rounded(there[f]);
  }
  return {{"act", job(number).acts + 1}, {"chances", std::move(chances)}};
}

std::vector<Shop::Believed> Shop::believed(std::size_t most_jobs) const {
  std::vector<Believed> out;
  std::vector<const Placed*> events;
  for (auto at = jobs_.rbegin(); at != jobs_.rend() && most_jobs > 0; ++at) {
    const auto& [number, j] = *at;
    if (j.end != JobEnd::proven || j.causes.empty()) continue;
    --most_jobs;
    for (const Placed& p : record().at(fmt::format("job/{}", number))) {
      if (p.event.kind != "believed") continue;
      const int act = p.data().at("act");
      const bool stands =
          std::any_of(j.entries.begin(), j.entries.end(), [&](const JobEntry& x) { return x.act == act; });
      if (!stands) continue;
      out.push_back({number, act, {}});
      events.push_back(&p);
    }
  }
  const std::vector<Json> data = read_data(events);
  for (std::size_t i = 0; i < out.size(); ++i) out[i].chances = data[i].at("chances").get<Chances>();
  return out;
}

Json Shop::closing(int number, JobEnd end, std::vector<std::string> causes, const std::string& words,
                   double doubt) const {
  const Job& j = job(number);
  const Diagnosis d = judged(number);
  std::vector<Chances> credit;
  for (const auto& cause : causes) credit.push_back({{cause, 1.0}});
  if (causes.empty() && end != JobEnd::given_up) {
    credit = causes_of(d, learned(number));
    causes = likely_causes(number);
  }
  Chances expected = odds_factors(*knowledge_, bike_with_renewals(j.bike, number), d.contexts);
  for (auto& [fault, factor] : expected) factor = rounded(factor);
  for (Chances& cause : credit) {
    for (auto& [fault, chance] : cause) chance = rounded(chance);
  }
  return {{"act", j.acts + 1}, {"end", text(end)}, {"causes", causes},
          {"words", words},    {"doubt", doubt},   {"lesson", {{"causes", credit}, {"expected", expected}}}};
}

void Shop::let_teach(int number, bool counts) {
  return newest([&] {
    const Job& j = job(number);
    if (j.end != JobEnd::proven || j.credit.empty()) {
      throw BadInput(
          {"", 0, "job", fmt::format("job {} taught nothing", number), "a job that was proven and has a cause"});
    }
    if (j.teaches == counts) {
      throw BadInput({"", 0, "job",
                      fmt::format("the lesson of job {} {} already", number, counts ? "counts" : "is left out"),
                      "another job"});
    }
    append({{fmt::format("job/{}", number), "lesson", Json{{"act", j.acts + 1}, {"counts", counts}}.dump()}});
  });
}

}  // namespace crankwise
