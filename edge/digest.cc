#include "edge/digest.h"

#include <fmt/format.h>
#include <nettle/sha2.h>

#include <array>

namespace crankwise {

std::string sha256_hex(std::string_view bytes) {
  sha256_ctx context;
  sha256_init(&context);
  sha256_update(&context, bytes.size(), reinterpret_cast<const uint8_t*>(bytes.data()));
  std::array<uint8_t, SHA256_DIGEST_SIZE> digest{};
  sha256_digest(&context, digest.size(), digest.data());
  std::string hex;
  for (const uint8_t byte : digest) hex += fmt::format("{:02x}", byte);
  return hex;
}

}  // namespace crankwise
