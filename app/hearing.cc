#include "app/hearing.h"

#include <algorithm>
#include <set>

#include "core/words/words.h"

namespace crankwise {

std::vector<Heard> hear(const Knowledge& k, const Bike& bike, const std::string& words) {
  const Traits traits(bike.traits);
  std::vector<Heard> targets;
  std::vector<Phrase> phrases;
  const auto add = [&](const std::string& id, const std::string& name, const std::vector<std::string>& list,
                       bool context) {
    const int target = static_cast<int>(targets.size());
    targets.push_back({id, name, "", context, true, 0});
    phrases.push_back({target, name});
    for (const auto& w : list) phrases.push_back({target, w});
  };
  for (const Finding& f : k.findings) {
    if (f.applies.holds(traits)) add(f.id, f.name, f.words, false);
  }
  for (const Context& c : k.contexts) add(c.id, c.name, c.words, true);
  std::vector<Heard> out;
  for (const Proposal& p : Vocabulary(phrases).propose(words)) {
    Heard h = targets[static_cast<size_t>(p.target)];
    h.words = p.heard;
    h.so = !p.negated;
    h.score = p.score;
    out.push_back(std::move(h));
  }
  return out;
}

std::vector<Heard> to_confirm(const Knowledge& k, const Job& job, const Bike& bike) {
  if (job.end != JobEnd::open) return {};
  std::set<std::string> settled;
  for (const JobEntry& e : job.entries) {
    if (const auto* said = std::get_if<SaidSo>(&e.entry)) settled.insert(said->finding);
    if (const auto* skipped = std::get_if<Skipped>(&e.entry)) settled.insert(skipped->step);
    if (const auto* was = std::get_if<WasSo>(&e.entry)) settled.insert(was->context);
    if (const auto* other = std::get_if<NotMeant>(&e.entry)) settled.insert(other->id);
    const auto* did = std::get_if<Did>(&e.entry);
    const Step* step = did == nullptr ? nullptr : k.steps.find(did->step);
    if (step != nullptr && !step->cures.empty()) return {};
  }
  std::vector<Heard> heard = hear(k, bike, job.complaint);
  std::erase_if(heard, [&](const Heard& h) { return settled.count(h.id) > 0; });
  return heard;
}

}  // namespace crankwise
