#include "bench/virtual/policy.h"

#include "app/diagnosis.h"
#include "bench/virtual/adaptive.h"
#include "bench/virtual/list.h"

namespace crankwise::bench {
namespace {

class Ours : public Policy {
 public:
  /// `measures`: does it ever take out a gauge or meter?
  Ours(const Believed& b, bool measures) : believed_(b) {
    for (const Step* s : b.model->steps) {
      if (!measures && s != nullptr && (s->kind == StepKind::measure || !s->reads.empty()))
        entries_.emplace_back(Skipped{s->id, ""});
    }
  }

  void note(const std::vector<Entry>& entries) override {
    entries_.insert(entries_.end(), entries.begin(), entries.end());
    last_ = judge(*believed_.knowledge, *believed_.bike, entries_, {},
                  believed_.learned == nullptr ? Learned{} : *believed_.learned);
  }
  bool reads_gauges() const override { return true; }
  std::optional<int> next() override {
    last_.advice = advise(last_.bike().plan, last_.belief, last_.state);
    if (last_.advice.proven) return {};
    return last_.advice.options.front().step;
  }
  std::vector<Option> options() const override { return last_.advice.options; }
  std::vector<double> forecast() const override { return last_.belief.still_there(); }

 private:
  Believed believed_;
  std::vector<Entry> entries_;
  Diagnosis last_;
};

}  // namespace

std::string_view text(PolicyKind kind) {
  switch (kind) {
    case PolicyKind::ours:
      return "crankwise";
    case PolicyKind::list:
      return "fixed list, cheap first";
    case PolicyKind::sorted_list:
      return "list sorted for the complaint";
    case PolicyKind::ratio:
      return "chance over cost, repairs only";
    case PolicyKind::information:
      return "information per minute";
    case PolicyKind::no_readings:
      break;
  }
  return "crankwise without readings";
}

std::string_view word(PolicyKind kind) {
  switch (kind) {
    case PolicyKind::ours:
      return "ours";
    case PolicyKind::list:
      return "list";
    case PolicyKind::sorted_list:
      return "sorted";
    case PolicyKind::ratio:
      return "ratio";
    case PolicyKind::information:
      return "information";
    case PolicyKind::no_readings:
      break;
  }
  return "no-readings";
}

std::unique_ptr<Policy> make_policy(PolicyKind kind, const Believed& b) {
  switch (kind) {
    case PolicyKind::ours:
      return std::make_unique<Ours>(b, true);
    case PolicyKind::list:
      return std::make_unique<ListPolicy>(*b.model, false);
    case PolicyKind::sorted_list:
      return std::make_unique<ListPolicy>(*b.model, true);
    case PolicyKind::ratio:
      return std::make_unique<RatioPolicy>(*b.model);
    case PolicyKind::information:
      return std::make_unique<InformationPolicy>(*b.model);
    case PolicyKind::no_readings:
      break;
  }
  return std::make_unique<Ours>(b, false);
}

}  // namespace crankwise::bench
