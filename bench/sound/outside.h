// Trackers of pitch by others, from Debian, on the same takes: aubio's yinfft (de Cheveigne and Kawahara 2002; Brossier
// 2006), SWIPE' of SPTK (Camacho and Harris 2008) and Praat's autocorrelation with its path (Boersma 1993). They run as
// programs of their own; what they call pitch is taken as the firing rate.
#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "bench/sound/take.h"

namespace crankwise::bench {

/// One tracker at one setting of its window; which one is best is seen when all takes are done.
struct Outside {
  std::string tracker;  // "yinfft"
  std::string setting;  // "2048"
};

/// Every setting of every tracker that is installed.
std::vector<Outside> outside_trackers();
/// What is missing, a sentence each with the package that has it.
std::vector<std::string> outside_missing();

/// Tries it within the engine's legal speeds. `scratch` is a folder for files. Throws std::runtime_error with what the
/// program said if it fails.
std::vector<Said> listen(const Outside&, const SoundTake&, const std::filesystem::path& scratch);

}  // namespace crankwise::bench
