// Where the sizes stand: JPEG ITU-T T.81 B.2.2 (frame header), PNG ISO/IEC 15948 11.2.2 (IHDR), WebP RFC 9649 2.3
// to 2.7.
#include "edge/picture.h"

#include <fmt/format.h>

#include "edge/problem.h"

namespace crankwise {
namespace {

constexpr int kMostSide = 30'000;
constexpr double kMostPixels = 120e6;

/// Bytes as numbers; nothing beyond the end is read: it counts as 0.
class Bytes {
 public:
  explicit Bytes(std::string_view bytes) : bytes_(bytes) {}
  unsigned at(size_t i) const { return i < bytes_.size() ? static_cast<unsigned char>(bytes_[i]) : 0; }
  int big(size_t from, size_t count) const {
    unsigned value = 0;
    for (size_t i = 0; i < count; ++i) value = value << 8 | at(from + i);
    return static_cast<int>(value & 0x7fffffff);
  }
  int little(size_t from, size_t count) const {
    unsigned value = 0;
    for (size_t i = count; i-- > 0;) value = value << 8 | at(from + i);
    return static_cast<int>(value & 0x7fffffff);
  }
  bool has(size_t from, std::string_view text) const {
    return from <= bytes_.size() && bytes_.substr(from, text.size()) == text;
  }
  size_t size() const { return bytes_.size(); }

 private:
  std::string_view bytes_;
};

/// Whether it ends as it should, too: a file cut off on its way from the phone begins well.
struct Look {
  PictureFacts facts;
  bool whole = false;
};

/// Some cameras write more after the end of the picture; the small picture within comes before the frame header.
bool ends_after(const Bytes& b, size_t frame) {
  for (size_t at = b.size() - 1; at-- > frame;) {
    if (b.at(at) == 0xff && b.at(at + 1) == 0xd9) return true;
  }
  return false;
}

Look jpeg(const Bytes& b) {
  for (size_t at = 2; at + 9 < b.size() && b.at(at) == 0xff;) {
    const unsigned marker = b.at(at + 1);
    if (marker == 0xff) {  // padding
      ++at;
      continue;
    }
    const bool frame = marker >= 0xc0 && marker <= 0xcf && marker != 0xc4 && marker != 0xc8 && marker != 0xcc;
    if (frame) return {{"image/jpeg", b.big(at + 7, 2), b.big(at + 5, 2)}, ends_after(b, at)};
    const int length = b.big(at + 2, 2);
    if (length < 2 || marker == 0xda) break;
    at += 2 + static_cast<size_t>(length);
  }
  return {};
}

Look png(const Bytes& b) {
  if (!b.has(12, "IHDR")) return {};
  return {{"image/png", b.big(16, 4), b.big(20, 4)}, b.has(b.size() - 8, "IEND")};
}

Look webp(const Bytes& b) {
  Look look{{"image/webp"}, b.size() >= 8 + static_cast<size_t>(b.little(4, 4))};
  PictureFacts& facts = look.facts;
  if (b.has(12, "VP8X")) {
    facts.width = 1 + b.little(24, 3);
    facts.height = 1 + b.little(27, 3);
  } else if (b.has(12, "VP8L") && b.at(20) == 0x2f) {
    const int sizes = b.little(21, 4);
    facts.width = 1 + (sizes & 0x3fff);
    facts.height = 1 + (sizes >> 14 & 0x3fff);
  } else if (b.has(12, "VP8 ") && b.has(23, "\x9d\x01\x2a")) {
    facts.width = b.little(26, 2) & 0x3fff;
    facts.height = b.little(28, 2) & 0x3fff;
  }
  return look;
}

}  // namespace

PictureFacts picture_facts(std::string_view bytes, const std::string& file) {
  const auto refuse = [&](std::string wrong, std::string right) {
    throw BadInput({file, 0, "", std::move(wrong), std::move(right)});
  };
  if (bytes.empty()) refuse("is empty", "a JPEG, PNG or WebP picture");
  if (bytes.size() > kMostPictureBytes) {
    refuse(fmt::format("has {:.1f} MB", static_cast<double>(bytes.size()) / 1e6),
           "20 MB at the most: save it smaller, 2000 pixels wide are plenty");
  }
  const Bytes b(bytes);
  Look look;
  if (b.has(0, "\xff\xd8\xff"))
    look = jpeg(b);
  else if (b.has(0, "\x89PNG\r\n\x1a\n"))
    look = png(b);
  else if (b.has(0, "RIFF") && b.has(8, "WEBP"))
    look = webp(b);
  else
    refuse("is not a JPEG, PNG or WebP picture", "a photo in one of these forms");
  const PictureFacts& facts = look.facts;
  if (facts.width < 1 || facts.height < 1)
    refuse("begins as a picture, but its size cannot be read: it is damaged", "a photo that other programs show");
  if (facts.width > kMostSide || facts.height > kMostSide ||
      static_cast<double>(facts.width) * facts.height > kMostPixels) {
    refuse(fmt::format("is {} x {} pixels", facts.width, facts.height), "a smaller one: 2000 pixels wide are plenty");
  }
  if (!look.whole) refuse("ends before the picture does: it was cut off", "the whole file, copied again");
  return look.facts;
}

}  // namespace crankwise
