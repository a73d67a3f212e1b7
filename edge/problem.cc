#include "edge/problem.h"

#include <algorithm>

namespace crankwise {

std::string Problem::text() const {
  std::string out = file;
  if (line > 0) out += ":" + std::to_string(line);
  if (!out.empty()) out += ": ";
  if (!field.empty()) out += field + ": ";
  out += wrong;
  if (!right.empty()) out += "; right would be: " + right;
  return out;
}

BadInput::BadInput(std::vector<Problem> problems) : problems_(std::move(problems)) {
  for (const auto& p : problems_) text_ += (text_.empty() ? "" : "\n") + p.text();
}

namespace {

/// Optimal string alignment distance (Damerau-Levenshtein without repeated edits).
size_t edit_distance(const std::string& a, const std::string& b) {
  std::vector<size_t> before(b.size() + 1), last(b.size() + 1), row(b.size() + 1);
  for (size_t j = 0; j <= b.size(); ++j) last[j] = j;
  for (size_t i = 1; i <= a.size(); ++i) {
    row[0] = i;
    for (size_t j = 1; j <= b.size(); ++j) {
      row[j] = std::min({last[j] + 1, row[j - 1] + 1, last[j - 1] + (a[i - 1] != b[j - 1])});
      if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1]) row[j] = std::min(row[j], before[j - 2] + 1);
    }
    before.swap(last);
    last.swap(row);
  }
  return last[b.size()];
}

}  // namespace

std::string nearest(const std::string& name, const std::vector<std::string>& known) {
  std::string best;
  size_t best_distance = name.size() / 3 + 2;
  for (const auto& k : known) {
    const size_t d = edit_distance(name, k);
    if (d < best_distance) best_distance = d, best = k;
  }
  return best;
}

}  // namespace crankwise
