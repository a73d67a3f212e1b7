#include "edge/dates.h"

#include <fmt/format.h>

#include <chrono>
#include <cmath>

namespace crankwise {
namespace {

/// The digits at `from`, as a number; -1 if they are not all digits.
int digits(std::string_view text, size_t from, size_t count) {
  if (text.size() < from + count) return -1;
  int value = 0;
  for (const char c : text.substr(from, count)) {
    if (c < '0' || c > '9') return -1;
    value = 10 * value + (c - '0');
  }
  return value;
}

}  // namespace

std::optional<int> day_number(std::string_view text) {
  const int year = digits(text, 0, 4), month = digits(text, 5, 2), day = digits(text, 8, 2);
  if (year < 0 || month < 0 || day < 0 || text[4] != '-' || text[7] != '-') return {};
  const std::chrono::year_month_day date{std::chrono::year(year), std::chrono::month(static_cast<unsigned>(month)),
                                         std::chrono::day(static_cast<unsigned>(day))};
  if (!date.ok()) return {};
  return static_cast<int>(std::chrono::sys_days(date).time_since_epoch().count());
}

std::optional<double> second_number(std::string_view text) {
  constexpr std::string_view kShape = "0000-00-00T00:00:00.000Z";
  if (text.size() != kShape.size()) return {};
  for (size_t i = 0; i < kShape.size(); ++i) {
    if (kShape[i] != '0' && text[i] != kShape[i]) return {};
  }
  const auto day = day_number(text);
  const int hour = digits(text, 11, 2), minute = digits(text, 14, 2), second = digits(text, 17, 2),
            ms = digits(text, 20, 3);
  if (!day || hour < 0 || hour > 23 || minute < 0 || minute > 59 || second < 0 || second > 59 || ms < 0) return {};
  return 86400.0 * *day + 3600 * hour + 60 * minute + second + 0.001 * ms;
}

bool is_utc(std::string_view text) { return second_number(text).has_value(); }

std::string a_millisecond_later(const std::string& utc) {
  using namespace std::chrono;
  const auto ms = milliseconds(std::llround(1000 * *second_number(utc)) + 1);
  const sys_days day = floor<days>(sys_time<milliseconds>(ms));
  const year_month_day date(day);
  const hh_mm_ss time(ms - day.time_since_epoch());
  return fmt::format("{:04}-{:02}-{:02}T{:02}:{:02}:{:02}.{:03}Z", static_cast<int>(date.year()),
                     static_cast<unsigned>(date.month()), static_cast<unsigned>(date.day()), time.hours().count(),
                     time.minutes().count(), time.seconds().count(), time.subseconds().count());
}

}  // namespace crankwise
