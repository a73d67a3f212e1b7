// What falls due on the bike after a job, in the owner's words.
#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <set>

#include "app/due.h"
#include "app/sheet.h"

namespace crankwise {
namespace {

constexpr double kAheadH = 10;    // about a month of weekend rides
constexpr size_t kMostLater = 3;  // of what is neither due soon nor renewed by this job

/// All parts that the job renewed.
std::set<std::string> renewed_by(const Job& job, const Knowledge& k) {
  std::set<std::string> parts;
  for (const JobEntry& e : job.entries) {
    const auto* did = std::get_if<Did>(&e.entry);
    const Step* s = did == nullptr ? nullptr : k.steps.find(did->step);
    if (s != nullptr) parts.insert(s->renews.begin(), s->renews.end());
  }
  return parts;
}

}  // namespace

std::vector<SheetDue> due_after(const Shop& shop, const Job& job) {
  const std::set<std::string> renewed = renewed_by(job, shop.knowledge());
  std::vector<SheetDue> due;
  std::vector<std::string> untold;
  size_t later = 0;
  for (const DueItem& i : due_list(shop, job.bike, kAheadH).items) {
    const bool by_this = renewed.count(i.upkeep->parts.front()) > 0;
    if (i.urgency == Urgency::unknown) {
      untold.push_back(i.upkeep->name);
    } else if (i.urgency == Urgency::later && !by_this && (i.used <= 0 || ++later > kMostLater)) {
      continue;
    } else {
      due.push_back({i.upkeep->work, left_in_words(i) + (by_this ? "; new with this job" : "")});
    }
  }
  if (!untold.empty())
    due.push_back({"nobody wrote down when", fmt::format("{}: may be overdue, to be asked", fmt::join(untold, ", "))});
  return due;
}

}  // namespace crankwise
