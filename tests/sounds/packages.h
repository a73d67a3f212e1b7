// Files out of Debian packages, fetched from the archive without installing them.
#pragma once

#include <filesystem>
#include <string>

namespace crankwise::sounds {

/// Where the file `path` ("usr/share/...") of this package lies: in the cache, and if it is not there it is fetched
/// first (apt-get download, dpkg-deb). Throws std::runtime_error where that cannot be.
std::filesystem::path from_package(const std::string& package, const std::string& path,
                                   const std::filesystem::path& cache);

}  // namespace crankwise::sounds
