#include "tests/sounds/packages.h"

#include <stdexcept>

#include "tests/sounds/process.h"

namespace crankwise::sounds {
namespace fs = std::filesystem;

namespace {

fs::path only_deb_in(const fs::path& folder) {
  for (const fs::directory_entry& e : fs::directory_iterator(folder)) {
    if (e.path().extension() == ".deb") return e.path();
  }
  throw std::runtime_error("apt-get download left no package in " + folder.string());
}

}  // namespace

fs::path from_package(const std::string& package, const std::string& path, const fs::path& cache) {
  const fs::path kept = cache / package / path;
  if (fs::exists(kept)) return kept;
  const std::string apt = find_program("apt-get"), dpkg = find_program("dpkg-deb");
  if (apt.empty() || dpkg.empty()) throw std::runtime_error("this is not Debian: no package " + package);
  const fs::path work =
      cache / (package + ".unpacked");  // whole packages are large: what is wanted is kept, the rest not
  fs::remove_all(work);
  fs::create_directories(work);
  output_of({apt, "download", "-q", package}, work.string());
  output_of({dpkg, "-x", only_deb_in(work).string(), (work / "all").string()});
  fs::create_directories(kept.parent_path());
  if (!fs::exists(work / "all" / path)) throw std::runtime_error("no " + path + " in package " + package);
  for (const fs::directory_entry& e : fs::directory_iterator((work / "all" / path).parent_path())) {
    if (e.is_regular_file())
      fs::copy_file(e.path(), kept.parent_path() / e.path().filename(), fs::copy_options::overwrite_existing);
  }
  fs::remove_all(work);
  return kept;
}

}  // namespace crankwise::sounds
