// Times as the event log has them: UTC, ISO 8601 with milliseconds, 2026-05-04T17:30:00.000Z. They sort as text.
#pragma once

#include <string>
#include <string_view>

namespace crankwise {

/// Is it such a time, of a day that there is?
bool is_utc(std::string_view);

/// `utc` must be such a time before the last millisecond of the year 9999.
std::string a_millisecond_later(const std::string& utc);

}  // namespace crankwise
