#include "edge/png.h"

#include <png.h>

#include <cassert>
#include <stdexcept>

namespace crankwise {

std::string png_of(int width, int height, std::span<const std::uint8_t> rgb) {
  assert(width > 0 && height > 0 &&
         rgb.size() == static_cast<std::size_t>(width) * static_cast<std::size_t>(height) * 3);
  png_image image{};
  image.version = PNG_IMAGE_VERSION;
  image.width = static_cast<png_uint_32>(width);
  image.height = static_cast<png_uint_32>(height);
  image.format = PNG_FORMAT_RGB;
  png_alloc_size_t size = 0;
  std::string out;
  if (png_image_write_to_memory(&image, nullptr, &size, 0, rgb.data(), 0, nullptr) != 0) {
    out.resize(size);
    if (png_image_write_to_memory(&image, out.data(), &size, 0, rgb.data(), 0, nullptr) != 0) {
      out.resize(size);
      return out;
    }
  }
  throw std::runtime_error(std::string("no PNG could be made: ") + image.message);
}

}  // namespace crankwise
