#include "edge/toml_reader.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "edge/units.h"

namespace crankwise {

std::span<const std::pair<const char*, double>> chance_words() {
  static constexpr std::array<std::pair<const char*, double>, 8> kWords{{{"always", 0.98},
                                                                         {"nearly always", 0.90},
                                                                         {"mostly", 0.75},
                                                                         {"often", 0.50},
                                                                         {"sometimes", 0.25},
                                                                         {"seldom", 0.10},
                                                                         {"rarely", 0.03},
                                                                         {"hardly ever", 0.01}}};
  return kWords;
}

void TomlReader::note(const toml::node* at, const std::string& field, std::string wrong, std::string right) {
  const int where = at == nullptr ? line() : static_cast<int>(at->source().begin.line);
  const bool elsewhere = at != nullptr && at->source().path != nullptr && !at->source().path->empty();
  problems_.push_back({elsewhere ? *at->source().path : file_, where, path_ + (field.empty() ? "" : "." + field),
                       std::move(wrong), std::move(right)});
}

bool TomlReader::refused(const std::string& field) const {
  return std::any_of(problems_.begin(), problems_.end(),
                     [&](const Problem& p) { return p.field == path_ + "." + field; });
}

const toml::node* TomlReader::get(const std::string& field) {
  asked_.push_back(field);
  return table_.get(field);
}

std::string TomlReader::need_text(const std::string& field) {
  if (!has(field)) {
    get(field);
    note(nullptr, field, "is missing", "a text in quotes");
    return "";
  }
  return text(field);
}

std::string TomlReader::text(const std::string& field, const std::string& otherwise) {
  const toml::node* node = get(field);
  if (node == nullptr) return otherwise;
  if (const auto value = node->value_exact<std::string>(); value && !value->empty()) return *value;
  note(node, field, "is not a text", "a text in quotes, not empty");
  return otherwise;
}

bool TomlReader::flag(const std::string& field, bool otherwise) {
  const toml::node* node = get(field);
  if (node == nullptr) return otherwise;
  if (const auto value = node->value_exact<bool>()) return *value;
  note(node, field, "is not true or false", "true or false without quotes");
  return otherwise;
}

std::optional<double> TomlReader::value_number(const toml::node& node, const std::string& field, double low,
                                               double high) {
  const auto value = node.is_number() ? node.value<double>() : std::nullopt;
  if (value && std::isfinite(*value) && *value >= low && *value <= high) return value;
  note(&node, field, value ? fmt::format("{} is out of range", *value) : "is not a number",
       fmt::format("a number from {} to {}", low, high));
  return {};
}

double TomlReader::number(const std::string& field, double low, double high, std::optional<double> otherwise) {
  const toml::node* node = get(field);
  if (node != nullptr) return value_number(*node, field, low, high).value_or(low);
  if (!otherwise) note(nullptr, field, "is missing", fmt::format("a number from {} to {}", low, high));
  return otherwise.value_or(low);
}

std::optional<double> TomlReader::value_measure(const toml::node& node, const std::string& field, const Axis& axis) {
  const std::string right =
      fmt::format("from {} {unit} to {} {unit}, in quotes", axis.low, axis.high, fmt::arg("unit", axis.unit));
  const auto told = node.value_exact<std::string>();
  const auto unit = find_unit(axis.unit);
  const auto measure = told ? parse_measure(*told) : std::nullopt;
  const auto value = measure && unit ? convert(measure->value, measure->unit, *unit) : std::nullopt;
  if (value && *value >= axis.low && *value <= axis.high) return value;
  note(&node, field,
       !told      ? "is not a text with number and unit"
       : !measure ? "\"" + *told + "\" is not a number with a unit"
       : !value   ? fmt::format("\"{}\" does not go with {}", *told, axis.unit)
                  : "\"" + *told + "\" is out of range",
       right);
  return {};
}

double TomlReader::measure(const std::string& field, const std::string& unit, double low, double high,
                           std::optional<double> otherwise) {
  const toml::node* node = get(field);
  if (node != nullptr) return value_measure(*node, field, {unit, low, high}).value_or(otherwise.value_or(low));
  if (!otherwise)
    note(nullptr, field, "is missing",
         fmt::format("from {} {unit} to {} {unit}, in quotes", low, high, fmt::arg("unit", unit)));
  return otherwise.value_or(low);
}

std::vector<TomlReader::CurvePoint> TomlReader::curve(const std::string& field, const Axis& x, const Axis& y) {
  const toml::node* node = get(field);
  const std::string right =
      fmt::format("[[\"... {0}\", \"... {1}\"], [\"... {0}\", \"... {1}\"]], by rising {0}", x.unit, y.unit);
  const toml::array* rows = node == nullptr ? nullptr : node->as_array();
  if (rows == nullptr || rows->size() < 2) {
    note(node, field, node == nullptr ? "is missing" : "is not a list of two points or more", right);
    return {};
  }
  std::vector<CurvePoint> points;
  for (const toml::node& row : *rows) {
    const toml::array* pair = row.as_array();
    if (pair == nullptr || pair->size() != 2) {
      note(&row, field, "has a point that is not a pair", right);
      continue;
    }
    const auto at = value_measure(*pair->get(0), field, x), is = value_measure(*pair->get(1), field, y);
    if (!at || !is) continue;
    if (!points.empty() && *at <= points.back().x) note(&row, field, fmt::format("does not rise in {}", x.unit), right);
    points.push_back({*at, *is, static_cast<int>(row.source().begin.line)});
  }
  return points;
}

PerCycle TomlReader::per_cycle(const std::string& field, double low, double high, std::optional<double> otherwise) {
  const toml::node* node = get(field);
  if (node == nullptr || !node->is_table()) {
    asked_.pop_back();
    const double both = number(field, low, high, otherwise);
    return {both, both};
  }
  TomlReader inner(*node->as_table(), file_, path_ + "." + field, problems_);
  const PerCycle value{inner.number("two-stroke", low, high), inner.number("four-stroke", low, high)};
  inner.finish();
  return value;
}

std::optional<double> TomlReader::value_chance(const toml::node& node, const std::string& field) {
  if (node.is_number()) return value_number(node, field, 0, 1);
  const auto word = node.value_exact<std::string>();
  std::vector<std::string> names;
  std::string right = "a number from 0 to 1 or one of:";
  for (const auto& [name, value] : chance_words()) {
    if (word && *word == name) return value;
    names.emplace_back(name);
    right += fmt::format(" {}{}", name, names.size() < chance_words().size() ? "," : "");
  }
  if (word) {
    if (const std::string near = nearest(*word, names); !near.empty())
      right = fmt::format("perhaps \"{}\"; {}", near, right);
  }
  note(&node, field, word ? fmt::format("\"{}\" is not a word of the scale", *word) : "is neither word nor number",
       right);
  return {};
}

double TomlReader::chance(const std::string& field, double otherwise) {
  const toml::node* node = get(field);
  return node == nullptr ? otherwise : value_chance(*node, field).value_or(otherwise);
}

std::vector<std::string> TomlReader::list(const std::string& field) {
  const toml::node* node = get(field);
  std::vector<std::string> out;
  if (node == nullptr) return out;
  const toml::array* array = node->as_array();
  if (array == nullptr) {
    note(node, field, "is not a list", "[\"...\", \"...\"]");
    return out;
  }
  for (const toml::node& item : *array) {
    const auto value = item.value_exact<std::string>();
    if (!value || value->empty()) {
      note(&item, field, "has an entry that is not a text", "texts in quotes");
    } else if (std::find(out.begin(), out.end(), *value) != out.end()) {
      note(&item, field, fmt::format("\"{}\" is there twice", *value), "once");
    } else {
      out.push_back(*value);
    }
  }
  return out;
}

Condition TomlReader::condition(const std::string& field) {
  Condition condition;
  for (const std::string& line : list(field)) {
    std::vector<Condition::Alternative> alternatives;
    for (size_t from = 0; from <= line.size();) {
      const size_t bar = std::min(line.find(" or ", from), line.size());
      std::string word = line.substr(from, bar - from);
      const bool negated = word.rfind("not ", 0) == 0;
      alternatives.push_back({negated ? word.substr(4) : word, negated});
      from = bar + 4;
    }
    condition.lines.push_back(std::move(alternatives));
  }
  return condition;
}

template <class Read>
Strengths TomlReader::strengths(const std::string& field, const char* example, Read read) {
  Strengths out;
  const toml::node* node = get(field);
  if (node == nullptr) return out;
  const toml::table* table = node->as_table();
  if (table == nullptr) {
    note(node, field, "is not a table", example);
    return out;
  }
  for (const auto& [key, value] : *table) {
    const std::string id(key.str()), path = field + "." + id;
    const toml::table* cycles = value.as_table();
    if (cycles == nullptr) {
      if (const auto both = read(value, path)) out.emplace_back(id, PerCycle{*both, *both});
      continue;
    }
    const toml::node* two = cycles->get("two-stroke");
    const toml::node* four = cycles->get("four-stroke");
    if (two == nullptr || four == nullptr || cycles->size() != 2) {
      note(&value, path, "is a table but not one of both cycles", "{ two-stroke = ..., four-stroke = ... }");
      continue;
    }
    const auto first = read(*two, path), second = read(*four, path);
    if (first && second) out.emplace_back(id, PerCycle{*first, *second});
  }
  return out;
}

Strengths TomlReader::chances(const std::string& field) {
  return strengths(field, "{ name = \"often\", other-name = \"seldom\" }",
                   [&](const toml::node& n, const std::string& path) { return value_chance(n, path); });
}

Strengths TomlReader::factors(const std::string& field, double low, double high) {
  return strengths(field, "{ name = 3.0, other-name = 0.5 }",
                   [&](const toml::node& n, const std::string& path) { return value_number(n, path, low, high); });
}

std::optional<std::pair<double, double>> TomlReader::range(const std::string& field) {
  const toml::node* node = get(field);
  const toml::array* pair = node == nullptr ? nullptr : node->as_array();
  if (pair != nullptr && pair->size() == 2 && pair->get(0)->is_number() && pair->get(1)->is_number()) {
    const double low = *pair->get(0)->value<double>(), high = *pair->get(1)->value<double>();
    if (low >= 0 && low < high && std::isfinite(high)) return std::pair{low, high};
  }
  note(node, field, node == nullptr ? "is missing" : "is not a range", "[low, high], low below high, none below 0");
  return {};
}

std::vector<double> TomlReader::rising(const std::string& field, size_t count, double low, double high) {
  const toml::node* node = get(field);
  const toml::array* list = node == nullptr ? nullptr : node->as_array();
  std::vector<double> out;
  if (list != nullptr)
    for (const toml::node& each : *list)
      if (const auto x = each.value<double>(); x && *x >= low && *x <= high && (out.empty() || *x >= out.back()))
        out.push_back(*x);
  if (list != nullptr && list->size() == count && out.size() == count) return out;
  note(node, field, node == nullptr ? "is missing" : "is not a rising list",
       fmt::format("{} numbers from {:g} to {:g}, none below the one before it", count, low, high));
  return std::vector<double>(count, 0.0);
}

std::optional<TomlReader> TomlReader::table(const std::string& field) {
  const toml::node* node = get(field);
  if (node == nullptr) return {};
  if (const toml::table* t = node->as_table()) return TomlReader(*t, file_, path_ + "." + field, problems_);
  note(node, field, "is not a table", "{ ... }");
  return {};
}

std::map<std::string, TomlReader> TomlReader::tables_by_name() {
  std::map<std::string, TomlReader> all;
  for (const auto& [key, value] : table_) {
    const std::string name(key.str());
    if (auto t = table(name)) all.emplace(name, *t);
  }
  return all;
}

std::map<std::string, std::string> TomlReader::words() {
  std::map<std::string, std::string> all;
  for (const auto& [key, value] : table_) all[std::string(key.str())] = text(std::string(key.str()));
  return all;
}

std::vector<TomlReader> TomlReader::tables(const std::string& field) {
  std::vector<TomlReader> out;
  const toml::node* node = get(field);
  if (node == nullptr) return out;
  const toml::array* array = node->as_array();
  if (array == nullptr ||
      !std::all_of(array->begin(), array->end(), [](const toml::node& n) { return n.is_table(); })) {
    note(node, field, "is not a list of tables", "[ { ... }, { ... } ]");
    return out;
  }
  for (size_t i = 0; i < array->size(); ++i) {
    out.emplace_back(*array->get(i)->as_table(), file_, fmt::format("{}.{}[{}]", path_, field, i + 1), problems_);
  }
  return out;
}

void TomlReader::finish() {
  for (const auto& [key, value] : table_) {
    const std::string field(key.str());
    if (std::find(asked_.begin(), asked_.end(), field) != asked_.end()) continue;
    const std::string near = nearest(field, asked_);
    std::string right;
    if (!near.empty()) {
      right = "perhaps \"" + near + "\"";
    } else {
      for (const auto& a : asked_) right += (right.empty() ? "one of " : ", ") + a;
    }
    note(&value, field, "is not a field here", right);
  }
}

}  // namespace crankwise
