#include "edge/audio/decode/ends.h"

#include <algorithm>
#include <array>
#include <string_view>
#include <vector>

namespace crankwise::audio {
namespace {

constexpr int kMostChunks = 1000;
constexpr std::int64_t kOggPage = 65307;  // the longest

std::string_view text_of(const std::vector<std::uint8_t>& bytes, std::size_t from, std::size_t count) {
  return std::string_view(reinterpret_cast<const char*>(bytes.data()), bytes.size()).substr(from, count);
}

/// As many as are there.
std::vector<std::uint8_t> read(const Source& source, std::int64_t from, std::int64_t count) {
  std::vector<std::uint8_t> bytes(static_cast<std::size_t>(std::max<std::int64_t>(count, 0)));
  std::size_t got = 0;
  while (got < bytes.size()) {
    const auto more = source.read(from + static_cast<std::int64_t>(got), std::span(bytes).subspan(got));
    if (more <= 0) break;
    got += static_cast<std::size_t>(more);
  }
  bytes.resize(got);
  return bytes;
}

std::int64_t little(const std::vector<std::uint8_t>& bytes, std::size_t from) {
  std::int64_t value = 0;
  for (std::size_t i = 4; i-- > 0;) value = value << 8 | bytes[from + i];
  return value;
}

}  // namespace

std::int64_t promised_wav_bytes(const Source& source) {
  std::int64_t at = 12;
  for (int i = 0; i < kMostChunks && at < source.bytes; ++i) {
    const auto head = read(source, at, 8);
    if (head.size() < 8) return 0;
    const std::int64_t bytes = little(head, 4);
    // A recorder that did not know the length yet leaves 0 or all ones.
    if (text_of(head, 0, 4) == "data") return bytes >= 0xffff'ff00 ? 0 : bytes;
    at += 8 + bytes + bytes % 2;
  }
  return 0;
}

bool ogg_has_end(const Source& source) {
  const std::int64_t from = std::max<std::int64_t>(0, source.bytes - 2 * kOggPage);
  const auto tail = read(source, from, source.bytes - from);
  const auto page = text_of(tail, 0, tail.size()).rfind("OggS");
  if (page == std::string_view::npos || page + 27 > tail.size()) return false;
  const std::size_t segments = tail[page + 26];
  std::size_t end = page + 27 + segments;
  if (end > tail.size()) return false;
  for (std::size_t i = 0; i < segments; ++i) end += tail[page + 27 + i];
  return end <= tail.size() && (tail[page + 5] & 4) != 0;
}

}  // namespace crankwise::audio
