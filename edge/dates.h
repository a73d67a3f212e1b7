// Days and moments of the texts that events carry (UTC, ISO 8601).
#pragma once

#include <optional>
#include <string_view>

namespace crankwise {

/// Days since 1970-01-01 of "2026-05-04" or a longer text that begins so; nothing if there is no such day.
std::optional<int> day_number(std::string_view text);

/// Seconds since then of "2026-05-04T17:30:00.000Z"; nothing if there is no such moment.
std::optional<double> second_number(std::string_view text);

}  // namespace crankwise
