#include "edge/file.h"

#include <fcntl.h>
#include <fmt/format.h>
#include <unistd.h>

#include <cerrno>
#include <cstring>
#include <fstream>

#include "edge/problem.h"

namespace crankwise {
namespace {

namespace fs = std::filesystem;

[[noreturn]] void refuse(const fs::path& file, std::string wrong, std::string right) {
  throw BadInput({file.string(), 0, "", std::move(wrong), std::move(right)});
}

bool write_all(int fd, std::string_view bytes) {
  while (!bytes.empty()) {
    const ssize_t done = ::write(fd, bytes.data(), bytes.size());
    if (done < 0 && errno == EINTR) continue;
    if (done < 0) return false;
    bytes.remove_prefix(static_cast<std::size_t>(done));
  }
  return ::fsync(fd) == 0;
}

}  // namespace

std::string read_whole(const fs::path& path, std::size_t most) {
  std::error_code error;
  if (fs::is_directory(path, error)) refuse(path, "is a folder", "the path of a file");
  if (!fs::exists(path, error)) refuse(path, "there is no such file", "the path of a file that is there");
  std::ifstream in(path, std::ios::binary);
  if (!in) refuse(path, fmt::format("cannot be read: {}", std::strerror(errno)), "a file that you may read");
  std::string bytes;
  std::string piece(std::size_t{1} << 16, '\0');
  while (in.read(piece.data(), static_cast<std::streamsize>(piece.size())) || in.gcount() > 0) {
    bytes.append(piece, 0, static_cast<std::size_t>(in.gcount()));
    if (bytes.size() > most)
      refuse(path, fmt::format("is larger than {:g} MB", static_cast<double>(most) / 1e6), "a smaller file");
  }
  if (in.bad()) refuse(path, "cannot be read to its end", "a sound file");
  return bytes;
}

void write_whole(const fs::path& path, std::string_view bytes, bool replace, Readers readers) {
  if (path.empty() || !path.has_filename()) refuse(path, "no file was named", "the path of a file");
  std::error_code error;
  if (fs::is_directory(path, error)) refuse(path, "is a folder", "the path of a file");
  const auto taken = [&] { refuse(path, "there is something of that name already", "another name, or --replace"); };
  if (!replace && fs::exists(fs::symlink_status(path, error))) taken();
  const fs::path draft = path.string() + fmt::format(".part-{}", ::getpid());
  const int fd =
      ::open(draft.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, readers == Readers::owner ? 0600 : 0644);
  if (fd < 0) {
    refuse(path, fmt::format("cannot be written: {}", std::strerror(errno)),
           "a file in a folder that you may write in");
  }
  const bool written = write_all(fd, bytes);
  const int why = errno;
  ::close(fd);
  // A link fails where a rename would replace what another program made meanwhile.
  bool named = false;
  if (written) {
    named = !replace && ::link(draft.c_str(), path.c_str()) == 0;
    const bool no_links = !named && !replace && errno != EEXIST;
    if (replace || no_links) named = ::rename(draft.c_str(), path.c_str()) == 0;
  }
  const bool lost_race = written && !named && errno == EEXIST;
  fs::remove(draft, error);
  if (lost_race) taken();
  if (!named)
    refuse(path, fmt::format("cannot be written: {}", std::strerror(written ? errno : why)), "some room on the disk");
}

}  // namespace crankwise
