// What the simulated engines say of faults beside what is known by hand.
#include <fmt/format.h>
#include <fmt/ranges.h>

#include <CLI/CLI.hpp>
#include <algorithm>
#include <memory>
#include <nlohmann/json.hpp>

#include "app/engine/evidence.h"
#include "cli/cli.h"
#include "edge/problem.h"

namespace crankwise::set_up {
namespace {

struct Args {
  std::string of_class;
  std::optional<double> stops, healthy;
  double sure = 2;
  bool in_a_gear = false, apart = false;
};

constexpr size_t kWide = 28;

const SimulatedClass& class_of(Cli& cli, const std::string& id) {
  const Knowledge& k = cli.knowledge();
  if (const SimulatedClass* c = k.simulated.find(id)) return *c;
  const std::string near = nearest(id, k.simulated.ids());
  throw BadInput({"", 0, "class", fmt::format("no engine of \"{}\" was simulated", id),
                  near.empty() ? fmt::format("one of {}", fmt::join(k.simulated.ids(), ", ")) : near});
}

std::string name_of(Cli& cli, const std::string& fault) {
  const Fault* f = cli.knowledge().faults.find(fault);
  return f == nullptr ? fault : f->name;
}

void tell_disagreements(Cli& cli, const Args& a) {
  if (!a.of_class.empty()) class_of(cli, a.of_class);
  const Disagreements d = disagreements(cli.knowledge(), a.of_class);
  if (cli.json) {
    Json j{{"compared", d.compared}, {"apart", Json::array()}};
    for (const Disagreement& x : d.all)
      j["apart"].push_back({{"class", x.of_class},
                            {"fault", x.fault},
                            {"finding", x.finding},
                            {"by_hand", x.by_hand},
                            {"simulated", x.simulated}});
    return cli.output.json(j);
  }
  cli.output.wrapped(fmt::format("Of {} strengths compared {} differ sixfold in odds or more, the farthest first.",
                                 d.compared, d.all.size()));
  cli.output.line();
  cli.output.line(fmt::format("  {:<{}} {:<24} {:>7} {:>9}", "fault", kWide, "finding", "by hand", "simulated"));
  std::string of_class;
  for (const std::string& id : cli.knowledge().simulated.ids())
    for (const Disagreement& x : d.all) {
      if (x.of_class != id) continue;
      if (of_class != id) cli.output.heading(of_class = id);
      cli.output.line(
          fmt::format("  {:<{}} {:<24} {:>7.2f} {:>9.2f}", x.fault, kWide, x.finding, x.by_hand, x.simulated));
    }
}

void tell_fits(Cli& cli, const Args& a) {
  const SimulatedClass& c = class_of(cli, a.of_class);
  if (!a.healthy)
    throw BadInput({"", 0, "--healthy", "is missing", "the speed that this bike reaches when it is right"});
  const double share = *a.stops / *a.healthy;
  if (share > 1.1)
    throw BadInput({"", 0, "--stops", fmt::format("{:g} is above {:g} rpm", *a.stops, *a.healthy),
                    "a speed that is no higher than the healthy one"});
  const std::vector<FitsCeiling> fits = that_fit(cli.knowledge(), c, share, !a.in_a_gear, share * a.sure / 100);
  constexpr size_t kMost = 12;
  if (cli.json) {
    Json j{{"share", share}, {"fits", Json::array()}};
    for (const FitsCeiling& f : fits)
      j["fits"].push_back({{"fault", f.fault->fault}, {"chance", f.chance}, {"factor", f.factor}});
    return cli.output.json(j);
  }
  cli.output.wrapped(
      fmt::format("It stops at {:.0f} % of its healthy speed. Of the {} faults that the simulation knows for this "
                  "class, these fit, "
                  "by nothing but that and how common they are:",
                  100 * share, fits.size()));
  cli.output.line();
  for (size_t i = 0; i < std::min(kMost, fits.size()); ++i)
    cli.output.line(fmt::format("  {:>4.0f} %  {} (odds times {:.1f})", 100 * fits[i].chance,
                                name_of(cli, fits[i].fault->fault), fits[i].factor));
  cli.output.line();
  cli.output.wrapped("Tell it as a reading of the job instead, and all that is known of the bike counts with it.");
}

Json stops_json(const SimulatedClass::Stops& s) {
  Json j{{"never", s.never}, {"at", nullptr}};
  if (s.at) j["at"] = *s.at;
  return j;
}

void tell_class(Cli& cli, const Args& a) {
  const SimulatedClass& c = class_of(cli, a.of_class);
  if (cli.json) {
    Json j{{"class", c.id}, {"draws", c.draws}, {"by_chance", c.by_chance}, {"faults", Json::object()}};
    for (const auto& f : c.faults)
      j["faults"][f.fault] = {{"draws", f.draws},
                              {"failed", f.failed},
                              {"in_neutral", stops_json(f.in_neutral)},
                              {"in_a_gear", stops_json(f.in_a_gear)},
                              {"shows", f.shows}};
    return cli.output.json(j);
  }
  cli.output.wrapped(
      fmt::format("Where {} draws of bike and severity stop, in per cent of where the same bike stops healthy (of "
                  "those that pull, the "
                  "middle and the middle half), and under it what they show.",
                  c.draws));
  cli.output.line();
  cli.output.line(fmt::format("  {:<{}} {:>24} {:>24}", "fault", kWide, "in neutral", "in a gear"));
  for (const auto& f : c.faults) {
    const auto span = [](const SimulatedClass::Stops& s) {
      std::string out = s.never > 0 ? fmt::format("{:.0f} % never", 100 * s.never) : "";
      if (s.at && s.never < 0.995)
        out += fmt::format("{}{:.0f} ({:.0f}-{:.0f})", out.empty() ? "" : ", ", 100 * (*s.at)[2], 100 * (*s.at)[1],
                           100 * (*s.at)[3]);
      return out.empty() ? std::string("not known") : out;
    };
    std::vector<std::pair<double, std::string>> shows;
    for (const auto& [finding, share] : f.shows)
      if (share >= 0.15) shows.emplace_back(-share, fmt::format("{} {:.0f} %", finding, 100 * share));
    std::sort(shows.begin(), shows.end());
    cli.output.line(fmt::format("  {:<{}} {:>24} {:>24}", f.fault, kWide, span(f.in_neutral), span(f.in_a_gear)));
    std::string line;
    for (const auto& [share, text] : shows) line += (line.empty() ? "" : ", ") + text;
    if (!line.empty()) cli.output.wrapped(line, "      ");
  }
}

void run(Cli& cli, const Args& a) {
  if (a.apart) return tell_disagreements(cli, a);
  if (a.of_class.empty() && (a.stops || a.healthy))
    throw BadInput({"", 0, "class", "is missing", "the class of the bike that was heard"});
  if (a.of_class.empty()) {
    if (cli.json) return cli.output.json({{"classes", cli.knowledge().simulated.ids()}});
    cli.output.heading("Classes that were simulated");
    for (const std::string& id : cli.knowledge().simulated.ids()) cli.output.line("  " + id);
    return;
  }
  if (a.stops) return tell_fits(cli, a);
  tell_class(cli, a);
}

}  // namespace

void evidence(CLI::App& app, Cli& cli) {
  auto a = std::make_shared<Args>();
  app.add_option("class", a->of_class, "class of bike; left out: which there are")->type_name("CLASS");
  app.add_option("--stops", a->stops, "the speed at which it was heard to stop: which faults fit it")
      ->check(CLI::Range(500, 18000))
      ->type_name("RPM");
  app.add_option("--healthy", a->healthy, "the speed that it reaches when it is right")
      ->check(CLI::Range(2000, 18000))
      ->type_name("RPM");
  app.add_option("--sure", a->sure, "how exactly it was heard, left out: 2 per cent")
      ->check(CLI::Range(0.1, 30.0))
      ->type_name("PERCENT");
  app.add_flag("--in-a-gear", a->in_a_gear, "with --stops: on the road, not in neutral");
  app.add_flag("--apart", a->apart, "where simulation and hand-given strengths disagree");
  app.callback([a, &cli] { run(cli, *a); });
}

}  // namespace crankwise::set_up
