// The knowledge of the trade as loaded from knowledge/*.toml. The format is in docs/knowledge-format.md.
//
//   Knowledge k = load_knowledge("knowledge");   // throws BadInput with every problem found
#pragma once

#include <array>
#include <filesystem>
#include <map>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "core/belief/belief.h"
#include "edge/reading_method.h"

namespace crankwise {

struct Place {
  std::string file;
  int line = 0;
};

/// The equipment of one bike: ids of traits, sorted.
class Traits {
 public:
  Traits() = default;
  explicit Traits(std::vector<std::string> ids);
  bool has(const std::string& id) const;
  const std::vector<std::string>& ids() const { return ids_; }

 private:
  std::vector<std::string> ids_;
};

/// `applies`: every line must hold; a line holds if one of its alternatives does.
struct Condition {
  struct Alternative {
    std::string trait;
    bool negated = false;
  };
  std::vector<std::vector<Alternative>> lines;
  bool holds(const Traits&) const;
};

/// A number that may differ between the cycles.
struct PerCycle {
  double two_stroke = 0, four_stroke = 0;
  double of(const Traits&) const;
};

/// How much lives differ between bikes (core/wear/wear.h), where nothing better is known: the lives that racing and
/// leisure riders give for one part differ two- to threefold, taken as the tenth and the ninetieth of a hundred bikes.
constexpr double kUsualSpread = 0.4;

/// What all named things have.
struct Named {
  std::string id;
  std::string name;
  std::string source;
  Place place;
};

using Strengths = std::vector<std::pair<std::string, PerCycle>>;  // id or kind -> chance or factor

enum class FindingKind { complaint, when, look, test, measured };
enum class StepKind { look, measure, listen, clean, adjust, swap, replace, run };
enum class EngineState { stopped, running, hot, ridden };

std::string_view text(FindingKind);
std::string_view text(StepKind);
std::string_view text(EngineState);

struct Trait : Named {
  std::string group;
};
struct BikeClass : Named {
  std::vector<std::string> traits;
  double displacement_cc = 0;
};
struct Fault : Named {
  std::string part;
  Condition applies;
  PerCycle share;
  Strengths causes, causes_every, context;
  double shows = 0.98;
  struct Wear {
    std::string part;
    PerCycle life_h;
    double shape = 1;
    double spread = kUsualSpread;
  };
  std::optional<Wear> wears;
  std::vector<std::string> not_with;
  std::string note;
  bool last_resort = false;
};
struct Finding : Named {  // name: the short form
  FindingKind kind = FindingKind::look;
  std::string ask;
  std::vector<std::string> words;
  Condition applies;
  double background = 0.01;
  AnswerRates rates;
  std::string shares_error;
  std::string group;          // of a `when`: the heading that it is asked under
  bool on_stand = false;      // a run on the stand can show it
  bool no_running = false;    // the engine does not run while it is so
  bool intermittent = false;  // "it comes and goes": if not, one run nearly always shows the trouble
};
struct Reading : Named {
  std::string ask, unit, below, above, open;
  Condition applies;
  double spread = 0.1;
  double wrong_below = 0.6, wrong_above = 1.6;
  double least = 0, most = 0;  // outside this it cannot be
  ReadingMethod method = ReadingMethod::as_read;
  std::string same_as_context;  // that tells the same: where it was so, an above is not counted again
  std::string with_oil;         // finding that a compression with oil speaks for, against the dry one
  std::string closes;           // finding that a clearance which closes from reading to reading speaks for,
  double closes_by = 0;         // from so much on, in the reading's unit
  double digit = 0;  // an ohm meter's last digit in the range that is used for it, in the reading's unit; 0: unknown
  struct Range {
    Condition applies;
    double low = 0, high = 0;
    std::string source;
    std::map<std::string, std::string> told;  // only if these conditions were told so
  };
  std::vector<Range> ranges;
  std::vector<std::pair<double, double>> table;  // thermistor of its class: degC, ohm; rising temperature
};
struct Step : Named {
  StepKind kind = StepKind::look;
  Condition applies;
  std::vector<std::string> off, on;
  EngineState engine = EngineState::stopped;
  PerCycle minutes, money;
  double wait_min = 0;
  std::vector<std::string> needs, tools, how, cautions, answers, reads, renews;
  std::string expect;
  Strengths cures;
  bool last_resort = false;
};
struct Part : Named {
  PerCycle off_min, on_min, money;
  std::vector<std::string> after;
  std::vector<std::string> cautions;  // of every step that has it off
  Condition applies;
  bool to_run = true;
};
struct Tool : Named {
  bool common = false;
};
struct Caution : Named {  // name: the title
  std::string text;
};
struct Context : Named {  // name: the short form
  std::string ask;
  std::vector<std::string> words;
};

/// Work that is due by hours or days.
struct Upkeep : Named {
  std::string work, why;
  std::vector<std::string> parts, cautions;  // what it renews: the age of the first is what counts
  Condition applies;
  double shape = 1, spread = kUsualSpread;
  struct Interval {  // 0: not by that
    Condition applies;
    double up_to_cc = 0;  // for bikes of this displacement at most; 0: all
    double hours = 0, hard_hours = 0, days = 0;
    double life_h = 0, life_days = 0;  // characteristic life without the work; exactly one
    std::string source;
  };
  std::vector<Interval> every;
  /// The first interval that fits the bike, or none.
  const Interval* interval(const Traits&, double displacement_cc) const;
};

struct Term : Named {               // name: the word of the trade
  std::vector<std::string> forms;   // other words for it, and other forms of the word
  std::vector<std::string> not_in;  // phrases in which the word means something else
  std::string plain;                // what it is, for somebody who is no mechanic
};

/// What the simulated engine of a class says of its faults (app/engine/ensemble.h); id: of the class.
struct SimulatedClass : Named {
  struct Stops {
    double never = 0;  // share that never pulls at all
    /// Of those that do, the 5th, 25th, 50th, 75th, 95th percentile of where they stop, as a share of where the same
    /// bike stops healthy; nothing if too few are known.
    std::optional<std::array<double, 5>> at = {};
  };
  struct SimulatedFault {
    std::string fault;
    int draws = 0, failed = 0;            // failed: those that hardly ran, and told no more than that
    std::map<std::string, double> shows;  // finding -> share of the draws; what is left out hardly shows
    Stops in_neutral = {}, in_a_gear = {};
  };
  int draws = 0;
  double seed = 0;
  std::vector<std::string> decides;         // the findings that the physics can tell
  std::map<std::string, double> by_chance;  // finding -> how often two healthy bikes differ as if it showed
  std::vector<SimulatedFault> faults;

  const SimulatedFault* find(const std::string& fault) const;
};

template <class T>
class Shelf {  // things of one kind, by id, in the order they were added
 public:
  const T* find(const std::string& id) const {
    const auto at = index_.find(id);
    return at == index_.end() ? nullptr : &things_[at->second];
  }
  /// Returns the earlier one if the id is taken (and adds nothing).
  const T* add(T thing) {
    const auto [at, fresh] = index_.try_emplace(thing.id, things_.size());
    if (!fresh) return &things_[at->second];
    things_.push_back(std::move(thing));
    return nullptr;
  }
  std::vector<std::string> ids() const {
    std::vector<std::string> all;
    for (const T& t : things_) all.push_back(t.id);
    return all;
  }
  auto begin() const { return things_.begin(); }
  auto end() const { return things_.end(); }
  std::size_t size() const { return things_.size(); }

 private:
  std::vector<T> things_;
  std::map<std::string, std::size_t> index_;
};

struct Knowledge {
  Shelf<Trait> traits;
  Shelf<BikeClass> classes;
  Shelf<Fault> faults;
  Shelf<Finding> findings;
  Shelf<Reading> readings;
  Shelf<Step> steps;
  Shelf<Part> parts;
  Shelf<Tool> tools;
  Shelf<Caution> cautions;
  Shelf<Context> contexts;
  Shelf<Upkeep> upkeep;
  Shelf<Term> terms;
  Shelf<SimulatedClass> simulated;
  std::vector<std::string> jargon;  // single words that an owner need not know, each within some term
};

/// All parts whose hours count, for a fault or for what is due: sorted, each once. With traits: those of such a bike.
std::vector<std::string> parts_that_wear(const Knowledge&);
std::vector<std::string> parts_that_wear(const Knowledge&, const Traits&);

/// Finding -> chance that the fault alone shows it on such a bike, as given by hand: each in causes, and those of a
/// kind in causes_every.
std::map<std::string, double> strengths_by_hand(const Knowledge&, const Fault&, const Traits&);

/// The step's own cautions and those of all parts that must be off for it, each once.
std::vector<std::string> cautions_of(const Knowledge&, const Step&);

/// Reads every .toml file of the folder as one body. Throws BadInput with all problems.
Knowledge load_knowledge(const std::filesystem::path& folder);

/// The same from texts (file name, content): for tests and fuzzing.
Knowledge parse_knowledge(const std::vector<std::pair<std::string, std::string>>& files);

}  // namespace crankwise
