#include "edge/audio/wire/facts.h"

#include <cmath>
#include <nlohmann/json.hpp>

namespace crankwise::audio {
namespace {

using Json = nlohmann::json;

/// Every number with its name and its range, written and read by the same list.
template <class F, class See>
void each_number(F& f, See see) {
  see("source_rate_hz", f.source_rate_hz, 1, 1e7);
  see("header_rate_hz", f.header_rate_hz, 0, 1e12);
  see("seconds", f.seconds, 0, 1e7);
  see("stated_seconds", f.stated_seconds, 0, 1e13);
  see("starts_s", f.starts_s, -1e13, 1e13);
  see("sound_tracks", f.sound_tracks, 1, 10000);
  see("picture_seconds", f.picture_seconds, 0, 1e13);
  see("picture_fps", f.picture_fps, 0, 1e10);
  see("capture_fps", f.capture_fps, 0, 1e10);
  see("gaps_s", f.gaps_s, 0, 1e13);
  see("packets", f.packets, 0, 1e15);
  see("bad_packets", f.bad_packets, 0, 1e15);
  see("wild_samples", f.wild_samples, 0, 1e15);
}

bool number(const Json& json, const char* name, double least, double most, double& value) {
  const auto found = json.find(name);
  if (found == json.end() || !found->is_number()) return false;
  value = found->get<double>();
  return value >= least && value <= most;
}

bool flag(const Json& json, const char* name, bool& value) {
  const auto found = json.find(name);
  if (found == json.end() || !found->is_boolean()) return false;
  value = found->get<bool>();
  return true;
}

/// Short, and nothing in it that a terminal would obey.
bool words(const Json& json, const char* name, std::size_t most, std::string& value) {
  const auto found = json.find(name);
  if (found == json.end() || !found->is_string()) return false;
  value = found->get<std::string>();
  for (const char c : value) {
    if (c < ' ' || c > '~') return false;
  }
  return value.size() <= most;
}

Json parsed(std::string_view text) {
  if (text.size() > kMostText) return Json();
  return Json::parse(text, nullptr, false);
}

}  // namespace

std::string text_of(const Facts& facts) {
  Json json{{"container", facts.container},
            {"codec", facts.codec},
            {"ends_in_error", facts.ends_in_error},
            {"changes", facts.changes}};
  each_number(facts, [&](const char* name, auto value, double, double) { json[name] = value; });
  for (const Channel& c : facts.channels)
    json["channels"].push_back({{"mean_square", c.mean_square}, {"peak", c.peak}, {"clipped_share", c.clipped_share}});
  return json.dump();
}

std::string text_of(const Refusal& refusal) { return Json{{"wrong", refusal.wrong}, {"right", refusal.right}}.dump(); }

std::optional<Facts> facts_of(std::string_view text) {
  const Json json = parsed(text);
  if (!json.is_object()) return {};
  Facts facts;
  bool good = words(json, "container", 40, facts.container) && words(json, "codec", 40, facts.codec) &&
              flag(json, "ends_in_error", facts.ends_in_error) && flag(json, "changes", facts.changes);
  each_number(facts, [&]<class T>(const char* name, T& field, double least, double most) {
    double value = 0;
    good = good && number(json, name, least, most, value);
    if (good) field = static_cast<T>(value);
  });
  const auto channels = json.find("channels");
  if (!good || channels == json.end() || !channels->is_array()) return {};
  for (const Json& each : *channels) {
    Channel c;
    if (!each.is_object() || !number(each, "mean_square", 0, 1e6, c.mean_square) ||
        !number(each, "peak", 0, 1e6, c.peak) || !number(each, "clipped_share", 0, 1, c.clipped_share)) {
      return {};
    }
    facts.channels.push_back(c);
  }
  return facts;
}

std::optional<Refusal> refusal_of(std::string_view text) {
  const Json json = parsed(text);
  Refusal refusal;
  if (!json.is_object() || !words(json, "wrong", 400, refusal.wrong) || !words(json, "right", 400, refusal.right))
    return {};
  if (refusal.wrong.empty() || refusal.right.empty()) return {};
  return refusal;
}

}  // namespace crankwise::audio
