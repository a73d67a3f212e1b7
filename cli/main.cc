#include <unistd.h>

#include <cstdlib>
#include <exception>
#include <iostream>

#include "cli/cli.h"

int main(int argc, char** argv) {
  const bool terminal = isatty(STDOUT_FILENO) != 0 && std::getenv("NO_COLOR") == nullptr;
  crankwise::Cli cli(std::cin, std::cout, terminal);
  try {
    const int code = crankwise::run_command({argv + 1, argv + argc}, cli, std::cerr);
    std::cout.flush();
    return code;
  } catch (const std::exception& e) {
    std::cerr << "crankwise: " << e.what() << '\n';
    return crankwise::kFailed;
  }
}
