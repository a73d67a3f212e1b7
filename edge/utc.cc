#include "edge/utc.h"

#include <fmt/chrono.h>

#include <chrono>

namespace crankwise {
namespace {

using namespace std::chrono;

int number(std::string_view digits) {
  int value = 0;
  for (const char c : digits) value = 10 * value + (c - '0');
  return value;
}

year_month_day day_of(std::string_view utc) {
  return {year(number(utc.substr(0, 4))), month(static_cast<unsigned>(number(utc.substr(5, 2)))),
          day(static_cast<unsigned>(number(utc.substr(8, 2))))};
}

}  // namespace

bool is_utc(std::string_view text) {
  constexpr std::string_view shape = "0000-00-00T00:00:00.000Z";
  if (text.size() != shape.size()) return false;
  for (size_t i = 0; i < shape.size(); ++i) {
    if (shape[i] == '0' ? text[i] < '0' || text[i] > '9' : text[i] != shape[i]) return false;
  }
  return day_of(text).ok() && number(text.substr(11, 2)) < 24 && number(text.substr(14, 2)) < 60 &&
         number(text.substr(17, 2)) < 60;
}

std::string a_millisecond_later(const std::string& utc) {
  const auto at = sys_days(day_of(utc)) + hours(number(std::string_view(utc).substr(11, 2))) +
                  minutes(number(std::string_view(utc).substr(14, 2))) +
                  seconds(number(std::string_view(utc).substr(17, 2))) +
                  milliseconds(number(std::string_view(utc).substr(20, 3)) + 1);
  const auto whole = floor<seconds>(at);
  const auto day = floor<days>(whole);
  const year_month_day date(day);
  const hh_mm_ss time(whole - day);
  return fmt::format("{:04}-{:02}-{:02}T{:02}:{:02}:{:02}.{:03}Z", static_cast<int>(date.year()),
                     static_cast<unsigned>(date.month()), static_cast<unsigned>(date.day()), time.hours().count(),
                     time.minutes().count(), time.seconds().count(), (at - whole).count());
}

}  // namespace crankwise
