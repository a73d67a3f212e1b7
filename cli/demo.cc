// The demo shop: demo/shop.txt holds the commands that a mechanic would have typed, each day behind an @ with its time.
#include <fmt/format.h>
#include <unistd.h>

#include <fstream>
#include <sstream>

#include "app/places.h"
#include "cli/cli.h"

namespace crankwise {
namespace {

/// Words of a line; "quoted words" stay together.
std::vector<std::string> split(const std::string& line) {
  std::vector<std::string> words;
  std::string word;
  bool quoted = false, any = false;
  for (char c : line) {
    if (c == '"') {
      quoted = !quoted;
      any = true;
    } else if (c == ' ' && !quoted) {
      if (any) words.push_back(word);
      word.clear();
      any = false;
    } else {
      word += c;
      any = true;
    }
  }
  if (any) words.push_back(word);
  return words;
}

}  // namespace

void make_demo(Cli& cli, const std::filesystem::path& file) {
  if (std::filesystem::exists(file)) return;
  const std::filesystem::path script = demo_script();
  std::ifstream in(script);
  if (!in) throw BadInput({script.string(), 0, "", "cannot be read", "the demo that came with the program"});
  // Made beside and moved into place, so that a demo is whole or not there.
  const std::filesystem::path draft = file.string() + fmt::format(".making-{}", getpid());
  const auto remove = [&] {
    std::error_code ignored;
    for (const char* end : {"", "-wal", "-shm"}) std::filesystem::remove(draft.string() + end, ignored);
  };
  remove();
  std::string now = "2026-01-01T08:00:00.000Z";
  int second = 0, number = 0;
  {
    std::istringstream no_input;
    std::ostringstream quiet, errors;
    Cli maker(no_input, quiet, false);
    maker.knowledge_folder = cli.knowledge_folder;
    maker.shop_file = draft;
    maker.clock = [&] { return now.substr(0, 17) + fmt::format("{:02}.{:03}Z", second / 10 % 60, second % 10 * 100); };
    std::string line;
    while (std::getline(in, line)) {
      ++number;
      if (line.empty() || line[0] == '#') continue;
      if (line[0] == '@') {
        now = line.substr(1);
        second = 0;
        continue;
      }
      ++second;
      if (run_command(split(line), maker, errors) != kDone) {
        remove();
        throw BadInput(
            {script.string(), number, "", "this demo command failed: " + errors.str(), "a command that works"});
      }
    }
  }
  // A link fails where a rename would replace what another program made meanwhile and may be writing to.
  std::error_code failed;
  std::filesystem::create_hard_link(draft, file, failed);
  if (failed && !std::filesystem::exists(file)) {
    std::filesystem::rename(draft, file, failed);
    if (failed && !std::filesystem::exists(file))
      throw BadInput({file.string(), 0, "", "cannot be made: " + failed.message(), "a folder that can be written"});
  }
  remove();
}

}  // namespace crankwise
