// The commands on hours, renewals and what is due.
#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <cmath>
#include <cstdlib>
#include <memory>
#include <nlohmann/json.hpp>
#include <optional>

#include "app/due.h"
#include "cli/cli.h"

namespace crankwise::set_up {
namespace {

/// "2.5 h", "90 min" -> hours; "365 days" -> days.
struct Span {
  double hours = 0, days = 0;
};
std::optional<Span> parse_span(const std::vector<std::string>& words) {
  const std::string text = fmt::format("{}", fmt::join(words, " "));
  char* end = nullptr;
  const double value = std::strtod(text.c_str(), &end);
  if (end == text.c_str() || !std::isfinite(value)) return {};
  std::string unit(end);
  unit.erase(0, unit.find_first_not_of(' '));
  if (unit == "h" || unit == "hour" || unit == "hours") return Span{value, 0};
  if (unit == "min" || unit == "minutes") return Span{value / 60, 0};
  if (unit == "day" || unit == "days") return Span{0, value};
  return {};
}

[[noreturn]] void not_a_span(const std::vector<std::string>& words, const char* right) {
  throw BadInput({"", 0, "", fmt::format("\"{}\" is not a time with its unit", fmt::join(words, " ")), right});
}

std::string hours_line(Shop& shop, const std::string& bike) {
  return fmt::format("{}: {:g} h ({})", bike, shop.bike(bike).hours, shop.hour_book(bike).source());
}

Json hours_json(Shop& shop, const std::string& bike) {
  return {{"bike", bike}, {"hours", shop.bike(bike).hours}, {"hours_from", shop.hour_book(bike).source()}};
}

Json due_json(Shop& shop, const DueList& list) {
  const Bike& b = shop.bike(list.bike);
  const auto known = [](double x) { return x < 0 ? Json() : Json(x); };
  Json j{{"bike", list.bike},
         {"hours", b.hours_known ? Json(b.hours) : Json()},
         {"hours_from", shop.hour_book(list.bike).source()},
         {"within_hours", list.within_h},
         {"chance_of_any_trouble", list.chance_of_any},
         {"chance_not_told", list.not_told},
         {"items", Json::array()}};
  for (const DueItem& i : list.items) {
    j["items"].push_back({{"upkeep", i.upkeep->id},
                          {"name", i.upkeep->name},
                          {"work", i.upkeep->work},
                          {"why", i.upkeep->why},
                          {"cautions", i.upkeep->cautions},
                          {"urgency", text(i.urgency)},
                          {"reason", reason_in_words(i)},
                          {"every_hours", i.every_h > 0 ? Json(i.every_h) : Json()},
                          {"every_days", i.every_days > 0 ? Json(i.every_days) : Json()},
                          {"own_interval", i.own_h || i.own_days},
                          {"hard_use", i.hard},
                          {"age_hours", known(i.age_h)},
                          {"age_days", known(i.age_days)},
                          {"renewed_hours", known(i.renewed.hours)},
                          {"renewed_day", i.renewed.day.empty() ? Json() : Json(i.renewed.day)},
                          {"chance_of_trouble", known(i.chance)}});
  }
  return j;
}

std::string percent(double chance) { return chance < 0.005 ? "under 1 %" : fmt::format("{:.0f} %", 100 * chance); }

void print_item(Cli& cli, const DueItem& i, bool whole) {
  Output& out = cli.output;
  const Upkeep& u = *i.upkeep;
  out.wrapped(fmt::format("{} [{}]: {}", u.name, u.id, reason_in_words(i)), "  - ", 4);
  if (!whole) return;
  out.wrapped(fmt::format("{}. {}", u.work, u.why), "    ", 4);
  std::string titles;
  for (const auto& id : u.cautions) titles += (titles.empty() ? "" : ", ") + cli.knowledge().cautions.find(id)->name;
  if (!titles.empty()) out.wrapped(fmt::format("{} (crankwise show {})", titles, u.id), "    CAUTION  ", 13);
}

void print_due(Cli& cli, const DueList& list, bool one, bool all) {
  Output& out = cli.output;
  const Bike& b = cli.shop().bike(list.bike);
  out.heading(fmt::format("{}: {}", b.name,
                          b.hours_known
                              ? fmt::format("{:g} h ({})", b.hours, cli.shop().hour_book(list.bike).source())
                              : fmt::format("hours not known (crankwise hours {} H, or H --estimate)", list.bike)));
  const auto section = [&](Urgency urgency, const std::string& title, bool whole) {
    bool first = true;
    for (const DueItem& i : list.items) {
      if (i.urgency != urgency) continue;
      if (first) out.line(title);
      first = false;
      print_item(cli, i, whole);
    }
    return !first;
  };
  bool any = section(Urgency::overdue, "Overdue", one);
  any |= section(Urgency::soon, fmt::format("Due within {:g} h or 14 days", list.within_h), one);
  const auto unknown = std::count_if(list.items.begin(), list.items.end(),
                                     [](const DueItem& i) { return i.urgency == Urgency::unknown; });
  if (one)
    any |= section(Urgency::unknown, "Perhaps overdue: nobody wrote down when (crankwise renewed BIKE PART --at H)",
                   false);
  else if (unknown > 0)
    out.line(fmt::format("  {} more perhaps overdue, as nobody wrote down when: crankwise due {}", unknown, list.bike));
  if (one && all) section(Urgency::later, "Not due yet", false);
  if (!any && unknown == 0) out.line("  nothing is due");
  if (!one) return;
  out.line(
      fmt::format("\nTrouble in the next {:g} h if nothing is done: {}", list.within_h, percent(list.chance_of_any)));
  std::vector<const DueItem*> worst;
  for (const DueItem& i : list.items) {
    if (i.chance >= 0.01) worst.push_back(&i);
  }
  std::stable_sort(worst.begin(), worst.end(), [](auto* x, auto* y) { return x->chance > y->chance; });
  constexpr size_t kShown = 6;
  for (size_t k = 0; k < std::min(worst.size(), kShown); ++k)
    out.line(fmt::format(
        "  {:>5}  {}{}", percent(worst[k]->chance), worst[k]->upkeep->name,
        worst[k]->age_h < 0 && worst[k]->age_days < 0 ? " (renewal not known, taken as done in time)" : ""));
  if (list.not_told > 0)
    out.line(fmt::format("  {} not counted: neither hours nor day of the renewal are known", list.not_told));
}

}  // namespace

void hours(CLI::App& app, Cli& cli) {
  struct Args {
    std::string bike;
    double hours = 0;
    bool changed = false, corrected = false, estimate = false;
  };
  auto a = std::make_shared<Args>();
  app.add_option("bike", a->bike, "which bike")->required()->type_name("BIKE");
  app.add_option("hours", a->hours, "what the meter shows")->required()->type_name("H");
  app.add_flag("--meter-changed", a->changed, "another meter is on, or it was reset: the engine's hours run on");
  app.add_flag("--corrected", a->corrected, "what was written down before is wrong");
  app.add_flag("--estimate", a->estimate, "no meter: about how many hours the engine has");
  app.callback([a, &cli] {
    if (a->changed + a->corrected + a->estimate > 1)
      throw BadInput({"", 0, "", "--meter-changed, --corrected and --estimate do not go together", "one of them"});
    cli.shop().set_hours(a->bike, a->hours,
                         a->changed     ? HoursTold::new_meter
                         : a->corrected ? HoursTold::correction
                         : a->estimate  ? HoursTold::estimate
                                        : HoursTold::meter);
    cli.output.line(cli.json ? hours_json(cli.shop(), a->bike).dump() : hours_line(cli.shop(), a->bike));
  });
}

void ridden(CLI::App& app, Cli& cli) {
  struct Args {
    std::string bike;
    std::vector<std::string> time;
  };
  auto a = std::make_shared<Args>();
  app.add_option("bike", a->bike, "which bike")->required()->type_name("BIKE");
  app.add_option("time", a->time, "how long the engine ran, about: 2.5 h, 90 min")->required()->type_name("TIME");
  app.callback([a, &cli] {
    const auto span = parse_span(a->time);
    if (!span || span->days != 0) not_a_span(a->time, "a text like \"2.5 h\" or \"90 min\"");
    cli.shop().ridden(a->bike, span->hours);
    cli.output.line(cli.json ? hours_json(cli.shop(), a->bike).dump() : hours_line(cli.shop(), a->bike));
  });
}

void renewed(CLI::App& app, Cli& cli) {
  struct Args {
    std::string bike, part;
    RenewedWhen when;
  };
  auto a = std::make_shared<Args>();
  app.add_option("bike", a->bike, "which bike")->required()->type_name("BIKE");
  app.add_option("part", a->part, "plug, packing, reeds, fuel ... or an upkeep (crankwise list upkeep)")
      ->required()
      ->type_name("PART");
  app.add_option("--at", a->when.hours, "engine hours at which it was done; left out: now")->type_name("H");
  app.add_option("--on", a->when.day, "the day it was done, as 2026-05-04; left out: today")->type_name("DAY");
  app.add_flag("--again", a->when.again, "it was renewed twice within a minute, or this puts the last time right");
  app.callback([a, &cli] {
    const Renewed done = cli.shop().renewed(a->bike, a->part, a->when);
    if (cli.json) {
      Json j{{"bike", a->bike}, {"part", a->part}, {"parts", done.parts}};
      if (done.when.hours >= 0) j["hours"] = done.when.hours;
      if (!done.when.day.empty()) j["day"] = done.when.day;
      return cli.output.line(j.dump());
    }
    cli.output.line(fmt::format("{}: {} renewed{}{}", a->bike, fmt::join(done.parts, ", "),
                                done.when.hours >= 0 ? fmt::format(" at {:.4g} h", done.when.hours) : "",
                                done.when.day.empty() ? "" : " on " + done.when.day));
  });
}

void interval(CLI::App& app, Cli& cli) {
  struct Args {
    std::string bike, upkeep;
    std::vector<std::string> every;
  };
  auto a = std::make_shared<Args>();
  app.add_option("bike", a->bike, "which bike")->required()->type_name("BIKE");
  app.add_option("upkeep", a->upkeep, "what (crankwise list upkeep)")->required()->type_name("UPKEEP");
  app.add_option("every", a->every, "by the bike's handbook: 20 h, 365 days; or: usual")->required()->type_name("TIME");
  app.callback([a, &cli] {
    OwnInterval own;
    if (a->every != std::vector<std::string>{"usual"}) {
      const auto span = parse_span(a->every);
      if (!span || !(span->hours > 0 || span->days > 0))
        not_a_span(a->every, "a text like \"20 h\" or \"365 days\", above 0, or usual");
      own = {span->hours, span->days};
    }
    cli.shop().set_interval(a->bike, a->upkeep, own);
    cli.output.line(
        cli.json ? Json{{"bike", a->bike}, {"upkeep", a->upkeep}, {"hours", own.hours}, {"days", own.days}}.dump()
                 : fmt::format("{}: {} every {}", a->bike, a->upkeep, fmt::join(a->every, " ")));
  });
}

void use(CLI::App& app, Cli& cli) {
  struct Args {
    std::string bike, how;
  };
  auto a = std::make_shared<Args>();
  app.add_option("bike", a->bike, "which bike")->required()->type_name("BIKE");
  app.add_option("how", a->how, "hard (racing, sand, mud) or usual")->required()->type_name("hard/usual");
  app.callback([a, &cli] {
    if (a->how != "hard" && a->how != "usual")
      throw BadInput({"", 0, "", fmt::format("\"{}\" is not known", a->how), "hard or usual"});
    cli.shop().set_hard(a->bike, a->how == "hard");
    cli.output.line(
        cli.json ? Json{{"bike", a->bike}, {"use", a->how}}.dump()
                 : fmt::format("{}: {}", a->bike, a->how == "hard" ? "ridden hard, due sooner" : "ridden as usual"));
  });
}

void due(CLI::App& app, Cli& cli) {
  struct Args {
    std::string bike;
    double within = 5;
    bool all = false;
  };
  auto a = std::make_shared<Args>();
  app.add_option("bike", a->bike, "which bike; left out: all, in short")->type_name("BIKE");
  app.add_option("--within", a->within, "look this many hours ahead")->type_name("H");
  app.add_flag("--all", a->all, "also what is not due yet");
  app.callback([a, &cli] {
    if (!(a->within > 0 && a->within <= 1000))
      throw BadInput(
          {"", 0, "--within", fmt::format("{:g} h is no time to look ahead", a->within), "above 0, up to 1000"});
    Shop& shop = cli.shop();
    if (!a->bike.empty()) {
      const DueList list = due_list(shop, a->bike, a->within);
      return cli.json ? cli.output.json(due_json(shop, list)) : print_due(cli, list, true, a->all);
    }
    Json all = Json::array();
    for (const auto& [id, bike] : shop.bikes()) {
      const DueList list = due_list(shop, id, a->within);
      if (cli.json)
        all.push_back(due_json(shop, list));
      else
        print_due(cli, list, false, false);
    }
    if (cli.json)
      cli.output.json(all);
    else if (shop.bikes().empty())
      cli.output.line("no bikes yet; crankwise add-bike \"Red 125\" --class motocross-125-two-stroke");
  });
}

}  // namespace crankwise::set_up
