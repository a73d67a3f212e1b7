// What the decoder, a process of its own, tells of a recording; and how it tells it.
//
// Down its pipe go records: a Head, then `bytes` of payload.
//   channels   one byte: how many channels every block of samples has, once and first
//   samples    blocks of 32-bit floats at 8 kHz, all of the first channel, then all of the second ...
//   progress   one double, the share done
//   facts      JSON: the end, all is well
//   refusal    JSON: the end, the file is no good
//   no_cage    text: the end, the decoder could not shut itself in, and has not looked at the file
// Whoever reads them must take them for what a hostile file may have made of the decoder: nothing is trusted.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace crankwise::audio {

enum class Record : std::uint32_t { channels = 1, samples, progress, facts, refusal, no_cage };

struct Head {
  Record record = Record::facts;
  std::uint32_t bytes = 0;
};

inline constexpr int kMostChannels = 16;
inline constexpr std::size_t kBlock = 8192;      // samples a channel in a record, at the most
inline constexpr std::size_t kMostText = 65536;  // bytes of JSON or text

// What would be right instead of a file that is no recording, and of one that is damaged.
inline constexpr const char* kRight = "a recording as wav, flac, mp3, m4a, aac, ogg, opus, webm, mp4 or mov";
inline constexpr const char* kWhole = "the whole file, copied again from the phone";

struct Channel {
  double mean_square = 0;    // at 8 kHz, without its mean; full scale 1
  double peak = 0;           // at the file's own rate
  double clipped_share = 0;  // of its samples at the file's own rate, those within 0.1 % of full scale or beyond
};

struct Facts {
  std::string container, codec;  // in plain words: mp4, aac
  int source_rate_hz = 0;        // by which the samples were read
  double header_rate_hz = 0;     // by the bytes a second that a wav header states; 0: it states none
  std::vector<Channel> channels = {};
  double seconds = 0;         // of sound decoded
  double stated_seconds = 0;  // of sound, as the container says; 0: it does not
  double starts_s = 0;        // of the first sound after the first picture; below 0: before it
  int sound_tracks = 1;
  double picture_seconds = 0;  // 0: no picture
  double picture_fps = 0;      // as played
  double capture_fps = 0;      // as taken; 0: not said
  double gaps_s = 0;           // left out between packets, by their time stamps
  std::int64_t packets = 0, bad_packets = 0;
  bool ends_in_error = false;     // could not be read to its end, or lacks the mark that it is the end
  bool changes = false;           // rate or number of channels change on the way
  std::int64_t wild_samples = 0;  // no numbers, or absurdly large
};

struct Refusal {
  std::string wrong, right;
};

std::string text_of(const Facts&);
std::string text_of(const Refusal&);
/// Nothing if the text is not such a thing, or its numbers make no sense.
std::optional<Facts> facts_of(std::string_view text);
std::optional<Refusal> refusal_of(std::string_view text);

}  // namespace crankwise::audio
