// A take as a file that every program reads.
#pragma once

#include <string>
#include <vector>

namespace crankwise::bench {

/// RIFF, 16 bit, mono, 8 kHz; what is beyond full scale is cut off.
std::string wav_of(const std::vector<float>& samples);

}  // namespace crankwise::bench
