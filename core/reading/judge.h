// A number from a gauge or meter as evidence.
//
// Healthy values spread around a middle (log-normal: own baseline narrow, class range wide); wrong ones around a factor
// of it. The reading's own spread (instrument, hand, condition) widens both. The answer is not a verdict but how
// probable the value is if the finding "too low" (or "too high") is so, and if it is not. A reading that barely fails
// moves belief barely; beyond the two middles nothing more is made of it; and the ratio is held to what the yardstick
// can carry.
#pragma once

namespace crankwise {

struct Yardstick {
  double middle = 1;        // healthy median, same unit as the value, above 0
  double log_spread = 0.1;  // standard deviation of ln(healthy value)
  double most_ratio = 20;   // the reading may move the odds by this factor at most
};

/// Class range or handbook range [low, high] holding 90 % of the healthy ones. 0 < low < high.
Yardstick from_range(double low, double high, double most_ratio);

struct ReadingWeight {
  double if_so = 1;  // on any common scale
  double if_not = 1;
  double ratio() const { return if_so / if_not; }
};

/// How far readings of wrong ones spread about their own middle, that of the gauge included, ln: a quarter, or six
/// tenths of the way to it where that is less; never less than healthy ones do. *Common practice*, wide.
double wrong_spread(double wrong_factor, double log_reading_spread, double healthy_spread);

/// `wrong_factor`: where a wrong one lies on the healthy middle; below 1 for "too low", above 1 for "too high".
/// `log_reading_spread`: of the reading itself. value > 0; a value of 0 counts as far out on its side.
ReadingWeight weigh_reading(double value, const Yardstick&, double wrong_factor, double log_reading_spread);

/// What a reading tells once it is cut into "so" and "not so" where it speaks for neither: how often it comes out as
/// "so" if that is so, and if it is not; both within what the yardstick can carry. A factor of 0: nothing lies on that
/// side.
struct ReadingRates {
  double so_if_so = 1;
  double so_if_not = 1;
};
ReadingRates rates_of_reading(const Yardstick&, double wrong_below, double wrong_above, double log_reading_spread);

}  // namespace crankwise
