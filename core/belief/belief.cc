#include "core/belief/belief.h"

#include <algorithm>
#include <tuple>

#include "core/belief/looks.h"

namespace crankwise {

std::pair<double, double> AnswerRates::chance(Answer answer) const {
  switch (answer) {
    case Answer::yes:
      return {(1 - unsure_if_so) * yes_if_so, (1 - unsure_if_not) * yes_if_not};
    case Answer::no:
      return {(1 - unsure_if_so) * (1 - yes_if_so), (1 - unsure_if_not) * (1 - yes_if_not)};
    case Answer::unsure:
      break;
  }
  return {unsure_if_so, unsure_if_not};
}

std::vector<float> Belief::absent_column(const FindingModel& finding) const { return absent_by_fault(*model, finding); }

double Belief::chance_so(const FindingModel& finding) const {
  return 1 - (1 - finding.background) * table.expect(absent_column(finding));
}

std::vector<double> Belief::chances_so() const {
  std::vector<SetTable::Sparse> links;
  for (const FindingModel& f : model->findings) {
    SetTable::Sparse sparse;
    for (const Link& l : f.links) sparse.emplace_back(l.fault, l.strength);
    std::sort(sparse.begin(), sparse.end());
    links.push_back(std::move(sparse));
  }
  std::vector<double> so = table.expect_absent(links);
  for (size_t f = 0; f < so.size(); ++f) so[f] = 1 - (1 - model->findings[f].background) * so[f];
  return so;
}

std::vector<double> Belief::still_there() const { return table.marginals(); }
std::vector<double> Belief::alone_now() const { return table.alone(); }
double Belief::nothing_left() const { return table.empty(); }

SetTable Belief::at_start() const { return repaired_ ? course::start_after(before_repairs_, course_) : table; }

std::vector<double> Belief::there_at_start() const { return at_start().marginals(); }

namespace {

std::vector<int> listed(const int (&member)[3]) {
  std::vector<int> list;
  for (int m : member) {
    if (m >= 0) list.push_back(m);
  }
  return list;
}

}  // namespace

std::vector<Belief::Set> Belief::remaining_sets(std::size_t count) const {
  std::vector<Set> sets;
  for (const SetTable::Entry& e : table.heaviest(count)) sets.push_back({{}, listed(e.member), e.weight});
  return sets;
}

std::vector<Belief::Set> Belief::sets(std::size_t count) const {
  std::vector<Set> sets;
  if (!repaired_) {
    for (const SetTable::Entry& e : table.heaviest(count))
      sets.push_back({listed(e.member), listed(e.member), e.weight});
    return sets;
  }
  const auto likelier = [](const Set& a, const Set& b) { return a.probability > b.probability; };
  const SetTable start = at_start();
  // Every start has several ends; a start that weighs less than the last of the list has none that belongs in it.
  size_t done = 0, wanted = count;
  for (bool more = count > 0; more; wanted *= 2) {
    const std::vector<SetTable::Entry> starts = start.heaviest(wanted);
    for (; done < starts.size(); ++done) {
      const SetTable::Entry& s = starts[done];
      if (sets.size() >= count) {
        std::nth_element(sets.begin(), sets.begin() + static_cast<std::ptrdiff_t>(count) - 1, sets.end(), likelier);
        if (s.weight < sets[count - 1].probability) break;
      }
      double sum = 0;
      const std::vector<course::End> ends = course::ends_of(s.member, course_);
      for (const course::End& e : ends) sum += e.weight;
      for (const course::End& e : ends) sets.push_back({listed(s.member), listed(e.left), s.weight * e.weight / sum});
    }
    more = done == starts.size() && starts.size() == wanted;
  }
  std::sort(sets.begin(), sets.end(), [](const Set& a, const Set& b) {
    if (a.probability != b.probability) return a.probability > b.probability;
    return std::tie(a.faults, a.remaining) < std::tie(b.faults, b.remaining);
  });
  if (sets.size() > count) sets.resize(count);
  return sets;
}

}  // namespace crankwise
