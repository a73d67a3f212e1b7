// What falls due after a job: the parts that it renewed, and how long they last as a rule.
#include <fmt/format.h>

#include <algorithm>

#include "app/sheet.h"

namespace crankwise {
namespace {

/// The words of an id.
std::string spaced(std::string id) {
  std::replace(id.begin(), id.end(), '-', ' ');
  return id;
}

}  // namespace

std::vector<SheetDue> due_after(const Shop& shop, const Job& job) {
  const Knowledge& k = shop.knowledge();
  const Traits traits(shop.bike(job.bike).traits);
  std::vector<SheetDue> due;
  for (const JobEntry& e : job.entries) {
    const auto* did = std::get_if<Did>(&e.entry);
    const Step* s = did == nullptr || e.hours < 0 ? nullptr : k.steps.find(did->step);
    if (s == nullptr) continue;
    for (const auto& part : s->renews) {
      double life_h = 0;
      for (const Fault& f : k.faults) {
        if (!f.wears || f.wears->part != part || !f.applies.holds(traits)) continue;
        const double life = f.wears->life_h.of(traits);
        if (life_h == 0 || life < life_h) life_h = life;
      }
      if (life_h > 0)
        due.push_back({spaced(part), fmt::format("new at {:g} h; as a rule worn out {:g} h later", e.hours, life_h)});
    }
  }
  return due;
}

}  // namespace crankwise
