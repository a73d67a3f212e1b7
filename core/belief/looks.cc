#include "core/belief/looks.h"

#include <algorithm>

namespace crankwise {

std::vector<float> absent_by_fault(const Model& model, const FindingModel& finding) {
  std::vector<float> absent(model.faults.size(), 1.0f);
  for (const Link& l : finding.links) absent[static_cast<size_t>(l.fault)] = static_cast<float>(1 - l.strength);
  return absent;
}

namespace {

/// One finding as answered or measured, placed at its first happening.
struct Slot {
  size_t place = 0;  // index in the history
  int finding = 0;
  int bearing = 0;  // repairs before it that bear on the finding
  int repairs = 0;  // all repairs before it
  double if_so = 0, if_not = 0;
  bool measured = false;
  bool grouped = false;  // handled together with the first of its error group
};

bool bears_on(const FindingModel& finding, int fault) {
  return std::any_of(finding.links.begin(), finding.links.end(), [&](const Link& l) { return l.fault == fault; });
}

std::vector<Slot> slots_of(const Model& model, std::span<const Happening> history) {
  std::vector<Slot> slots;
  std::vector<int> bearing(model.findings.size(), 0);
  int repairs = 0;
  const auto note_repair = [&](int fault) {
    for (size_t f = 0; f < model.findings.size(); ++f) bearing[f] += bears_on(model.findings[f], fault);
  };
  const auto note = [&](size_t place, int finding, double if_so, double if_not, bool measured) {
    const int now = bearing[static_cast<size_t>(finding)];
    for (auto& s : slots) {
      if (s.finding == finding && s.bearing == now) {
        s.if_so = if_so, s.if_not = if_not, s.measured = measured;
        return;
      }
    }
    slots.push_back({place, finding, now, repairs, if_so, if_not, measured});
  };
  for (size_t t = 0; t < history.size(); ++t) {
    if (const auto* a = std::get_if<Answered>(&history[t])) {
      const auto [so, not_so] = model.findings[static_cast<size_t>(a->finding)].rates.chance(a->answer);
      note(t, a->finding, so, not_so, false);
    } else if (const auto* m = std::get_if<Measured>(&history[t])) {
      const double most = std::max(m->if_so, m->if_not);
      note(t, m->finding, m->if_so / most, m->if_not / most, true);
    } else if (const auto* r = std::get_if<Repaired>(&history[t])) {
      ++repairs;
      for (const Cure& c : r->cures) note_repair(c.fault);
    } else if (const auto* p = std::get_if<PutBack>(&history[t])) {
      ++repairs;
      for (int f : p->faults) note_repair(f);
    }
  }
  return slots;
}

/// P(answer | H) of one finding.
Likelihood answer_likelihood(const Model& model, const FindingModel& finding, double if_so, double if_not) {
  return {if_so, (if_not - if_so) * (1 - finding.background), absent_by_fault(model, finding)};
}

/// How often a look misleads: the share of its answers that comes the same whatever is there.
double blind_share(const AnswerRates& rates) {
  double share = 0;
  for (Answer a : {Answer::no, Answer::yes, Answer::unsure}) {
    const auto [so, not_so] = rates.chance(a);
    share += std::min(so, not_so);
  }
  return share;
}

/// Looks that share their error: a bad look says the same whatever is there. What they share is the error of the best
/// of them; so every answer alone keeps the chance its rates give it.
Observation shared_error(const Model& model, const std::vector<const Slot*>& group) {
  double error = 0.99;
  for (const Slot* s : group) {
    error = std::min(error, blind_share(model.findings[static_cast<size_t>(s->finding)].rates));
  }
  Observation joint{error, 1 - error, {}};
  for (const Slot* s : group) {
    const FindingModel& finding = model.findings[static_cast<size_t>(s->finding)];
    const double if_bad = error > 0 ? std::min(s->if_so, s->if_not) / blind_share(finding.rates) : 0.0;
    joint.offset *= if_bad;
    const auto good = [&](double p) { return std::max((p - error * if_bad) / (1 - error), 0.0); };
    joint.parts.push_back(answer_likelihood(model, finding, good(s->if_so), good(s->if_not)));
  }
  return joint;
}

}  // namespace

std::vector<Look> looks_of(const Model& model, std::span<const Happening> history) {
  std::vector<Slot> slots = slots_of(model, history);
  std::vector<Look> looks;
  for (size_t first = 0; first < slots.size(); ++first) {
    if (slots[first].grouped) continue;
    const FindingModel& finding = model.findings[static_cast<size_t>(slots[first].finding)];
    std::vector<const Slot*> members;
    for (size_t k = first; k < slots.size(); ++k) {
      Slot& s = slots[k];
      const bool same =
          k == first ||
          (finding.error_group >= 0 && !s.measured && !slots[first].measured && s.repairs == slots[first].repairs &&
           !s.grouped && model.findings[static_cast<size_t>(s.finding)].error_group == finding.error_group);
      if (same) s.grouped = true, members.push_back(&s);
    }
    const Slot& one = *members.front();
    looks.push_back({one.place, members.size() == 1
                                    ? Observation{0, 1, {answer_likelihood(model, finding, one.if_so, one.if_not)}}
                                    : shared_error(model, members)});
  }
  return looks;
}

}  // namespace crankwise
