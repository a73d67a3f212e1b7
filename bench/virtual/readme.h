// A text with a part that a program writes, between two marks.
#pragma once

#include <string>
#include <string_view>

namespace crankwise::bench {

inline constexpr std::string_view kBegin = "<!-- virtual bikes: begin -->\n";
inline constexpr std::string_view kEnd = "<!-- virtual bikes: end -->\n";

/// `text` with what stands between the marks replaced. Throws std::runtime_error if it has not both, in order.
std::string with_part(const std::string& text, const std::string& part);

}  // namespace crankwise::bench
