// The bench's results as Markdown.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "bench/sound/outside.h"
#include "bench/sound/score.h"

namespace crankwise::bench {

/// Shares, shown in percent; empty where there is none.
struct Column {
  std::string head;
  std::vector<std::optional<double>> values;
  int digits = 1;
};

/// A line for each name, then the columns' means and medians.
std::string markdown(const std::vector<std::string>& names, const std::vector<Column>&);

struct SoundRow {
  std::string name;
  bool engine_there = true;
  Score ours;
  std::vector<Score> outside;  // as outside_trackers()
};

/// Gross errors of all trackers, each outside one at its setting of the least mean, and then our other figures; takes
/// without an engine in a table of their own.
std::string sound_table(const std::vector<SoundRow>&, const std::vector<Outside>&);

}  // namespace crankwise::bench
