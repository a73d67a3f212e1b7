#include "edge/knowledge.h"

#include <algorithm>

namespace crankwise {

Traits::Traits(std::vector<std::string> ids) : ids_(std::move(ids)) {
  std::sort(ids_.begin(), ids_.end());
  ids_.erase(std::unique(ids_.begin(), ids_.end()), ids_.end());
}

bool Traits::has(const std::string& id) const { return std::binary_search(ids_.begin(), ids_.end(), id); }

bool Condition::holds(const Traits& traits) const {
  return std::all_of(lines.begin(), lines.end(), [&](const auto& line) {
    return std::any_of(line.begin(), line.end(),
                       [&](const Alternative& a) { return traits.has(a.trait) != a.negated; });
  });
}

std::map<std::string, double> strengths_by_hand(const Knowledge& k, const Fault& fault, const Traits& traits) {
  std::map<std::string, double> out;
  for (const auto& [kind, strength] : fault.causes_every)
    for (const Finding& f : k.findings)
      if (text(f.kind) == kind) out[f.id] = strength.of(traits);
  for (const auto& [id, strength] : fault.causes) out[id] = strength.of(traits);
  return out;
}

std::vector<std::string> cautions_of(const Knowledge& k, const Step& step) {
  std::vector<std::string> all = step.cautions;
  const auto add = [&](const std::string& id) {
    if (std::find(all.begin(), all.end(), id) == all.end()) all.push_back(id);
  };
  std::vector<std::string> open = step.off;
  for (size_t i = 0; i < open.size(); ++i) {
    const Part* p = k.parts.find(open[i]);
    if (p == nullptr) continue;
    for (const auto& id : p->cautions) add(id);
    for (const auto& id : p->after) {
      if (std::find(open.begin(), open.end(), id) == open.end()) open.push_back(id);
    }
  }
  return all;
}

const Upkeep::Interval* Upkeep::interval(const Traits& traits, double displacement_cc) const {
  for (const Interval& i : every) {
    if (i.applies.holds(traits) && (i.up_to_cc == 0 || displacement_cc <= i.up_to_cc)) return &i;
  }
  return nullptr;
}

namespace {

template <class Take>
std::vector<std::string> worn(const Knowledge& k, Take take) {
  std::vector<std::string> parts;
  for (const Fault& f : k.faults) {
    if (f.wears && take(f)) parts.push_back(f.wears->part);
  }
  for (const Upkeep& u : k.upkeep) {
    if (take(u)) parts.insert(parts.end(), u.parts.begin(), u.parts.end());
  }
  std::sort(parts.begin(), parts.end());
  parts.erase(std::unique(parts.begin(), parts.end()), parts.end());
  return parts;
}

}  // namespace

std::vector<std::string> parts_that_wear(const Knowledge& k) {
  return worn(k, [](const auto&) { return true; });
}

std::vector<std::string> parts_that_wear(const Knowledge& k, const Traits& traits) {
  return worn(k, [&](const auto& x) { return x.applies.holds(traits); });
}

double PerCycle::of(const Traits& traits) const { return traits.has("two-stroke") ? two_stroke : four_stroke; }

std::string_view text(FindingKind kind) {
  switch (kind) {
    case FindingKind::complaint:
      return "complaint";
    case FindingKind::when:
      return "when";
    case FindingKind::look:
      return "look";
    case FindingKind::test:
      return "test";
    case FindingKind::measured:
      break;
  }
  return "measured";
}

std::string_view text(StepKind kind) {
  switch (kind) {
    case StepKind::look:
      return "look";
    case StepKind::measure:
      return "measure";
    case StepKind::listen:
      return "listen";
    case StepKind::clean:
      return "clean";
    case StepKind::adjust:
      return "adjust";
    case StepKind::swap:
      return "swap";
    case StepKind::replace:
      return "replace";
    case StepKind::run:
      break;
  }
  return "run";
}

std::string_view text(EngineState state) {
  switch (state) {
    case EngineState::stopped:
      return "stopped";
    case EngineState::running:
      return "running";
    case EngineState::hot:
      return "hot";
    case EngineState::ridden:
      break;
  }
  return "ridden";
}

}  // namespace crankwise
