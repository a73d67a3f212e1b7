// Words of the trade explained where they are first used, for somebody who is no mechanic.
#pragma once

#include <set>
#include <string>
#include <vector>

#include "edge/knowledge.h"

namespace crankwise {

class Gloss {
 public:
  explicit Gloss(const Knowledge&);

  /// The text with each term that this Gloss has not met before followed by what it means, in brackets.
  std::string operator()(const std::string& text);

 private:
  std::vector<const Term*> terms_;
  std::set<const Term*> met_;
};

/// Words of the text that the glossary counts as jargon and that no term of it explains there.
std::vector<std::string> unexplained(const Knowledge&, const std::string& text);

}  // namespace crankwise
