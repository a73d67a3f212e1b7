#include "tests/sounds/archives.h"

#include <cstdint>
#include <stdexcept>

namespace crankwise::sounds {
namespace {

/// Reads on from a place; little-endian.
class Reader {
 public:
  explicit Reader(const std::string& bytes, std::size_t at = 0) : bytes_(bytes), at_(at) {}

  std::uint32_t number(int size) {
    std::uint32_t out = 0;
    const std::string part = text(static_cast<std::size_t>(size));
    for (int i = size; i-- > 0;) out = out << 8 | static_cast<unsigned char>(part[static_cast<std::size_t>(i)]);
    return out;
  }
  std::string text(std::size_t size) {
    if (at_ > bytes_.size() || size > bytes_.size() - at_) throw std::runtime_error("the file ends too early");
    at_ += size;
    return bytes_.substr(at_ - size, size);
  }
  /// A byte with its length before it.
  std::string named() { return text(number(1)); }
  bool ended() const { return at_ >= bytes_.size(); }

 private:
  const std::string& bytes_;
  std::size_t at_;
};

std::string little(std::uint32_t value, int size) {
  std::string out;
  for (int i = 0; i < size; ++i) out += static_cast<char>(value >> (8 * i) & 0xff);
  return out;
}

}  // namespace

std::string out_of_cat(const std::string& bytes, std::size_t index) {
  constexpr std::uint32_t kOffset = 0x7fffffff;  // the highest bit says that names go with the sounds
  const std::size_t sounds = (Reader(bytes).number(4) & kOffset) / 8;
  if (index >= sounds) throw std::runtime_error("no such sound");
  Reader entry(bytes, 8 * index);
  const std::uint32_t offset = entry.number(4) & kOffset, length = entry.number(4);
  Reader sound(bytes, offset);
  sound.named();
  const std::string riff = sound.text(length);
  if (riff.compare(0, 4, "RIFF") != 0) throw std::runtime_error("no RIFF file where one should be");
  return riff;
}

std::string out_of_wad(const std::string& bytes, const std::string& lump) {
  Reader head(bytes);
  if (head.text(4).substr(1) != "WAD") throw std::runtime_error("not a WAD");
  const std::uint32_t lumps = head.number(4);
  Reader directory(bytes, head.number(4));
  for (std::uint32_t i = 0; i < lumps; ++i) {
    const std::uint32_t offset = directory.number(4);
    directory.number(4);
    const std::string name = directory.text(8);
    if (name.substr(0, name.find('\0')) != lump) continue;
    Reader sound(bytes, offset);
    if (sound.number(2) != 3) throw std::runtime_error("not a sound: " + lump);
    const std::uint32_t rate = sound.number(2), samples = sound.number(4);
    return "RIFF" + little(36 + samples, 4) + "WAVEfmt " + little(16, 4) + little(1, 2) + little(1, 2) +
           little(rate, 4) + little(rate, 4) + little(1, 2) + little(8, 2) + "data" + little(samples, 4) +
           sound.text(samples);
  }
  throw std::runtime_error("no such lump: " + lump);
}

std::string out_of_bin(const std::string& bytes, const std::string& name) {
  Reader in(bytes);
  if (in.text(3) != "XBI") throw std::runtime_error("not of X-Moto");
  in.text(1);
  in.named();  // checksum of the whole
  while (!in.ended()) {
    const std::string found = in.named();
    in.named();  // checksum
    const std::string file = in.text(in.number(4));
    if (found == name) return file;
  }
  throw std::runtime_error("no such file: " + name);
}

Pcm pcm_of(const std::string& riff) {
  Reader in(riff);
  if (in.text(4) != "RIFF") throw std::runtime_error("not RIFF");
  in.text(8);
  Pcm out;
  while (!in.ended()) {
    const std::string name = in.text(4);
    const std::string chunk = in.text(in.number(4));
    Reader part(chunk);
    if (name == "fmt ") {
      const std::uint32_t kind = part.number(2), channels = part.number(2);
      out.rate_hz = part.number(4);
      part.text(6);
      if (kind != 1 || channels != 1 || part.number(2) != 16) throw std::runtime_error("not 16 bit mono");
    } else if (name == "data") {
      for (std::size_t i = 0; i < chunk.size() / 2; ++i) {
        out.samples.push_back(static_cast<double>(static_cast<std::int16_t>(part.number(2))) / 32768);
      }
    }
  }
  if (out.rate_hz <= 0 || out.samples.empty()) throw std::runtime_error("a RIFF file without sound");
  return out;
}

}  // namespace crankwise::sounds
