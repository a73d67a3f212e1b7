// Adds events to a store, 1 to 3 at a time, and says so once they are safe: a line "SEQ DATA" for each on stdout.
//
//   store_writer FILE NAME [COUNT]      COUNT times; without it, until killed
//
// Every event holds the last number known before it ("after"), the expectation under which it was added.
#include <fmt/format.h>
#include <unistd.h>

#include <cstdio>
#include <cstdlib>
#include <string>
#include <vector>

#include "edge/problem.h"
#include "edge/store.h"

int main(int argc, char** argv) try {
  if (argc < 3) return 2;
  const std::string name = argv[2];
  const long count = argc > 3 ? std::atol(argv[3]) : -1;
  crankwise::Store store = crankwise::Store::open(argv[1], crankwise::Store::Mode::create);
  for (long i = 0; i != count;) {
    const std::int64_t after = store.last();
    std::vector<crankwise::NewEvent> events;
    for (long part = 0; part <= i % 3; ++part) {
      const std::string pad(static_cast<size_t>((i * 97 + part * 31) % 700), 'x');
      events.push_back(
          {name, "added",
           fmt::format(R"({{"by":"{}","i":{},"part":{},"after":{},"pad":"{}"}})", name, i, part, after, pad)});
    }
    try {
      std::string said;
      for (const auto& e : store.append(events, "2026-05-04T17:30:00.000Z", after)) {
        said += fmt::format("{} {}\n", e.seq, e.data);
      }
      if (::write(STDOUT_FILENO, said.data(), said.size()) != static_cast<ssize_t>(said.size())) return 1;
      ++i;
    } catch (const crankwise::Stale&) {  // another writer was quicker: look again
    }
  }
  return 0;
} catch (const crankwise::BadInput& e) {
  std::fputs((std::string(e.what()) + "\n").c_str(), stderr);
  return 2;
}
