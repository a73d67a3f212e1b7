// How well each firing rate explains the sound around a moment, by three judges that fail in different places:
//
//   lag       the sound is like itself one firing later, and less so after a half or a third of that (the
//   autocorrelation
//             of the square root of the power: Tolonen and Karjalainen 2000, from memory);
//   comb      there is more in the spectrum at whole multiples of the rate than between them (with odd and
//   between-teeth
//             terms as in SWIPE', Camacho and Harris 2008, from memory);
//   envelope  the loudness of the upper sound is like itself one firing later: idles, and phones that cut the lows.
//
// Each rate is judged in a window of about six of its periods.
#pragma once

#include <span>
#include <vector>

#include "core/calc/cycle.h"
#include "core/sound/bank.h"
#include "core/sound/signal.h"

namespace crankwise::sound {

class Evidence {
 public:
  Evidence(const Grid&, Cycle);

  /// Rows of grid.size values, one for each hop (core/sound/track.h), the first at hop `first`: about 1 for a clean
  /// engine at its rate, about 0 or less elsewhere. Does not depend on where the calls cut the take.
  void rows(const Signal&, std::int64_t first, std::span<float> out);

 private:
  /// The rates from `first` up to `last`, judged every `stride` hops and evenly between.
  struct Bank {
    int first, last, stride, halvings;
    Spectrum sound, envelope;
    LagJudge lag, envelope_lag;
    CombJudge comb;
  };
  void judge(Bank&, std::span<const float> sound, std::span<const float> envelope, std::int64_t middle,
             std::span<float> row);

  Grid grid_;
  std::vector<Bank> banks_;
};

}  // namespace crankwise::sound
