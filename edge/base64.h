// Base64 (RFC 4648, section 4).
#pragma once

#include <optional>
#include <string>
#include <string_view>

namespace crankwise {

std::string base64_of(std::string_view bytes);
/// Nothing if it is not whole base64.
std::optional<std::string> from_base64(std::string_view text);

}  // namespace crankwise
