#include "edge/job.h"

#include <fmt/format.h>

#include <nlohmann/json.hpp>
#include <stdexcept>

namespace crankwise {
namespace {

template <class... Fs>
struct Overload : Fs... {
  using Fs::operator()...;
};
template <class... Fs>
Overload(Fs...) -> Overload<Fs...>;

Json with(Json data, const Spent& spent) {
  if (spent.minutes) data["took_min"] = *spent.minutes;
  if (spent.money) data["paid"] = *spent.money;
  return data;
}

Spent spent_from(const Json& data) {
  Spent spent;
  if (data.contains("took_min")) spent.minutes = data["took_min"].get<double>();
  if (data.contains("paid")) spent.money = data["paid"].get<double>();
  return spent;
}

}  // namespace

Spent spent_on(const Entry& entry) {
  return std::visit(
      [](const auto& e) {
        if constexpr (requires { e.spent; })
          return e.spent;
        else
          return Spent{};
      },
      entry);
}

bool is_utf8(std::string_view text) {
  // The JSON library is strict about it when it writes.
  try {
    (void)Json(std::string(text)).dump();
  } catch (const Json::exception&) {
    return false;
  }
  return true;
}

std::string_view text(Answer a) { return a == Answer::yes ? "yes" : a == Answer::no ? "no" : "unsure"; }
std::string_view text(RunResult r) {
  return r == RunResult::gone ? "gone" : r == RunResult::better ? "better" : "same";
}

std::optional<Answer> answer_from(std::string_view word) {
  for (Answer a : {Answer::no, Answer::yes, Answer::unsure}) {
    if (word == text(a)) return a;
  }
  return {};
}

std::optional<RunResult> run_result_from(std::string_view word) {
  for (RunResult r : {RunResult::gone, RunResult::better, RunResult::same}) {
    if (word == text(r)) return r;
  }
  return {};
}

std::string entry_kind(const Entry& entry) {
  return std::visit(Overload{[](const SaidSo&) { return "answered"; }, [](const Took&) { return "measured"; },
                             [](const Did&) { return "did"; }, [](const WentBack&) { return "put-back"; },
                             [](const RanIt&) { return "ran"; }, [](const Skipped&) { return "skipped"; },
                             [](const WasSo&) { return "context"; }, [](const NotMeant&) { return "not-meant"; },
                             [](const PartsNow&) { return "parts-off"; }, [](const Noted&) { return "noted"; },
                             [](const Pictured&) { return "photo"; }},
                    entry);
}

Json entry_data(const Entry& entry) {
  return std::visit(Overload{[](const SaidSo& e) {
                               return Json{{"finding", e.finding}, {"answer", text(e.answer)}};
                             },
                             [](const Took& e) {
                               Json j = e.open ? Json{{"reading", e.reading}, {"open", true}}
                                               : Json{{"reading", e.reading}, {"value", e.value}, {"unit", e.unit}};
                               if (!e.at.empty()) j["at"] = e.at;
                               return with(std::move(j), e.spent);
                             },
                             [](const Did& e) {
                               return with(Json{{"step", e.step}}, e.spent);
                             },
                             [](const WentBack& e) {
                               return Json{{"step", e.step}};
                             },
                             [](const RanIt& e) {
                               return with(Json{{"result", text(e.result)}, {"step", e.step}}, e.spent);
                             },
                             [](const Skipped& e) {
                               return Json{{"step", e.step}, {"why", e.why}};
                             },
                             [](const WasSo& e) {
                               return Json{{"context", e.context}, {"so", e.so}};
                             },
                             [](const NotMeant& e) {
                               return Json{{"id", e.id}};
                             },
                             [](const PartsNow& e) {
                               return Json{{"off", e.off}};
                             },
                             [](const Noted& e) {
                               return Json{{"text", e.text}};
                             },
                             [](const Pictured& e) {
                               Json j{{"sha256", e.sha256},
                                      {"media_type", e.media_type},
                                      {"width", e.width},
                                      {"height", e.height},
                                      {"caption", e.caption}};
                               if (e.of_act > 0) j["of"] = e.of_act;
                               return j;
                             }},
                    entry);
}

Entry entry_from(const std::string& kind, const Json& d) {
  if (kind == "answered") {
    const auto answer = answer_from(d.at("answer").get<std::string>());
    if (!answer) throw std::runtime_error("answer is not yes, no or unsure");
    return SaidSo{d.at("finding"), *answer};
  }
  if (kind == "measured") {
    const Conditions at = d.value("at", Conditions{});
    if (d.value("open", false)) return Took{d.at("reading"), 0, "", true, spent_from(d), at};
    return Took{d.at("reading"), d.at("value"), d.at("unit"), false, spent_from(d), at};
  }
  if (kind == "did") return Did{d.at("step"), spent_from(d)};
  if (kind == "put-back") return WentBack{d.at("step")};
  if (kind == "ran") {
    const auto result = run_result_from(d.at("result").get<std::string>());
    if (!result) throw std::runtime_error("result is not gone, better or same");
    return RanIt{*result, d.value("step", ""), spent_from(d)};
  }
  if (kind == "skipped") return Skipped{d.at("step"), d.value("why", "")};
  if (kind == "context") return WasSo{d.at("context"), d.value("so", true)};
  if (kind == "not-meant") return NotMeant{d.at("id")};
  if (kind == "parts-off") return PartsNow{d.at("off").get<std::vector<std::string>>()};
  if (kind == "noted") return Noted{d.at("text")};
  if (kind == "photo")
    return Pictured{d.at("sha256"), d.at("media_type"),     d.at("width"),
                    d.at("height"), d.value("caption", ""), d.value("of", 0)};
  throw std::runtime_error("\"" + kind + "\" is not a kind of entry");
}

Json figure_data(const Figure& f) {
  Json j{{"low", f.low}, {"high", f.high}, {"unit", f.unit}, {"baseline", f.baseline}};
  if (!f.at.empty()) j["at"] = f.at;
  return j;
}

Figure figure_from(const Json& f) {
  return {f.at("low"), f.at("high"), f.at("unit"), f.value("baseline", false), f.value("at", Conditions{})};
}

Json table_data(const std::map<double, double>& rows) {
  Json j = Json::array();
  for (const auto& [kelvin, ohm] : rows) j.push_back({{"kelvin", kelvin}, {"ohm", ohm}});
  return j;
}

std::map<double, double> table_from(const Json& rows) {
  std::map<double, double> table;
  for (const Json& row : rows) table[row.at("kelvin")] = row.at("ohm");
  return table;
}

Json bike_data(const Bike& b) {
  Json j{{"name", b.name}, {"class", b.bike_class}, {"traits", b.traits}, {"displacement_cc", b.displacement_cc}};
  if (b.hours_known) j["hours"] = b.hours;
  for (const auto* figures : {&b.figures, &b.baselines}) {
    for (const auto& [id, f] : *figures) j["figures"][id] = figure_data(f);
  }
  if (!b.facts.empty()) j["facts"] = b.facts;
  for (const auto& [id, rows] : b.tables) j["tables"][id] = table_data(rows);
  for (const auto& [part, h] : b.renewed_h) j["renewed_h"][part] = h;
  for (const auto& [part, m] : b.access_min) j["access_min"][part] = {{"off", m.first}, {"on", m.second}};
  return j;
}

Bike bike_from(const Json& j) {
  Bike b;
  b.name = j.at("name");
  b.bike_class = j.value("class", "");
  b.traits = j.at("traits").get<std::vector<std::string>>();
  b.displacement_cc = j.value("displacement_cc", 0.0);
  b.hours_known = j.contains("hours");
  b.hours = j.value("hours", 0.0);
  // Named, because a loop over a temporary's items would outlive it.
  const Json figures = j.value("figures", Json::object());
  for (const auto& [id, f] : figures.items()) {
    const Figure figure = figure_from(f);
    (figure.baseline ? b.baselines : b.figures)[id] = figure;
  }
  b.facts = j.value("facts", Conditions{});
  const Json tables = j.value("tables", Json::object());
  for (const auto& [id, rows] : tables.items()) b.tables[id] = table_from(rows);
  const Json renewed = j.value("renewed_h", Json::object());
  for (const auto& [part, h] : renewed.items()) b.renewed_h[part] = h;
  const Json access = j.value("access_min", Json::object());
  for (const auto& [part, m] : access.items()) b.access_min[part] = {m.at("off"), m.at("on")};
  return b;
}

}  // namespace crankwise
