// SHA-256, as lower-case hex.
#pragma once

#include <string>
#include <string_view>

namespace crankwise {

std::string sha256_hex(std::string_view bytes);

}  // namespace crankwise
