// Days and moments of the texts that events carry: UTC, ISO 8601 with milliseconds. They sort as text.
#pragma once

#include <optional>
#include <string>
#include <string_view>

namespace crankwise {

/// Days since 1970-01-01 of "2026-05-04" or a longer text that begins so; nothing if there is no such day.
std::optional<int> day_number(std::string_view text);

/// Seconds since then of "2026-05-04T17:30:00.000Z"; nothing if it is not such a text of a moment that there is.
std::optional<double> second_number(std::string_view text);

bool is_utc(std::string_view text);

/// `utc` must be such a moment before the last millisecond of the year 9999.
std::string a_millisecond_later(const std::string& utc);

}  // namespace crankwise
