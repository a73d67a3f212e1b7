// The command that shows one thing known, whole.
#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <memory>
#include <nlohmann/json.hpp>
#include <set>

#include "app/readings/method.h"
#include "cli/cli.h"

namespace crankwise::set_up {
namespace {

std::string strengths_words(const Strengths& list) {
  std::string out;
  for (const auto& [id, s] : list) {
    out += (out.empty() ? "" : ", ") + fmt::format("{} {:g}", id, s.two_stroke);
    if (s.two_stroke != s.four_stroke) out += fmt::format("/{:g}", s.four_stroke);
  }
  return out;
}

void place_line(Cli& cli, const Named& x) {
  cli.output.line(fmt::format("  {}:{}, source: {}", x.place.file, x.place.line, x.source));
}

// The main fields of each kind, for programs.
Json cycles(const PerCycle& p) { return {{"two-stroke", p.two_stroke}, {"four-stroke", p.four_stroke}}; }
Json strengths(const Strengths& list) {
  Json out = Json::object();
  for (const auto& [id, s] : list) out[id] = cycles(s);
  return out;
}
Json fields(const BikeClass& c) { return {{"traits", c.traits}, {"displacement_cc", c.displacement_cc}}; }
Json fields(const Trait& t) { return {{"group", t.group}}; }
Json fields(const Tool& t) { return {{"common", t.common}}; }
Json fields(const Caution& c) { return {{"text", c.text}}; }
Json fields(const Term& t) { return {{"forms", t.forms}, {"plain", t.plain}}; }
Json fields(const Context& c) { return {{"ask", c.ask}, {"words", c.words}}; }
Json fields(const Fault& f) {
  return {{"part", f.part},
          {"share", cycles(f.share)},
          {"causes", strengths(f.causes)},
          {"context", strengths(f.context)},
          {"note", f.note}};
}
Json fields(const Finding& f) { return {{"finding_kind", text(f.kind)}, {"ask", f.ask}, {"words", f.words}}; }
Json fields(const Reading& r) {
  Json j{{"ask", r.ask}, {"unit", r.unit}, {"below", r.below}, {"above", r.above}, {"ranges", Json::array()}};
  for (const auto& x : r.ranges) j["ranges"].push_back({{"low", x.low}, {"high", x.high}, {"source", x.source}});
  return j;
}
Json fields(const Part& p) {
  return {{"off_min", cycles(p.off_min)}, {"on_min", cycles(p.on_min)}, {"after", p.after}, {"cautions", p.cautions}};
}
Json fields(const Step& s) {
  return {{"step_kind", text(s.kind)}, {"minutes", cycles(s.minutes)},
          {"money", cycles(s.money)},  {"off", s.off},
          {"tools", s.tools},          {"how", s.how},
          {"cautions", s.cautions},    {"answers", s.answers},
          {"reads", s.reads},          {"cures", strengths(s.cures)},
          {"expect", s.expect}};
}

Json fields(const Upkeep& u) {
  Json j{{"work", u.work},   {"why", u.why},       {"parts", u.parts},      {"cautions", u.cautions},
         {"shape", u.shape}, {"spread", u.spread}, {"every", Json::array()}};
  for (const auto& i : u.every) {
    j["every"].push_back({{"up_to_cc", i.up_to_cc},
                          {"hours", i.hours},
                          {"hard_hours", i.hard_hours},
                          {"days", i.days},
                          {"life_h", i.life_h},
                          {"life_days", i.life_days},
                          {"source", i.source.empty() ? u.source : i.source}});
  }
  return j;
}

std::string condition_words(const Condition& c) {
  std::vector<std::string> lines;
  for (const auto& line : c.lines) {
    std::vector<std::string> words;
    for (const auto& a : line) words.push_back((a.negated ? "not " : "") + a.trait);
    lines.push_back(fmt::format("{}", fmt::join(words, " or ")));
  }
  return fmt::format("{}", fmt::join(lines, ", "));
}

void show_upkeep(Cli& cli, const Upkeep& u) {
  Output& out = cli.output;
  out.heading("upkeep: " + u.name);
  for (const auto& id : u.cautions) {
    const Caution* c = cli.knowledge().cautions.find(id);
    out.wrapped(c->name + ". " + c->text, "  CAUTION  ", 11);
  }
  out.wrapped(fmt::format("{}. {}", u.work, u.why), "  ", 2);
  out.wrapped(fmt::format("{}", fmt::join(u.parts, ", ")), "  renews   ", 11);
  for (const auto& i : u.every) {
    std::string words = i.hours > 0 ? fmt::format("{:g} h", i.hours) : "";
    if (i.hard_hours > 0) words += fmt::format(", ridden hard {:g} h", i.hard_hours);
    if (i.days > 0) words += fmt::format("{}{:g} days", words.empty() ? "" : ", or ", i.days);
    std::string who = condition_words(i.applies);
    if (i.up_to_cc > 0) who += fmt::format("{}up to {:g} cm3", who.empty() ? "" : ", ", i.up_to_cc);
    words += fmt::format("; without it 63 % give trouble by {}",
                         i.life_h > 0 ? fmt::format("{:g} h", i.life_h) : fmt::format("{:g} days", i.life_days));
    if (!who.empty()) words = who + ": " + words;
    out.wrapped(fmt::format("{} ({})", words, i.source.empty() ? u.source : i.source), "  every    ", 11);
  }
  place_line(cli, u);
}

/// Shows the thing of that id; false if there is none.
bool show_thing(Cli& cli, const std::string& id) {
  const Knowledge& k = cli.knowledge();
  Output& out = cli.output;
  bool found = false;
  if (const Fault* f = k.faults.find(id)) {
    out.heading("fault: " + f->name);
    if (!f->note.empty()) out.wrapped(f->note, "  ", 2);
    out.wrapped(
        fmt::format("{:g}{} of 100", f->share.two_stroke,
                    f->share.two_stroke != f->share.four_stroke ? fmt::format("/{:g}", f->share.four_stroke) : ""),
        "  share    ", 11);
    out.wrapped(strengths_words(f->causes), "  causes   ", 11);
    if (!f->context.empty()) out.wrapped(strengths_words(f->context), "  context  ", 11);
    for (const SimulatedClass& c : k.simulated) {
      const auto* simulated = c.find(id);
      if (simulated == nullptr) continue;
      std::string shows;
      for (const auto& [finding, share] : simulated->shows)
        shows += fmt::format("{}{} {:g}", shows.empty() ? "" : ", ", finding, share);
      out.wrapped(c.id + ": " + (shows.empty() ? "hardly shows" : shows), "  simulated ", 11);
    }
    std::string cures;
    for (const Step& s : k.steps) {
      for (const auto& [fault, chance] : s.cures) {
        if (fault == id) cures += (cures.empty() ? "" : ", ") + fmt::format("{} {:g}", s.id, chance.two_stroke);
      }
    }
    out.wrapped(cures, "  cured by ", 11);
    place_line(cli, *f);
    found = true;
  }
  if (const Finding* f = k.findings.find(id)) {
    out.heading("finding: " + f->name);
    out.wrapped(f->ask, "  ", 2);
    std::string by, answered;
    for (const Fault& x : k.faults) {
      for (const auto& [finding, s] : x.causes) {
        if (finding == id) by += (by.empty() ? "" : ", ") + fmt::format("{} {:g}", x.id, s.two_stroke);
      }
    }
    for (const Step& s : k.steps) {
      if (std::find(s.answers.begin(), s.answers.end(), id) != s.answers.end())
        answered += (answered.empty() ? "" : ", ") + s.id;
    }
    if (!f->words.empty()) out.wrapped(fmt::format("{}", fmt::join(f->words, ", ")), "  words    ", 11);
    out.wrapped(by, "  shown by ", 11);
    if (!answered.empty()) out.wrapped(answered, "  steps    ", 11);
    place_line(cli, *f);
    found = true;
  }
  if (const Step* s = k.steps.find(id)) {
    out.heading("step: " + s->name);
    BikeModel m;
    m.knowledge = &k;
    out.step_card(m, *s);
    if (!s->off.empty()) out.wrapped(fmt::format("{}", fmt::join(s->off, ", ")), "  Off      ", 11);
    if (!s->answers.empty()) out.wrapped(fmt::format("{}", fmt::join(s->answers, ", ")), "  Answers  ", 11);
    if (!s->reads.empty()) out.wrapped(fmt::format("{}", fmt::join(s->reads, ", ")), "  Reads    ", 11);
    if (!s->cures.empty()) out.wrapped(strengths_words(s->cures), "  Cures    ", 11);
    place_line(cli, *s);
    found = true;
  }
  if (const Reading* r = k.readings.find(id)) {
    out.heading("reading: " + r->name);
    std::set<std::string> cautions;
    for (const Step& s : k.steps) {
      if (std::find(s.reads.begin(), s.reads.end(), r->id) == s.reads.end()) continue;
      for (const auto& caution : cautions_of(k, s)) cautions.insert(caution);
    }
    for (const auto& caution : cautions)
      out.wrapped(k.cautions.find(caution)->name + ". " + k.cautions.find(caution)->text, "  CAUTION  ", 11);
    out.wrapped(r->ask, "  ", 2);
    for (const auto& range : r->ranges) {
      std::vector<std::string> whose;
      for (const auto& line : range.applies.lines) {
        std::vector<std::string> any;
        for (const auto& a : line) any.push_back((a.negated ? "not " : "") + a.trait);
        whose.push_back(fmt::format("{}", fmt::join(any, " or ")));
      }
      for (const auto& [condition, word] : range.told) whose.push_back(condition + "=" + word);
      out.wrapped(fmt::format("{:g} to {:g} {}{}{} ({})", range.low, range.high, r->unit, whose.empty() ? "" : ": ",
                              fmt::join(whose, ", "), range.source.empty() ? r->source : range.source),
                  "  healthy  ", 11);
    }
    for (const AskedCondition& c : conditions_of(*r)) {
      const Input& in = c.input;
      const std::string kind = in.choices.empty() ? in.unit : fmt::format("{}", fmt::join(in.choices, "/"));
      const std::string whose = c.of == AskedCondition::Of::bike   ? "; of the bike, told once: crankwise figure"
                                : c.of == AskedCondition::Of::shop ? "; told once: crankwise settings --usual"
                                                                   : "";
      out.wrapped(fmt::format("{}= {}{}{}{}", in.id, kind, in.ask.empty() ? "" : ": ", in.ask, whose), "  told     ",
                  11);
    }
    if (r->ranges.empty()) out.line("  healthy  no class range: judged only against the bike's own figure");
    place_line(cli, *r);
    found = true;
  }
  if (const Part* p = k.parts.find(id)) {
    out.heading("part: " + p->name);
    out.line(fmt::format("  {:g} min off, {:g} min on (two-stroke); {:g}, {:g} (four-stroke)", p->off_min.two_stroke,
                         p->on_min.two_stroke, p->off_min.four_stroke, p->on_min.four_stroke));
    if (!p->after.empty()) out.line(fmt::format("  first    {}", fmt::join(p->after, ", ")));
    found = true;
  }
  if (const Context* c = k.contexts.find(id)) {
    out.heading("context: " + c->name);
    out.wrapped(c->ask, "  ", 2);
    found = true;
  }
  if (const Term* t = k.terms.find(id)) {
    out.heading("term: " + t->name);
    out.wrapped(t->plain, "  ", 2);
    if (!t->forms.empty()) out.wrapped(fmt::format("also {}", fmt::join(t->forms, ", ")), "  ", 2);
    place_line(cli, *t);
    found = true;
  }
  if (const BikeClass* c = k.classes.find(id)) {
    out.heading("class: " + c->name);
    out.wrapped(fmt::format("{}", fmt::join(c->traits, ", ")), "  ", 2);
    found = true;
  }
  if (const Tool* t = k.tools.find(id)) {
    out.heading("tool: " + t->name);
    out.line(t->common ? "  every workshop has it" : "  not in every workshop (crankwise settings --lacks)");
    found = true;
  }
  if (const Trait* t = k.traits.find(id)) {
    out.heading("trait: " + t->name);
    if (!t->group.empty()) out.line("  a bike has exactly one of the group " + t->group);
    found = true;
  }
  if (const Upkeep* u = k.upkeep.find(id)) {
    show_upkeep(cli, *u);
    found = true;
  }
  if (const Caution* c = k.cautions.find(id)) {
    out.heading("caution: " + c->name);
    out.wrapped(c->text, "  ", 2);
    found = true;
  }
  return found;
}

}  // namespace

void show(CLI::App& app, Cli& cli) {
  auto id = std::make_shared<std::string>();
  app.add_option("id", *id, "of a fault, finding, step, reading, part, upkeep, context, class, caution or term")
      ->required()
      ->type_name("ID");
  app.callback([id, &cli] {
    if (cli.json) {
      Json all = Json::array();
      const auto find = [&](const char* kind, const auto& shelf) {
        const auto* x = shelf.find(*id);
        if (x == nullptr) return;
        Json j = fields(*x);
        j.update({{"kind", kind},
                  {"id", x->id},
                  {"name", x->name},
                  {"source", x->source},
                  {"file", x->place.file},
                  {"line", x->place.line}});
        all.push_back(std::move(j));
      };
      const Knowledge& k = cli.knowledge();
      find("class", k.classes), find("trait", k.traits), find("fault", k.faults), find("finding", k.findings);
      find("reading", k.readings), find("step", k.steps), find("part", k.parts), find("tool", k.tools);
      find("caution", k.cautions), find("context", k.contexts), find("upkeep", k.upkeep), find("term", k.terms);
      if (!all.empty()) return cli.output.json(all);
    } else if (show_thing(cli, *id)) {
      return;
    }
    const Knowledge& k = cli.knowledge();
    std::vector<std::string> ids;
    for (const auto& some :
         {k.classes.ids(), k.traits.ids(), k.faults.ids(), k.findings.ids(), k.readings.ids(), k.steps.ids(),
          k.parts.ids(), k.tools.ids(), k.cautions.ids(), k.contexts.ids(), k.upkeep.ids(), k.terms.ids()})
      ids.insert(ids.end(), some.begin(), some.end());
    const std::string near = nearest(*id, ids);
    throw BadInput({"", 0, "", fmt::format("nothing is called \"{}\"", *id),
                    near.empty() ? "crankwise list faults, and so on" : "perhaps \"" + near + "\""});
  });
}

}  // namespace crankwise::set_up
