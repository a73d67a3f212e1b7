#include "edge/audio/decode/shut_in.h"

#include <seccomp.h>
#include <sys/mman.h>
#include <sys/prctl.h>
#include <sys/resource.h>

#include <cerrno>
#include <cstring>
#include <memory>

namespace crankwise::audio {
namespace {

bool limit(__rlimit_resource_t what, rlim_t most) {
  const rlimit both{most, most};
  return ::setrlimit(what, &both) == 0;
}

bool limited(const Cage& cage) {
#ifndef CRANKWISE_SANITIZED  // sanitizers reserve terabytes of address space
  if (!limit(RLIMIT_AS, cage.memory_bytes)) return false;
#endif
  // A second between the signal that can be caught and the one that cannot.
  const rlimit cpu{cage.cpu_s, cage.cpu_s + 1};
  return ::setrlimit(RLIMIT_CPU, &cpu) == 0 && limit(RLIMIT_FSIZE, 0) && limit(RLIMIT_NOFILE, 0) &&
         limit(RLIMIT_NPROC, 0) && limit(RLIMIT_CORE, 0);
}

/// What may be called as it is.
constexpr int kHarmless[] = {
    SCMP_SYS(brk),
    SCMP_SYS(munmap),
    SCMP_SYS(mremap),
    SCMP_SYS(madvise),
    SCMP_SYS(futex),
    SCMP_SYS(exit),
    SCMP_SYS(exit_group),
    SCMP_SYS(rt_sigreturn),
    SCMP_SYS(clock_gettime),
    SCMP_SYS(restart_syscall),
    SCMP_SYS(gettimeofday),
    SCMP_SYS(getrandom),
#ifdef CRANKWISE_SANITIZED
    SCMP_SYS(sigaltstack),
    SCMP_SYS(rt_sigaction),
    SCMP_SYS(rt_sigprocmask),
    SCMP_SYS(gettid),
    SCMP_SYS(getpid),
#endif
};

/// The filter is whole, or an error number below 0 is returned.
int filtered(scmp_filter_ctx filter) {
  int error = 0;
  const auto allow = [&](int call, auto... conditions) {
    if (error == 0) error = seccomp_rule_add(filter, SCMP_ACT_ALLOW, call, sizeof...(conditions), conditions...);
  };
  for (const int call : kHarmless) allow(call);
  for (const int call : {SCMP_SYS(read), SCMP_SYS(pread64)}) allow(call, SCMP_A0(SCMP_CMP_EQ, kFileFd));
  allow(SCMP_SYS(write), SCMP_A0(SCMP_CMP_EQ, kPipeFd));
  // Memory: of no file, and never to be run.
  for (const int call : {SCMP_SYS(mmap), SCMP_SYS(mmap2)}) {
    allow(call, SCMP_A2(SCMP_CMP_MASKED_EQ, PROT_EXEC, 0), SCMP_A3(SCMP_CMP_MASKED_EQ, MAP_ANONYMOUS, MAP_ANONYMOUS));
  }
  allow(SCMP_SYS(mprotect), SCMP_A2(SCMP_CMP_MASKED_EQ, PROT_EXEC, 0));
  return error != 0 ? error : seccomp_load(filter);
}

}  // namespace

std::string shut_in(const Cage& cage) {
  if (!limited(cage)) return std::string("its limits cannot be set: ") + std::strerror(errno);
  if (::prctl(PR_SET_DUMPABLE, 0) != 0 || ::prctl(PR_SET_NO_NEW_PRIVS, 1, 0, 0, 0) != 0)
    return std::string("its privileges cannot be dropped: ") + std::strerror(errno);
  const std::unique_ptr<void, decltype(&seccomp_release)> filter(seccomp_init(SCMP_ACT_ERRNO(EPERM)), seccomp_release);
  if (!filter) return "seccomp is not there";
  const int error = filtered(filter.get());
  return error == 0 ? "" : std::string("seccomp refuses its filter: ") + std::strerror(-error);
}

}  // namespace crankwise::audio
