// Real recordings, from Debian's packages: nothing of them is kept in the tree but what was read of their speed
// (tests/sounds/real/*.txt; each says how and how well).
#pragma once

#include <filesystem>
#include <string>
#include <utility>
#include <vector>

#include "core/sound/track.h"
#include "tests/sounds/case.h"

namespace crankwise::sounds {

struct Label {
  std::string name;           // of the text file
  std::string package, path;  // where the recording is
  std::string part;           // the sound within it, if it holds many
  sound::Engine engine;
  double tolerance = 0.01;                      // of the reading, as a share
  std::vector<std::pair<double, double>> read;  // seconds, rpm; in order

  /// Straight between readings; 0 before the first and after the last: not read there.
  double rpm(double seconds) const;
};

/// Lines "package NAME", "path PATH", "part NAME", "cycle two-stroke", "limits LOW HIGH", "tolerance PERCENT", and then
/// "SECONDS RPM"; # begins a remark. Throws std::runtime_error with the line.
Label read_label(const std::string& name, const std::string& text);
/// All of a folder, by name.
std::vector<Label> read_labels(const std::filesystem::path& folder);

/// The recording as a file that any player takes, made in the cache. Throws std::runtime_error if it cannot be had.
std::filesystem::path recording(const Label&, const std::filesystem::path& cache);

/// Real bangs of an engine (xmoto-data), each firing another one, put on an exact clock: the rides
/// bangs_4t_idle, bangs_4t_blips, bangs_4t_pull and bangs_2t_ramp.
std::vector<std::string> bang_names();
Case make_bangs(const std::string& name, const std::filesystem::path& cache);

}  // namespace crankwise::sounds
