#include "core/sound/path.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <random>

#include "core/sound/even.h"

namespace crankwise::sound {
namespace {

using Places = std::vector<PathFinder::Place>;

/// What the path is to be the greatest of: evidence less what moves cost, as the header of path.cc has it.
double worth(const std::vector<float>& rows, const Grid& grid, const Places& path) {
  double sum = 0;
  for (size_t f = 0; f < path.size(); ++f) {
    const int bin = path[f].bin - path[f].rough * Grid::kPerOctave;
    sum += bin < 0 ? -1e9 : std::max(rows[f * static_cast<size_t>(grid.size) + static_cast<size_t>(bin)], -0.1F);
    if (f == 0) sum -= path[f].rough > 0 ? 6 : 0;
    if (f == 0) continue;
    const int move = path[f].bin - path[f - 1].bin;
    if (path[f].rough != path[f - 1].rough) sum -= move == 0 ? 6 : 1e9;
    sum -= move > 13 || move < -10 ? 1e9 : 0.015 * move * move;
  }
  return sum;
}

/// All paths, tried.
void try_all(const std::vector<float>& rows, const Grid& grid, size_t frames, Places& path, double& most) {
  if (path.size() == frames) {
    most = std::max(most, worth(rows, grid, path));
    return;
  }
  for (int bin = 0; bin < grid.size; ++bin) {
    path.push_back({bin, 0});
    try_all(rows, grid, frames, path, most);
    path.pop_back();
  }
}

TEST(PathFinder, FindsTheBestOfAllPaths) {
  std::mt19937 dice(3);
  const Grid grid{10, 9};
  for (int round = 0; round < 20; ++round) {
    constexpr size_t kFrames = 5;
    std::vector<float> rows(kFrames * 9);
    for (float& v : rows) v = static_cast<float>(dice()) / 4.3e9F;
    PathFinder finder(grid, {1});
    const Places path = finder.through(rows, {});
    Places all;
    double most = -1e9;
    try_all(rows, grid, kFrames, all, most);
    EXPECT_NEAR(worth(rows, grid, path), most, 1e-5);
  }
}

/// Rows with evidence 1 at one bin each.
std::vector<float> rows_at(const Grid& grid, const std::vector<int>& bins) {
  std::vector<float> rows(bins.size() * static_cast<size_t>(grid.size), 0.0F);
  for (size_t f = 0; f < bins.size(); ++f) rows[f * static_cast<size_t>(grid.size) + static_cast<size_t>(bins[f])] = 1;
  return rows;
}

TEST(PathFinder, RunsRichWithoutALeapInSpeed) {
  const Grid grid{10, 120};
  std::vector<int> bins(50, 100);
  for (size_t f = 25; f < 50; ++f) bins[f] = 52;  // like itself every second firing from here on
  const std::vector<float> rows = rows_at(grid, bins);
  PathFinder both(grid, {1, 2});
  const Places path = both.through(rows, {});
  for (const auto& p : path) EXPECT_EQ(p.bin, 100);
  EXPECT_EQ(path[10].rough, 0);
  EXPECT_EQ(path[40].rough, 1);
  // All along the same it is what it seems.
  const std::vector<float> even = rows_at(grid, std::vector<int>(50, 52));
  for (const auto& p : both.through(even, {})) EXPECT_EQ(p.bin, 52);
}

TEST(PathFinder, BridgesAGapAndLeapsWhereATakeWasCut) {
  const Grid grid{10, 100};
  std::vector<int> bins(60, 20);
  std::vector<float> rows = rows_at(grid, bins);
  std::fill(rows.begin() + 2000, rows.begin() + 4000, 0.0F);
  PathFinder finder(grid, {1});
  for (const auto& p : finder.through(rows, {})) EXPECT_EQ(p.bin, 20);
  std::fill(bins.begin() + 30, bins.end(), 90);
  const Places cut = finder.through(rows_at(grid, bins), {});
  EXPECT_EQ(cut[25].bin, 20);
  EXPECT_EQ(cut[35].bin, 90);
}

TEST(PathFinder, GoesOnFromTheBlockBefore) {
  const Grid grid{10, 100};
  std::vector<float> rows = rows_at(grid, std::vector<int>(20, 30));
  rows[80] = 1.5;  // stronger for a moment, out of reach
  PathFinder finder(grid, {1});
  EXPECT_EQ(finder.through(rows, {29, 0})[0].bin, 30);
}

TEST(Even, LinesAndStrays) {
  std::vector<LinePoint> points;
  for (int i = 0; i < 40; ++i) points.push_back({0.02 * i, 3 + 0.5 * 0.02 * i});
  points[20].value = 9;
  std::size_t from = 0;
  const LineFit fit = fit_at(points, 0.41, 0.1, from);
  EXPECT_NEAR(fit.value, 3.205, 1e-6);
  EXPECT_NEAR(fit.slope_per_s, 0.5, 1e-5);
  EXPECT_NEAR(fit.scatter, 0, 1e-6);
  EXPECT_EQ(fit_at({}, 1, 0.1, from).value, 0);
  std::size_t none = 0;
  EXPECT_EQ(fit_at(std::span(points).first(1), 5, 0.1, none).value, 3);
  none = 0;
  EXPECT_NEAR(fit_at(points, 5, 0.1, none).value, 5.5, 0.01) << "far from all points: on with the last two";
}

}  // namespace
}  // namespace crankwise::sound
