#include "app/places.h"

#include <fmt/chrono.h>
#include <fmt/format.h>

#include <chrono>
#include <cstdlib>

#include "edge/problem.h"

namespace crankwise {
namespace {

std::filesystem::path data_home() {
  // XDG Base Directory Specification: a relative path is to be ignored.
  if (const char* xdg = std::getenv("XDG_DATA_HOME"); xdg != nullptr && *xdg == '/')
    return std::filesystem::path(xdg) / "crankwise";
  if (const char* home = std::getenv("HOME"); home != nullptr && *home != 0)
    return std::filesystem::path(home) / ".local/share/crankwise";
  throw BadInput({"", 0, "HOME", "is not set, so the shop has no usual place", "--shop FILE"});
}

std::filesystem::path shipped(const char* what) {
  const std::filesystem::path source = std::filesystem::path(CRANKWISE_SOURCE_DIR) / what;
  return std::filesystem::exists(source) ? source : std::filesystem::path(CRANKWISE_SHARE_DIR) / what;
}

}  // namespace

std::filesystem::path usual_shop_file() { return data_home() / "shop.db"; }
std::filesystem::path usual_demo_file() { return data_home() / "demo.db"; }
std::filesystem::path usual_knowledge_folder() { return shipped("knowledge"); }
std::filesystem::path usual_page_folder() {
  const std::filesystem::path built = std::filesystem::path(CRANKWISE_SOURCE_DIR) / "ui/dist";
  return std::filesystem::exists(built) ? built : std::filesystem::path(CRANKWISE_SHARE_DIR) / "page";
}
std::filesystem::path demo_script() { return shipped("demo") / "shop.txt"; }

std::string utc_now() {
  const auto now = std::chrono::system_clock::now();
  const auto seconds = std::chrono::floor<std::chrono::seconds>(now);
  const auto ms = std::chrono::duration_cast<std::chrono::milliseconds>(now - seconds).count();
  return fmt::format("{:%Y-%m-%dT%H:%M:%S}.{:03}Z", fmt::gmtime(std::chrono::system_clock::to_time_t(seconds)), ms);
}

}  // namespace crankwise
