// A case as one JSON file: bike, context, findings, readings, steps done with results; judged without a shop file.
// The format is in docs/case-format.md.
#pragma once

#include <string>
#include <vector>

#include "app/diagnosis.h"

namespace crankwise {

struct Case {
  Bike bike;
  std::string complaint;
  std::vector<Entry> entries;
  ShopSettings shop;
};

/// Throws BadInput with every problem found. `name` is the file's, for the messages.
Case parse_case(const Knowledge&, const std::string& text, const std::string& name);

}  // namespace crankwise
