// What a shop has learned, in the names of the knowledge: what fit() puts on top of it.
#pragma once

#include <map>
#include <string>
#include <utility>

#include "core/learn/chance.h"

namespace crankwise {

struct Learned {
  /// What a strength or background in the knowledge is worth, in answers (equivalent sample size of a weak source;
  /// common practice).
  static constexpr double kAnswersWorth = 20;

  std::map<std::string, double> share;                                  // fault -> factor on its share
  std::map<std::pair<std::string, std::string>, AnswerCount> if_there;  // fault, finding: answers when it was the cause
};

}  // namespace crankwise
