// Small filters on whole sounds. Rates in Hz; frequencies must be below half the rate.
#pragma once

#include <vector>

namespace crankwise::sounds {

inline constexpr double kInsideHz = 32000;  // the rate at which sounds are made

using Sound = std::vector<double>;

/// Mean square.
double power(const Sound&);
void add(Sound& to, const Sound&, double gain);

/// Band pass of gain 1 at its middle (Bristow-Johnson, Audio EQ Cookbook).
Sound resonance(const Sound&, double hz, double q);
/// Butterworth, 12 dB an octave, once or more often.
Sound high_pass(Sound, double hz, int times = 1);
Sound low_pass(Sound, double hz, int times = 1);

/// From kInsideHz to 8 kHz; above 4 kHz at least 80 dB down, flat to 3.6 kHz (Kaiser window).
std::vector<float> to_8_khz(const Sound&);

}  // namespace crankwise::sounds
