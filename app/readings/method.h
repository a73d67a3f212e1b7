// How a reading is brought to what its figures hold for: sea level, 20 C, no hose on the gauge ...
//
//   const Taken taken = taken_of(reading, bike, 138, {{"height", "1400 m"}, {"hose", "3 cm3"}});
//   correct(taken).value;      // 167: what it would have shown at sea level, without the hose
//
// Conditions are those of the test itself, facts of the bike (entered once, as its figures are), or of the shop, which
// holds the same gauge at the same height every day. What nobody told is not corrected for, but makes the reading less
// sure.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "app/inputs/inputs.h"
#include "core/calc/flag.h"
#include "edge/job.h"
#include "edge/units.h"
#include "edge/yardstick.h"

namespace crankwise {

struct AskedCondition {
  enum class Of { test, bike, shop };
  Of of{};
  Input input;
  const char* only_with = "";  // trait of the bike without which it means nothing
};

/// What this reading may be told with; empty if nothing counts.
const std::vector<AskedCondition>& conditions_of(const Reading&);

/// What is worth asking on such a bike: of the test and the shop, but for what is usual here and told already.
std::vector<Input> worth_asking(const Reading&, const Traits&, const Conditions& usual = {});

/// All conditions of one kind over all readings, each once: what a bike or a shop may be told.
std::vector<Input> all_conditions(AskedCondition::Of);

struct Taken {
  const Reading* reading = nullptr;
  const Bike* bike = nullptr;
  double value = 0;  // in the reading's unit
  Inputs at;         // in SI; those of the bike are among them
  Conditions told;

  bool was_told(const std::string& condition) const { return told.count(condition) > 0; }
};

/// Throws BadInput for conditions that are not asked for or cannot be.
Taken taken_of(const Reading&, const Bike&, double value, const Conditions&);

/// The value in the reading's unit, also from units that only its conditions make into one (timing in degrees, with
/// stroke and rod). Nothing if it cannot be had.
std::optional<double> in_unit_of(const Reading&, const Bike&, double value, const std::string& unit, const Conditions&);

/// Does it take other units, if the right conditions are told? And which those are, in words.
bool has_other_units(const Reading&);
std::string what_makes_other_units(const Reading&);

struct Correction {
  double value = 0;                        // as it would be under the conditions that figures hold for
  double log_spread = 0;                   // what the conditions add to the reading's own uncertainty, ln
  std::string reads_as;                    // what it was brought to: "at sea level"; "" if nothing was corrected
  std::vector<std::string> notes;          // what else is to be said
  std::optional<double> most_ratio;        // may move the odds by this at most; 1: it says nothing of itself
  std::optional<ReadingYardstick> worked;  // worked out from facts of the bike: goes before the usual of its kind

  void brought_to(const std::string& words) { reads_as += (reads_as.empty() ? "" : ", ") + words; }
};
Correction correct(const Taken&);

namespace methods {  // by file

struct Method {
  std::vector<AskedCondition> conditions;
  Correction (*correct)(const Taken&);
  /// Of a unit that is not the reading's own kind.
  std::optional<double> (*other_unit)(const Taken&, double si, Quantity) = nullptr;
  const char* other_words = "";  // "degrees, with stroke and rod told"
};

const Method& compression();
const Method& leak_down();
const Method& case_leak();
const Method& winding();
const Method& resistance();
const Method& thermistor();
const Method& tap_flow();
const Method& pump_flow();
const Method& mix();
const Method& vent();
const Method& sensor_volts();
const Method& intake_pressure();
const Method& battery();
const Method& jet();
const Method& timing();
const Method& valve_clearance();
const Method& spark_gap();
const Method& recording();

/// The value with nothing done to it.
Correction as_read(const Taken&);

/// A condition that may be left out, or is `usual` then.
AskedCondition quantity(AskedCondition::Of, const char* id, const char* ask, const char* unit, double low, double high,
                        std::optional<double> usual = {});
/// One in words; the first is taken if it is left out.
AskedCondition choice(AskedCondition::Of, const char* id, const char* ask, std::vector<std::string> words,
                      const char* only_with = "");
/// Height of the place, or a barometer's pressure; and those.
std::vector<AskedCondition> with_height(std::vector<AskedCondition> more);
/// Pressure of the air here, as told or of the standard atmosphere at the height told; nothing if neither was.
std::optional<double> air_pressure(const Taken&);
void add_flags(Correction&, const CalcFlags&);
/// The reading's unit, and SI.
double to_si(const Taken&, double value);
double from_si(const Taken&, double si);

}  // namespace methods
}  // namespace crankwise
