// What a picture file is, by its own first bytes: nothing is decoded.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>

namespace crankwise {

constexpr std::size_t kMostPictureBytes = 20'000'000;

struct PictureFacts {
  std::string media_type;     // image/jpeg, image/png or image/webp
  int width = 0, height = 0;  // pixels, as stored
};

/// Throws BadInput, naming `file`, unless the bytes begin as a JPEG, PNG or WebP of a sensible size and end as one.
PictureFacts picture_facts(std::string_view bytes, const std::string& file);

}  // namespace crankwise
