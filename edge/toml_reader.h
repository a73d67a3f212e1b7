// One TOML table, read field by field; every problem is noted with its line, and what nobody asked for is a problem
// too.
#pragma once

#include <toml++/toml.h>
#include <optional>
#include <string>
#include <vector>

#include "edge/knowledge.h"
#include "edge/problem.h"

namespace crankwise {

class TomlReader {
 public:
  /// `path`: "fault.main-jet-blocked", for the messages.
  TomlReader(const toml::table& table, std::string file, std::string path, std::vector<Problem>& problems)
      : table_(table), file_(std::move(file)), path_(std::move(path)), problems_(problems) {}

  /// Was this field found wrong?
  bool refused(const std::string& field) const;
  bool has(const std::string& field) const { return table_.contains(field); }
  int line() const { return static_cast<int>(table_.source().begin.line); }
  std::string need_text(const std::string& field);
  std::string text(const std::string& field, const std::string& otherwise = "");
  bool flag(const std::string& field, bool otherwise);
  double number(const std::string& field, double low, double high, std::optional<double> otherwise = {});
  /// "54 mm": a number with a unit, in any unit of that kind; given in `unit`.
  double measure(const std::string& field, const std::string& unit, double low, double high,
                 std::optional<double> otherwise = {});
  /// [["3000 rpm", "24 deg"], ...] by rising x, in these units; two points or more.
  struct Axis {
    std::string unit;
    double low, high;
  };
  struct CurvePoint {
    double x, y;
    int line;
  };
  std::vector<CurvePoint> curve(const std::string& field, const Axis& x, const Axis& y);
  PerCycle per_cycle(const std::string& field, double low, double high, std::optional<double> otherwise = {});
  /// A word of the scale or a number from 0 to 1.
  double chance(const std::string& field, double otherwise);
  std::vector<std::string> list(const std::string& field);
  Condition condition(const std::string& field);
  Strengths chances(const std::string& field);                           // table: id -> word or number, or both cycles
  Strengths factors(const std::string& field, double low, double high);  // table: id -> number, or both cycles
  /// [low, high] with 0 <= low < high; nothing (and a problem noted) otherwise.
  std::optional<std::pair<double, double>> range(const std::string& field);
  /// Exactly so many numbers, none below the one before it, from low to high; zeros (and a problem noted) otherwise.
  std::vector<double> rising(const std::string& field, size_t count, double low, double high);
  /// A table, or nothing.
  std::optional<TomlReader> table(const std::string& field);
  std::vector<TomlReader> tables(const std::string& field);  // list of tables
  std::map<std::string, std::string> words();                // all fields of this table, as texts
  std::map<std::string, TomlReader> tables_by_name();        // all fields of this table, as tables
  template <class Enum>
  Enum choice(const std::string& field, std::span<const Enum> all, Enum otherwise);

  /// Notes every field that was not asked for.
  void finish();
  /// The same at the field's own line.
  void note_field(const std::string& field, std::string wrong, std::string right) {
    note(table_.get(field), field, std::move(wrong), std::move(right));
  }
  /// A node that came from another file (what was laid over this one) is told with that file's name.
  void note(const toml::node* at, const std::string& field, std::string wrong, std::string right);

 private:
  const toml::node* get(const std::string& field);
  std::optional<double> value_number(const toml::node&, const std::string& field, double low, double high);
  std::optional<double> value_measure(const toml::node&, const std::string& field, const Axis&);
  std::optional<double> value_chance(const toml::node&, const std::string& field);
  template <class Read>
  Strengths strengths(const std::string& field, const char* example, Read read);

  const toml::table& table_;
  std::string file_, path_;
  std::vector<Problem>& problems_;
  std::vector<std::string> asked_;
};

/// The scale of words for chances, most to least, with its values.
std::span<const std::pair<const char*, double>> chance_words();

template <class Enum>
Enum TomlReader::choice(const std::string& field, std::span<const Enum> all, Enum otherwise) {
  if (!has(field)) return get(field), otherwise;
  const std::string word = text(field);
  std::vector<std::string> names;
  for (Enum e : all) {
    names.emplace_back(crankwise::text(e));
    if (names.back() == word) return e;
  }
  std::string right = "one of";
  for (const auto& n : names) right += " " + n;
  note(table_.get(field), field, "\"" + word + "\" is not known", right);
  return otherwise;
}

}  // namespace crankwise
