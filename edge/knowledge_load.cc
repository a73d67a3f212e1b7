#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <fstream>
#include <sstream>

#include "edge/knowledge.h"
#include "edge/knowledge_check.h"
#include "edge/simulated.h"
#include "edge/toml_reader.h"
#include "edge/units.h"

namespace crankwise {
namespace {

constexpr std::array kFindingKinds{FindingKind::complaint, FindingKind::when, FindingKind::look, FindingKind::test,
                                   FindingKind::measured};
constexpr std::array kStepKinds{StepKind::look,   StepKind::measure, StepKind::listen,  StepKind::clean,
                                StepKind::adjust, StepKind::swap,    StepKind::replace, StepKind::run};
constexpr std::array kEngineStates{EngineState::stopped, EngineState::running, EngineState::hot, EngineState::ridden};

void read(TomlReader& t, Trait& x) {
  x.name = t.need_text("name");
  x.group = t.text("group");
}

void read(TomlReader& t, BikeClass& x) {
  x.name = t.need_text("name");
  x.traits = t.list("traits");
  x.displacement_cc = t.number("displacement_cc", 20, 1500);
}

void read(TomlReader& t, Fault& x) {
  x.name = t.need_text("name");
  x.part = t.need_text("part");
  x.applies = t.condition("applies");
  x.share = t.per_cycle("share", 0.001, 100);
  x.causes = t.chances("causes");
  x.causes_every = t.chances("causes_every");
  if (!t.has("causes") && !t.has("causes_every")) t.note(nullptr, "causes", "is missing", "the findings that it shows");
  x.shows = t.chance("shows", 0.98);
  if (auto w = t.table("wears")) {
    x.wears = Fault::Wear{w->need_text("part"), w->per_cycle("life_h", 0.1, 10000), w->number("shape", 0.5, 10),
                          w->number("spread", 0, 1, kUsualSpread)};
    w->finish();
  }
  x.context = t.factors("context", 0.01, 100);
  x.not_with = t.list("not_with");
  x.note = t.text("note");
  x.last_resort = t.flag("last_resort", false);
}

void read(TomlReader& t, Finding& x) {
  x.name = t.need_text("short");
  x.ask = t.need_text("ask");
  x.kind = t.choice<FindingKind>("kind", kFindingKinds, FindingKind::look);
  x.words = t.list("words");
  x.applies = t.condition("applies");
  x.background = t.chance("background", 0.01);
  x.rates.yes_if_so = t.chance("yes_if_so", x.rates.yes_if_so);
  x.rates.yes_if_not = t.chance("yes_if_not", x.rates.yes_if_not);
  x.rates.unsure_if_so = t.chance("unsure_if_so", x.rates.unsure_if_so);
  x.rates.unsure_if_not = t.chance("unsure_if_not", x.rates.unsure_if_not);
  x.shares_error = t.text("shares_error");
  x.group = t.text("group");
  x.on_stand = t.flag("on_stand", false);
  x.no_running = t.flag("no_running", false);
  x.intermittent = t.flag("intermittent", false);
  if (x.rates.yes_if_so <= x.rates.yes_if_not) {
    t.note(nullptr, "yes_if_so", "is not above yes_if_not", "an answer that says something");
  }
  if ((x.kind == FindingKind::complaint || x.kind == FindingKind::when) && !t.has("words")) {
    t.note(nullptr, "words", "is missing", "the phrases that people use for it");
  }
}

void read(TomlReader& t, Reading& x) {
  x.name = t.need_text("name");
  x.ask = t.need_text("ask");
  x.unit = t.need_text("unit");
  if (!x.unit.empty() && !find_unit(x.unit)) {
    const std::string near = nearest(x.unit, unit_names());
    t.note_field("unit", "\"" + x.unit + "\" is not a known unit",
                 near.empty() ? "psi, kPa, ohm, mm ..." : "perhaps \"" + near + "\"");
  }
  x.below = t.text("below");
  x.above = t.text("above");
  x.open = t.text("open");
  x.applies = t.condition("applies");
  x.spread = t.number("spread", 0.001, 2, 0.1);
  x.method = t.choice<ReadingMethod>("method", reading_methods(), ReadingMethod::as_read);
  const auto unit = find_unit(x.unit);
  if (const auto kind = measures(x.method); kind && unit && unit->quantity != *kind)
    t.note_field("method", fmt::format("does not go with {}", x.unit), "the method for what is measured");
  x.same_as_context = t.text("same_as_context");
  x.with_oil = t.text("with_oil");
  if (auto closes = t.table("closes")) {
    x.closes = closes->need_text("finding");
    x.closes_by = closes->number("by", 0.001, 1000);
    closes->finish();
  }
  if (!x.with_oil.empty() && x.method != ReadingMethod::compression)
    t.note_field("with_oil", "goes with method = \"compression\" only", "leave it out");
  if (!x.closes.empty() && x.method != ReadingMethod::valve_clearance)
    t.note_field("closes", "goes with method = \"valve-clearance\" only", "leave it out");
  x.digit = t.number("digit", 0, 1e6, 0);
  if (const auto possible = t.range("possible")) std::tie(x.least, x.most) = *possible;
  if (!t.has("possible")) t.note(nullptr, "possible", "is missing", "[lowest, highest] value that there can be");
  for (TomlReader& r : t.tables("table")) {
    x.table.emplace_back(r.number("degC", -60, 300), r.number("ohm", 0.1, 1e7));
    r.finish();
  }
  const bool falling = std::is_sorted(x.table.begin(), x.table.end(), [](const auto& a, const auto& b) {
    return a.first < b.first && a.second > b.second;
  });
  if (!x.table.empty() && (x.table.size() < 2 || !falling))
    t.note_field("table", "does not fall from row to row", "two rows or more by rising degC, ohm falling");
  if (auto w = t.table("wrong")) {
    x.wrong_below = w->number("below", 0.001, 0.999, x.wrong_below);
    x.wrong_above = w->number("above", 1.001, 1000, x.wrong_above);
    w->finish();
  }
  for (TomlReader& r : t.tables("ranges")) {
    Reading::Range range{r.condition("applies"), 0, 0, r.text("source"), {}};
    if (auto told = r.table("told")) range.told = told->words();
    const auto healthy = r.range("healthy");
    r.finish();
    if (!healthy) continue;
    range.low = healthy->first;
    range.high = healthy->second;
    x.ranges.push_back(std::move(range));
  }
  if (x.below.empty() && x.above.empty() && x.open.empty()) {
    t.note(nullptr, "below", "and above and open are missing", "the finding that a wrong reading speaks for");
  }
}

void read(TomlReader& t, Step& x) {
  x.name = t.need_text("name");
  x.kind = t.choice<StepKind>("kind", kStepKinds, StepKind::look);
  x.applies = t.condition("applies");
  x.off = t.list("off");
  x.on = t.list("on");
  x.engine = t.choice<EngineState>("engine", kEngineStates, EngineState::stopped);
  x.minutes = t.per_cycle("minutes", 0.05, 5000);
  x.money = t.per_cycle("money", 0, 10000, 0.0);
  x.wait_min = t.number("wait_min", 0, 10000, 0.0);
  x.needs = t.list("needs");
  x.tools = t.list("tools");
  x.how = t.list("how");
  x.cautions = t.list("cautions");
  x.answers = t.list("answers");
  x.reads = t.list("reads");
  x.renews = t.list("renews");
  x.expect = t.text("expect");
  x.cures = t.chances("cures");
  x.last_resort = t.flag("last_resort", false);

  const bool asks = x.kind == StepKind::look || x.kind == StepKind::measure || x.kind == StepKind::listen;
  if (x.kind == StepKind::run) {
    if (!x.answers.empty() || !x.cures.empty())
      t.note(nullptr, "", "a run has neither answers nor cures", "leave both out");
  } else if (asks) {
    if (!t.has("answers") && !t.has("reads"))
      t.note(nullptr, "answers", "is missing", "the findings this step answers");
    if (!x.cures.empty()) {
      t.note(nullptr, "cures", "does not belong to a step that only asks",
             "a step of kind clean, adjust, swap or replace");
    }
  } else if (!t.has("cures")) {
    t.note(nullptr, "cures", "is missing", "the faults that this step puts right");
  }
  if ((x.engine == EngineState::running || x.engine == EngineState::ridden) && asks && x.expect.empty()) {
    t.note(nullptr, "expect", "is missing", "what a right engine does");
  }
}

void read(TomlReader& t, Part& x) {
  x.name = t.need_text("name");
  x.off_min = t.per_cycle("off_min", 0, 1000);
  x.on_min = t.per_cycle("on_min", 0, 1000);
  x.money = t.per_cycle("money", 0, 10000, 0.0);
  x.after = t.list("after");
  x.cautions = t.list("cautions");
  x.applies = t.condition("applies");
  x.to_run = t.flag("to_run", true);
}

void read(TomlReader& t, Tool& x) {
  x.name = t.need_text("name");
  x.common = t.flag("common", false);
}

void read(TomlReader& t, Caution& x) {
  x.name = t.need_text("title");
  x.text = t.need_text("text");
}

void read(TomlReader& t, Context& x) {
  x.name = t.need_text("short");
  x.ask = t.need_text("ask");
  x.words = t.list("words");
}

void read(TomlReader& t, Upkeep& x) {
  x.name = t.need_text("name");
  x.work = t.need_text("work");
  x.why = t.need_text("why");
  x.parts = t.list("parts");
  x.cautions = t.list("cautions");
  x.applies = t.condition("applies");
  x.shape = t.number("shape", 0.5, 10);
  x.spread = t.number("spread", 0, 1, kUsualSpread);
  if (x.parts.empty()) t.note(nullptr, "parts", "is missing", "the parts that are renewed by it");
  for (TomlReader& r : t.tables("every")) {
    Upkeep::Interval i;
    i.applies = r.condition("applies");
    i.up_to_cc = r.number("up_to_cc", 0, 1500, 0);
    i.hours = r.number("hours", 0, 10000, 0);
    i.hard_hours = r.number("hard_hours", 0, 10000, 0);
    i.days = r.number("days", 0, 10000, 0);
    i.life_h = r.number("life_h", 0, 100000, 0);
    i.life_days = r.number("life_days", 0, 100000, 0);
    i.source = r.text("source");
    r.finish();
    if (i.hours == 0 && i.days == 0) r.note(nullptr, "hours", "and days are missing", "how often it is due");
    if ((i.life_h > 0) == (i.life_days > 0))
      r.note(nullptr, "life_h", "or life_days is wanted, one of the two", "the life without the work");
    if (i.hard_hours > i.hours) r.note_field("hard_hours", "is more than hours", "the hours if it is ridden hard");
    x.every.push_back(std::move(i));
  }
  if (x.every.empty()) t.note(nullptr, "every", "is missing", "[{ hours = 20, life_h = 60 }]");
}

void read(TomlReader& t, Term& x) {
  x.name = t.need_text("name");
  x.forms = t.list("forms");
  x.not_in = t.list("not_in");
  x.plain = t.need_text("plain");
  constexpr size_t kLongest = 80;  // it stands in brackets within a line
  if (x.plain.size() > kLongest) t.note_field("plain", "is too long", "80 letters at the most");
}

bool good_id(std::string_view id) {
  return !id.empty() && std::all_of(id.begin(), id.end(), [](char c) {
    return (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || c == '-';
  });
}

template <class T>
void shelve(Shelf<T>& shelf, const toml::node& node, const std::string& file, const std::string& kind,
            const std::string& file_source, std::vector<Problem>& problems) {
  const toml::table* group = node.as_table();
  if (group == nullptr) {
    problems.push_back(
        {file, static_cast<int>(node.source().begin.line), kind, "is not a table", "[" + kind + ".some-id]"});
    return;
  }
  for (const auto& [key, value] : *group) {
    const std::string id(key.str());
    const int line = static_cast<int>(value.source().begin.line);
    const std::string path = kind + "." + id;
    const toml::table* table = value.as_table();
    if (table == nullptr || !good_id(id)) {
      problems.push_back({file, line, path, table == nullptr ? "is not a table" : "is not a good id",
                          "[" + kind + ".some-id], lower-case words joined by hyphens"});
      continue;
    }
    TomlReader reader(*table, file, path, problems);
    T thing;
    thing.id = id;
    thing.place = {file, line};
    thing.source = reader.text("source", file_source);
    read(reader, thing);
    reader.finish();
    if (thing.source.empty()) {
      reader.note(nullptr, "source", "is missing",
                  "a publication, \"common practice\" or \"from memory\", here or on top");
    }
    if (const T* earlier = shelf.add(std::move(thing))) {
      problems.push_back({file, line, path,
                          fmt::format("is already in {}:{}", earlier->place.file, earlier->place.line),
                          "another id, or one of the two"});
    }
  }
}

void read_file(Knowledge& k, const std::string& file, const toml::table& top, std::vector<Problem>& problems) {
  TomlReader head(top, file, "", problems);
  const std::string source = head.text("source");
  for (std::string& word : head.list("jargon")) k.jargon.push_back(std::move(word));
  const std::vector<std::string> kinds{"trait",  "class", "fault",     "finding", "reading",
                                       "step",   "part",  "tool",      "caution", "context",
                                       "upkeep", "term",  "simulated", "source",  "jargon"};
  for (const auto& [key, value] : top) {
    const std::string kind(key.str());
    const toml::node& node = value;
    const auto put = [&, kind](auto& shelf) { shelve(shelf, node, file, kind, source, problems); };
    if (kind == "trait")
      put(k.traits);
    else if (kind == "class")
      put(k.classes);
    else if (kind == "fault")
      put(k.faults);
    else if (kind == "finding")
      put(k.findings);
    else if (kind == "reading")
      put(k.readings);
    else if (kind == "step")
      put(k.steps);
    else if (kind == "part")
      put(k.parts);
    else if (kind == "tool")
      put(k.tools);
    else if (kind == "caution")
      put(k.cautions);
    else if (kind == "context")
      put(k.contexts);
    else if (kind == "upkeep")
      put(k.upkeep);
    else if (kind == "term")
      put(k.terms);
    else if (kind == "simulated")
      put(k.simulated);
    else if (kind != "source" && kind != "jargon") {
      const std::string near = nearest(kind, kinds);
      problems.push_back(
          {file, static_cast<int>(value.source().begin.line), kind, "is not a kind of thing",
           near.empty() ? "fault, finding, reading, step, part, upkeep, tool, caution, context, term, trait or class"
                        : "perhaps \"" + near + "\""});
    }
  }
}

std::string slurp(const std::filesystem::path& path) {
  std::ifstream in(path, std::ios::binary);
  if (!in) throw BadInput({path.string(), 0, "", "cannot be read", "a readable file"});
  std::ostringstream text;
  text << in.rdbuf();
  return text.str();
}

}  // namespace

Knowledge parse_knowledge(const std::vector<std::pair<std::string, std::string>>& files) {
  Knowledge k;
  std::vector<Problem> problems;
  for (const auto& [name, content] : files) {
    try {
      const toml::table top = toml::parse(content, name);
      read_file(k, name, top, problems);
    } catch (const toml::parse_error& e) {
      problems.push_back(
          {name, static_cast<int>(e.source().begin.line), "", std::string(e.description()), "valid TOML"});
    }
  }
  check_knowledge(k, problems);
  if (!problems.empty()) throw BadInput(std::move(problems));
  return k;
}

Knowledge load_knowledge(const std::filesystem::path& folder) {
  std::error_code error;
  std::vector<std::filesystem::path> paths;
  for (const auto& entry : std::filesystem::directory_iterator(folder, error)) {
    if (entry.path().extension() == ".toml") paths.push_back(entry.path());
  }
  if (error || paths.empty()) {
    throw BadInput({folder.string(), 0, "", error ? "cannot be read: " + error.message() : "holds no .toml file",
                    "the folder with the knowledge files"});
  }
  std::sort(paths.begin(), paths.end());
  std::vector<std::pair<std::string, std::string>> files;
  for (const auto& p : paths) files.emplace_back(p.string(), slurp(p));
  return parse_knowledge(files);
}

}  // namespace crankwise
