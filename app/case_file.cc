#include "app/case_file.h"
#include "app/readings/told.h"

#include <fmt/format.h>

#include <algorithm>
#include <nlohmann/json.hpp>

#include "app/json_document.h"
#include "app/readings/told.h"
#include "app/shop.h"
#include "edge/units.h"

namespace crankwise {
namespace {

class CaseReader : JsonDocument {
 public:
  CaseReader(const Knowledge& k, const std::string& text, const std::string& name) : JsonDocument(text, name), k_(k) {}

  Case read() {
    const Json& top = top_;
    if (!fields(top, "", {"crankwise_case", "bike", "complaint", "context", "findings", "readings", "steps", "shop"}))
      fail();
    if (!top.contains("crankwise_case") || top["crankwise_case"] != 1) {
      note("crankwise_case", top.contains("crankwise_case") ? "is not a version that this program reads" : "is missing",
           "1");
    }
    if (top.contains("bike"))
      bike(top["bike"]);
    else
      note("bike", "is missing", "{ \"class\": \"motocross-125-two-stroke\" } or another (crankwise list classes)");
    if (top.contains("complaint")) case_.complaint = text_of(top["complaint"], "complaint");
    if (top.contains("shop")) shop(top["shop"]);
    // Checked against the bike only once it is known.
    if (sound()) {
      if (top.contains("context")) context(top["context"]);
      if (top.contains("findings")) findings(top["findings"], "findings");
      if (top.contains("readings")) readings(top["readings"], "readings");
      if (top.contains("steps")) steps(top["steps"]);
    }
    if (!sound()) fail();
    return std::move(case_);
  }

 private:
  /// Adds the entry if it holds for the bike; the problem names the field.
  void add(Entry entry, const std::string& path) {
    std::vector<Problem> found;
    check_entry(k_, case_.bike, entry, "", found);
    if (auto* took = std::get_if<Took>(&entry); took != nullptr && found.empty())
      took->at = with_usual(*k_.readings.find(took->reading), took->at, case_.shop.usual);
    for (const Problem& p : found) note(path, p.wrong, p.right);
    if (found.empty()) case_.entries.push_back(std::move(entry));
  }

  void bike(const Json& j) {
    if (!fields(j, "bike",
                {"class", "name", "with", "without", "displacement_cc", "hours", "renewed_h", "figures", "facts",
                 "tables", "access_min"}))
      return;
    Bike& b = case_.bike;
    b.id = b.name = "the bike";
    if (j.contains("name")) b.name = text_of(j["name"], "bike.name");
    if (j.contains("class")) {
      b.bike_class = text_of(j["class"], "bike.class");
      const BikeClass* c = k_.classes.find(b.bike_class);
      if (c == nullptr) {
        const std::string near = nearest(b.bike_class, k_.classes.ids());
        note("bike.class", fmt::format("no class is called \"{}\"", b.bike_class),
             near.empty() ? "crankwise list classes" : "perhaps \"" + near + "\"");
        return;
      }
      b.traits = c->traits;
      b.displacement_cc = c->displacement_cc;
    }
    if (j.contains("without")) {
      for (const auto& t : list_of(j["without"], "bike.without")) {
        if (k_.traits.find(t) == nullptr) {
          const std::string near = nearest(t, k_.traits.ids());
          note("bike.without", fmt::format("no trait is called \"{}\"", t),
               near.empty() ? "crankwise list traits" : "perhaps \"" + near + "\"");
        }
        b.traits.erase(std::remove(b.traits.begin(), b.traits.end(), t), b.traits.end());
      }
    }
    if (j.contains("with")) {
      for (const auto& t : list_of(j["with"], "bike.with")) b.traits.push_back(t);
    }
    if (j.contains("displacement_cc"))
      b.displacement_cc = number_of(j["displacement_cc"], "bike.displacement_cc", 20, 1500);
    if (j.contains("hours")) b.hours = number_of(j["hours"], "bike.hours", 0, 1e5), b.hours_known = true;
    if (j.contains("renewed_h") && object(j["renewed_h"], "bike.renewed_h")) {
      for (const auto& [part, h] : j["renewed_h"].items())
        b.renewed_h[part] = number_of(h, "bike.renewed_h." + part, 0, 1e5);
    }
    if (j.contains("figures") && object(j["figures"], "bike.figures")) {
      for (const auto& [id, f] : j["figures"].items()) figure(id, f);
    }
    if (j.contains("facts")) b.facts = told_of(j["facts"], "bike.facts");
    if (j.contains("tables") && object(j["tables"], "bike.tables")) {
      for (const auto& [id, rows] : j["tables"].items()) table(id, rows);
    }
    if (j.contains("access_min") && object(j["access_min"], "bike.access_min")) {
      for (const auto& [part, m] : j["access_min"].items()) {
        const std::string path = "bike.access_min." + part;
        if (!fields(m, path, {"off", "on"})) continue;
        if (!m.contains("off") || !m.contains("on")) {
          note(path, "has only half", "{ \"off\": minutes, \"on\": minutes }");
          continue;
        }
        b.access_min[part] = {number_of(m["off"], path + ".off", 0, 10000), number_of(m["on"], path + ".on", 0, 10000)};
      }
    }
    std::vector<Problem> found;
    check_bike(k_, b, "", found);
    for (const Problem& p : found) note(p.field.empty() ? "bike" : "bike." + p.field, p.wrong, p.right);
  }

  void table(const std::string& id, const Json& rows) {
    const std::string path = "bike.tables." + id;
    for (const auto& [degrees, ohms] : told_of(rows, path)) {
      const auto row = table_row(degrees, ohms);
      if (!row)
        note(path + "." + degrees, "is not a temperature and a resistance", "\"20 degC\": \"2.45 kohm\"");
      else
        case_.bike.tables[id].insert(*row);
    }
  }

  void figure(const std::string& id, const Json& f) {
    const std::string path = "bike.figures." + id;
    if (!fields(f, path, {"low", "high", "value", "unit", "baseline", "at"})) return;
    Figure figure;
    figure.unit = f.contains("unit") ? text_of(f["unit"], path + ".unit") : "";
    if (f.contains("value")) figure.low = figure.high = number_of(f["value"], path + ".value", 0, 1e9);
    if (f.contains("low")) figure.low = number_of(f["low"], path + ".low", 0, 1e9);
    if (f.contains("high")) figure.high = number_of(f["high"], path + ".high", 0, 1e9);
    if (f.contains("baseline")) figure.baseline = flag_of(f["baseline"], path + ".baseline");
    if (f.contains("at")) figure.at = told_of(f["at"], path + ".at");
    case_.bike.figures[id] = figure;
  }

  void shop(const Json& j) {
    if (!fields(j, "shop", {"money_per_hour", "currency", "lacks", "usual", "simulated_worth"})) return;
    if (j.contains("money_per_hour"))
      case_.shop.money_per_hour = number_of(j["money_per_hour"], "shop.money_per_hour", 0.01, 1e6);
    if (j.contains("simulated_worth"))
      case_.shop.simulated_worth = number_of(j["simulated_worth"], "shop.simulated_worth", 0, 1000);
    if (j.contains("currency")) case_.shop.currency = text_of(j["currency"], "shop.currency");
    if (j.contains("usual")) {
      case_.shop.usual = told_of(j["usual"], "shop.usual");
      std::vector<Problem> found;
      for (const auto& [condition, told] : case_.shop.usual)
        check_lasting(AskedCondition::Of::shop, condition, told, "shop.usual." + condition, found);
      for (const Problem& p : found) note(p.field, p.wrong, p.right);
    }
    if (!j.contains("lacks")) return;
    for (const auto& t : list_of(j["lacks"], "shop.lacks")) {
      if (k_.tools.find(t) == nullptr) {
        const std::string near = nearest(t, k_.tools.ids());
        note("shop.lacks", "no tool is called \"" + t + "\"",
             near.empty() ? "crankwise list tools" : "perhaps \"" + near + "\"");
      }
      case_.shop.lacks.insert(t);
    }
  }

  void context(const Json& j) {
    if (!object(j, "context")) return;
    for (const auto& [id, so] : j.items()) {
      if (!so.is_boolean())
        note("context." + id, "is not true or false", "true or false");
      else
        add(WasSo{id, so.get<bool>()}, "context." + id);
    }
  }

  void findings(const Json& j, const std::string& path) {
    if (!object(j, path)) return;
    for (const auto& [id, said] : j.items()) {
      const auto answer = said.is_string() ? answer_from(said.get<std::string>()) : std::nullopt;
      if (!answer)
        note(path + "." + id, "is not an answer", "\"yes\", \"no\" or \"unsure\"");
      else
        add(SaidSo{id, *answer}, path + "." + id);
    }
  }

  void readings(const Json& j, const std::string& path) {
    if (!object(j, path)) return;
    for (const auto& [id, value] : j.items()) {
      const Json told = value.is_object() ? value.value("value", Json()) : value;
      const std::string words = told.is_string() ? told.get<std::string>() : "";
      const auto measure = parse_measure(words);
      Took took{id, 0, "", words == "open", {}, {}};
      if (measure) took.value = measure->value, took.unit = measure->unit.name;
      if (value.is_object()) took.at = told_of(value, path + "." + id, "value");
      if (took.open || measure)
        add(std::move(took), path + "." + id);
      else
        note(path + "." + id, "is not a value with its unit",
             value.is_object() ? "{ \"value\": \"138 psi\", \"height\": \"1400 m\" }"
                               : "a text like \"138 psi\", or \"open\"");
    }
  }

  /// An object of texts, but for the field `apart`.
  Conditions told_of(const Json& j, const std::string& path, const std::string& apart = "") {
    Conditions all;
    if (!object(j, path)) return all;
    for (const auto& [name, told] : j.items()) {
      if (name != apart) all[name] = text_of(told, path + "." + name);
    }
    return all;
  }

  /// Of the step, or of a run that stands alone.
  Spent spent_of(const Json& s, const std::string& path) {
    Spent spent;
    for (const char* field : {"took_min", "paid"}) {
      if (s.contains(field) && !s.contains("step") && !s.contains("run"))
        note(path + "." + field, "has no step or run", "\"step\" or \"run\": what it was for");
    }
    if (s.contains("took_min")) spent.minutes = number_of(s["took_min"], path + ".took_min", 0, 9999);
    if (s.contains("paid")) spent.money = number_of(s["paid"], path + ".paid", 0, 1e6);
    return spent;
  }

  void steps(const Json& j) {
    if (!j.is_array()) return note("steps", "is not a list", "[ { \"step\": ... }, ... ]");
    for (size_t i = 0; i < j.size(); ++i) {
      const Json& s = j[i];
      const std::string path = fmt::format("steps[{}]", i + 1);
      if (!fields(
              s, path,
              {"step", "findings", "readings", "run", "put_back", "skip", "why", "off", "note", "took_min", "paid"}))
        continue;
      const Spent spent = spent_of(s, path);
      if (s.contains("step")) add(Did{text_of(s["step"], path + ".step"), spent}, path + ".step");
      if (s.contains("findings")) findings(s["findings"], path + ".findings");
      if (s.contains("readings")) readings(s["readings"], path + ".readings");
      if (s.contains("run")) {
        const auto result = run_result_from(text_of(s["run"], path + ".run"));
        if (result)
          add(RanIt{*result, "", s.contains("step") ? Spent{} : spent}, path + ".run");
        else
          note(path + ".run", "is not a result", "\"gone\", \"better\" or \"same\"");
      }
      if (s.contains("put_back") && flag_of(s["put_back"], path + ".put_back")) {
        if (s.contains("step"))
          add(WentBack{text_of(s["step"], path + ".step")}, path + ".put_back");
        else
          note(path + ".put_back", "has no step", "\"step\": the swap that was taken out again");
      }
      if (s.contains("skip")) {
        add(Skipped{text_of(s["skip"], path + ".skip"), s.contains("why") ? text_of(s["why"], path + ".why") : ""},
            path + ".skip");
      }
      if (s.contains("why") && !s.contains("skip"))
        note(path + ".why", "has no skip", "\"skip\": the step that cannot be done");
      if (s.contains("off")) add(PartsNow{list_of(s["off"], path + ".off")}, path + ".off");
      if (s.contains("note")) add(Noted{text_of(s["note"], path + ".note")}, path + ".note");
    }
  }

  const Knowledge& k_;
  Case case_;
};

}  // namespace

Case parse_case(const Knowledge& k, const std::string& text, const std::string& name) {
  return CaseReader(k, text, name).read();
}

}  // namespace crankwise
