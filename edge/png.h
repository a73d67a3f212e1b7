// A picture of pixels as a PNG file (libpng).
#pragma once

#include <cstdint>
#include <span>
#include <string>

namespace crankwise {

/// `rgb`: three bytes a pixel, row by row from the top; width * height * 3 of them.
std::string png_of(int width, int height, std::span<const std::uint8_t> rgb);

}  // namespace crankwise
