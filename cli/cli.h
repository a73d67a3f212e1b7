// The command line: one table of commands, each a function on the same shop.
#pragma once

#include <filesystem>
#include <functional>
#include <istream>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "app/hearing.h"
#include "app/shop.h"
#include "cli/output.h"

namespace CLI {
class App;
}

namespace crankwise {

enum ExitCode { kDone = 0, kFailed = 1, kBadInput = 2 };

/// What all commands share: where knowledge and shop are, and where to write.
class Cli {
 public:
  Cli(std::istream& input, std::ostream& out, bool terminal) : in(input), output(out, terminal) {}

  std::istream& in;
  Output output;
  bool json = false;
  bool demo = false;
  bool may_create = false;  // the command may make the shop file
  bool only_look = false;   // the command writes nothing, so a shop file that is not there is an empty shop
  std::optional<int> job_option;
  std::filesystem::path knowledge_folder, shop_file;  // empty: the usual places
  Shop::Clock clock;                                  // empty: the machine's
  Shop::NewId new_id = random_id;

  const Knowledge& knowledge();
  /// Only add-bike, settings and serve make a shop file that is not there; the others find it empty, or wrong if named.
  Shop& shop();
  std::filesystem::path shop_path() const;
  bool shop_is_there() { return shop(), shop_is_there_; }
  /// The job that --job names, or the open one written to last; BadInput if there is none.
  int job();
  Diagnosis diagnosis() { return shop().diagnosis(job()); }
  /// The job that --job names, or the open one, or the one that came in last.
  int job_or_last();
  /// Writes to the job and says what comes next.
  void note(const std::vector<Entry>& entries);
  /// Throws BadInput if the reading can hardly be meant as told, and says what may be, and how to have it kept.
  void doubt(const Took&, const std::string& anyway);
  /// `written`: how many entries are new.
  void say_next(std::size_t written);

 private:
  std::optional<Knowledge> knowledge_;
  std::unique_ptr<Shop> shop_;
  bool shop_is_there_ = true;
};

struct Command {
  const char* name;
  const char* group;  // heading in the help
  const char* help;
  void (*set_up)(CLI::App&, Cli&);
};
/// All commands, in the order of the help.
const std::vector<Command>& commands();

/// Runs one command line (without the program's name). Errors go to `err`; returns the exit code.
int run_command(const std::vector<std::string>& args, Cli&, std::ostream& err);

/// "finding=yes" pairs as entries; collects every problem before it throws.
std::vector<Entry> parse_answers(const std::vector<std::string>& pairs);

/// The step-by-step mode: one question at a time.
void work(Cli&);

/// Makes the demo shop by running the commands of demo/shop.txt, unless it is there.
void make_demo(Cli&, const std::filesystem::path& file);

// Set-up functions of the table, by file.
namespace set_up {
void take_in(CLI::App&, Cli&);
void hear(CLI::App&, Cli&);
void answer(CLI::App&, Cli&);
void before(CLI::App&, Cli&);
void measured(CLI::App&, Cli&);
void did(CLI::App&, Cli&);
void put_back(CLI::App&, Cli&);
void ran(CLI::App&, Cli&);
void cannot(CLI::App&, Cli&);
void stripped(CLI::App&, Cli&);
void note(CLI::App&, Cli&);
void undo(CLI::App&, Cli&);
void next(CLI::App&, Cli&);
void suspects(CLI::App&, Cli&);
void why(CLI::App&, Cli&);
void close(CLI::App&, Cli&);
void log(CLI::App&, Cli&);
void photo(CLI::App&, Cli&);
void listen(CLI::App&, Cli&);
void sheet(CLI::App&, Cli&);
void work(CLI::App&, Cli&);
void serve(CLI::App&, Cli&);
void jobs(CLI::App&, Cli&);
void bikes(CLI::App&, Cli&);
void add_bike(CLI::App&, Cli&);
void bike(CLI::App&, Cli&);
void hours(CLI::App&, Cli&);
void ridden(CLI::App&, Cli&);
void renewed(CLI::App&, Cli&);
void due(CLI::App&, Cli&);
void interval(CLI::App&, Cli&);
void use(CLI::App&, Cli&);
void figure(CLI::App&, Cli&);
void access(CLI::App&, Cli&);
void settings(CLI::App&, Cli&);
void backup(CLI::App&, Cli&);
void export_file(CLI::App&, Cli&);
void import_file(CLI::App&, Cli&);
void csv(CLI::App&, Cli&);
void learned(CLI::App&, Cli&);
void lesson(CLI::App&, Cli&);
void track_record(CLI::App&, Cli&);
void sum(CLI::App&, Cli&);
void power_curve(CLI::App&, Cli&);
void judge(CLI::App&, Cli&);
void list(CLI::App&, Cli&);
void show(CLI::App&, Cli&);
void evidence(CLI::App&, Cli&);
void check_knowledge(CLI::App&, Cli&);
}  // namespace set_up

}  // namespace crankwise
