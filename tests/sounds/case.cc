#include "tests/sounds/case.h"

#include <algorithm>
#include <stdexcept>

#include "tests/sounds/recipe.h"

namespace crankwise::sounds {
namespace {

const std::vector<Kind>& kinds() {
  static const std::vector<Kind> all = [] {
    std::vector<Kind> k;
    for (const auto& part :
         {two_stroke_kinds(), four_stroke_kinds(), odd_kinds(), disturbed_kinds(), no_engine_kinds()}) {
      k.insert(k.end(), part.begin(), part.end());
    }
    return k;
  }();
  return all;
}

}  // namespace

std::vector<std::string> names(Set set) {
  std::vector<std::string> out;
  for (const Kind& k : kinds()) {
    if (set == Set::scoring || k.tuning) out.push_back(k.name);
  }
  return out;
}

std::uint64_t seed(Set set, const std::string& name) {  // FNV-1a, 64 bits
  std::uint64_t h = 0xcbf29ce484222325 ^ (set == Set::tuning ? 20261 : 60169);
  for (const char c : name) h = (h ^ static_cast<unsigned char>(c)) * 0x100000001b3;
  return h;
}

Case make(Set set, const std::string& name) {
  for (const Kind& k : kinds()) {
    if (k.name != name || (set == Set::tuning && !k.tuning)) continue;
    Random random(seed(set, name));
    Draw draw(random, set == Set::scoring);
    Recipe r;
    k.fill(r, draw);
    r.engine.cycle = r.single.cycle;
    Made m = make(r, random);
    return {.name = name, .engine = r.engine, .samples = std::move(m.samples), .truth = std::move(m.truth)};
  }
  throw std::invalid_argument("no such take: " + name);
}

namespace {
std::vector<Case> all(Set set) {
  std::vector<Case> out;
  for (const std::string& name : names(set)) out.push_back(make(set, name));
  return out;
}
}  // namespace

std::vector<Case> tuning_set() { return all(Set::tuning); }
std::vector<Case> scoring_set() { return all(Set::scoring); }

}  // namespace crankwise::sounds
