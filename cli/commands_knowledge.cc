// The commands on the knowledge.
#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <memory>
#include <nlohmann/json.hpp>

#include "cli/cli.h"

namespace crankwise::set_up {
namespace {

struct Row {
  std::string id, name, more;
};

using Rows = std::vector<Row>;

const std::vector<std::pair<const char*, Rows (*)(const Knowledge&)>>& kinds() {
  static const std::vector<std::pair<const char*, Rows (*)(const Knowledge&)>> kKinds{
      {"classes",
       [](const Knowledge& k) {
         Rows r;
         for (const auto& x : k.classes) r.push_back({x.id, x.name, ""});
         return r;
       }},
      {"traits",
       [](const Knowledge& k) {
         Rows r;
         for (const auto& x : k.traits) r.push_back({x.id, x.name, x.group});
         return r;
       }},
      {"faults",
       [](const Knowledge& k) {
         Rows r;
         for (const auto& x : k.faults) r.push_back({x.id, x.name, x.part});
         return r;
       }},
      {"findings",
       [](const Knowledge& k) {
         Rows r;
         for (const auto& x : k.findings) r.push_back({x.id, x.name, std::string(text(x.kind))});
         return r;
       }},
      {"readings",
       [](const Knowledge& k) {
         Rows r;
         for (const auto& x : k.readings) r.push_back({x.id, x.name, x.unit});
         return r;
       }},
      {"steps",
       [](const Knowledge& k) {
         Rows r;
         for (const auto& x : k.steps) r.push_back({x.id, x.name, std::string(text(x.kind))});
         return r;
       }},
      {"parts",
       [](const Knowledge& k) {
         Rows r;
         for (const auto& x : k.parts) r.push_back({x.id, x.name, ""});
         return r;
       }},
      {"tools",
       [](const Knowledge& k) {
         Rows r;
         for (const auto& x : k.tools) r.push_back({x.id, x.name, ""});
         return r;
       }},
      {"cautions",
       [](const Knowledge& k) {
         Rows r;
         for (const auto& x : k.cautions) r.push_back({x.id, x.name, ""});
         return r;
       }},
      {"contexts",
       [](const Knowledge& k) {
         Rows r;
         for (const auto& x : k.contexts) r.push_back({x.id, x.name, ""});
         return r;
       }},
      {"upkeep",
       [](const Knowledge& k) {
         Rows r;
         for (const auto& x : k.upkeep) r.push_back({x.id, x.name, x.work});
         return r;
       }},
      {"terms",
       [](const Knowledge& k) {
         Rows r;
         for (const auto& x : k.terms) r.push_back({x.id, x.name, x.plain});
         return r;
       }},
  };
  return kKinds;
}

}  // namespace

void list(CLI::App& app, Cli& cli) {
  struct Args {
    std::string kind, with;
  };
  auto a = std::make_shared<Args>();
  app.add_option(
         "kind", a->kind,
         "classes, traits, faults, findings, readings, steps, parts, upkeep, tools, cautions, contexts or terms")
      ->required()
      ->type_name("KIND");
  app.add_option("--with", a->with, "only those with this in id or name")->type_name("WORD");
  app.callback([a, &cli] {
    std::vector<std::string> names;
    for (const auto& [name, rows] : kinds()) {
      names.emplace_back(name);
      if (a->kind != name) continue;
      Json all = Json::array();
      for (const Row& r : rows(cli.knowledge())) {
        if (!a->with.empty() && r.id.find(a->with) == std::string::npos && r.name.find(a->with) == std::string::npos)
          continue;
        if (cli.json)
          all.push_back({{"id", r.id}, {"name", r.name}});
        else
          cli.output.line(fmt::format("  {:<34} {}{}", r.id, r.name, r.more.empty() ? "" : "  (" + r.more + ")"));
      }
      if (cli.json) cli.output.line(all.dump(1));
      return;
    }
    const std::string near = nearest(a->kind, names);
    throw BadInput({"", 0, "kind", fmt::format("\"{}\" is not a kind", a->kind),
                    near.empty() ? fmt::format("one of {}", fmt::join(names, ", ")) : "perhaps \"" + near + "\""});
  });
}

void check_knowledge(CLI::App& app, Cli& cli) {
  app.callback([&cli] {
    const Knowledge& k = cli.knowledge();
    if (cli.json) {
      cli.output.line(Json{{"faults", k.faults.size()},
                           {"findings", k.findings.size()},
                           {"steps", k.steps.size()},
                           {"readings", k.readings.size()}}
                          .dump());
      return;
    }
    cli.output.line(fmt::format("all in order: {} faults, {} findings, {} steps, {} readings", k.faults.size(),
                                k.findings.size(), k.steps.size(), k.readings.size()));
    for (const BikeClass& c : k.classes) {
      Bike b;
      b.traits = c.traits;
      const BikeModel m = fit(k, b, {}, {});
      cli.output.line(fmt::format("  {:<46} {} faults, {} findings, {} steps", c.name, m.faults.size(),
                                  m.findings.size(), m.plan.steps.size()));
    }
  });
}

}  // namespace crankwise::set_up
