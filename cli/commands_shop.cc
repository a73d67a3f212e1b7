// The commands on bikes, jobs and the shop as a whole.
#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <cmath>
#include <memory>
#include <nlohmann/json.hpp>
#include <optional>

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
    const BikeClass* c = cli.knowledge().classes.find(a->bike_class);
    if (c == nullptr) {
      const std::string near = nearest(a->bike_class, cli.knowledge().classes.ids());
      throw BadInput({"", 0, "--class", fmt::format("no class is called \"{}\"", a->bike_class),
                      near.empty() ? "crankwise list classes" : "perhaps \"" + near + "\""});
    }
    Bike b;
    b.name = a->name;
    b.bike_class = c->id;
    b.displacement_cc = a->cc > 0 ? a->cc : c->displacement_cc;
    for (const auto& t : c->traits) {
      if (std::find(a->without.begin(), a->without.end(), t) == a->without.end()) b.traits.push_back(t);
    }
    b.traits.insert(b.traits.end(), a->with.begin(), a->with.end());
    for (const auto& t : a->without) {
      if (std::find(c->traits.begin(), c->traits.end(), t) != c->traits.end()) continue;
      const std::string near = nearest(t, c->traits);
      throw BadInput(
          {"", 0, "--without", fmt::format("the {} has no \"{}\" anyway", c->name, t),
           near.empty() ? fmt::format("one of {}", fmt::join(c->traits, ", ")) : "perhaps \"" + near + "\""});
    }
    need_number("--hours", a->hours, -1, "what the hour meter shows");
    need_number("--cc", a->cc, 0, "the displacement in cm3");
    b.hours_known = a->hours >= 0;
    if (b.hours_known) b.hours = a->hours;
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
    for (const auto& [figure, f] : b.figures) {
      out.line(f.low == f.high ? fmt::format("  {:<26} {:g} {} ({})", figure, f.low, f.unit,
                                             f.baseline ? "own baseline" : "handbook")
                               : fmt::format("  {:<26} {:g} to {:g} {} ({})", figure, f.low, f.high, f.unit,
                                             f.baseline ? "own baseline" : "handbook"));
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

void figure(CLI::App& app, Cli& cli) {
  struct Args {
    std::string bike, figure, low, high;
    bool baseline = false;
  };
  auto a = std::make_shared<Args>();
  app.add_option("bike", a->bike, "which bike")->required()->type_name("BIKE");
  app.add_option("reading", a->figure, "of which reading (crankwise list readings)")->required()->type_name("READING");
  app.add_option("value", a->low, "with its unit, or the lower end: \"170 psi\"")->required()->type_name("VALUE");
  app.add_option("--to", a->high, "the upper end, with its unit")->type_name("VALUE");
  app.add_flag("--baseline", a->baseline, "measured on this bike when it was right (otherwise: its handbook)");
  app.callback([a, &cli] {
    const auto low = parse_measure(a->low), high = a->high.empty() ? low : parse_measure(a->high);
    if (!low || !high)
      throw BadInput({"", 0, a->figure, fmt::format("\"{}\" is not a value with its unit", low ? a->high : a->low),
                      "a text like \"170 psi\""});
    const auto same = convert(high->value, high->unit, low->unit);
    if (!same) throw BadInput({"", 0, a->figure, "the two ends have units that do not fit", "the same unit twice"});
    cli.shop().set_figure(a->bike, a->figure, {low->value, *same, low->unit.name, a->baseline});
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
    std::optional<double> worth;
    std::string currency;
    std::vector<std::string> lacks, has;
  };
  auto a = std::make_shared<Args>();
  app.add_option("--hour", a->worth, "what an hour of your time is worth; joins time and money")->type_name("MONEY");
  app.add_option("--currency", a->currency, "its name")->type_name("WORD");
  app.add_option("--lacks", a->lacks, "a tool the shop does not have (crankwise list tools)")->type_name("TOOL");
  app.add_option("--has", a->has, "a tool it has now")->type_name("TOOL");
  app.callback([a, &cli] {
    ShopSettings s = cli.shop().settings();
    const bool change = a->worth.has_value() || !a->currency.empty() || !a->lacks.empty() || !a->has.empty();
    if (a->worth) s.money_per_hour = *a->worth;
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
    if (change) cli.shop().set(s);
    if (cli.json)
      return cli.output.line(
          Json{{"money_per_hour", s.money_per_hour}, {"currency", s.currency}, {"lacks", s.lacks}}.dump(1));
    cli.output.line(fmt::format("an hour is worth {:g} {}", s.money_per_hour, s.currency));
    cli.output.line("tools that are missing: " +
                    (s.lacks.empty() ? "none" : fmt::format("{}", fmt::join(s.lacks, ", "))));
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
