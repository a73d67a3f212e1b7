// What a reading is held against on one bike.
//
//   const auto y = yardstick_for(compression, bike);    // {baseline, "own baseline", 179, 201, 30}
//   weigh_reading(value, y->healthy(), reading.wrong_below, spread);
#pragma once

#include <map>
#include <optional>
#include <string>

#include "core/belief/belief.h"
#include "core/reading/judge.h"
#include "edge/job.h"
#include "edge/knowledge.h"

namespace crankwise {

enum class FigureFrom { baseline, handbook, worked, kind };

struct ReadingYardstick {
  FigureFrom from{};
  std::string words;
  double low = 0, high = 0;                                  // healthy range, in the reading's unit
  double most_ratio = 1;                                     // how far one reading may move the odds
  std::optional<double> wrong_below = {}, wrong_above = {};  // where wrong ones lie, if not where the reading's do
  bool middle_told = false;  // a single value was told, and the range is what a healthy bike strays from it
  Yardstick healthy() const { return from_range(low, high, most_ratio); }
  /// Of instrument and hand: those of a baseline are the same again, so what they are always out by cancels.
  double spread_of(const Reading& r) const { return from == FigureFrom::baseline ? kSameHand * r.spread : r.spread; }
  static constexpr double kSameHand = 0.5;  // common practice
};

/// Its baseline, or else the figure of its handbook; null if it has neither.
const Figure* own_figure(const Reading&, const Bike&);

/// The same as a yardstick; the table of its own sensor (at 20 C) goes before the handbook's figure.
std::optional<ReadingYardstick> own_yardstick(const Reading&, const Bike&);

/// Own baseline, then handbook figure, then the usual range of its kind. `told`: conditions of the reading, on which
/// the last may depend. Nothing: nobody gave a figure, and nothing is judged.
std::optional<ReadingYardstick> yardstick_for(const Reading&, const Bike&, const Conditions& told = {});

/// Of every reading that applies to the bike, by id; none where nobody gave a figure.
using Yardsticks = std::map<std::string, ReadingYardstick>;
Yardsticks yardsticks_of(const Knowledge&, const Bike&);

/// How surely the readings of such a bike tell whether a finding of kind "measured" is so; nothing if none can, for
/// want of a figure.
std::optional<AnswerRates> rates_by_readings(const Knowledge&, const Finding&, const Traits&, const Yardsticks&);

}  // namespace crankwise
