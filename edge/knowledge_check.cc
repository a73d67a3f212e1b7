#include "edge/knowledge_check.h"

#include <fmt/format.h>

#include <algorithm>
#include <functional>
#include <set>
#include <sstream>

namespace crankwise {
namespace {

class Checker {
 public:
  Checker(const Knowledge& k, std::vector<Problem>& problems) : k_(k), problems_(problems) {}

  void run() {
    names();
    cures_and_causes();
    circles();
    every_class();
    terms();
    simulated();
  }

 private:
  void note(const char* kind, const Named& thing, const std::string& field, std::string wrong, std::string right) {
    problems_.push_back({thing.place.file, thing.place.line,
                         fmt::format("{}.{}{}{}", kind, thing.id, field.empty() ? "" : ".", field), std::move(wrong),
                         std::move(right)});
  }

  template <class T>
  void known(const char* kind, const Named& thing, const std::string& field, const std::string& id,
             const Shelf<T>& shelf, const char* what) {
    if (shelf.find(id) != nullptr) return;
    const std::string near = nearest(id, shelf.ids());
    note(kind, thing, field, fmt::format("no {} is called \"{}\"", what, id),
         near.empty() ? fmt::format("the id of a {}", what) : fmt::format("perhaps \"{}\"", near));
  }

  void condition(const char* kind, const Named& thing, const Condition& c) {
    for (const auto& line : c.lines) {
      for (const auto& a : line) known(kind, thing, "applies", a.trait, k_.traits, "trait");
    }
  }

  void names() {
    for (const auto& c : k_.classes) {
      for (const auto& t : c.traits) known("class", c, "traits", t, k_.traits, "trait");
      std::set<std::string> groups;
      for (const auto& t : k_.traits) {
        if (!t.group.empty()) groups.insert(t.group);
      }
      for (const auto& g : groups) {
        const auto count = std::count_if(c.traits.begin(), c.traits.end(), [&](const std::string& id) {
          const Trait* t = k_.traits.find(id);
          return t != nullptr && t->group == g;
        });
        if (count != 1)
          note("class", c, "traits", fmt::format("has {} traits of the group {}", count, g), "exactly one");
      }
    }
    const std::vector<std::string> worn = parts_that_wear(k_);
    for (const auto& f : k_.faults) {
      condition("fault", f, f.applies);
      for (const auto& [id, s] : f.causes) known("fault", f, "causes", id, k_.findings, "finding");
      for (const auto& [id, s] : f.context) known("fault", f, "context", id, k_.contexts, "context");
      for (const auto& [kind, s] : f.causes_every) {
        const bool good =
            kind == "complaint" || kind == "when" || kind == "look" || kind == "test" || kind == "measured";
        if (!good)
          note("fault", f, "causes_every", "\"" + kind + "\" is not a kind of finding",
               "complaint, when, look, test or measured");
      }
      for (const auto& id : f.not_with) {
        known("fault", f, "not_with", id, k_.faults, "fault");
        if (id == f.id) note("fault", f, "not_with", "names the fault itself", "another fault");
      }
    }
    for (const auto& f : k_.findings) condition("finding", f, f.applies);
    for (const auto& r : k_.readings) {
      condition("reading", r, r.applies);
      if (!r.same_as_context.empty()) known("reading", r, "same_as_context", r.same_as_context, k_.contexts, "context");
      for (const auto& range : r.ranges) condition("reading", r, range.applies);
      for (const auto& [field, id] : {std::pair{"below", r.below},
                                      {"above", r.above},
                                      {"open", r.open},
                                      {"with_oil", r.with_oil},
                                      {"closes", r.closes}}) {
        if (!id.empty()) known("reading", r, field, id, k_.findings, "finding");
      }
    }
    for (const auto& s : k_.steps) {
      condition("step", s, s.applies);
      for (const auto& id : s.off) known("step", s, "off", id, k_.parts, "part");
      for (const auto& id : s.on) known("step", s, "on", id, k_.parts, "part");
      for (const auto& id : s.tools) known("step", s, "tools", id, k_.tools, "tool");
      for (const auto& id : s.cautions) known("step", s, "cautions", id, k_.cautions, "caution");
      for (const auto& id : s.answers) known("step", s, "answers", id, k_.findings, "finding");
      for (const auto& id : s.reads) known("step", s, "reads", id, k_.readings, "reading");
      for (const auto& [id, chance] : s.cures) {
        known("step", s, "cures", id, k_.faults, "fault");
        if (chance.two_stroke <= 0 && chance.four_stroke <= 0)
          note("step", s, "cures", "\"" + id + "\" with chance 0", "leave it out");
      }
      for (const auto& part : s.renews) {
        if (std::binary_search(worn.begin(), worn.end(), part)) continue;
        const std::string near = nearest(part, worn);
        note("step", s, "renews", fmt::format("no part that wears is called \"{}\"", part),
             near.empty() ? "a part named in some fault's wears or some upkeep's parts"
                          : fmt::format("perhaps \"{}\"", near));
      }
      off_and_on(s);
    }
    for (const auto& u : k_.upkeep) {
      condition("upkeep", u, u.applies);
      for (const auto& i : u.every) condition("upkeep", u, i.applies);
      for (const auto& id : u.cautions) known("upkeep", u, "cautions", id, k_.cautions, "caution");
      if (std::binary_search(worn.begin(), worn.end(), u.id) && !u.parts.empty() && u.parts.front() != u.id)
        note("upkeep", u, "parts", "do not begin with the part of that name", "\"" + u.id + "\" first, or another id");
    }
    for (const auto& p : k_.parts) {
      condition("part", p, p.applies);
      for (const auto& id : p.after) known("part", p, "after", id, k_.parts, "part");
      for (const auto& id : p.cautions) known("part", p, "cautions", id, k_.cautions, "caution");
    }
  }

  /// Adds the part and all that must come off before it.
  void add_with_those_before(const std::string& id, std::set<std::string>& parts) const {
    const Part* p = k_.parts.find(id);
    if (p == nullptr || !parts.insert(id).second) return;
    for (const auto& before : p->after) add_with_those_before(before, parts);
  }

  /// A step that needs a part off and on at once could never be done.
  void off_and_on(const Step& s) {
    const bool runs = s.engine == EngineState::running || s.engine == EngineState::ridden;
    std::set<std::string> wanted(s.on.begin(), s.on.end());
    for (const auto& id : s.off) {
      std::set<std::string> off;
      add_with_those_before(id, off);
      const auto behind = [&](const std::string& part) {
        return part == id ? "" : fmt::format(", which must come off before the {}", k_.parts.find(id)->name);
      };
      for (const auto& part : off) {
        if (wanted.erase(part) == 0) continue;
        note("step", s, "on", fmt::format("has the {} off{}", k_.parts.find(part)->name, behind(part)),
             "each part either off or on");
      }
      const auto needed = [&](const std::string& part) { return k_.parts.find(part)->to_run; };
      const auto first = off.count(id) > 0 && needed(id) ? off.find(id) : std::find_if(off.begin(), off.end(), needed);
      if (!runs || first == off.end()) continue;
      note("step", s, "off",
           fmt::format("the engine cannot be {} with the {} off{}", text(s.engine), k_.parts.find(*first)->name,
                       behind(*first)),
           "engine = \"stopped\", or a part with to_run = false, or take it off and on within the step's own minutes");
    }
  }

  void cures_and_causes() {
    std::set<std::string> cured, caused, asked;
    for (const auto& s : k_.steps) {
      for (const auto& [id, chance] : s.cures) cured.insert(id);
      asked.insert(s.answers.begin(), s.answers.end());
      for (const auto& id : s.reads) {
        if (const Reading* r = k_.readings.find(id)) asked.insert({r->below, r->above, r->open});
      }
    }
    bool every_complaint = false;
    for (const auto& f : k_.faults) {
      for (const auto& [id, s] : f.causes) caused.insert(id);
      for (const auto& [kind, s] : f.causes_every) every_complaint |= kind == "complaint";
      if (cured.count(f.id) == 0 && !f.last_resort) {
        note("fault", f, "", "no step puts it right",
             "a step with cures = { " + f.id + " = ... }, or last_resort = true");
      }
    }
    for (const auto& f : k_.findings) {
      if (caused.count(f.id) == 0)
        note("finding", f, "", "no fault causes it", "a fault with causes = { " + f.id + " = ... }");
      const bool of_the_bike =
          f.kind == FindingKind::look || f.kind == FindingKind::test || f.kind == FindingKind::measured;
      if (of_the_bike && asked.count(f.id) == 0)
        note("finding", f, "", "no step answers it", "a step with answers = [\"" + f.id + "\"]");
    }
    if (k_.faults.size() > 0 && !every_complaint) {
      const Fault& f = *k_.faults.begin();
      problems_.push_back({f.place.file, 0, "", "no fault stands for what is not in the list",
                           "one fault with causes_every = { complaint = ... } and last_resort = true"});
    }
  }

  void circles() {
    std::map<std::string, int> state;  // 1: on the way, 2: done
    std::vector<std::string> way;
    const std::function<void(const Part&)> visit = [&](const Part& p) {
      state[p.id] = 1;
      way.push_back(p.id);
      for (const auto& id : p.after) {
        const Part* next = k_.parts.find(id);
        if (next == nullptr || state[id] == 2) continue;
        if (state[id] == 1) {
          std::string circle;
          for (auto at = std::find(way.begin(), way.end(), id); at != way.end(); ++at) circle += *at + " > ";
          note("part", p, "after", "parts need each other in a circle: " + circle + id,
               "an order in which they come off");
          continue;
        }
        visit(*next);
      }
      way.pop_back();
      state[p.id] = 2;
    };
    for (const auto& p : k_.parts) {
      if (state[p.id] == 0) visit(p);
    }
  }

  void terms() {
    std::map<std::string, const Term*> said;  // word or phrase, in small letters -> its term
    std::set<std::string> single;
    for (const auto& t : k_.terms) {
      std::vector<std::string> words = t.forms;
      words.push_back(t.name);
      for (std::string word : words) {
        std::transform(word.begin(), word.end(), word.begin(), [](unsigned char c) { return std::tolower(c); });
        const auto [at, fresh] = said.try_emplace(word, &t);
        if (!fresh)
          note("term", t, "forms", fmt::format("\"{}\" is in {} already", word, at->second->id), "each word once");
        std::istringstream pieces(word);
        for (std::string piece; pieces >> piece;) single.insert(piece);
      }
    }
    for (const std::string& word : k_.jargon) {
      if (single.count(word) > 0 || single.count(word + "s") > 0) continue;
      const std::string file = k_.terms.size() > 0 ? k_.terms.begin()->place.file : "";
      problems_.push_back({file, 0, "jargon", fmt::format("no term explains \"{}\"", word),
                           "a [term.ID] with it in name or forms, small letters"});
    }
  }

  void simulated() {
    for (const SimulatedClass& c : k_.simulated) {
      known("simulated", c, "", c.id, k_.classes, "class");
      for (const auto& id : c.decides) known("simulated", c, "decides", id, k_.findings, "finding");
      const auto decided = [&](const std::string& field, const std::map<std::string, double>& shares) {
        for (const auto& [id, share] : shares)
          if (!std::ranges::count(c.decides, id))
            note("simulated", c, field, fmt::format("\"{}\" is not among what it decides", id), "one of decides");
      };
      decided("by_chance", c.by_chance);
      for (const auto& f : c.faults) {
        known("simulated", c, "faults", f.fault, k_.faults, "fault");
        const Fault* fault = k_.faults.find(f.fault);
        const BikeClass* of = k_.classes.find(c.id);
        if (fault != nullptr && of != nullptr && !fault->applies.holds(Traits(of->traits)))
          note("simulated", c, "faults", fmt::format("a {} cannot have \"{}\"", of->name, f.fault),
               "a fault that applies");
        decided("faults." + f.fault + ".shows", f.shows);
      }
    }
  }

  void every_class() {
    for (const auto& c : k_.classes) {
      const Traits traits(c.traits);
      std::set<std::string> cured;
      bool last_resort = false, run = false;
      for (const auto& s : k_.steps) {
        if (!s.applies.holds(traits)) continue;
        for (const auto& [id, chance] : s.cures) cured.insert(id);
        last_resort |= s.last_resort;
        run |= s.kind == StepKind::run;
      }
      const auto parts =
          std::count_if(k_.parts.begin(), k_.parts.end(), [&](const Part& p) { return p.applies.holds(traits); });
      if (parts > 64) note("class", c, "traits", fmt::format("{} parts apply to it", parts), "64 at most");
      for (const auto& u : k_.upkeep) {
        if (!u.every.empty() && u.applies.holds(traits) && u.interval(traits, c.displacement_cc) == nullptr)
          note("upkeep", u, "every", "no interval fits the " + c.name, "a last one without applies and up_to_cc");
      }
      int faults = 0;
      for (const auto& f : k_.faults) {
        if (!f.applies.holds(traits)) continue;
        ++faults;
        if (cured.count(f.id) == 0 && !f.last_resort) {
          note("fault", f, "applies", "no step that applies to the " + c.name + " puts it right",
               "the same applies for fault and step");
        }
      }
      if (faults == 0) note("class", c, "traits", "no fault applies to it", "traits that faults ask for");
      if (!last_resort) note("class", c, "", "it has no last resort", "a step with last_resort = true");
      if (!run) note("class", c, "", "no run step applies to it", "a step of kind run");
    }
  }

  const Knowledge& k_;
  std::vector<Problem>& problems_;
};

}  // namespace

void check_knowledge(const Knowledge& k, std::vector<Problem>& problems) { Checker(k, problems).run(); }

}  // namespace crankwise
