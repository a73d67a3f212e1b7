// The real program as a process of its own, serving a shop on 127.0.0.1.
#pragma once

#include <sys/types.h>

#include <filesystem>
#include <string>

namespace crankwise::bench {

/// What the system says of a process.
struct Usage {
  double resident_mb = 0, peak_mb = 0;  // VmRSS, VmHWM
  double processor_s = 0;
};

class Server {
 public:
  /// Returns once it has printed its address.
  Server(const std::string& program, const std::filesystem::path& shop);
  ~Server() { kill(); }
  Server(const Server&) = delete;
  Server& operator=(const Server&) = delete;

  const std::string& address() const { return address_; }
  Usage usage() const;
  /// At once, without a chance to put anything right.
  void kill();

 private:
  pid_t pid_ = -1;
  std::string address_;
};

}  // namespace crankwise::bench
