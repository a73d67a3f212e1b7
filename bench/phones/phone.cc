#include "bench/phones/phone.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <chrono>
#include <random>
#include <thread>

#include "bench/phones/closed_jobs.h"
#include "bench/phones/line.h"
#include "bench/virtual/hands.h"
#include "edge/random_id.h"

namespace crankwise::bench {
namespace {

using Clock = std::chrono::steady_clock;
constexpr int kMostActs = 60;  // on one job, before it is given up

Clock::duration seconds(double s) {
  return std::chrono::duration_cast<Clock::duration>(std::chrono::duration<double>(s));
}

/// As the page sends it.
Json as_sent(const Entry& e) {
  if (const auto* took = std::get_if<Took>(&e))
    return {{"kind", "measured"}, {"reading", took->reading}, {"told", fmt::format("{} {}", took->value, took->unit)}};
  Json j = entry_data(e);
  j["kind"] = entry_kind(e);
  return j;
}

/// The step of the plan that the page calls so; -1: none.
int step_called(const BikeModel& m, const std::string& id) {
  if (const int s = m.step(id); s >= 0) return s;
  const int finding = m.finding(id);  // of a question
  const auto at = std::find(m.question.begin(), m.question.end(), finding);
  return finding < 0 || at == m.question.end() ? -1 : static_cast<int>(at - m.question.begin());
}

class Phone {
 public:
  Phone(const Load& load, int number, const std::vector<BikeModel>& real)
      : load_(load),
        number_(number),
        real_(real),
        dice_(load.seed + static_cast<std::uint64_t>(number)),
        until_(Clock::now() + seconds(load.seconds)),
        line_(load.address) {}

  PhoneLog work() {
    std::this_thread::sleep_for(seconds(load_.think_s * chance()));  // not all at once
    for (int nth = 0; in_time(); ++nth) one_job(nth);
    return std::move(log_);
  }

 private:
  bool in_time() const { return Clock::now() < until_; }
  double chance() { return std::uniform_real_distribution<double>(0, 1)(dice_); }

  Json get(const std::string& sort, const std::string& path) {
    const Answered a = line_.get(path);
    return noted(sort, path, a) && a.status == 200 ? Json::parse(a.body) : Json();
  }

  bool noted(const std::string& sort, const std::string& path, const Answered& a) {
    const bool good = a.status == 200 || a.status == 204;
    if (good)
      log_.ms[sort].push_back(a.ms);
    else
      log_.odd.push_back(fmt::format("{} {}: {} {}", sort, path, a.status, a.body));
    return good;
  }

  /// Sends it until it is answered, as the page does; what was written to, or "" if it was refused.
  std::string post(const std::string& sort, const std::string& path, Json body, const Json& said) {
    constexpr int kMostTimes = 5;
    const std::string key = random_id();
    for (int time = 0; time < kMostTimes; ++time) {
      const Answered a = line_.post(path, body.dump(), key);
      if (a.status == 409 && body.contains("sure") && !body["sure"]) {
        body["sure"] = true;  // a figure that is hardly to be believed; he looked twice
        continue;
      }
      if (a.status == 400) {
        ++log_.refused;
        break;
      }
      if (noted(sort, path, a)) {
        log_.sent.push_back({key, Json::parse(a.body).at("made"), said});
        return log_.sent.back().subject;
      }
      if (a.status != 0 && a.status != 503) break;
    }
    return "";
  }

  bool write(const std::string& job, const std::vector<Entry>& entries) {
    if (entries.empty()) return true;
    Json sent = Json::array(), said = Json::array();
    for (const Entry& e : entries) {
      sent.push_back(as_sent(e));
      said.push_back({{entry_kind(e), entry_data(e)}});
    }
    return !post("entries", job + "/entries", {{"entries", sent}, {"sure", false}}, said).empty();
  }

  void close(const std::string& job, const char* end) {
    const Json body{{"end", end}, {"causes", Json::array()}, {"words", "done"}};
    if (!post("close", job + "/close", body, {{"end", end}}).empty()) ++log_.closed;
  }

  /// At work, with the page open: it asks once a second for what others have written.
  void think(const std::string& job, std::int64_t seq) {
    const auto until = std::min(until_, Clock::now() + seconds(load_.think_s * (0.5 + chance())));
    const std::string poll = fmt::format("{}?since={}", job, seq);
    do {
      std::this_thread::sleep_until(std::min(until, Clock::now() + seconds(1)));
      const Answered a = line_.get(poll);
      noted(a.status == 204 ? "poll, nothing new" : "poll, something new", poll, a);
    } while (Clock::now() < until);
  }

  void one_job(int nth) {
    get("shop", "/api/shop");
    const int bike = static_cast<int>(dice_() % static_cast<std::uint64_t>(load_.bikes));
    const BikeModel& real = real_[static_cast<size_t>(bike) % real_.size()];
    const Job job = draw_job(real, load_.seed, 1000 * (number_ + 1) + nth);
    Hands hands(real, job);
    std::vector<std::string> told;
    for (const int f : job.told) told.push_back(real.findings[static_cast<size_t>(f)]->name);
    const Json taken{{"bike", shop_bike_id(bike)}, {"complaint", fmt::format("it {}", fmt::join(told, ", "))}};
    const std::string made = post("take-in", "/api/jobs", taken, taken);
    if (made.empty()) return;
    const std::string path = "/api/jobs/" + made.substr(made.find('/') + 1);
    std::vector<Entry> entries = hands.take_in();
    std::string step;
    for (int acts = 0; in_time(); ++acts) {
      // A virtual gauge may show what no real one can.
      if (!write(path, entries) && !write(path, {Skipped{step, "the gauge shows nonsense"}})) return;
      if (hands.ended() || acts == kMostActs) return close(path, "given-up");
      const Json view = get("view after a change", path);
      if (!view.is_object()) return;
      think(path, view.at("seq"));
      if (!in_time()) return;
      if (view.at("proven")) return close(path, "proven");
      step = view.at("next").at("step");
      const int number = step_called(real, step);
      if (number < 0) {
        log_.odd.push_back(fmt::format("{}: no step {}", path, step));
        return;
      }
      entries = hands.as_read(hands.perform(number));
    }
  }

  const Load& load_;
  int number_;
  const std::vector<BikeModel>& real_;
  std::mt19937_64 dice_;
  Clock::time_point until_;
  Line line_;
  PhoneLog log_;
};

}  // namespace

PhoneLog work(const Load& load, int phone, const std::vector<BikeModel>& real) {
  return Phone(load, phone, real).work();
}

}  // namespace crankwise::bench
