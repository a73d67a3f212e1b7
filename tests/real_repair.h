// The repairs of tests/cases as case files.
#pragma once

#include <nlohmann/json.hpp>

#include "edge/job.h"

namespace crankwise {

/// The case file that a repair stands for: as told, or with what came `later` too.
inline Json case_file_of(const Json& repair, bool with_later) {
  Json file{{"crankwise_case", 1}, {"bike", repair.at("bike")}, {"findings", repair.at("findings")}};
  if (repair.contains("context")) file["context"] = repair["context"];
  if (!with_later || !repair.contains("later")) return file;
  const Json& later = repair["later"];
  Json first = Json::object();
  for (const char* part : {"findings", "readings"}) {
    if (later.contains(part)) first[part] = later[part];
  }
  file["steps"] = Json::array({first});
  for (const Json& step : later.value("steps", Json::array())) file["steps"].push_back(step);
  return file;
}

}  // namespace crankwise
