// The takes that the bench plays.
#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "bench/sound/take.h"
#include "tests/sounds/case.h"

namespace crankwise::bench {

SoundTake made_take(sounds::Set, const std::string& name);

/// Real recordings and real bangs, from packages fetched into the cache. What cannot be had is told on standard error
/// and left out.
std::vector<SoundTake> real_takes(const std::filesystem::path& labels, const std::filesystem::path& cache);

}  // namespace crankwise::bench
