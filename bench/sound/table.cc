#include "bench/sound/table.h"

#include <fmt/format.h>

namespace crankwise::bench {
namespace {

std::string percent(std::optional<double> share, int digits) {
  return share ? fmt::format("{:.{}f}", 100 * *share, digits) : "";
}

std::string line(const std::string& name, const std::vector<std::string>& cells) {
  return fmt::format("| {} | {} |\n", name, fmt::join(cells, " | "));
}

template <class F>
Column column(const std::vector<SoundRow>& rows, const std::string& head, int digits, F value) {
  Column c{head, {}, digits};
  for (const SoundRow& r : rows) c.values.push_back(value(r));
  return c;
}

Column ours(const std::vector<SoundRow>& rows, const std::string& head, int digits,
            std::optional<double> Score::*value) {
  return column(rows, head, digits, [value](const SoundRow& r) { return r.ours.*value; });
}

/// Each tracker once, at the setting with the least mean of gross errors.
std::vector<Column> outside_columns(const std::vector<SoundRow>& rows, const std::vector<Outside>& trackers) {
  std::vector<Column> out;
  for (std::size_t k = 0; k < trackers.size(); ++k) {
    Column c = column(rows, trackers[k].tracker + " " + trackers[k].setting, 1,
                      [k](const SoundRow& r) { return r.outside[k].gross; });
    if (k == 0 || trackers[k - 1].tracker != trackers[k].tracker) {
      out.push_back(std::move(c));
    } else if (mean(c.values) < mean(out.back().values)) {
      out.back() = std::move(c);
    }
  }
  return out;
}

std::vector<std::string> names(const std::vector<SoundRow>& rows) {
  std::vector<std::string> out;
  for (const SoundRow& r : rows) out.push_back(r.name);
  return out;
}

}  // namespace

std::string markdown(const std::vector<std::string>& names, const std::vector<Column>& columns) {
  std::vector<std::string> heads, rules, means, medians;
  for (const Column& c : columns) {
    heads.push_back(c.head);
    rules.emplace_back("--:");
    means.push_back(percent(mean(c.values), c.digits));
    medians.push_back(percent(median(c.values), c.digits));
  }
  std::string out = line("take", heads) + fmt::format("|---|{}|\n", fmt::join(rules, "|"));
  for (std::size_t i = 0; i < names.size(); ++i) {
    std::vector<std::string> cells;
    for (const Column& c : columns) cells.push_back(percent(c.values[i], c.digits));
    out += line(names[i], cells);
  }
  return out + line("**mean**", means) + line("**median**", medians);
}

std::string sound_table(const std::vector<SoundRow>& all, const std::vector<Outside>& trackers) {
  std::vector<SoundRow> with, without;
  for (const SoundRow& r : all) (r.engine_there ? with : without).push_back(r);
  std::string out;
  if (!with.empty()) {
    std::vector<Column> columns{ours(with, "ours", 1, &Score::gross)};
    for (Column& c : outside_columns(with, trackers)) columns.push_back(std::move(c));
    columns.push_back(ours(with, "octave", 1, &Score::octave));
    columns.push_back(ours(with, "median error", 2, &Score::median));
    columns.push_back(ours(with, "sure", 0, &Score::sure));
    columns.push_back(ours(with, "sure, wrong", 2, &Score::sure_wrong));
    columns.push_back(ours(with, "sure, octave", 2, &Score::sure_octave));
    columns.push_back(ours(with, "2 sigma", 0, &Score::covered));
    columns.push_back(ours(with, "ceiling", 2, &Score::ceiling));
    columns.push_back(ours(with, "heard in silence", 0, &Score::heard_in_nothing));
    out += markdown(names(with), columns);
  }
  if (!without.empty()) {
    if (!out.empty()) out += "\n";
    out += markdown(names(without), {ours(without, "heard", 1, &Score::heard_in_nothing),
                                     ours(without, "surely heard", 1, &Score::sure_in_nothing)});
  }
  return out;
}

}  // namespace crankwise::bench
