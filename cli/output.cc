#include "cli/output.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>

namespace crankwise {

std::string minutes_words(double minutes) {
  if (minutes < 1) return fmt::format("{:.0f} s", 60 * minutes);
  if (minutes < 10) return fmt::format("{:.1f} min", minutes);
  if (minutes < 120) return fmt::format("{:.0f} min", minutes);
  return fmt::format("{:.1f} h", minutes / 60);
}

std::string may_tell(const std::vector<Input>& asked) {
  std::string names;
  for (const Input& in : asked) names += fmt::format(" {}={}", in.id, fmt::join(in.choices, "/"));
  return names;
}

std::string effort_words(const Effort& e, const ShopSettings& shop) {
  std::string out = minutes_words(e.minutes);
  if (e.money > 0.5) out += fmt::format(", {:.0f} {}", e.money, shop.currency);
  return out;
}

Effort effort_now(const Option& o) { return o.access + o.own; }

std::string parts_words(const BikeModel& m, PartMask mask) {
  std::string out;
  for (size_t p = 0; p < m.parts.size(); ++p) {
    if (mask & Access::bit(static_cast<int>(p))) out += (out.empty() ? "" : ", ") + m.parts[p]->name;
  }
  return out.empty() ? "nothing" : out;
}

std::string Output::bold(const std::string& text) const { return terminal_ ? "\033[1m" + text + "\033[0m" : text; }

void Output::json(const Json& j) { line(j.dump(1, ' ', false, Json::error_handler_t::replace)); }

void Output::heading(const std::string& text) { line("\n" + bold(text)); }

void Output::wrapped(const std::string& text, const std::string& first, std::size_t indent) {
  constexpr std::size_t kWidth = 78;
  std::string row = first;
  row.resize(std::max(indent, first.size()), ' ');
  std::size_t used = row.size();
  bool empty = true;
  for (std::size_t from = 0; from < text.size();) {
    std::size_t to = std::min(text.find(' ', from), text.size());
    const std::string word = text.substr(from, to - from);
    if (!empty && used + 1 + word.size() > kWidth) {
      line(row);
      row.assign(indent, ' ');
      used = indent;
      empty = true;
    }
    if (!empty) row += ' ', ++used;
    row += word;
    used += word.size();
    empty = false;
    from = to + 1;
  }
  line(row);
}

void Output::job_head(const Job& job, const Bike& bike, const Diagnosis* d) {
  line(bold(fmt::format("Job {} - {}", job.number, bike.name)) + fmt::format(" - \"{}\"", job.complaint));
  if (job.end != JobEnd::open) line(fmt::format("closed {}: {}", job.closed_at.substr(0, 10), text(job.end)));
  if (d != nullptr && d->state.off != 0) wrapped(parts_words(d->bike(), d->state.off), "Off the bike: ", 14);
}

void Output::suspects(const Diagnosis& d, std::size_t count) {
  heading("Likeliest now");
  for (const Suspect& s : d.suspects(count)) {
    if (s.probability < 0.001) break;
    line(fmt::format("  {:5.1f} %  {:<48} {}", 100 * s.probability, d.fault(s.fault).name, d.fault(s.fault).id));
  }
}

void Output::step_card(const BikeModel& m, const Step& s) {
  for (const auto& id : cautions_of(*m.knowledge, s)) {
    const Caution* c = m.knowledge->cautions.find(id);
    wrapped(c->name + ". " + c->text, bold("  CAUTION  "), 11);
  }
  const char* first = "  How      ";
  for (const auto& how : s.how) {
    wrapped(how, first, 11);
    first = "           ";
  }
  if (!s.expect.empty()) wrapped(s.expect, "  Right is ", 11);
  for (const Reading* r : m.readings_of(s)) {
    if (m.findings.empty()) break;  // of no bike
    const auto y = m.yardsticks.find(r->id);
    std::string right = "says something only once its figure is known: crankwise figure";
    if (y != m.yardsticks.end())
      right = in_words(y->second, *r);
    else if (!r->open.empty())
      right = "open or not; more once its figure is known: crankwise figure";
    const std::string may = may_tell(worth_asking(*r, m.traits));
    const std::string told = may.empty() ? "" : "; tell as far as known" + may;
    wrapped(fmt::format("{} [{}]: {}{}", r->name, r->id, right, told), "  Reads    ", 11);
  }
  if (!s.needs.empty()) wrapped(fmt::format("{}", fmt::join(s.needs, ", ")), "  Needs    ", 11);
  std::string tools;
  for (const auto& id : s.tools) tools += (tools.empty() ? "" : ", ") + m.knowledge->tools.find(id)->name;
  if (!tools.empty()) wrapped(tools, "  Tools    ", 11);
}

void Output::option(const Diagnosis& d, const Option& o, const ShopSettings& shop) {
  const BikeModel& m = d.bike();
  const PlanStep& p = m.plan.steps[static_cast<size_t>(o.step)];
  const Step* step = m.steps[static_cast<size_t>(o.step)];
  std::string cost = effort_words(effort_now(o), shop);
  if (o.access.minutes > 0.05) cost += fmt::format(" ({} of it getting there)", minutes_words(o.access.minutes));
  if (p.act == Act::swap && o.own.money > 0.5) cost += "; the money only if the part stays";
  wrapped(m.step_name(o.step), bold("NEXT") + "  ", 6);
  line("      " + cost + (step != nullptr ? "   [" + step->id + "]" : ""));
  const PartMask off = o.off_after & ~d.state.off, on = d.state.off & ~o.off_after;
  if (off != 0) wrapped(parts_words(m, off), "  Take off ", 11);
  if (on != 0) wrapped(parts_words(m, on), "  Put back ", 11);
  if (step != nullptr) step_card(m, *step);
  const Effort saved = saved_by_what_is_off(m.plan, d.state, o);
  if (saved.minutes > 0.5) line("  Saves    " + effort_words(saved, shop) + " by what is off already");
  if (o.step == d.advice.options.front().step) {
    const double worth = worth_up_to(d.advice, m.plan.minutes_per_money);
    const double now = effort_now(o).joined(m.plan.minutes_per_money);
    if (std::isfinite(worth) && worth > now + 1) {
      line(fmt::format("  Worth it up to {} in all, money counted; then rather the next best", minutes_words(worth)));
    }
  }
  if (p.act == Act::last_resort) wrapped(why_last_resort(d), "  Because  ", 11);
  if (o.then >= 0) {
    wrapped("before the run also: " + m.step_name(o.then), "  Then     ", 11);
  } else if (p.act == Act::repair || p.act == Act::swap) {
    line(fmt::format("  Then     put back and run: {} more; it ends the job in {:.0f} of 100 such bikes",
                     effort_words(o.closing, shop), 100 * o.chance_ends));
  }
  constexpr double kWorthSaying = 0.04;  // rarer outcomes are left to --json
  for (const Outcome& out : o.outcomes) {
    if (out.probability >= kWorthSaying) wrapped(outcome_in_words(d, out), "  If ", 5);
  }
}

namespace {

/// Why another step came after the best one.
std::string why_second(const Option& best, const Option& o, const ShopSettings& shop) {
  const double more = o.value - best.value;
  std::string out = more < 0.5 ? "as good within half a minute" : fmt::format("{} more in all", minutes_words(more));
  const double now = effort_now(o).minutes, best_now = effort_now(best).minutes;
  const double money = effort_now(o).money - effort_now(best).money;
  std::vector<std::string> because;
  if (now > 1.3 * best_now + 0.5)
    because.push_back(fmt::format("{} against {} now", minutes_words(now), minutes_words(best_now)));
  if (money > 1) because.push_back(fmt::format("{:.0f} {} more", money, shop.currency));
  if (o.chance_ends + 0.02 < best.chance_ends)
    because.push_back(
        fmt::format("ends it in {:.0f} against {:.0f} of 100", 100 * o.chance_ends, 100 * best.chance_ends));
  if (o.chance_ends == 0 && best.chance_ends == 0 && o.information_bits + 0.02 < best.information_bits)
    because.push_back("tells less");
  if (o.chance_ends == 0 && best.chance_ends > 0) because.push_back("settles nothing by itself");
  for (size_t i = 0; i < because.size(); ++i) out += (i == 0 ? ": " : ", ") + because[i];
  return out;
}

}  // namespace

void Output::next(const Diagnosis& d, const ShopSettings& shop, std::size_t alternatives) {
  doubts(d);
  if (d.advice.proven) {
    heading(fmt::format("Proven: the last run was clean and only {:.1f} % doubt is left. Close the job.",
                        100 * d.advice.doubt));
    return;
  }
  if (d.state.last_run_clean) {
    line(fmt::format("\nThe last run was clean, but {:.0f} % doubt is left (it may come and go): run it again.",
                     100 * d.advice.doubt));
  }
  line();
  option(d, d.advice.options.front(), shop);
  if (alternatives == 0 || d.advice.options.size() < 2) return;
  heading("Or");
  for (size_t i = 1; i < std::min(d.advice.options.size(), alternatives + 1); ++i) {
    const Option& o = d.advice.options[i];
    wrapped(fmt::format("{} ({}): {}   [{}]", d.bike().step_name(o.step), effort_words(effort_now(o), shop),
                        why_second(d.advice.options.front(), o, shop), d.bike().step_id(o.step)),
            "  - ", 4);
  }
}

void Output::verdicts(const Diagnosis& d) {
  for (const ReadingVerdict& v : d.verdicts) verdict(d, v);
}

void Output::verdict(const Diagnosis& d, const ReadingVerdict& v) {
  const char* indent = "  ";
  for (const std::string& words : verdict_in_words(d, v)) {
    wrapped(words, indent, 4);
    indent = "    ";
  }
}

void Output::why(const Diagnosis& d, int fault) {
  const Why w = crankwise::why(d, fault);
  const Fault& f = d.fault(fault);
  line(bold(f.name) + fmt::format(": {:.1f} % now, {:.1f} % before anything was known", 100 * w.now, 100 * w.prior));
  if (!f.note.empty()) wrapped(f.note, "  ", 2);
  for (const auto& b : w.before) wrapped(b, "  before   ", 11);
  for (const auto& r : w.raised) wrapped(fmt::format("{}: {} ({:+.1f} dB)", r.what, r.words, r.db), "  raised   ", 11);
  for (const auto& r : w.lowered) wrapped(fmt::format("{}: {} ({:+.1f} dB)", r.what, r.words, r.db), "  lowered  ", 11);
  for (const auto& t : w.turns) wrapped(t, "  would turn it  ", 17);
}

void Output::standing(const Diagnosis& d) {
  const Standing s = standing_of(d);
  if (s.fault < 0 || d.advice.proven) return;
  const std::string step = d.bike().step_name(d.advice.options.front().step);
  const std::string fault = d.fault(s.fault).name;
  heading("How far the advice stands");
  if (s.from <= 0 && s.to >= 1) {
    wrapped(fmt::format("{}: the best next step however likely {} is.", step, fault));
    return;
  }
  wrapped(
      fmt::format("{}: the best next step while {} is between {:.0f} and {:.0f} % likely, all else in proportion; "
                  "it is {:.0f} % now.",
                  step, fault, 100 * s.from, 100 * s.to, 100 * s.probability));
}

void Output::doubts(const Diagnosis& d) {
  for (const auto& text : crankwise::doubts(d)) wrapped(text, "\n" + bold("NOTE") + "  ", 6);
  for (const auto& text : d.left_out) wrapped(text, "  left out: ", 12);
}

void Output::job_log(const Knowledge& k, const Job& job) {
  for (const JobEntry& e : job.entries) {
    wrapped(entry_in_words(k, e.entry), fmt::format("  {} {}  ", e.at.substr(0, 10), e.at.substr(11, 5)), 20);
  }
  for (const JobEntry& e : job.taken_back) {
    wrapped(entry_in_words(k, e.entry), fmt::format("  {} {}  (taken back) ", e.at.substr(0, 10), e.at.substr(11, 5)),
            20);
  }
  if (job.end == JobEnd::open) return;
  std::string causes;
  for (const auto& c : job.causes) {
    const Fault* f = k.faults.find(c);
    causes += (causes.empty() ? "" : ", ") + (f == nullptr ? c : f->name);
  }
  line(fmt::format("  {} {}  closed, {}{}{}", job.closed_at.substr(0, 10), job.closed_at.substr(11, 5), text(job.end),
                   causes.empty() ? "" : ": " + causes, job.words.empty() ? "" : " - " + job.words));
}

}  // namespace crankwise
