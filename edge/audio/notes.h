// What is odd about a recording, in sentences: its rate, its length, its speed, what is missing.
#pragma once

#include <string>
#include <vector>

#include "edge/audio/wire/facts.h"

namespace crankwise::audio {

/// Times slower than life that the video plays, by capture and play-back rate; 1 where they agree within 3 % or are not
/// both known.
double slowed(const Facts&);

/// `taken`: the channel.
std::vector<std::string> notes_of(const Facts&, std::size_t taken);

}  // namespace crankwise::audio
