// How a program of the bench ends.
#pragma once

#include <fmt/format.h>

#include <exception>

namespace crankwise::bench {

/// Runs it; an exception is told and ends it with 1.
inline int run_program(int (*run)(int, char**), int argc, char** argv) {
  try {
    return run(argc, argv);
  } catch (const std::exception& e) {
    fmt::print(stderr, "{}\n", e.what());
    return 1;
  }
}

}  // namespace crankwise::bench
