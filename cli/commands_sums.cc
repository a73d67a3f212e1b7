// The command for bench sums.
#include <fmt/format.h>
#include <fmt/ranges.h>

#include <CLI/CLI.hpp>
#include <algorithm>
#include <memory>
#include <nlohmann/json.hpp>

#include "app/sums/sum.h"
#include "cli/cli.h"

namespace crankwise::set_up {
namespace {

void list_sums(Cli& cli) {
  if (cli.json) {
    Json all = Json::array();
    for (const Sum& s : sums()) all.push_back({{"id", s.id}, {"name", s.name}, {"group", s.group}});
    return cli.output.json(all);
  }
  std::string group;
  for (const Sum& s : sums()) {
    if (s.group != group) cli.output.line((group.empty() ? "" : "\n") + s.group);
    group = s.group;
    cli.output.line(fmt::format("  {:<18} {}", s.id, s.name));
  }
  cli.output.line("\ncrankwise sum NAME says what it asks for; crankwise sum NAME INPUT=VALUE ... works it out.");
}

std::string taken_if_left_out(const Input& in) {
  if (!in.choices.empty()) return fmt::format("{} (left out: {})", fmt::join(in.choices, ", "), in.choices.front());
  const std::string what = in.unit == "number" ? "a number" : fmt::format("in {} or the like", in.unit);
  if (in.usual) return fmt::format("{} (left out: {})", what, with_unit(*in.usual, in.unit));
  return what + (in.may_lack ? ", may be left out" : "");
}

/// Those of the measuring, before anything else.
void say_cautions(Cli& cli, const Sum& s) {
  for (const std::string& id : s.cautions) {
    const Caution* c = cli.knowledge().cautions.find(id);
    if (c != nullptr) cli.output.wrapped(c->name + ". " + c->text, "  CAUTION", 11);
  }
}

void describe(Cli& cli, const Sum& s) {
  if (cli.json) {
    Json j{{"id", s.id},         {"name", s.name},         {"formula", s.formula},
           {"source", s.source}, {"cautions", s.cautions}, {"inputs", Json::array()}};
    for (const Input& in : s.inputs) {
      Json one{{"id", in.id}, {"ask", in.ask}, {"needed", in.choices.empty() && !in.usual && !in.may_lack}};
      if (in.choices.empty())
        one["unit"] = in.unit, one["low"] = in.low, one["high"] = in.high;
      else
        one["choices"] = in.choices;
      if (in.usual) one["usual"] = *in.usual;
      j["inputs"].push_back(std::move(one));
    }
    return cli.output.json(j);
  }
  cli.output.line(s.name);
  say_cautions(cli, s);
  for (const Input& in : s.inputs) cli.output.wrapped(in.ask + "; " + taken_if_left_out(in), "  " + in.id, 20);
  cli.output.wrapped(s.formula, "  Formula", 11);
  cli.output.wrapped(s.source, "  Source", 11);
}

void answer(Cli& cli, const Sum& s, const std::vector<std::string>& pairs) {
  const Inputs in = read_sum_inputs(s, pairs);
  const SumAnswer a = s.work(in);
  if (cli.json) {
    Json j{{"id", s.id},           {"values", Json::array()}, {"worked", a.worked},    {"notes", a.notes},
           {"formula", s.formula}, {"source", s.source},      {"cautions", s.cautions}};
    for (const SumValue& v : a.values) j["values"].push_back({{"name", v.name}, {"value", v.value}, {"unit", v.unit}});
    return cli.output.json(j);
  }
  cli.output.line(s.name);
  say_cautions(cli, s);
  for (const SumValue& v : a.values) cli.output.line(fmt::format("  {:<42} {:>12}", v.name, in_words(v)));
  if (!a.worked.empty()) cli.output.wrapped(a.worked, "  Worked", 11);
  for (const std::string& n : a.notes) cli.output.wrapped(n, "  Mind", 11);
  cli.output.wrapped(s.formula, "  Formula", 11);
  cli.output.wrapped(s.source, "  Source", 11);
}

}  // namespace

void sum(CLI::App& app, Cli& cli) {
  struct Args {
    std::string name;
    std::vector<std::string> inputs;
  };
  auto a = std::make_shared<Args>();
  app.add_option("name", a->name, "which sum; left out: all of them")->type_name("SUM");
  app.add_option("inputs", a->inputs, "each with its unit: \"fuel=20 L\" ratio=40:1; left out: what it asks for")
      ->type_name("INPUT=VALUE");
  app.callback([a, &cli] {
    if (a->name.empty()) return list_sums(cli);
    const Sum* s = find_sum(a->name);
    if (s == nullptr) {
      std::vector<std::string> ids;
      for (const Sum& each : sums()) ids.push_back(each.id);
      const std::string near = nearest(a->name, ids);
      throw BadInput({"", 0, "", fmt::format("no sum is called \"{}\"", a->name),
                      near.empty() ? "crankwise sum lists them" : "perhaps \"" + near + "\""});
    }
    if (a->inputs.empty()) return describe(cli, *s);
    answer(cli, *s, a->inputs);
  });
}

}  // namespace crankwise::set_up
