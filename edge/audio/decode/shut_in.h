// A process gives up all that a decoder does not need, for good, before it looks at what a stranger sent.
#pragma once

#include <cstdint>
#include <string>

namespace crankwise::audio {

inline constexpr int kFileFd = 0, kPipeFd = 1;

struct Cage {
  std::uint64_t memory_bytes = 0;  // address space, the libraries' own (about 170 MB) included
  unsigned cpu_s = 0;              // then the kernel ends the process (SIGXCPU)
};

/// Afterwards the process can read from kFileFd, write to kPipeFd, get memory and end; every other system call fails
/// with EPERM: no file, socket, program, process, thread or signal to others, as root too (libseccomp, seccomp(2)).
/// Limits (setrlimit(2)) say the same a second time. Works as any user: it needs no privilege and gives none. Returns
/// "", or why it could not be done: then the file must not be looked at.
std::string shut_in(const Cage&);

}  // namespace crankwise::audio
