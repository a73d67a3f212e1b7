// Weak and missing firings, and firing every second time, by speed.
#pragma once

#include <vector>

#include "core/sound/answer.h"
#include "core/sound/pulses.h"
#include "core/sound/spread.h"

namespace crankwise::sound {

inline constexpr double kBandRpm = 1000;

/// Below this many times the idle a healthy single fires so unevenly that weak firings mean nothing.
inline constexpr double kAboveIdle = 1.3;

/// Of the firings 6 dB and more below their neighbours. A lower bound: ringing fills gaps at speed.
struct WeakShare {
  Share seen;
  /// So many would be, if firings spread as far below the usual as above it: uneven burning, noise, a second sound.
  double by_scatter = 0;
  /// Firings fail beyond that: the share is surely more than scatter makes, by a hundredth and a half again.
  bool more_than_scatter() const { return seen.low > 1.5 * by_scatter + 0.01; }
};
struct WeakBand {
  double from_rpm = 0, to_rpm = 0;
  Answer<WeakShare> weak = Why::too_few_firings;
};

/// Of sure firings between two speeds.
Answer<WeakShare> weak_share(const std::vector<Firing>&, double from_rpm, double to_rpm);

/// By bands of kBandRpm, from `least_rpm` on; bands without a sure firing are left out.
std::vector<WeakBand> weak_by_speed(const std::vector<Firing>&, double least_rpm);

/// Every second firing is weak, regularly: a rich two-stroke's four-stroking; of a four-stroke a misfire of every
/// second cycle. What stands at half orders of the sound, against its whole orders, over what stands at quarter orders
/// (or at eighths, where the sound repeats every fourth firing).
struct Alternation {
  double half_db = 0;   // power at k + 1/2 against k and k + 1, up to order 8
  double floor_db = 0;  // that at quarters or eighths
  double sigma_db = 0;  // of half - floor
  double over_db() const { return half_db - floor_db; }
  bool regular = false;  // half - floor > 4 dB and half > -12 dB, with room for chance
  double weaker = 1;     // strength of the weaker firing over the stronger, as amplitude; an estimate
};
struct AlternationBand {
  double from_rpm = 0, to_rpm = 0;
  Answer<Alternation> is = Why::too_short;
};

/// What half and other orders say around one moment.
struct HalfOrders {
  double at_s = 0, rpm = 0;
  double half_db = 0, quarter_db = 0, eighth_db = 0;
};
/// At sure moments, as far apart as half of what each looks at (16 cycles).
std::vector<HalfOrders> half_orders_along(const Signal&, const Track&, const Engine&);

Answer<Alternation> alternation(const std::vector<HalfOrders>&, double from_rpm, double to_rpm);
std::vector<AlternationBand> alternation_by_speed(const std::vector<HalfOrders>&, double least_rpm);

}  // namespace crankwise::sound
