// Sounds out of the files in which games keep them. Bytes in, the bytes of one sound out. All throw std::runtime_error
// if the file is not of its kind, ends too early or has no such sound.
#pragma once

#include <cstddef>
#include <string>

#include "tests/sounds/filters.h"

namespace crankwise::sounds {

/// A set of sounds of OpenTTD (.cat): a table of offsets and lengths, and each sound a name and a RIFF file.
std::string out_of_cat(const std::string& bytes, std::size_t index);

/// A sound of a Doom .wad: 8 bit without a header of its own, given back as a RIFF file.
std::string out_of_wad(const std::string& bytes, const std::string& lump);

/// A file of X-Moto's xmoto.bin, by its name there.
std::string out_of_bin(const std::string& bytes, const std::string& name);

/// RIFF, 16 bit, mono: its samples, full scale 1, and its rate.
struct Pcm {
  Sound samples;
  double rate_hz = 0;
};
Pcm pcm_of(const std::string& riff);

}  // namespace crankwise::sounds
