// The command for simulated engines.
#include <fmt/format.h>
#include <fmt/ranges.h>

#include <CLI/CLI.hpp>
#include <algorithm>
#include <cmath>
#include <memory>
#include <nlohmann/json.hpp>

#include "app/engine/cycle_picture.h"
#include "app/engine/told.h"
#include "app/places.h"
#include "cli/cli.h"
#include "core/calc/air.h"
#include "edge/engine_file.h"
#include "edge/file.h"

namespace crankwise::set_up {
namespace {

struct Args {
  std::string engine, own, fault, picture, cycle_picture;
  double severity = 0.5, height_m = 0, celsius = 20;
  std::optional<double> from, to, trace;
  int points = 16;
  bool list = false;
};

std::filesystem::path engines_folder(const Cli& cli) {
  return (cli.knowledge_folder.empty() ? usual_knowledge_folder() : cli.knowledge_folder) / "engines";
}

std::vector<std::string> known_engines(const Cli& cli) {
  std::vector<std::string> found;
  if (std::filesystem::is_directory(engines_folder(cli)))
    for (const auto& entry : std::filesystem::directory_iterator(engines_folder(cli)))
      if (entry.path().extension() == ".toml") found.push_back(entry.path().stem());
  std::sort(found.begin(), found.end());
  return found;
}

engine::Design design_of(const Cli& cli, const Args& a) {
  const std::filesystem::path own = a.own;
  if (a.engine.find('/') != std::string::npos || a.engine.ends_with(".toml")) return load_engine(a.engine, own);
  const std::vector<std::string> known = known_engines(cli);
  if (!std::ranges::count(known, a.engine)) {
    const std::string near = nearest(a.engine, known);
    throw BadInput({"", 0, "engine", fmt::format("there is no engine \"{}\"", a.engine),
                    near.empty() ? fmt::format("one of {}, or a file", fmt::join(known, ", ")) : near});
  }
  return load_engine(engines_folder(cli) / (a.engine + ".toml"), own);
}

void list_all(Cli& cli, const Args& a) {
  std::optional<engine::Design> design;
  if (!a.engine.empty()) design = design_of(cli, a);
  if (cli.json) {
    Json j{{"engines", known_engines(cli)}, {"faults", Json::array()}};
    for (const engine::SimulatedFault& f : engine::simulated_faults())
      if (!design || engine::applies(f, *design)) j["faults"].push_back(f.id);
    return cli.output.json(j);
  }
  cli.output.heading("Engines");
  for (const std::string& id : known_engines(cli)) cli.output.line("  " + id);
  cli.output.heading("Faults");
  for (const engine::SimulatedFault& f : engine::simulated_faults()) {
    if (design && !engine::applies(f, *design)) continue;
    cli.output.wrapped(fmt::format(fmt::runtime(f.words), "some share"), fmt::format("  {:<28} ", f.id), 31);
  }
}

void table(Cli& cli, const std::vector<std::vector<std::string>>& rows) {
  std::vector<size_t> wide;
  for (const auto& row : rows)
    for (size_t i = 0; i < row.size(); ++i) {
      if (wide.size() <= i) wide.push_back(0);
      wide[i] = std::max(wide[i], row[i].size());
    }
  for (const auto& row : rows) {
    std::string line = " ";
    for (size_t i = 0; i < row.size(); ++i) line += fmt::format(" {:>{}}", row[i], wide[i]);
    cli.output.line(line);
  }
}

Json trace_json(const engine::Trace& t) {
  Json j = Json::array();
  for (const engine::TracePoint& p : t.at)
    j.push_back({{"crank_rad", p.crank_rad},
                 {"cylinder_m3", p.cylinder_m3},
                 {"cylinder_pa", p.cylinder_pa},
                 {"cylinder_k", p.cylinder_k},
                 {"crankcase_pa", p.crankcase_pa},
                 {"exhaust_port_pa", p.exhaust_port_pa},
                 {"exhaust_m_s", p.exhaust_m_s},
                 {"inlet_pa", p.inlet_pa}});
  return j;
}

[[noreturn]] void refuse_lost_gas(const Trial& t, double rpm, const engine::LostGas& lost) {
  throw BadInput(
      {"", 0, t.fault.empty() ? "engine" : "fault",
       fmt::format("{}: at {:.0f} rpm the simulation lost the gas {}", trial_in_words(t), rpm, in_words(lost)),
       "dimensions nearer to those of an engine, or a lesser severity"});
}

/// The points that do not repeat are said; a curve of which too many do not is none.
void refuse_what_is_no_curve(const SimulatedCurve& c) {
  if (c.whole()) return;
  size_t repeat = 0;
  for (const engine::Outcome& o : c.at) {
    repeat += o.state == engine::Outcome::State::repeats;
    if (o.state == engine::Outcome::State::lost_gas) refuse_lost_gas(c.trial, o.rpm, o.lost);
  }
  throw BadInput({"", 0, c.trial.fault.empty() ? "engine" : "fault",
                  fmt::format("{}: its cycles repeat at {} of {} speeds only, so there is no curve",
                              trial_in_words(c.trial), repeat, c.at.size()),
                  "a lesser severity, or other speeds with --from and --to"});
}

std::vector<TracedCycle> traced_at(double rpm, const std::vector<Trial>& trials, const Sweep& sweep) {
  std::vector<TracedCycle> out;
  for (const Trial& t : trials) {
    out.push_back({t, engine::trace({t.design, t.around, rpm}, sweep.options)});
    const engine::Trace& trace = out.back().trace;
    if (trace.state == engine::Outcome::State::lost_gas) refuse_lost_gas(t, rpm, trace.lost);
    if (trace.state == engine::Outcome::State::repeats) continue;
    throw BadInput({"", 0, "--trace", fmt::format("{}: its cycles do not repeat at {:g} rpm", trial_in_words(t), rpm),
                    "another speed, or a lesser severity"});
  }
  return out;
}

void run(Cli& cli, const Args& a) {
  if (a.list) return list_all(cli, a);
  if (a.engine.empty())
    throw BadInput({"", 0, "engine", "which engine?", fmt::format("one of {}", fmt::join(known_engines(cli), ", "))});
  const engine::Design design = design_of(cli, a);
  Sweep sweep = usual_sweep(design);
  if (a.from) sweep.from_rpm = *a.from;
  if (a.to) sweep.to_rpm = *a.to;
  if (!(sweep.to_rpm > 1.05 * sweep.from_rpm))
    throw BadInput(
        {"", 0, "--to", fmt::format("{:g} is not above {:g} rpm", sweep.to_rpm, sweep.from_rpm), "a higher speed"});
  sweep.points = a.points;
  if (!a.cycle_picture.empty() && !a.trace)
    throw BadInput({"", 0, "--cycle-picture", "there is no speed to draw a cycle of", "--trace RPM with it"});
  std::vector<Trial> trials = {trial_of(design, "", 0)};
  if (!a.fault.empty()) trials.push_back(trial_of(design, a.fault, a.severity));
  for (Trial& t : trials) t.around = {standard_air(a.height_m).pressure_pa, 273.15 + a.celsius};
  const std::vector<SimulatedCurve> curves = simulate(trials, sweep);
  const SimulatedCurve& healthy = curves.front();
  const SimulatedCurve* faulty = curves.size() > 1 ? &curves.back() : nullptr;
  for (const SimulatedCurve& c : curves) refuse_what_is_no_curve(c);
  if (!a.picture.empty()) write_whole(a.picture, picture_of(healthy, faulty), true);
  const std::vector<TracedCycle> traced = a.trace ? traced_at(*a.trace, trials, sweep) : std::vector<TracedCycle>{};
  if (!a.cycle_picture.empty())
    write_whole(a.cycle_picture, cycle_picture(traced.front(), faulty != nullptr ? &traced.back() : nullptr, *a.trace),
                true);
  if (cli.json) {
    Json j{{"healthy", as_json(healthy)}, {"words", explained(healthy)}};
    if (faulty != nullptr) j["faulty"] = as_json(*faulty), j["words"] = explained(healthy, *faulty);
    if (a.trace) j["trace"] = trace_json(traced.back().trace);
    return cli.output.json(j);
  }
  for (const std::string& sentence : faulty != nullptr ? explained(healthy, *faulty) : explained(healthy))
    cli.output.wrapped(sentence, "  ");
  cli.output.line();
  table(cli, table_of(healthy, faulty));
  cli.output.line();
  cli.output.wrapped(
      "A simulation of an invented engine of this class: which way and about how much, not this bike's dynamometer.",
      "  ");
  if (a.trace && a.cycle_picture.empty())
    cli.output.wrapped("The cycle at one speed is told with --json, and drawn with --cycle-picture.", "  ");
}

}  // namespace

void power_curve(CLI::App& app, Cli& cli) {
  auto a = std::make_shared<Args>();
  app.add_option("engine", a->engine, "one that --list tells, or a file that describes one")->type_name("ENGINE");
  app.add_option("--own", a->own, "a file with your own dimensions, which replace those of the engine")
      ->type_name("FILE");
  app.add_option("--fault", a->fault, "what is wrong with it")->type_name("FAULT");
  app.add_option("--severity", a->severity, "how bad it is, 0 to 1; left out: half")->type_name("SHARE");
  app.add_option("--height", a->height_m, "above the sea")->check(CLI::Range(-400, 4500))->type_name("M");
  app.add_option("--temperature", a->celsius, "of the air")->check(CLI::Range(-25, 50))->type_name("CELSIUS");
  app.add_option("--from", a->from, "lowest speed")->check(CLI::Range(1000, 15000))->type_name("RPM");
  app.add_option("--to", a->to, "highest speed")->check(CLI::Range(1500, 18000))->type_name("RPM");
  app.add_option("--points", a->points, "how many speeds")->check(CLI::Range(4, 60))->type_name("N");
  app.add_option("--picture", a->picture, "write power, torque and mixture as a picture, SVG")->type_name("FILE");
  app.add_option("--trace", a->trace, "one cycle at this speed, with --json or --cycle-picture")
      ->check(CLI::Range(1000, 18000))
      ->type_name("RPM");
  app.add_option("--cycle-picture", a->cycle_picture, "write the cycle of --trace as a picture, SVG")
      ->type_name("FILE");
  app.add_flag("--list", a->list, "the engines, and the faults that can be simulated");
  app.callback([a, &cli] { run(cli, *a); });
}

}  // namespace crankwise::set_up
