// What a telephone, and the way to it, make of a sound.
#pragma once

#include <vector>

#include "tests/sounds/filters.h"

namespace crankwise::sounds {

struct Phone {
  double echo_s = 0, echo = 0;  // from the ground: how late, how strong
  double high_pass_hz = 80;
  int high_pass_times = 1;  // 12 dB an octave each
  bool agc = false;
  double attack_s = 0.01, release_s = 0.5;
  double clip = 0;         // what is louder than so many times the mean is cut off; 0: nothing
  double low_pass_hz = 0;  // of a codec; 0: none
  double level = 0.1;      // of the whole take in the end (root mean square), full scale 1
};

/// At 8 kHz.
std::vector<float> record(Sound, const Phone&);

}  // namespace crankwise::sounds
