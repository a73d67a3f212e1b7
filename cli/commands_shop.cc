// The commands on bikes, jobs and the shop as a whole.
#include <fmt/format.h>
#include <fmt/ranges.h>

#include <CLI/CLI.hpp>
#include <algorithm>
#include <cmath>
#include <map>
#include <memory>
#include <nlohmann/json.hpp>
#include <optional>

#include "app/readings/told.h"
#include "app/telling.h"
#include "cli/cli.h"
#include "edge/units.h"

namespace crankwise::set_up {
namespace {

void need_number(const char* field, double value, double least, const char* right) {
  if (!std::isfinite(value)) throw BadInput({"", 0, field, "is not a number", right});
  if (value < least) throw BadInput({"", 0, field, fmt::format("{:g} is below {:g}", value, least), right});
}

}  // namespace

void jobs(CLI::App& app, Cli& cli) {
  app.callback([&cli] {
    Json all = Json::array();
    for (const auto& [number, job] : cli.shop().jobs()) {
      if (cli.json) {
        all.push_back({{"job", number},
                       {"bike", job.bike},
                       {"complaint", job.complaint},
                       {"opened", job.opened_at},
                       {"end", text(job.end)},
                       {"causes", job.causes}});
        continue;
      }
      cli.output.line(fmt::format("{:4}  {}  {:<10}  {:<18}  {}", number, job.opened_at.substr(0, 10), text(job.end),
                                  job.bike, job.complaint));
      for (const auto& c : job.causes) {
        const Fault* f = cli.knowledge().faults.find(c);
        cli.output.line(fmt::format("{:32}it was: {}", "", f == nullptr ? c : f->name));
      }
    }
    if (cli.json)
      cli.output.json(all);
    else if (cli.shop().jobs().empty())
      cli.output.line("no jobs yet; crankwise take-in BIKE \"what the rider says\"");
  });
}

void bikes(CLI::App& app, Cli& cli) {
  app.callback([&cli] {
    Json all = Json::array();
    for (const auto& [id, b] : cli.shop().bikes()) {
      if (cli.json) {
        Json j = bike_data(b);
        j["id"] = id;
        all.push_back(std::move(j));
      } else {
        const BikeClass* c = cli.knowledge().classes.find(b.bike_class);
        cli.output.line(fmt::format("  {:<20} {:<24} {:<42} {}", id, b.name, c == nullptr ? "" : c->name,
                                    b.hours_known ? fmt::format("{:g} h", b.hours) : ""));
      }
    }
    if (cli.json)
      cli.output.json(all);
    else if (cli.shop().bikes().empty())
      cli.output.line("no bikes yet; crankwise add-bike \"Red 125\" --class motocross-125-two-stroke");
  });
}

void add_bike(CLI::App& app, Cli& cli) {
  struct Args {
    std::string name, bike_class;
    std::vector<std::string> with, without;
    double cc = 0, hours = -1;
  };
  auto a = std::make_shared<Args>();
  app.add_option("name", a->name, "what you call it")->required()->type_name("NAME");
  app.add_option("--class", a->bike_class, "the kind of bike it starts from (crankwise list classes)")
      ->required()
      ->type_name("CLASS");
  app.add_option("--with", a->with, "equipment it has beyond its class (crankwise list traits)")->type_name("TRAIT");
  app.add_option("--without", a->without, "equipment of its class that it lacks")->type_name("TRAIT");
  app.add_option("--cc", a->cc, "displacement, cm3")->check(CLI::Range(20.0, 1500.0))->type_name("CC");
  app.add_option("--hours", a->hours, "engine hours")->check(CLI::Range(0.0, 1e5))->type_name("H");
  app.callback([a, &cli] {
    BikeTold told{a->name, a->bike_class, a->with, a->without};
    need_number("--hours", a->hours, -1, "what the hour meter shows");
    need_number("--cc", a->cc, 0, "the displacement in cm3");
    if (a->cc > 0) told.displacement_cc = a->cc;
    if (a->hours >= 0) told.hours = a->hours;
    Bike b = bike_told(cli.knowledge(), told);
    const std::string id = cli.shop().add_bike(std::move(b));
    cli.output.line(cli.json ? Json{{"bike", id}}.dump() : fmt::format("{} is entered; call it {}", a->name, id));
  });
}

void bike(CLI::App& app, Cli& cli) {
  auto id = std::make_shared<std::string>();
  app.add_option("bike", *id, "which bike (crankwise bikes)")->required()->type_name("BIKE");
  app.callback([id, &cli] {
    const Bike b = cli.shop().bike_with_renewals(*id);
    const HourBook& book = cli.shop().hour_book(*id);
    const std::map<std::string, Renewal> renewals = cli.shop().renewals(*id);
    if (cli.json) {
      Json j = bike_data(b);
      j["id"] = b.id;
      j["hours_from"] = book.source();
      j["ridden_hard"] = book.hard;
      for (const auto& [part, r] : renewals) {
        if (!r.day.empty()) j["renewed_on"][part] = r.day;
      }
      for (const auto& [upkeep, own] : book.own) j["intervals"][upkeep] = {{"hours", own.hours}, {"days", own.days}};
      return cli.output.json(j);
    }
    Output& out = cli.output;
    out.heading(fmt::format("{}, {:g} cm3{}", b.name, b.displacement_cc,
                            b.hours_known ? fmt::format(", {:g} h", b.hours) : ""));
    if (b.hours_known) out.line("  hours      " + book.source());
    if (book.hard) out.line("  use        ridden hard");
    std::string traits;
    for (const auto& t : b.traits)
      traits += (traits.empty() ? "" : ", ") +
                (cli.knowledge().traits.find(t) == nullptr ? t : cli.knowledge().traits.find(t)->name);
    out.wrapped(traits, "  ", 2);
    std::multimap<std::string, Figure> figures(b.figures.begin(), b.figures.end());
    figures.insert(b.baselines.begin(), b.baselines.end());
    for (const auto& [figure, f] : figures) {
      const std::string range =
          f.low == f.high ? fmt::format("{:g}", f.low) : fmt::format("{:g} to {:g}", f.low, f.high);
      std::string from = f.baseline ? "own baseline" : "handbook";
      for (const auto& [condition, told] : f.at) from += fmt::format(", {} {}", condition, told);
      out.line(fmt::format("  {:<26} {} {} ({})", figure, range, f.unit, from));
    }
    for (const auto& [fact, told] : b.facts) out.line(fmt::format("  {:<26} {}", fact, told));
    for (const auto& [reading, rows] : b.tables) {
      std::string row;
      for (const auto& [kelvin, ohm] : rows)
        row += fmt::format("{}{:.4g} degC {:.4g} ohm", row.empty() ? "" : ", ", kelvin - 273.15, ohm);
      out.line(fmt::format("  {:<26} {}", reading, row));
    }
    for (const auto& [part, r] : renewals) {
      out.line(fmt::format("  {:<26} renewed{}{}", part,
                           r.hours >= 0 ? fmt::format(" at {:g} h, {:.4g} h ago", r.hours, b.hours - r.hours) : "",
                           r.day.empty() ? "" : (r.hours >= 0 ? ", on " : " on ") + r.day));
    }
    for (const auto& [upkeep, own] : book.own) {
      out.line(fmt::format("  {:<26} every{}{}", upkeep, own.hours > 0 ? fmt::format(" {:g} h", own.hours) : "",
                           own.days > 0 ? fmt::format(" {:g} days", own.days) : ""));
    }
    for (const auto& [part, m] : b.access_min)
      out.line(fmt::format("  {:<26} {:g} min off, {:g} min on", part, m.first, m.second));
    for (const auto& [number, job] : cli.shop().jobs()) {
      if (job.bike != b.id) continue;
      out.job_head(job, b, nullptr);
      out.job_log(cli.knowledge(), job);
    }
  });
}

namespace {

/// Rows of a sensor's table, if that is what they are.
std::optional<std::map<double, double>> table_of(const std::vector<std::string>& words) {
  std::map<double, double> rows;
  for (const std::string& w : words) {
    const size_t equals = w.find('=');
    const auto row = equals == std::string::npos ? std::nullopt : table_row(w.substr(0, equals), w.substr(equals + 1));
    if (!row || !rows.insert(*row).second) return {};
  }
  return rows;
}

void set_own(Cli& cli, const std::string& bike, const std::string& id, const std::vector<std::string>& words,
             const std::string& to, bool baseline, bool sure) {
  const std::string told = fmt::format("{}", fmt::join(words, " "));
  const std::vector<Input> facts = all_conditions(AskedCondition::Of::bike);
  if (std::any_of(facts.begin(), facts.end(), [&](const Input& i) { return i.id == id; }))
    return cli.shop().set_fact(bike, id, told);
  if (const auto rows = table_of(words)) return cli.shop().set_table(bike, id, *rows);
  FigureRead read = figure_told(cli.knowledge(), cli.shop().bike(bike), {id, told, to, baseline});
  if (read.doubt && !sure) {
    read.doubt->right += "; if it is as you say: --sure";
    throw BadInput(std::move(*read.doubt));
  }
  cli.shop().set_figure(bike, id, read.figure);
}

}  // namespace

void figure(CLI::App& app, Cli& cli) {
  struct Args {
    std::string bike, figure, high;
    std::vector<std::string> value;
    bool baseline = false, sure = false;
  };
  auto a = std::make_shared<Args>();
  app.add_option("bike", a->bike, "which bike")->required()->type_name("BIKE");
  app.add_option("reading", a->figure,
                 "of which reading (crankwise list readings); or a fact that readings are corrected with: stroke, rod, "
                 "clearance, trapped-ratio, power ...")
      ->required()
      ->type_name("READING");
  app.add_option("value", a->value,
                 "with its unit, or the lower end: \"170 psi\", and how it was measured: height=600 m; or the table of "
                 "a sensor: \"20 degC=2.45 kohm\" \"80 degC=0.32 kohm\"")
      ->required()
      ->type_name("VALUE");
  app.add_option("--to", a->high, "the upper end, with its unit")->type_name("VALUE");
  app.add_flag("--sure", a->sure, "it is as told, though another unit would fit better");
  app.add_flag("--baseline", a->baseline, "measured on this bike when it was right (otherwise: its handbook)");
  app.callback([a, &cli] {
    set_own(cli, a->bike, a->figure, a->value, a->high, a->baseline, a->sure);
    cli.output.line(cli.json ? Json{{"bike", a->bike}, {"figure", a->figure}}.dump()
                             : fmt::format("{}: {} is kept", a->bike, a->figure));
  });
}

void access(CLI::App& app, Cli& cli) {
  struct Args {
    std::string bike, part;
    double off = 0, on = 0;
  };
  auto a = std::make_shared<Args>();
  app.add_option("bike", a->bike, "which bike")->required()->type_name("BIKE");
  app.add_option("part", a->part, "which part (crankwise list parts)")->required()->type_name("PART");
  app.add_option("off", a->off, "minutes to take it off")->required()->type_name("MIN");
  app.add_option("on", a->on, "minutes to put it on")->required()->type_name("MIN");
  app.callback([a, &cli] {
    need_number("off", a->off, 0, "minutes, 0 or more");
    need_number("on", a->on, 0, "minutes, 0 or more");
    cli.shop().set_access(a->bike, a->part, a->off, a->on);
    cli.output.line(cli.json ? Json{{"bike", a->bike}, {"part", a->part}}.dump()
                             : fmt::format("{}: {} {:g} min off, {:g} min on", a->bike, a->part, a->off, a->on));
  });
}

void settings(CLI::App& app, Cli& cli) {
  struct Args {
    std::optional<double> worth, simulated;
    std::string currency;
    std::vector<std::string> lacks, has, usual;
  };
  auto a = std::make_shared<Args>();
  app.add_option("--hour", a->worth, "what an hour of your time is worth; joins time and money")->type_name("MONEY");
  app.add_option("--currency", a->currency, "its name")->type_name("WORD");
  app.add_option("--lacks", a->lacks, "a tool the shop does not have (crankwise list tools)")->type_name("TOOL");
  app.add_option("--has", a->has, "a tool it has now")->type_name("TOOL");
  app.add_option("--usual", a->usual,
                 "what holds for every reading here: height=1400m, hose=3cm3, leads=0.2ohm; height= takes it back")
      ->type_name("CONDITION=VALUE");
  app.add_option("--simulated", a->simulated,
                 "how many answers a simulated strength counts as, beside the 20 of one by hand; 0: it does not count")
      ->type_name("ANSWERS");
  app.callback([a, &cli] {
    ShopSettings s = cli.shop().settings();
    const bool change = a->worth.has_value() || a->simulated.has_value() || !a->currency.empty() || !a->lacks.empty() ||
                        !a->has.empty() || !a->usual.empty();
    if (a->worth) s.money_per_hour = *a->worth;
    if (a->simulated) s.simulated_worth = *a->simulated;
    if (!a->currency.empty()) s.currency = a->currency;
    s.lacks.insert(a->lacks.begin(), a->lacks.end());
    for (const auto& t : a->has) {
      if (cli.knowledge().tools.find(t) == nullptr) {
        const std::string near = nearest(t, cli.knowledge().tools.ids());
        throw BadInput({"", 0, "--has", fmt::format("no tool is called \"{}\"", t),
                        near.empty() ? "crankwise list tools" : "perhaps \"" + near + "\""});
      }
      s.lacks.erase(t);
    }
    for (const auto& pair : a->usual) {
      const size_t equals = pair.find('=');
      if (equals == std::string::npos)
        throw BadInput({"", 0, "--usual", "\"" + pair + "\" has no value", "height=1400m, or height= to take it back"});
      s.usual[pair.substr(0, equals)] = pair.substr(equals + 1);
      if (equals + 1 == pair.size()) s.usual.erase(pair.substr(0, equals));
    }
    if (change) cli.shop().set(s);
    if (cli.json) return cli.output.line(settings_data(s).dump(1));
    cli.output.line(fmt::format("an hour is worth {:g} {}", s.money_per_hour, s.currency));
    cli.output.line("tools that are missing: " +
                    (s.lacks.empty() ? "none" : fmt::format("{}", fmt::join(s.lacks, ", "))));
    cli.output.line(s.simulated_worth > 0 ? fmt::format("simulated strengths count as {:g} answers", s.simulated_worth)
                                          : "simulated strengths do not count");
    for (const auto& [condition, told] : s.usual) cli.output.line(fmt::format("usual {}: {}", condition, told));
  });
}

void backup(CLI::App& app, Cli& cli) {
  auto file = std::make_shared<std::string>();
  app.add_option("file", *file, "where to; must not be there yet")->required()->type_name("FILE");
  app.callback([file, &cli] {
    if (!cli.shop_is_there()) throw BadInput({"", 0, "", "there is no shop to copy yet", "crankwise add-bike first"});
    cli.shop().backup_to(*file);
    cli.output.line(cli.json ? Json{{"backup", *file}}.dump() : "copied to " + *file);
  });
}

}  // namespace crankwise::set_up
