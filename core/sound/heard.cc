#include "core/sound/heard.h"

#include <cassert>
#include <cmath>

namespace crankwise::sound {

Heard listen(const Signal& signal, const Track& track, const Engine& engine) {
  // Idle for bands of speed where the take holds none: *common practice*, of an off-road single.
  constexpr double kUsualIdleRpm = 1700;
  Heard heard;
  heard.seconds = signal.seconds();
  const std::vector<Firing> firings = firings_along(signal, track, engine);
  heard.stretches = stretches_of(track, firings);
  heard.share = engine_share(track, heard.stretches);
  heard.octave = track.octave;
  heard.lines = fixed_lines(signal, track, engine);
  if (heard.share.engine == 0) return heard;

  heard.pass_by = pass_by_of(track);
  heard.bangs = bangs_per_cycle(signal, track, engine);
  heard.idle = idle_of(track, engine);
  const double idle_rpm = heard.idle ? heard.idle->rpm.value : engine.idle_rpm.value_or(0);
  heard.blips = blips_of(track, idle_rpm);

  const std::vector<HalfOrders> half_orders = half_orders_along(signal, track, engine);
  const double least_rpm = kAboveIdle * (idle_rpm > 0 ? idle_rpm : kUsualIdleRpm);
  heard.second = second_engine(signal, track, engine, firings);
  heard.weak = weak_by_speed(firings, least_rpm);
  heard.alternations = alternation_by_speed(half_orders, least_rpm);
  for (WeakBand& band : heard.weak)
    for (const AlternationBand& by_turns : heard.alternations)
      if (by_turns.from_rpm == band.from_rpm && by_turns.is && by_turns.is->regular) band.weak = Why::alternates;
  heard.ceiling = ceiling_of(track, firings, half_orders);
  return heard;
}

Track taken_as(Track track, double times) {
  assert(times > 0);
  for (Frame& f : track.frames) {
    f.rpm = static_cast<float>(f.rpm * times);
    f.sigma_rpm = static_cast<float>(f.sigma_rpm * times);
  }
  track.octave = Octave::settled;
  track.other = 1;
  return track;
}

}  // namespace crankwise::sound
