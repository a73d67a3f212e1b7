#include "app/readings/appraise.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>

#include "app/readings/history.h"

namespace crankwise {
namespace {

constexpr double k90 = 1.6449;  // standard normal: 90 % lie within

struct OwnFigure {
  std::optional<ReadingYardstick> yardstick;
  std::string other_way;  // a condition in words that differs: then nothing can be compared
};

/// The bike's own figure brought to the same as the reading. A handbook's without conditions holds as it stands; a
/// baseline without them was taken as the reading was.
OwnFigure own_corrected(const Reading& r, const Bike& bike, const Taken& taken) {
  OwnFigure own{own_yardstick(r, bike), ""};
  const Figure* f = own_figure(r, bike);
  if (!own.yardstick || f == nullptr || (f->at.empty() && !f->baseline)) return own;
  ReadingYardstick& y = *own.yardstick;
  if (y.from == FigureFrom::handbook && bike.tables.count(r.id) > 0) return own;
  const Conditions at = f->at.empty() ? taken.told : f->at;
  const auto at_end = [&](double end) { return taken_of(r, bike, end, at); };
  for (const AskedCondition& c : conditions_of(r)) {
    const bool compared = !c.input.choices.empty() && c.of == AskedCondition::Of::test && c.input.id != "kick";
    if (compared && at_end(y.low).at.word(c.input.id) != taken.at.word(c.input.id)) own.other_way = c.input.id;
  }
  ReadingYardstick brought = y;
  const auto corrected = [&](double end) { return correct(at_end(end)).value; };
  if (y.middle_told) {
    const double middle = std::sqrt(y.low * y.high), factor = corrected(middle) / middle;
    brought.low *= factor, brought.high *= factor;
  } else {
    brought.low = corrected(y.low), brought.high = corrected(y.high);
  }
  // A figure beyond what its conditions leave (a case that was empty within the minute) stays as it was told.
  if (0 < brought.low && brought.low < brought.high) y = brought;
  return own;
}

/// Weights of a value held against a yardstick.
void weigh(Appraised& a, const Reading& r, double most_ratio) {
  Yardstick healthy = a.held_against->healthy();
  healthy.most_ratio = std::min(healthy.most_ratio, most_ratio);
  const double spread = std::hypot(a.spread.instrument, a.spread.condition);
  const ReadingWeight low =
      weigh_reading(a.corrected, healthy, a.held_against->wrong_below.value_or(r.wrong_below), spread);
  const ReadingWeight high =
      weigh_reading(a.corrected, healthy, a.held_against->wrong_above.value_or(r.wrong_above), spread);
  if (!r.below.empty() && r.below == r.above) {
    // "Off its figure", either way: wrong ones lie on both sides alike.
    a.weights.push_back({r.below, (low.ratio() + high.ratio()) / 2, 1});
    return;
  }
  if (!r.below.empty()) a.weights.push_back({r.below, low.if_so, low.if_not});
  if (!r.above.empty()) a.weights.push_back({r.above, high.if_so, high.if_not});
}

std::string number(double v) { return v >= 1000 ? fmt::format("{:.0f}", v) : fmt::format("{:.3g}", v); }

}  // namespace

double Uncertainty::all() const { return std::hypot(instrument, condition, range); }

Appraised appraise(const Reading& r, const Took& took, const Bike& bike, const std::vector<PastReading>& earlier) {
  constexpr double kOpenSure = 0.98, kOpenFalse = 0.02;  // bad contact of the probes; common practice
  Appraised a;
  a.open = took.open;
  const bool open_apart = !r.open.empty() && r.open != r.below && r.open != r.above;
  if (took.open) {
    if (r.open.empty()) throw BadInput({"", 0, r.id, "cannot be open", "a value in " + r.unit});
    a.weights.push_back({r.open, kOpenSure, kOpenFalse});
    return a;
  }
  if (open_apart) a.weights.push_back({r.open, kOpenFalse, kOpenSure});
  const auto value = in_unit_of(r, bike, took.value, took.unit, took.at);
  if (!value) throw BadInput({"", 0, r.id, fmt::format("{} does not measure it", took.unit), "a unit like " + r.unit});
  a.value = *value;
  const Taken taken = taken_of(r, bike, *value, took.at);
  const Correction c = correct(taken);
  a.corrected = c.value, a.reads_as = c.reads_as, a.notes = c.notes;
  a.spread.instrument = r.spread, a.spread.condition = c.log_spread;
  const OwnFigure own = own_corrected(r, bike, taken);
  a.held_against = own.yardstick ? own.yardstick : c.worked ? c.worked : yardstick_for(r, bike, taken.told);
  constexpr double kHardly = 2;
  a.handicapped = c.most_ratio.value_or(kHardly) < kHardly;
  if (c.most_ratio.value_or(kHardly) <= 1) a.not_compared = "only to be compared with one taken the usual way";
  if (!own.other_way.empty()) a.not_compared = fmt::format("its own figure was taken with another {}", own.other_way);
  if (!a.not_compared.empty()) a.held_against.reset();
  if (a.held_against) {
    a.spread.instrument = a.held_against->spread_of(r);
    a.spread.range = std::log(a.held_against->high / a.held_against->low) / (2 * k90);
    weigh(a, r, c.most_ratio.value_or(a.held_against->most_ratio));
  }
  add_history(a, r, taken, earlier);
  return a;
}

std::string in_words(const ReadingYardstick& y, const Reading& r) {
  const std::string range =
      y.middle_told ? number(std::sqrt(y.low * y.high)) : fmt::format("{} to {}", number(y.low), number(y.high));
  return fmt::format("{}{} ({})", range, r.unit == "number" ? "" : " " + r.unit, y.words);
}

std::string in_words(const Uncertainty& u) {
  std::vector<std::string> parts;
  const auto part = [&](const char* what, double s) {
    if (s >= 0.005)
      parts.push_back(s < 0.35 ? fmt::format("{} {:.0f} %", what, 100 * s)
                               : fmt::format("{} a factor of {:.2g}", what, std::exp(s)));
  };
  part("instrument and hand", u.instrument), part("conditions", u.condition), part("what it is held against", u.range);
  constexpr double kWide = 0.35;
  const std::string all = u.all() < kWide ? fmt::format("give or take {:.0f} %", 100 * u.all())
                                          : fmt::format("good to a factor of {:.2g}", std::exp(u.all()));
  return fmt::format("{}: {}", all, fmt::join(parts, ", "));
}

std::string in_words(const Appraised& a, const Reading& r) {
  if (a.open) return "open circuit";
  const auto with = [&](const std::string& n) { return r.unit == "number" ? n : n + " " + r.unit; };
  std::string words = with(a.value >= 1000 ? fmt::format("{:.0f}", a.value) : fmt::format("{:.4g}", a.value));
  if (!a.reads_as.empty()) words += " reads as " + with(number(a.corrected)) + " " + a.reads_as;
  if (!a.held_against) return words;
  const ReadingYardstick& y = *a.held_against;
  const double middle = std::sqrt(y.low * y.high);
  if (y.middle_told) {
    const double off = 100 * (a.corrected / middle - 1);
    const std::string lies =
        std::abs(off) < 0.5 ? "the same" : fmt::format("{:.0f} % {}", std::abs(off), off < 0 ? "down" : "up");
    return fmt::format("{}; {} {}: {}", words, y.words, with(number(middle)), lies);
  }
  const std::string lies = a.corrected < y.low    ? fmt::format("{:.0f} % under it", 100 * (1 - a.corrected / y.low))
                           : a.corrected > y.high ? fmt::format("{:.0f} % over it", 100 * (a.corrected / y.high - 1))
                                                  : "within it";
  return fmt::format("{}; {} {} to {}: {}", words, y.words, number(y.low), with(number(y.high)), lies);
}

}  // namespace crankwise
