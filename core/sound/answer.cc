#include "core/sound/answer.h"

namespace crankwise::sound {

const char* in_words(Why why) {
  switch (why) {
    case Why::no_engine:
      return "no engine was heard well enough";
    case Why::octave_open:
      return "the speed may be a multiple or a part of what was found; the idle or the top speed would settle it";
    case Why::too_short:
      return "the take is too short for this";
    case Why::no_idle:
      return "the engine does not idle in this take";
    case Why::idle_unknown:
      return "the idle is not known, so it cannot be said when it was reached";
    case Why::no_blip:
      return "the throttle was not blipped in this take";
    case Why::next_blip_first:
      return "the next blip came before the engine had settled";
    case Why::ended_first:
      return "the take ended before the engine had settled";
    case Why::never_fell:
      return "the speed did not fall far enough to be judged";
    case Why::not_chopped:
      return "the fall is not that of a closed throttle";
    case Why::not_passing:
      return "the bike does not pass by";
    case Why::one_speed_only:
      return "at one speed alone it cannot be told from an echo";
    case Why::not_held_at_top:
      return "the engine was not held at its highest speed; the peak of a blip is no ceiling";
    case Why::never_rose_to_it:
      return "the speed was much the same all along; a ceiling shows when the engine rises to it";
    case Why::too_few_firings:
      return "too few firings were heard for a share";
    case Why::firings_hidden:
      return "noise or ringing fills the gap that a missing firing would leave";
    case Why::alternates:
      return "every second firing is weak here, so none stands out from its neighbours";
    case Why::fires_unevenly:
      return "the engine fires so unevenly that its own sound would hide another";
    case Why::passing:
      return "the bike passes by, so every speed is false by Doppler";
    case Why::two_engines:
      return "a second engine is heard, and which of them it is cannot be known";
    case Why::another_shape:
      return "its top has another shape";
    case Why::between_the_shapes:
      return "what is heard at the top fits no one shape";
    case Why::no_pull:
      return "no steady pull was heard in this take";
    case Why::rises_too_fast:
      return "the engine rises faster than the bike could in this gear: clutch, spinning wheel or free revving";
    case Why::never_flattens:
      return "it still pulled when the pull ended";
    case Why::not_in_both:
      return "only one of the two takes tells this";
  }
  return "";
}

}  // namespace crankwise::sound
