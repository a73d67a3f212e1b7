#include "tests/sounds/process.h"

#include <fcntl.h>
#include <spawn.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cerrno>
#include <cstdlib>
#include <sstream>
#include <stdexcept>

extern char** environ;

namespace crankwise::sounds {

std::string find_program(const std::string& name, const std::vector<std::string>& places) {
  const char* path = std::getenv("PATH");
  std::istringstream folders(path ? path : "");
  std::vector<std::string> all = places;
  for (std::string folder; std::getline(folders, folder, ':');) all.push_back(folder + "/" + name);
  for (const std::string& p : all) {
    if (access(p.c_str(), X_OK) == 0) return p;
  }
  return "";
}

std::string output_of(const std::vector<std::string>& words, const std::string& folder) {
  std::array<int, 2> out{};
  if (pipe2(out.data(), O_CLOEXEC) != 0) throw std::runtime_error("no pipe to be had");
  posix_spawn_file_actions_t actions;
  posix_spawn_file_actions_init(&actions);
  posix_spawn_file_actions_addopen(&actions, 0, "/dev/null", O_RDONLY, 0);
  posix_spawn_file_actions_adddup2(&actions, out[1], 1);
  posix_spawn_file_actions_addopen(&actions, 2, "/dev/null", O_WRONLY, 0);
  if (!folder.empty()) posix_spawn_file_actions_addchdir_np(&actions, folder.c_str());
  std::vector<char*> argv;
  for (const std::string& w : words) argv.push_back(const_cast<char*>(w.c_str()));
  argv.push_back(nullptr);
  pid_t pid = 0;
  const int failed = posix_spawn(&pid, argv[0], &actions, nullptr, argv.data(), environ);
  posix_spawn_file_actions_destroy(&actions);
  close(out[1]);
  std::string text;
  std::array<char, 65536> part{};
  for (ssize_t n = 0; failed == 0 && (n = read(out[0], part.data(), part.size())) != 0;) {
    if (n > 0) text.append(part.data(), static_cast<std::size_t>(n));
    if (n < 0 && errno != EINTR) break;
  }
  close(out[0]);
  if (failed != 0) throw std::runtime_error("cannot start " + words[0]);
  int status = 0;
  while (waitpid(pid, &status, 0) < 0 && errno == EINTR) {
  }
  if (!WIFEXITED(status) || WEXITSTATUS(status) != 0) {
    throw std::runtime_error(words[0] +
                             " failed: " + text.substr(text.size() - std::min<std::size_t>(text.size(), 300)));
  }
  return text;
}

}  // namespace crankwise::sounds
