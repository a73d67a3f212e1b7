// Recordings: what is heard of one, and which readings of the job that would make. Writes nothing.
#include <fmt/format.h>

#include <charconv>
#include <cmath>
#include <utility>

#include "app/explain.h"
#include "app/readings/appraise.h"
#include "app/sound/engine.h"
#include "app/sound/picture.h"
#include "app/sound/report.h"
#include "http/body.h"
#include "http/routes.h"

namespace crankwise {
namespace {

ListenAsk ask_of(const HttpRequest& r) {
  ListenAsk ask;
  const std::string of = r.asked("of"), times = r.asked("times");
  if (!of.empty()) {
    ask.of = take_of_from(of);
    if (!ask.of)
      throw BadInput({"", 0, "of", fmt::format("\"{}\" is no sort of take", of), "idle, blips, hold or pull"});
  }
  double number = 0;
  const auto read = std::from_chars(times.data(), times.data() + times.size(), number);
  if (read.ec == std::errc() && read.ptr == times.data() + times.size()) ask.times = times_from(number);
  if (!times.empty() && !ask.times)
    throw BadInput({"", 0, "times", fmt::format("\"{}\" is no answer", times), "1, or the number that was asked"});
  return ask;
}

Json reading_json(const Knowledge& k, const Bike& bike, const ToldReading& p) {
  const Reading& r = *k.readings.find(p.took.reading);
  std::string told = fmt::format("{:g} {}", p.took.value, p.took.unit);
  for (const auto& [condition, value] : p.took.at) told += fmt::format(" {}={}", condition, value);
  Json j{{"reading", r.id}, {"told", told}, {"words", p.words}, {"held_against", ""}, {"moves", Json::array()}};
  const Appraised seen = appraise(r, p.took, bike, bike.readings);
  if (!seen.held_against) return j;
  j["held_against"] = in_words(seen, r);
  for (const FindingWeight& w : seen.weights) {
    const Finding* f = k.findings.find(w.finding);
    if (f == nullptr || w.if_so <= 0 || w.if_not <= 0) continue;
    j["moves"].push_back(fmt::format("{}: {}", f->name, weight_in_words(10 * std::log10(w.ratio()))));
  }
  return j;
}

Listened heard_in(const std::string& body, const Bike& bike, const ListenAsk& ask) {
  constexpr const char* kName = "the recording";
  try {
    return listen_to_bytes(body, kName, engine_of(bike), ask);
  } catch (const BadInput& e) {  // an upload has no name that the page could show beside what was wrong
    std::vector<Problem> problems = e.problems();
    for (Problem& p : problems) {
      if (p.file == kName) p.wrong = fmt::format("{}: {}", std::exchange(p.file, ""), p.wrong);
    }
    throw BadInput(std::move(problems));
  }
}

HttpAnswer hear_take(Office& office, const HttpRequest& r, const PathParts& parts) {
  const int number = job_of(parts);
  const ListenAsk ask = ask_of(r);
  const Bike bike = office.workshop.with([&](Shop& s) { return s.bike_on_job(number); });
  const Knowledge& k = office.workshop.knowledge();
  const Listened heard = heard_in(r.body, bike, ask);
  const Proposals told = proposals(heard, k, bike);
  Json j{{"of", text(heard.of)},          {"step", told.step},
         {"lines", Json::array()},        {"question", octave_question(heard)},
         {"or_times", heard.track.other}, {"readings", Json::array()},
         {"not_told", told.not_told},     {"picture", picture_of(heard)}};
  for (const auto& [what, words] : report(heard)) j["lines"].push_back({{"what", what}, {"words", words}});
  for (const ToldReading& p : told.readings) j["readings"].push_back(reading_json(k, bike, p));
  return json_answer(j);
}

}  // namespace

std::vector<Route> sound_routes() {
  return {{"POST", "/api/jobs/{job}/listen", false, hear_take}};  // ?of=hold&times=2
}

}  // namespace crankwise
