// Two takes of the same sort, before and after a repair: what changed, and whether that is more than chance.
//
//   for (const Change& c : compare(before, after)) if (c.real()) say(in_words(c));
//   // "the rev ceiling rose from 8,300 +- 80 to 11,200 +- 90 rpm"
#pragma once

#include <string>
#include <vector>

#include "core/sound/heard.h"
#include "core/sound/pull.h"

namespace crankwise::sound {

struct Change {
  enum class Of {
    ceiling_rpm,
    idle_rpm,
    idle_wander,    // share of the speed
    rise_s,         // median of the blips
    hang_s,         // likewise
    weak_share,     // of the firings in one band of speed
    half_order_db,  // over its floor, in one band of speed
    road_w,         // at the peak; before and after on the same strip, what both takes share left out
  };
  Of of{};
  double from_rpm = 0, to_rpm = 0;  // of a band
  Value before, after;

  double difference() const { return after.value - before.value; }
  double sigma() const;
  /// Farther apart than 2.58 sigma: by chance alone it would be so once in a hundred times (normal).
  bool real() const;
};

/// What both takes tell, in the order above. Bands: those of both.
std::vector<Change> compare(const Heard& before, const Heard& after);

/// Of the same bike with the same setup on the same strip. `strip_share`: how far two runs there differ by wind, line
/// and rider, standard uncertainty of one; 4 % is *common practice*.
Change compare(const Pull& before, const Pull& after, double strip_share = 0.04);

/// A measure that only one of the takes tells, and why the other does not.
struct OneSided {
  Change::Of of{};
  bool told_before = false;
  Why why_not{};
};
std::vector<OneSided> one_sided(const Heard& before, const Heard& after);

/// "the rev ceiling rose from 8,300 +- 80 to 11,200 +- 90 rpm", or "... did not change beyond what chance does: ...".
std::string in_words(const Change&);

}  // namespace crankwise::sound
