// The commands on a job.
#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <algorithm>
#include <memory>
#include <nlohmann/json.hpp>

#include "app/readings/told.h"
#include "cli/cli.h"
#include "edge/units.h"

namespace crankwise::set_up {
namespace {

std::string joined(const std::vector<std::string>& words) { return fmt::format("{}", fmt::join(words, " ")); }

void add_spent(CLI::App& app, Spent& spent) {
  app.add_option("--took", spent.minutes, "minutes it took in all, getting there included")->type_name("MIN");
  app.add_option("--paid", spent.money, "money paid for parts and supplies")->type_name("MONEY");
}

int fault_of(const Diagnosis& d, const std::string& id) {
  const int f = d.bike().fault(id);
  if (f >= 0) return f;
  std::vector<std::string> ids;
  for (const Fault* x : d.bike().faults) ids.push_back(x->id);
  const std::string near = nearest(id, ids);
  const bool known = d.bike().knowledge->faults.find(id) != nullptr;
  throw BadInput({"", 0, "", known ? "\"" + id + "\" does not apply to this bike" : "no fault is called \"" + id + "\"",
                  near.empty() ? "crankwise suspects names them" : "perhaps \"" + near + "\""});
}

}  // namespace

void take_in(CLI::App& app, Cli& cli) {
  struct Args {
    std::string bike;
    std::vector<std::string> words;
    bool accept = false;
  };
  auto a = std::make_shared<Args>();
  app.add_option("bike", a->bike, "which bike (crankwise bikes)")->required()->type_name("BIKE");
  app.add_option("words", a->words, "what the rider says, in his words")->required()->type_name("WORDS");
  app.callback([a, &cli] {
    const std::string words = joined(a->words);
    const int job = cli.shop().take_in(a->bike, words);
    const auto heard = crankwise::hear(cli.knowledge(), cli.shop().bike(a->bike), words);
    if (cli.json) {
      Json j{{"job", job}, {"heard", Json::array()}};
      for (const Heard& h : heard)
        j["heard"].push_back(
            {{"id", h.id}, {"context", h.is_context}, {"so", h.so}, {"words", h.words}, {"score", h.score}});
      cli.output.line(j.dump(1));
      return;
    }
    cli.output.line(fmt::format("job {} is open.", job));
    if (heard.empty()) {
      cli.output.line(
          "Nothing in the words was recognised. Say it in other words (crankwise hear), or: crankwise work");
      return;
    }
    cli.output.line("The words may mean the following. Nothing is written down yet; confirm what is so:");
    std::string answers, contexts;
    for (const Heard& h : heard) {
      cli.output.wrapped(fmt::format("{}{}  (heard: {})", h.so ? "" : "NOT ", h.name, h.words), "  - ", 4);
      (h.is_context ? contexts : answers) += fmt::format(" {}={}", h.id, h.so ? "yes" : "no");
    }
    if (!answers.empty()) cli.output.line("\n  crankwise answer" + answers);
    if (!contexts.empty()) cli.output.line("  crankwise before" + contexts);
    cli.output.line("\nor step by step: crankwise work");
  });
}

void hear(CLI::App& app, Cli& cli) {
  struct Args {
    std::vector<std::string> words;
    std::string bike;
  };
  auto a = std::make_shared<Args>();
  app.add_option("words", a->words, "free words")->required()->type_name("WORDS");
  app.add_option("--bike", a->bike, "for this bike; otherwise that of the open job, or any")->type_name("BIKE");
  app.callback([a, &cli] {
    Bike any;
    for (const Trait& t : cli.knowledge().traits) any.traits.push_back(t.id);
    const Bike bike = !a->bike.empty()           ? cli.shop().bike(a->bike)
                      : cli.shop().current_job() ? cli.shop().bike(cli.shop().job(cli.job()).bike)
                                                 : any;
    Json j = Json::array();
    for (const Heard& h : crankwise::hear(cli.knowledge(), bike, joined(a->words))) {
      if (cli.json)
        j.push_back({{"id", h.id}, {"context", h.is_context}, {"so", h.so}, {"words", h.words}, {"score", h.score}});
      else
        cli.output.line(fmt::format("  {:<32} {:<3}  {}  (heard: {})", h.id, h.so ? "yes" : "no", h.name, h.words));
    }
    if (cli.json) cli.output.line(j.dump(1));
  });
}

void answer(CLI::App& app, Cli& cli) {
  auto pairs = std::make_shared<std::vector<std::string>>();
  app.add_option("answers", *pairs, "finding=yes, finding=no, finding=unsure")->required()->type_name("FINDING=ANSWER");
  app.callback([pairs, &cli] { cli.note(parse_answers(*pairs)); });
}

void before(CLI::App& app, Cli& cli) {
  auto pairs = std::make_shared<std::vector<std::string>>();
  app.add_option("contexts", *pairs, "context=yes or context=no (crankwise list contexts)")
      ->required()
      ->type_name("CONTEXT=YES|NO");
  app.callback([pairs, &cli] {
    std::vector<Entry> entries;
    std::vector<Problem> problems;
    for (const Entry& e : parse_answers(*pairs)) {
      const auto& said = std::get<SaidSo>(e);
      if (said.answer == Answer::unsure)
        problems.push_back({"", 0, said.finding, "can only be yes or no", "leave it out if nobody knows"});
      entries.push_back(WasSo{said.finding, said.answer == Answer::yes});
    }
    if (!problems.empty()) throw BadInput(std::move(problems));
    cli.note(entries);
  });
}

void measured(CLI::App& app, Cli& cli) {
  struct Args {
    std::string reading;
    std::vector<std::string> value;
    Spent spent;
    bool sure = false;
  };
  auto a = std::make_shared<Args>();
  app.add_option("reading", a->reading, "which reading (crankwise list readings)")->required()->type_name("READING");
  app.add_option("value", a->value,
                 "with its unit: 138 psi, 5.2 kohm; or: open. Then how it was measured, as far as known: height=1400 m "
                 "kick=brisk (crankwise show READING tells what it asks for)")
      ->required()
      ->type_name("VALUE UNIT");
  app.add_flag("--sure", a->sure, "it is as told, though another unit would fit better");
  add_spent(app, a->spent);
  app.callback([a, &cli] {
    Took took = took_from_words(a->reading, joined(a->value), cli.knowledge().readings.find(a->reading));
    took.spent = a->spent;
    if (!a->sure) cli.doubt(took, "if it is as you say: --sure");
    cli.note({std::move(took)});
  });
}

void did(CLI::App& app, Cli& cli) {
  struct Args {
    std::string step;
    std::vector<std::string> answers;
    Spent spent;
  };
  auto a = std::make_shared<Args>();
  app.add_option("step", a->step, "which step (in brackets in crankwise next)")->required()->type_name("STEP");
  app.add_option("answers", a->answers, "what it showed: finding=yes, =no, =unsure")->type_name("FINDING=ANSWER");
  add_spent(app, a->spent);
  app.callback([a, &cli] {
    std::vector<Entry> entries{Did{a->step, a->spent}};
    for (Entry& e : parse_answers(a->answers)) entries.push_back(std::move(e));
    cli.note(entries);
  });
}

void put_back(CLI::App& app, Cli& cli) {
  auto step = std::make_shared<std::string>();
  app.add_option("step", *step, "the swap or replacement that was taken out again")->required()->type_name("STEP");
  app.callback([step, &cli] { cli.note({WentBack{*step}}); });
}

void ran(CLI::App& app, Cli& cli) {
  struct Args {
    std::string result, step;
    Spent spent;
  };
  auto a = std::make_shared<Args>();
  app.add_option("result", a->result, "gone, better (but not right) or same")
      ->required()
      ->type_name("gone|better|same");
  app.add_option("--step", a->step, "which run step it was")->type_name("STEP");
  add_spent(app, a->spent);
  app.callback([a, &cli] {
    const auto result = run_result_from(a->result);
    if (!result)
      throw BadInput({"", 0, "result", fmt::format("\"{}\" is not a result", a->result), "gone, better or same"});
    cli.note({RanIt{*result, a->step, a->spent}});
  });
}

void cannot(CLI::App& app, Cli& cli) {
  struct Args {
    std::string step, why;
  };
  auto a = std::make_shared<Args>();
  app.add_option("step", a->step, "the step or question to leave out")->required()->type_name("STEP");
  app.add_option("--because", a->why, "why: no tool, no part ...")->type_name("WORDS");
  app.callback([a, &cli] { cli.note({Skipped{a->step, a->why}}); });
}

void stripped(CLI::App& app, Cli& cli) {
  auto parts = std::make_shared<std::vector<std::string>>();
  app.add_option("parts", *parts, "all parts that are off (crankwise list parts); none: everything is on")
      ->type_name("PART");
  app.callback([parts, &cli] { cli.note({PartsNow{*parts}}); });
}

void note(CLI::App& app, Cli& cli) {
  auto words = std::make_shared<std::vector<std::string>>();
  app.add_option("words", *words, "anything worth keeping")->required()->type_name("WORDS");
  app.callback([words, &cli] { cli.note({Noted{joined(*words)}}); });
}

void undo(CLI::App& app, Cli& cli) {
  auto bike = std::make_shared<std::string>();
  app.add_option("--bike", *bike, "of what was told of this bike itself: hours, rides, renewals, figures ...")
      ->type_name("BIKE");
  app.callback([bike, &cli] {
    if (!bike->empty()) {
      if (cli.job_option) throw BadInput({"", 0, "--bike", "does not go with --job", "one of the two"});
      const std::string words = cli.shop().undo_on_bike(*bike);
      cli.output.line(cli.json ? Json{{"bike", *bike}, {"taken_back", words}}.dump()
                               : fmt::format("taken back on {}: {}", *bike, words));
      return;
    }
    const int number = cli.job_or_last();  // closed last is what the mechanic means when nothing is open
    const std::string words = cli.shop().undo(number);
    if (cli.json)
      cli.output.line(Json{{"job", number}, {"taken_back", words}}.dump());
    else
      cli.output.line(fmt::format("taken back on job {}: {}", number, words));
  });
}

void next(CLI::App& app, Cli& cli) {
  auto more = std::make_shared<size_t>(4);
  app.add_option("--others", *more, "how many of the steps that came second")->check(CLI::Range(0, 40))->type_name("N");
  app.callback([more, &cli] {
    const Job& job = cli.shop().job(cli.job());
    const Diagnosis d = cli.diagnosis();
    if (cli.json) {
      Json j = diagnosis_json(d, cli.shop().settings());
      j["job"] = job.number;
      cli.output.line(j.dump(1));
      return;
    }
    cli.output.job_head(job, cli.shop().bike(job.bike), &d);
    if (job.end != JobEnd::open) return;
    cli.output.suspects(d, 5);
    cli.output.next(d, cli.shop().settings(), *more);
  });
}

void suspects(CLI::App& app, Cli& cli) {
  auto count = std::make_shared<size_t>(12);
  app.add_option("--count", *count, "how many")->check(CLI::Range(1, 500))->type_name("N");
  app.callback([count, &cli] {
    const Diagnosis d = cli.diagnosis();
    if (cli.json) return cli.output.line(diagnosis_json(d, cli.shop().settings()).dump(1));
    const Job& job = cli.shop().job(cli.job());
    cli.output.job_head(job, cli.shop().bike(job.bike), &d);
    cli.output.doubts(d);
    cli.output.suspects(d, *count);
    cli.output.heading("As sets (what is wrong together)");
    for (const Belief::Set& s : d.belief.sets(8)) {
      std::string names;
      for (int f : s.remaining) names += (names.empty() ? "" : " + ") + d.fault(f).name;
      cli.output.wrapped(names.empty() ? "nothing any more" : names, fmt::format("  {:5.1f} %  ", 100 * s.probability),
                         11);
    }
    cli.output.line(fmt::format("\nSets of four and more faults: at most {:.2f} %.", 100 * d.belief.left_out()));
  });
}

void why(CLI::App& app, Cli& cli) {
  auto fault = std::make_shared<std::string>();
  app.add_option("fault", *fault, "which fault; left out: the one that leads")->type_name("FAULT");
  app.callback([fault, &cli] {
    const Diagnosis d = cli.diagnosis();
    const int f = fault->empty() ? d.suspects(1).front().fault : fault_of(d, *fault);
    if (!cli.json) {
      cli.output.why(d, f);
      if (fault->empty()) cli.output.standing(d);
      cli.output.doubts(d);
      return;
    }
    const Standing s = fault->empty() ? standing_of(d) : Standing{};
    const Why w = crankwise::why(d, f);
    const auto reasons = [](const std::vector<Reason>& list) {
      Json out = Json::array();
      for (const Reason& r : list) out.push_back({{"what", r.what}, {"db", r.db}, {"words", r.words}});
      return out;
    };
    Json j{{"fault", d.fault(f).id},
           {"prior", w.prior},
           {"now", w.now},
           {"before", w.before},
           {"raised", reasons(w.raised)},
           {"lowered", reasons(w.lowered)},
           {"would_turn_it", w.turns}};
    if (s.fault >= 0) j["advice_stands"] = {{"from", s.from}, {"to", s.to}};
    cli.output.line(j.dump(1));
  });
}

void close(CLI::App& app, Cli& cli) {
  struct Args {
    std::string how;
    std::vector<std::string> causes, words;
  };
  auto a = std::make_shared<Args>();
  app.add_option("how", a->how, "proven (by a clean run), not-proven, given-up")
      ->required()
      ->type_name("proven|not-proven|given-up");
  app.add_option("--cause", a->causes, "what it was; left out: what the repairs say")->type_name("FAULT");
  app.add_option("--words", a->words, "for the record and the owner")->type_name("WORDS");
  app.callback([a, &cli] {
    JobEnd end = JobEnd::open;
    for (JobEnd e : {JobEnd::proven, JobEnd::fixed_unproven, JobEnd::given_up}) {
      if (a->how == text(e)) end = e;
    }
    if (end == JobEnd::open)
      throw BadInput({"", 0, "how", fmt::format("\"{}\" is not an end", a->how), "proven, not-proven or given-up"});
    const int number = cli.job();
    cli.shop().close(number, end, a->causes, joined(a->words));
    const std::vector<std::string>& causes = cli.shop().job(number).causes;
    if (cli.json) return cli.output.line(Json{{"job", number}, {"end", text(end)}, {"causes", causes}}.dump());
    cli.output.line(fmt::format("job {} closed, {}.", number, text(end)));
    for (const auto& c : causes) cli.output.line("  cause: " + cli.knowledge().faults.find(c)->name);
  });
}

void log(CLI::App& app, Cli& cli) {
  app.callback([&cli] {
    const Job& job = cli.shop().job(cli.job());
    if (cli.json) {
      Json j{{"job", job.number},    {"bike", job.bike},     {"complaint", job.complaint}, {"opened", job.opened_at},
             {"end", text(job.end)}, {"causes", job.causes}, {"words", job.words}};
      const auto list = [](const std::vector<JobEntry>& entries) {
        Json out = Json::array();
        for (const JobEntry& e : entries)
          out.push_back({{"at", e.at}, {"kind", entry_kind(e.entry)}, {"data", entry_data(e.entry)}});
        return out;
      };
      j["entries"] = list(job.entries);
      j["taken_back"] = list(job.taken_back);
      return cli.output.json(j);
    }
    cli.output.job_head(job, cli.shop().bike(job.bike), nullptr);
    cli.output.job_log(cli.knowledge(), job);
  });
}

void work(CLI::App& app, Cli& cli) {
  app.callback([&cli] { crankwise::work(cli); });
}

}  // namespace crankwise::set_up
