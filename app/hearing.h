// What free words of a rider may mean: proposed, never taken as said.
#pragma once

#include <string>
#include <vector>

#include "app/shop.h"

namespace crankwise {

/// Proposals of findings and contexts for free words that apply to the bike.
struct Heard {
  std::string id, name, words;
  bool is_context = false, so = true;
  double score = 0;
};
std::vector<Heard> hear(const Knowledge&, const Bike&, const std::string& words);

/// Of what the words of this job may mean, what is neither answered nor left out yet. Nothing once something was
/// repaired: the answer would be about the bike as it is then.
std::vector<Heard> to_confirm(const Knowledge&, const Job&, const Bike&);

}  // namespace crankwise
