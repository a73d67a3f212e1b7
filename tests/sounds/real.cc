#include "tests/sounds/real.h"

#include <algorithm>
#include <fstream>
#include <sstream>
#include <stdexcept>

#include "tests/sounds/archives.h"
#include "tests/sounds/packages.h"

namespace crankwise::sounds {
namespace fs = std::filesystem;

namespace {

std::string read_file(const fs::path& path) {
  std::ifstream in(path, std::ios::binary);
  if (!in) throw std::runtime_error("cannot read " + path.string());
  return {std::istreambuf_iterator<char>(in), {}};
}

}  // namespace

double Label::rpm(double seconds) const {
  if (read.empty() || seconds < read.front().first || seconds > read.back().first) return 0;
  const auto after = std::ranges::lower_bound(read, seconds, {}, &std::pair<double, double>::first);
  if (after == read.begin()) return after->second;
  const auto [t0, r0] = *(after - 1);
  const auto [t1, r1] = *after;
  return r0 + (r1 - r0) * (seconds - t0) / (t1 - t0);
}

Label read_label(const std::string& name, const std::string& text) {
  Label out;
  out.name = name;
  std::istringstream in(text);
  for (std::string line; std::getline(in, line);) {
    std::istringstream words(line.substr(0, line.find('#')));
    std::string key;
    if (!(words >> key)) continue;
    double rpm = 0;
    bool good = true;
    if (key == "package") {
      good = static_cast<bool>(words >> out.package);
    } else if (key == "path") {
      good = static_cast<bool>(words >> out.path);
    } else if (key == "part") {
      good = static_cast<bool>(words >> out.part);
    } else if (key == "cycle") {
      good = words >> key && (key == "two-stroke" || key == "four-stroke");
      out.engine.cycle = key == "two-stroke" ? Cycle::two_stroke : Cycle::four_stroke;
    } else if (key == "limits") {
      good = static_cast<bool>(words >> out.engine.rpm_min >> out.engine.rpm_max);
    } else if (key == "tolerance") {
      good = words >> out.tolerance && out.tolerance > 0;
      out.tolerance /= 100;
    } else {
      std::istringstream number(key);
      double seconds = 0;
      good = number >> seconds && number.eof() && words >> rpm && rpm > 0 &&
             (out.read.empty() || seconds > out.read.back().first);
      out.read.emplace_back(seconds, rpm);
    }
    if (!good) throw std::runtime_error(name + ": not understood: " + line);
  }
  if (out.package.empty() || out.path.empty() || out.read.size() < 2) throw std::runtime_error(name + ": not complete");
  return out;
}

std::vector<Label> read_labels(const fs::path& folder) {
  std::vector<Label> out;
  for (const fs::directory_entry& e : fs::directory_iterator(folder)) {
    if (e.path().extension() == ".txt") out.push_back(read_label(e.path().stem().string(), read_file(e.path())));
  }
  std::ranges::sort(out, {}, &Label::name);
  return out;
}

fs::path recording(const Label& label, const fs::path& cache) {
  const fs::path file = from_package(label.package, label.path, cache);
  if (label.part.empty()) return file;
  const std::string bytes = read_file(file);
  const std::string riff =
      file.extension() == ".cat" ? out_of_cat(bytes, std::stoul(label.part)) : out_of_wad(bytes, label.part);
  const fs::path made = cache / label.package / (label.part + ".wav");
  std::ofstream out(made, std::ios::binary);
  out << riff;
  if (!out.flush()) throw std::runtime_error("cannot write " + made.string());
  return made;
}

}  // namespace crankwise::sounds
