#include "core/sound/octave.h"

#include <algorithm>
#include <vector>

namespace crankwise::sound {
namespace {

constexpr double kUpTwoStrokeDb = 5, kUpFourStrokeDb = 12, kDoubtDb = 1.6, kThirds = 0.6, kNoHalves = 0.3;
constexpr double kDownTwoStroke = 0.85, kDownFourStroke = 0.45;  // height of half orders on that of whole ones

template <typename Of>
double median(std::span<const OrderSigns> signs, Of of) {
  std::vector<float> values;
  values.reserve(signs.size());
  for (const OrderSigns& s : signs) values.push_back(of(s));
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  return static_cast<double>(*middle);
}

}  // namespace

OctaveVerdict judge_octave(const Engine& engine, std::span<const OrderSigns> signs, double least_rpm, double most_rpm) {
  if (signs.empty()) return {};
  const bool two = engine.cycle == Cycle::two_stroke;
  const auto fits = [&](double factor) {
    return most_rpm * factor <= engine.rpm_max * 1.03 && least_rpm * factor >= engine.rpm_min * 0.97;
  };
  OctaveVerdict verdict;
  double most_db = 0, multiple = 1;
  for (size_t i = 0; i < OrderSigns::kMultiples.size(); ++i) {
    const double db = median(signs, [i](const OrderSigns& s) { return s.repeats_more[i]; });
    if (db > most_db && fits(OrderSigns::kMultiples[i])) most_db = db, multiple = OrderSigns::kMultiples[i];
  }
  if (most_db > (two ? kUpTwoStrokeDb : kUpFourStrokeDb)) return {multiple, false, 1};
  const double half = median(signs, [](const OrderSigns& s) { return s.half; });
  const double quarter = median(signs, [](const OrderSigns& s) { return s.quarter; });
  const double third = median(signs, [](const OrderSigns& s) { return s.third; });
  const auto height_of = [quarter](double db) { return quarter < -1 ? (db - quarter) / -quarter : 0; };
  const double height = height_of(half);
  if (height > (two ? kDownTwoStroke : kDownFourStroke) && fits(0.5)) return {0.5, false, 1};
  // Weak firings between, and the path took three of the long cycles for two firings.
  if (height_of(third) > std::max(kThirds, height) && fits(2.0 / 3)) return {2.0 / 3, false, 1};
  // Of nothing else that was heard, made or real, do the multiples stand out so; but it may be the sound's own shape.
  if (two && most_db > kDoubtDb)
    return height < kNoHalves ? OctaveVerdict{multiple, true, 1 / multiple} : OctaveVerdict{1, true, multiple};
  return verdict;
}

}  // namespace crankwise::sound
