#include "app/explain.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>

#include "core/belief/explain.h"

namespace crankwise {
namespace {

template <class... Fs>
struct Overload : Fs... {
  using Fs::operator()...;
};
template <class... Fs>
Overload(Fs...) -> Overload<Fs...>;

template <class T>
std::string name_of(const Shelf<T>& shelf, const std::string& id) {
  const T* thing = shelf.find(id);
  return thing == nullptr ? id : thing->name;
}

std::string times(double factor) {
  if (factor < 3.5) return fmt::format("{:.1f}", factor);
  return fmt::format("{:.0f}", factor);
}

}  // namespace

std::string weight_in_words(double db) {
  const double factor = std::pow(10.0, std::abs(db) / 10);
  const bool up = db > 0;
  if (factor < 1.26) return "hardly changes it";
  if (factor < 1.7) return up ? "a little likelier" : "a little less likely";
  if (factor < 2.5) return up ? "about doubles it" : "about halves it";
  if (factor < 100) return fmt::format("about {} times {}", times(factor), up ? "likelier" : "less likely");
  return up ? "all but proves it" : "all but rules it out";
}

namespace {

std::string spent_in_words(const Spent& spent) {
  if (!spent.minutes && !spent.money) return "";
  const std::string took = spent.minutes ? fmt::format("took {:g} min", *spent.minutes) : "";
  const std::string paid = spent.money ? fmt::format("paid {:g}", *spent.money) : "";
  return fmt::format(" ({}{}{})", took, took.empty() || paid.empty() ? "" : ", ", paid);
}

}  // namespace

std::string entry_in_words(const Knowledge& k, const Entry& entry) {
  const std::string words = std::visit(
      Overload{
          [&](const SaidSo& e) { return fmt::format("{}: {}", name_of(k.findings, e.finding), text(e.answer)); },
          [&](const Took& e) {
            const std::string name = name_of(k.readings, e.reading);
            std::string line = e.open ? name + ": open circuit" : fmt::format("{}: {:g} {}", name, e.value, e.unit);
            for (const auto& [condition, told] : e.at) line += fmt::format(", {} {}", condition, told);
            return line;
          },
          [&](const Did& e) { return name_of(k.steps, e.step); },
          [&](const WentBack& e) { return "old part back in: " + name_of(k.steps, e.step); },
          [&](const RanIt& e) {
            const char* const how = e.result == RunResult::gone     ? "trouble gone"
                                    : e.result == RunResult::better ? "better but not right"
                                                                    : "same as before";
            return fmt::format("run: {}", how);
          },
          [&](const Skipped& e) {
            const Finding* f = k.findings.find(e.step);
            return fmt::format("left out: {}{}", f != nullptr ? f->name : name_of(k.steps, e.step),
                               e.why.empty() ? "" : " (" + e.why + ")");
          },
          [&](const WasSo& e) {
            return fmt::format("before: {}: {}", name_of(k.contexts, e.context), e.so ? "yes" : "no");
          },
          [&](const NotMeant& e) {
            const Finding* f = k.findings.find(e.id);
            return "left out of the rider's words: " + (f != nullptr ? f->name : name_of(k.contexts, e.id));
          },
          [&](const PartsNow& e) {
            std::string parts;
            for (const auto& id : e.off) parts += (parts.empty() ? "" : ", ") + name_of(k.parts, id);
            return "off the bike: " + (parts.empty() ? "nothing" : parts);
          },
          [&](const Noted& e) { return "note: " + e.text; },
          [&](const Pictured& e) {
            return fmt::format("photo, {} x {} pixels{}", e.width, e.height, e.caption.empty() ? "" : ": " + e.caption);
          }},
      entry);
  return words + spent_in_words(spent_on(entry));
}

namespace {

std::string happening_in_words(const Diagnosis& d, size_t i) {
  const Happening& h = d.history[i];
  if (const auto* a = std::get_if<Answered>(&h))
    return fmt::format("{}: {}", d.finding(a->finding).name, text(a->answer));
  if (const auto* m = std::get_if<Measured>(&h)) {
    for (const ReadingVerdict& v : d.verdicts) {
      if (i < v.first || i >= v.first + v.happenings) continue;
      const std::string value =
          v.appraised.open ? "open circuit" : with_unit(std::round(1e4 * v.appraised.value) / 1e4, v.reading->unit);
      return fmt::format("{} {} ({})", v.reading->name, value, d.finding(m->finding).name);
    }
    return d.finding(m->finding).name;
  }
  if (const auto* r = std::get_if<Ran>(&h)) {
    return r->result == RunResult::gone     ? "run: trouble gone"
           : r->result == RunResult::better ? "run: better but not right"
                                            : "run: same as before";
  }
  return "";
}

}  // namespace

Why why(const Diagnosis& d, int fault) {
  const size_t f = static_cast<size_t>(fault);
  Why w;
  w.prior = believe(d.bike().model, {}).still_there()[f];
  w.now = d.belief.still_there()[f];
  const Fault& x = d.fault(fault);
  for (const auto& [context, factor] : x.context) {
    if (d.contexts.count(context) == 0) continue;
    w.before.push_back(fmt::format("{}: {}", name_of(d.bike().knowledge->contexts, context),
                                   weight_in_words(10 * std::log10(factor.of(d.bike().traits)))));
  }
  if (x.wears) w.before.push_back(fmt::format("wears with the hours of the {}", x.wears->part));
  for (const EvidenceWeight& e : weigh_evidence(d.bike().model, d.history, fault)) {
    if (std::abs(e.db) < 1) continue;
    Reason r{happening_in_words(d, e.happening), e.db, weight_in_words(e.db)};
    (e.db > 0 ? w.raised : w.lowered).push_back(std::move(r));
  }
  const auto heavier = [](const Reason& a, const Reason& b) { return std::abs(a.db) > std::abs(b.db); };
  std::stable_sort(w.raised.begin(), w.raised.end(), heavier);
  std::stable_sort(w.lowered.begin(), w.lowered.end(), heavier);

  // What would turn it: findings not yet answered that this fault makes clearly likelier or unlikelier than now.
  struct Turn {
    double db;
    std::string words;
  };
  std::vector<Turn> turns;
  const std::vector<double> chance_so = d.belief.chances_so();
  for (size_t i = 0; i < d.bike().model.findings.size(); ++i) {
    if (d.state.settled[i]) continue;
    const FindingModel& m = d.bike().model.findings[i];
    const auto link = std::find_if(m.links.begin(), m.links.end(), [&](const Link& l) { return l.fault == fault; });
    if (link == m.links.end()) continue;
    const double so = chance_so[i];
    const double so_if = 1 - (1 - m.background) * (1 - link->strength);  // if it is this fault alone
    const auto yes = [&](double p) { return m.rates.yes_if_not + (m.rates.yes_if_so - m.rates.yes_if_not) * p; };
    const double up = 10 * std::log10(yes(so_if) / yes(so)), down = 10 * std::log10((1 - yes(so_if)) / (1 - yes(so)));
    const std::string& name = d.finding(static_cast<int>(i)).name;
    if (up > 3) turns.push_back({up, fmt::format("{}: if yes, {}", name, weight_in_words(up))});
    if (down < -3) turns.push_back({-down, fmt::format("{}: if no, {}", name, weight_in_words(down))});
  }
  std::stable_sort(turns.begin(), turns.end(), [](const Turn& a, const Turn& b) { return a.db > b.db; });
  for (size_t i = 0; i < std::min<size_t>(turns.size(), 4); ++i) w.turns.push_back(turns[i].words);
  return w;
}

std::vector<Moved> moved_by(const Diagnosis& d, const ReadingVerdict& v) {
  constexpr double kLikely = 0.01, kMoved_db = 1;
  std::vector<Happening> without = d.history;
  const auto from = without.begin() + static_cast<std::ptrdiff_t>(v.first);
  without.erase(from, from + static_cast<std::ptrdiff_t>(v.happenings));
  const std::vector<double> before = believe(d.bike().model, without).still_there(), now = d.belief.still_there();
  std::set<int> touched;
  for (size_t i = v.first; i < v.first + v.happenings; ++i) {
    const auto& m = std::get<Measured>(d.history[i]);
    for (const Link& l : d.bike().model.findings[static_cast<size_t>(m.finding)].links) touched.insert(l.fault);
  }
  std::vector<Moved> moved;
  for (int fault : touched) {
    const size_t f = static_cast<size_t>(fault);
    const double db = decibans(now[f]) - decibans(before[f]);
    if (std::abs(db) >= kMoved_db && std::max(before[f], now[f]) >= kLikely)
      moved.push_back({fault, db, now[f] - before[f]});
  }
  std::stable_sort(moved.begin(), moved.end(),
                   [](const Moved& a, const Moved& b) { return std::abs(a.chance) > std::abs(b.chance); });
  return moved;
}

std::vector<std::string> verdict_in_words(const Diagnosis& d, const ReadingVerdict& v) {
  const Appraised& a = v.appraised;
  std::string lies = v.reading->name + " " + in_words(a, *v.reading);
  if (!a.not_compared.empty())
    lies += ": " + a.not_compared;
  else if (!a.open && !a.held_against && a.weights.empty())
    lies += ": no figure for this bike or its kind is known, so nothing is made of it";
  std::string speaks;
  for (const FindingWeight& w : a.weights) {
    const Finding* f = d.bike().knowledge->findings.find(w.finding);
    if (f == nullptr || d.bike().finding(w.finding) < 0) continue;
    speaks +=
        fmt::format("{}\"{}\" {}", speaks.empty() ? "" : "; ", f->name, weight_in_words(10 * std::log10(w.ratio())));
  }
  std::vector<std::string> out{std::move(lies)};
  if (!speaks.empty()) out.push_back(speaks);
  constexpr size_t kMost = 3;
  std::vector<Moved> moved = moved_by(d, v);
  moved.resize(std::min(moved.size(), kMost));
  std::string faults;
  for (const Moved& m : moved)
    faults += fmt::format("{}{} {}", faults.empty() ? "" : "; ", d.fault(m.fault).name, weight_in_words(m.db));
  if (!faults.empty()) out.push_back(faults);
  if (a.held_against) out.push_back(in_words(a.spread));
  for (const auto& n : a.notes) out.push_back(n);
  return out;
}

std::vector<std::string> doubts(const Diagnosis& d) {
  std::vector<std::string> out;
  if (d.belief.contradiction)
    out.push_back("Something written down cannot be, whatever is wrong: it was left out. Check the last entries.");
  if (d.belief.left_out() > 0.01) {
    out.push_back(
        fmt::format("The list does not explain this bike well: four or more faults at once could weigh up to {:.0f} %. "
                    "Look again at the finding you are least sure of.",
                    100 * d.belief.left_out()));
  }
  const double conflict = conflict_bits(d.bike().model, d.history);
  if (conflict > 1) {
    out.push_back(
        fmt::format("The findings speak against each other (conflict {:.1f} bit). Repeat the cheapest one before "
                    "stripping further.",
                    conflict));
  }
  const auto lead = d.suspects(1);
  if (!lead.empty() && d.fault(lead[0].fault).last_resort) {
    out.push_back(
        "What leads is something that is not in the list. Write down what you see; look wider before you buy parts.");
  }
  return out;
}

std::string outcome_in_words(const Diagnosis& d, const Outcome& o) {
  std::string out;
  if (o.findings.size() == 1) {
    out = fmt::format("{}: {}", d.finding(o.findings[0].first).name, o.findings[0].second ? "yes" : "no");
  } else {
    for (const auto& [f, so] : o.findings) {
      if (so) out += (out.empty() ? "" : " and ") + d.finding(f).name;
    }
    if (out.empty()) out = "none of these";
  }
  if (o.findings.empty()) out = o.gone ? "trouble gone" : "trouble still there";
  out += fmt::format(" ({:.0f} %)", 100 * o.probability);
  if (o.leader >= 0) out += fmt::format(": then {} {:.0f} %", d.fault(o.leader).name, 100 * o.leader_probability);
  return out;
}

std::string why_last_resort(const Diagnosis& d) {
  std::size_t out = 0;
  for (const PlanStep& s : d.bike().plan.steps) out += s.ready ? 0 : 1;
  if (d.advice.options.size() > 1) return "everything else is likely to cost more before it ends";
  if (out == 0) return "nothing else on the list can be done or would tell anything new";
  return fmt::format(
      "nothing else is left that can be done: {} steps were left out or lack a tool; with one of them the advice "
      "changes",
      out);
}

}  // namespace crankwise
