#include "bench/phones/server.h"

#include <fmt/format.h>
#include <sys/prctl.h>
#include <sys/wait.h>
#include <unistd.h>

#include <csignal>
#include <cstdio>
#include <fstream>
#include <nlohmann/json.hpp>
#include <sstream>
#include <stdexcept>

namespace crankwise::bench {
namespace {

/// The first line that comes out of a pipe; "" if it ends before. Closes it.
std::string first_line(int fd) {
  std::string line;
  for (char c = 0; ::read(fd, &c, 1) == 1 && c != '\n';) line += c;
  ::close(fd);
  return line;
}

}  // namespace

Server::Server(const std::string& program, const std::filesystem::path& shop) {
  const std::string file = shop.string();
  int out[2];
  if (::pipe(out) != 0) throw std::runtime_error("no pipe is to be had");
  pid_ = ::fork();
  if (pid_ == 0) {
    ::prctl(PR_SET_PDEATHSIG, SIGKILL);  // not longer than this program
    ::dup2(out[1], STDOUT_FILENO);
    ::close(out[0]);
    ::close(out[1]);
    ::execl(program.c_str(), program.c_str(), "serve", "--json", "--port", "0", "--shop", file.c_str(), nullptr);
    ::_exit(127);
  }
  ::close(out[1]);
  const auto told = nlohmann::json::parse(first_line(out[0]), nullptr, false);
  if (!told.is_object() || !told.contains("address")) {
    kill();
    throw std::runtime_error(fmt::format("{} does not serve {}", program, file));
  }
  address_ = told["address"];
  const size_t port = address_.rfind(':');
  address_ = "http://127.0.0.1" + address_.substr(port);
}

Usage Server::usage() const {
  Usage u;
  std::ifstream status(fmt::format("/proc/{}/status", pid_));
  for (std::string line; std::getline(status, line);) {
    for (const auto& [name, value] : {std::pair{"VmRSS:", &u.resident_mb}, {"VmHWM:", &u.peak_mb}}) {
      if (line.rfind(name, 0) == 0) *value = std::stod(line.substr(line.find(':') + 1)) / 1024;
    }
  }
  std::ifstream stat(fmt::format("/proc/{}/stat", pid_));
  std::string text, word;
  std::getline(stat, text);
  std::istringstream words(text.substr(text.rfind(')') + 2));
  constexpr int kUser = 12, kSystem = 13;  // of the fields after the name: state is 1
  for (int field = 1; words >> word && field <= kSystem; ++field) {
    if (field >= kUser) u.processor_s += std::stod(word) / static_cast<double>(::sysconf(_SC_CLK_TCK));
  }
  return u;
}

void Server::kill() {
  if (pid_ <= 0) return;
  ::kill(pid_, SIGKILL);
  ::waitpid(pid_, nullptr, 0);
  pid_ = -1;
}

}  // namespace crankwise::bench
