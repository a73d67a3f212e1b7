// A recording off a phone as sound that core/sound can follow.
//
//   const Take take = read_take("VID_2041.mp4");
//   sound::follow(take.signal, engine);            // mono, 8 kHz
//   for (const std::string& note : take.notes) ... // what is odd about it, to be shown
//
// wav, flac, mp3, m4a, aac, ogg, opus, webm, mp4 and mov, of a video its sound; of several channels the loudest one,
// never the sum: channels out of phase cancel out. Decoded by the program crankwise-decode in a process that is shut in
// (edge/audio/decode/shut_in.h), so that a hostile file can do no more than waste the time and memory allowed it here.
// The samples lie in a nameless file in the folder for temporary files, 115 MB an hour and channel: memory stays small.
//
// Throws BadInput, naming the file, if it cannot be used; NotNow, if the file is not to blame: no room, no decoder, or
// a system on which the decoder cannot be shut in (it needs seccomp filters: Linux 3.17): then nothing is decoded at
// all.
#pragma once

#include <cstdint>
#include <filesystem>
#include <functional>
#include <string>
#include <string_view>
#include <vector>

#include "core/sound/signal.h"

namespace crankwise::audio {

struct Limits {
  double seconds = 3600;                     // of sound
  std::int64_t file_bytes = 20'000'000'000;  // an hour of a phone's video
  std::uint64_t memory_bytes = 768u << 20;   // address space of the decoder, its libraries included
  unsigned cpu_s = 240;                      // of the decoder
  double wall_s = 600;
  std::filesystem::path decoder = {};  // empty: the one that was installed or built with this program
  std::filesystem::path scratch = {};  // folder; empty: that for temporary files
};

struct Take {
  sound::Signal signal;  // may be read from several threads; holds the nameless file
  double seconds = 0;
  std::string container, codec;  // mp4, aac
  int source_rate_hz = 0;
  int channels = 1, channel_taken = 0;  // from 0
  double clipped_share = 0;             // of the samples as they were recorded, those at full scale
  double peak = 0;                      // as recorded, full scale 1; lossy codecs go beyond
  double stated_seconds = 0;            // as the file says; 0: it does not
  /// How many times slower than life a video plays, by what the phone wrote into it (1: as it was). Whether the sound
  /// was slowed too is in the notes.
  double slowed = 1;
  std::vector<std::string> notes;  // sentences for the mechanic
};

/// The share done, 0 to 1; what it throws ends the work.
using Progress = std::function<void(double)>;

Take read_take(const std::filesystem::path&, const Limits& = {}, const Progress& = {});
/// Of a file that is open for reading; its offset is neither used nor moved. `name` is for messages.
Take read_take(int fd, const std::string& name, const Limits& = {}, const Progress& = {});
/// Of an upload in memory.
Take read_take_bytes(std::string_view bytes, const std::string& name, const Limits& = {}, const Progress& = {});

}  // namespace crankwise::audio
