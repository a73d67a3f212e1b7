#include "edge/base64.h"

#include <nettle/base64.h>

namespace crankwise {

std::string base64_of(std::string_view bytes) {
  std::string text(BASE64_ENCODE_RAW_LENGTH(bytes.size()), '\0');
  base64_encode_raw(text.data(), bytes.size(), reinterpret_cast<const uint8_t*>(bytes.data()));
  return text;
}

std::optional<std::string> from_base64(std::string_view text) {
  std::string bytes(BASE64_DECODE_LENGTH(text.size()), '\0');
  base64_decode_ctx state;
  base64_decode_init(&state);
  size_t length = bytes.size();
  const bool good =
      base64_decode_update(&state, &length, reinterpret_cast<uint8_t*>(bytes.data()), text.size(), text.data()) == 1;
  if (!good || base64_decode_final(&state) != 1) return {};
  bytes.resize(length);
  return bytes;
}

}  // namespace crankwise
