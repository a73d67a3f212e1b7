// One job as its page shows it.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "app/explain.h"
#include "http/wire.h"

namespace crankwise::wire {
namespace {

constexpr std::size_t kSuspects = 12;
constexpr double kWorthSaying = 0.02;  // rarer outcomes are left out

Json effort(const Effort& e) { return {{"minutes", e.minutes}, {"money", e.money}}; }

const char* act_of(const BikeModel& m, int step) {
  const PlanStep& p = m.plan.steps[static_cast<std::size_t>(step)];
  switch (p.act) {
    case Act::ask:
      return m.question[static_cast<std::size_t>(step)] >= 0 ? "question" : "look";
    case Act::repair:
      return "repair";
    case Act::swap:
      return "swap";
    case Act::run:
      return "run";
    case Act::last_resort:
      return "last-resort";
  }
  return "";
}

/// The parts of a mask; those that must come off first stand first.
Json parts(const BikeModel& m, PartMask mask, bool outer_first) {
  std::vector<int> list;
  for (int p = 0; p < static_cast<int>(m.parts.size()); ++p) {
    if ((mask & Access::bit(p)) != 0) list.push_back(p);
  }
  const auto depth = [&](int p) { return __builtin_popcountll(m.plan.access.closure(p)); };
  std::stable_sort(list.begin(), list.end(),
                   [&](int a, int b) { return outer_first ? depth(a) < depth(b) : depth(a) > depth(b); });
  Json out = Json::array();
  for (const int p : list)
    out.push_back(named(m.parts[static_cast<std::size_t>(p)]->id, m.parts[static_cast<std::size_t>(p)]->name));
  return out;
}

Json card(const Diagnosis& d, const Step& s, PartMask off_after, const ShopSettings& shop) {
  const BikeModel& m = d.bike();
  const Knowledge& k = *m.knowledge;
  Json j{{"engine", text(s.engine)},
         {"wait_minutes", s.wait_min},
         {"off", parts(m, off_after & ~d.state.off, true)},
         {"on", parts(m, d.state.off & ~off_after, false)},
         {"needs", s.needs},
         {"tools", Json::array()},
         {"cautions", cautions(k, cautions_of(k, s))},
         {"how", s.how},
         {"expect", s.expect},
         {"readings", Json::array()}};
  for (const std::string& t : s.tools) {
    const Tool* tool = k.tools.find(t);
    j["tools"].push_back(tool == nullptr ? t : tool->name);
  }
  for (const Reading* r : m.readings_of(s)) j["readings"].push_back(reading_form(*r, &m, shop.usual));
  return j;
}

Json asked(const Diagnosis& d, int step) {
  const BikeModel& m = d.bike();
  const Step* s = m.steps[static_cast<std::size_t>(step)];
  Json out = Json::array();
  for (const int f : m.plan.steps[static_cast<std::size_t>(step)].findings) {
    const Finding& finding = d.finding(f);
    bool by_reading = false;
    if (s != nullptr) {
      for (const Reading* r : m.readings_of(*s))
        by_reading = by_reading || r->below == finding.id || r->above == finding.id || r->open == finding.id;
    }
    Json j = named(finding.id, finding.name);
    j["ask"] = finding.ask;
    j["by_reading"] = by_reading;
    j["measured_only"] = finding.kind == FindingKind::measured;
    j["settled"] = d.state.settled[static_cast<std::size_t>(f)] != 0;
    out.push_back(std::move(j));
  }
  return out;
}

Json outcomes(const Diagnosis& d, const Option& o) {
  Json out = Json::array();
  for (const Outcome& x : o.outcomes) {
    if (x.probability < kWorthSaying) continue;
    Json so = Json::array();
    for (const auto& [f, is] : x.findings)
      so.push_back({{"finding", d.finding(f).id}, {"name", d.finding(f).name}, {"so", is}});
    out.push_back({{"so", std::move(so)},
                   {"gone", x.findings.empty() ? Json(x.gone) : Json()},
                   {"probability", x.probability},
                   {"leader", x.leader < 0 ? "" : d.fault(x.leader).name},
                   {"leader_probability", x.leader_probability}});
  }
  return out;
}

Json option(const Diagnosis& d, const Option& o, const ShopSettings& shop, std::optional<double> worth) {
  const BikeModel& m = d.bike();
  const Step* s = m.steps[static_cast<std::size_t>(o.step)];
  return {{"step", m.step_id(o.step)},
          {"name", m.step_name(o.step)},
          {"act", act_of(m, o.step)},
          {"kind", s == nullptr ? "question" : text(s->kind)},
          {"access", effort(o.access)},
          {"own", effort(o.own)},
          {"closing", effort(o.closing)},
          {"saved", effort(saved_by_what_is_off(m.plan, d.state, o))},
          {"whole_job_minutes", o.value},
          {"chance_ends", o.chance_ends},
          {"worth_up_to_minutes", worth && std::isfinite(*worth) ? Json(*worth) : Json()},
          {"because", s != nullptr && s->last_resort ? why_last_resort(d) : ""},
          {"then", o.then < 0 ? Json() : named(m.step_id(o.then), m.step_name(o.then))},
          {"card", s == nullptr ? Json() : card(d, *s, o.off_after, shop)},
          {"ask", asked(d, o.step)},
          {"outcomes", outcomes(d, o)}};
}

Json log(const Diagnosis& d, const Job& job) {
  Json out = Json::array();
  for (std::size_t i = 0; i < job.entries.size(); ++i) {
    const JobEntry& e = job.entries[i];
    Json verdict = Json::array();
    for (const ReadingVerdict& v : d.verdicts) {
      if (v.entry != i) continue;
      for (const std::string& sentence : verdict_in_words(d, v)) verdict.push_back(sentence);
    }
    const auto* photo = std::get_if<Pictured>(&e.entry);
    out.push_back({{"act", e.act},
                   {"at", e.at},
                   {"kind", entry_kind(e.entry)},
                   {"words", entry_in_words(*d.bike().knowledge, e.entry)},
                   {"verdict", std::move(verdict)},
                   {"photo", photo == nullptr ? Json()
                                              : Json{{"sha256", photo->sha256},
                                                     {"width", photo->width},
                                                     {"height", photo->height},
                                                     {"of", photo->of_act}}}});
  }
  return out;
}

Json faults_named(const Knowledge& k, const std::vector<std::string>& ids) {
  Json out = Json::array();
  for (const std::string& id : ids) {
    const Fault* f = k.faults.find(id);
    out.push_back(named(id, f == nullptr ? id : f->name));
  }
  return out;
}

/// Steps whose known good part is in the bike now.
Json swapped_in(const BikeModel& m, const Job& job) {
  Json out = Json::array();
  for (const JobEntry& e : job.entries) {
    const auto* did = std::get_if<Did>(&e.entry);
    const int s = did == nullptr ? -1 : m.step(did->step);
    if (s < 0 || m.plan.steps[static_cast<std::size_t>(s)].act != Act::swap || taken_out_again(job, e)) continue;
    out.push_back(named(did->step, m.step_name(s)));
  }
  return out;
}

/// What was so before, and what was told of it last.
Json contexts(const Knowledge& k, const Job& job) {
  std::map<std::string, bool> told;
  for (const JobEntry& e : job.entries) {
    if (const auto* was = std::get_if<WasSo>(&e.entry)) told[was->context] = was->so;
  }
  Json out = Json::array();
  for (const Context& x : k.contexts) {
    Json j = named(x.id, x.name);
    const auto so = told.find(x.id);
    j["ask"] = x.ask;
    j["so"] = so == told.end() ? Json() : Json(so->second);
    out.push_back(std::move(j));
  }
  return out;
}

void add_advice(Json& j, const Diagnosis& d, const ShopSettings& shop) {
  const BikeModel& m = d.bike();
  std::set<int> shown;
  for (const Option& o : d.advice.options) {
    const bool best = &o == &d.advice.options.front();
    if (best && d.advice.proven) continue;
    shown.insert(o.step);
    if (best)
      j["next"] = option(d, o, shop, worth_up_to(d.advice, m.plan.minutes_per_money));
    else
      j["others"].push_back(option(d, o, shop, {}));
  }
  for (int s = 0; s < static_cast<int>(m.steps.size()); ++s) {
    if (m.steps[static_cast<std::size_t>(s)] == nullptr || shown.count(s) > 0) continue;
    Json line = named(m.step_id(s), m.step_name(s));
    line["minutes"] = m.plan.steps[static_cast<std::size_t>(s)].minutes;
    j["steps"].push_back(std::move(line));
  }
}

}  // namespace

JobCase job_case(const Shop& shop, int number) {
  JobCase c{shop.last_for(number), shop.state(number), shop.bike(shop.job(number).bike), {}};
  c.last = shop.last_act(number);
  return c;
}

Json job(const Knowledge& k, const JobCase& c) {
  const Job& job = c.state.job;
  const bool open = job.end == JobEnd::open;
  const Diagnosis d =
      open ? diagnose(k, c.state) : judge(k, c.state.bike, job.plain_entries(), c.state.settings, c.state.learned);
  const BikeModel& m = d.bike();
  Json j{{"seq", c.seq},
         {"job", job.number},
         {"bike",
          {{"id", c.bike.id},
           {"name", c.bike.name},
           {"kind", kind_of(k, c.bike)},
           {"hours", c.bike.hours_known ? Json(c.bike.hours) : Json()},
           {"traits", c.bike.traits},
           {"parts", Json::array()}}},
         {"complaint", job.complaint},
         {"opened", job.opened_at},
         {"closed", open ? "" : job.closed_at},
         {"end", text(job.end)},
         {"causes", faults_named(k, job.causes)},
         {"words", job.words},
         {"to_confirm", heard(k, to_confirm(k, job, c.bike))},
         {"when", Json::array()},
         {"contexts", contexts(k, job)},
         {"run", named(m.step_id(m.plan.run_step), m.step_name(m.plan.run_step))},
         {"currency", c.state.settings.currency},
         {"next", nullptr},
         {"others", Json::array()},
         {"steps", Json::array()},
         {"proven", d.advice.proven},
         {"doubt", open ? d.advice.doubt : std::max(job.doubt, 0.0)},
         {"suspects", Json::array()},
         {"notes", doubts(d)},
         {"off", Json::array()},
         {"log", log(d, job)},
         {"undo", c.last.act == 0 ? Json() : Json{{"act", c.last.act}, {"words", c.last.words}}},
         {"likely_causes", faults_named(k, likely_causes(d))},
         {"swapped_in", swapped_in(m, job)}};
  for (std::size_t p = 0; p < m.parts.size(); ++p) {
    j["bike"]["parts"].push_back(m.parts[p]->id);
    if ((d.state.off & Access::bit(static_cast<int>(p))) != 0) j["off"].push_back(m.parts[p]->id);
  }
  for (const Finding* f : m.findings) {
    if (f->kind != FindingKind::when) continue;
    Json w = named(f->id, f->name);
    const auto answer = d.answers.find(f->id);
    w["ask"] = f->ask;
    w["group"] = f->group.empty() ? "What else" : f->group;
    w["answer"] = answer == d.answers.end() ? Json() : Json(text(answer->second));
    j["when"].push_back(std::move(w));
  }
  for (const Suspect& s : d.suspects(kSuspects)) {
    const Fault& f = d.fault(s.fault);
    j["suspects"].push_back(
        {{"fault", f.id}, {"name", f.name}, {"part", part_name(k, f.part)}, {"probability", s.probability}});
  }
  if (open) add_advice(j, d, c.state.settings);
  return j;
}

Json step(const Diagnosis& d, const ShopSettings& shop, int s) {
  for (const Option& o : d.advice.options) {
    if (o.step == s) return option(d, o, shop, {});
  }
  const BikeModel& m = d.bike();
  const PlanStep& p = m.plan.steps[static_cast<std::size_t>(s)];
  const Access& access = m.plan.access;
  PartMask on = 0;
  for (const int part : p.on) on |= Access::bit(part);
  Option o;
  o.step = s;
  o.off_after = access.reach(d.state.off, access.closure(p.off), on);
  o.access = access.move(d.state.off, o.off_after);
  o.own = {p.minutes, p.money};
  return option(d, o, shop, {});
}

Json why(const Diagnosis& d, int fault) {
  const Why w = crankwise::why(d, fault);
  const auto reasons = [](const std::vector<Reason>& list) {
    Json out = Json::array();
    for (const Reason& r : list) out.push_back({{"what", r.what}, {"words", r.words}, {"db", r.db}});
    return out;
  };
  return {{"fault", named(d.fault(fault).id, d.fault(fault).name)},
          {"prior", w.prior},
          {"now", w.now},
          {"before", w.before},
          {"raised", reasons(w.raised)},
          {"lowered", reasons(w.lowered)},
          {"turns", w.turns}};
}

}  // namespace crankwise::wire
