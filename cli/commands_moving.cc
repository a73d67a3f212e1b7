// The commands that move a shop, or parts of it, in and out.
#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <iterator>
#include <memory>
#include <nlohmann/json.hpp>

#include "app/shop_csv.h"
#include "app/shop_file.h"
#include "app/take_over.h"
#include "cli/cli.h"
#include "edge/file.h"

namespace crankwise::set_up {
namespace {

constexpr size_t kMostBytes = 1'000'000'000;  // some forty photos of the largest size

void need_shop(Cli& cli) {
  if (!cli.shop_is_there()) throw BadInput({"", 0, "", "there is no shop yet", "crankwise add-bike first"});
}

/// To a file, or as the answer itself.
void write(Cli& cli, const std::string& file, const std::string& text, bool replace) {
  if (file == "-")
    cli.output.stream() << text;
  else
    write_whole(file, text, replace);
}

std::string count(int n, const char* one, const char* many) { return fmt::format("{} {}", n, n == 1 ? one : many); }

Json item_json(const TakenOver::Item& i) {
  return {{"theirs", i.theirs}, {"ours", i.ours}, {"new", i.is_new}, {"entries", i.entries}, {"name", i.words}};
}

void tell(Cli& cli, const TakenOver& news, bool only_look) {
  if (cli.json) {
    Json j{{"dry_run", only_look},      {"added", news.added},    {"known", news.known},  {"notes", news.notes},
           {"settings", news.settings}, {"bikes", Json::array()}, {"jobs", Json::array()}};
    for (const auto& b : news.bikes) j["bikes"].push_back(item_json(b));
    for (const auto& i : news.jobs) j["jobs"].push_back(item_json(i));
    return cli.output.json(j);
  }
  Output& out = cli.output;
  for (const auto& b : news.bikes) {
    out.line(fmt::format("  bike {:<20} {}", b.ours,
                         b.is_new ? "new: " + b.words : count(b.entries, "new entry", "new entries")));
  }
  for (const auto& j : news.jobs) {
    out.line(fmt::format("  job {:>4}  {:<14} {}", j.ours,
                         j.is_new ? "new" : count(j.entries, "new entry", "new entries"), j.words));
  }
  if (news.settings) out.line("  settings  taken over");
  for (const auto& n : news.notes) out.line("  " + n);
  if (news.events.empty()) return out.line("nothing new: all of it is here already");
  out.line(fmt::format("{} {}, {} here already", only_look ? "would add" : "added",
                       count(news.added, "entry", "entries"), news.known));
}

}  // namespace

void export_file(CLI::App& app, Cli& cli) {
  struct Args {
    std::string file;
    std::vector<std::string> bikes;
    bool replace = false;
  };
  auto a = std::make_shared<Args>();
  app.add_option("file", a->file, "where to; - for standard output")->required()->type_name("FILE");
  app.add_option("--bike", a->bikes, "only this bike with its jobs; may be given more than once")->type_name("BIKE");
  app.add_flag("--replace", a->replace, "put it in the place of a file of that name");
  app.callback([a, &cli] {
    need_shop(cli);
    const ShopFile file = cli.shop().hand_over(a->bikes, "crankwise " CRANKWISE_VERSION);
    write(cli, a->file, shop_file_text(file), a->replace);
    if (a->file == "-") return;
    const int bikes = static_cast<int>(file.bikes.size()), jobs = static_cast<int>(file.jobs.size());
    cli.output.line(cli.json ? Json{{"file", a->file}, {"bikes", bikes}, {"jobs", jobs}}.dump()
                             : fmt::format("{} and {} are in {}", count(bikes, "bike", "bikes"),
                                           count(jobs, "job", "jobs"), a->file));
  });
}

void import_file(CLI::App& app, Cli& cli) {
  struct Args {
    std::string file;
    std::vector<std::string> same;
    bool dry_run = false;
  };
  auto a = std::make_shared<Args>();
  app.add_option("file", a->file, "what crankwise export wrote; - for standard input")->required()->type_name("FILE");
  app.add_option("--same", a->same, "a bike of the file that is a bike here; may be given more than once")
      ->type_name("THEIRS=OURS");
  app.add_flag("--dry-run", a->dry_run, "say what would change, and change nothing");
  app.callback([a, &cli] {
    SameBikes same;
    for (const std::string& pair : a->same) {
      const size_t equals = pair.find('=');
      if (equals == std::string::npos || !same.try_emplace(pair.substr(0, equals), pair.substr(equals + 1)).second) {
        throw BadInput({"", 0, "--same", fmt::format("\"{}\" does not say which bike is which", pair),
                        "each bike of the file once: THEIRS=OURS"});
      }
    }
    const std::string text =
        a->file == "-" ? std::string(std::istreambuf_iterator<char>(cli.in), {}) : read_whole(a->file, kMostBytes);
    const ShopFile file = read_shop_file(cli.knowledge(), text, a->file == "-" ? "standard input" : a->file);
    cli.only_look = a->dry_run;
    cli.may_create = !a->dry_run;
    tell(cli, cli.shop().take_over(file, same, a->dry_run), a->dry_run);
  });
}

void csv(CLI::App& app, Cli& cli) {
  struct Args {
    std::string what, file = "-";
    bool replace = false;
  };
  auto a = std::make_shared<Args>();
  app.add_option("what", a->what, "jobs or hours")->required()->type_name("jobs/hours");
  app.add_option("file", a->file, "where to; left out: standard output")->type_name("FILE");
  app.add_flag("--replace", a->replace, "put it in the place of a file of that name");
  app.callback([a, &cli] {
    if (a->what != "jobs" && a->what != "hours")
      throw BadInput({"", 0, "what", fmt::format("there is no table \"{}\"", a->what), "jobs or hours"});
    need_shop(cli);
    write(cli, a->file, a->what == "jobs" ? jobs_csv(cli.shop()) : hours_csv(cli.shop()), a->replace);
    if (a->file != "-") cli.output.line(cli.json ? Json{{"file", a->file}}.dump() : "written to " + a->file);
  });
}

}  // namespace crankwise::set_up
