#include "cli/cli.h"

#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <algorithm>
#include <cstdlib>
#include <nlohmann/json.hpp>

#include "app/places.h"
#include "app/telling.h"

namespace crankwise {

const std::vector<Command>& commands() {
  static const std::vector<Command> kCommands{
      {"work", "A job", "go through the open job step by step, one question at a time", set_up::work},
      {"take-in", "A job", "open a job: which bike, and what the rider says", set_up::take_in},
      {"next", "A job", "the next best step, what it costs, and what came second", set_up::next},
      {"suspects", "A job", "what is likely wrong now, single faults and pairs", set_up::suspects},
      {"why", "A job", "why a fault is suspected, and what would change that", set_up::why},
      {"hear", "A job", "which findings free words may mean (proposes, writes nothing)", set_up::hear},
      {"answer", "A job", "write down answers: finding=yes, =no or =unsure", set_up::answer},
      {"before", "A job", "write down what was so before: context=yes or =no", set_up::before},
      {"measured", "A job", "write down a reading with its unit", set_up::measured},
      {"did", "A job", "write down a step that was done, with what it showed", set_up::did},
      {"put-back", "A job", "a swapped-in part did not help: the old one is back in", set_up::put_back},
      {"ran", "A job", "write down a run: trouble gone, better or same", set_up::ran},
      {"cannot", "A job", "leave a step out (no tool, no part, not wanted)", set_up::cannot},
      {"stripped", "A job", "say which parts are off the bike now", set_up::stripped},
      {"note", "A job", "write down anything else", set_up::note},
      {"undo", "A job", "take back the last entry (it stays in the record as taken back)", set_up::undo},
      {"close", "A job", "close the job: proven, not-proven or given-up", set_up::close},
      {"log", "A job", "everything that was written down on the job", set_up::log},
      {"photo", "A job", "add a picture to the job", set_up::photo},
      {"listen", "A job", "what a phone's recording of the engine tells; with --enter as readings", set_up::listen},
      {"sheet", "A job", "the job for its owner, in plain words: as text, html or pdf", set_up::sheet},
      {"serve", "The bench screen", "the whole job from a phone or any browser", set_up::serve},
      {"jobs", "The shop", "all jobs", set_up::jobs},
      {"bikes", "The shop", "all bikes", set_up::bikes},
      {"add-bike", "The shop", "enter a bike with its equipment", set_up::add_bike},
      {"bike", "The shop", "one bike: equipment, figures, hours, its jobs", set_up::bike},
      {"hours", "The shop", "what the hour meter shows", set_up::hours},
      {"ridden", "The shop", "a ride that no hour meter counted", set_up::ridden},
      {"renewed", "The shop", "a part was renewed: its hours and days start again", set_up::renewed},
      {"due", "The shop", "what is due by hours or days, why, and the odds of trouble", set_up::due},
      {"interval", "The shop", "how often something is due on this bike, by its handbook", set_up::interval},
      {"use", "The shop", "how a bike is ridden: hard or usual", set_up::use},
      {"figure", "The shop", "a figure of the bike's own: handbook or baseline", set_up::figure},
      {"access", "The shop", "how long a part takes to come off and go on this bike", set_up::access},
      {"settings", "The shop", "worth of an hour, currency, tools that are missing", set_up::settings},
      {"backup", "The shop", "copy the shop file, safe while in use", set_up::backup},
      {"export", "The shop", "write the shop, or some bikes with their jobs, as JSON", set_up::export_file},
      {"import", "The shop", "take over what another shop exported, without doubles", set_up::import_file},
      {"csv", "The shop", "jobs or engine hours as a table for a spreadsheet", set_up::csv},
      {"learned", "What the shop learned", "what closed jobs taught, and which ones", set_up::learned},
      {"lesson", "What the shop learned", "leave the lesson of a closed job out, or count it again", set_up::lesson},
      {"track-record", "What the shop learned", "how often the advice was right", set_up::track_record},
      {"sum", "Without a shop", "work out a bench sum: mix, jets, ratios, timing, leaks ...", set_up::sum},
      {"power-curve", "Without a shop", "an engine simulated: its power, and what a fault does to it",
       set_up::power_curve},
      {"judge", "Without a shop", "judge a case file", set_up::judge},
      {"list", "Knowledge", "the things known: faults, findings, steps ...", set_up::list},
      {"show", "Knowledge", "one thing known, whole", set_up::show},
      {"evidence", "Knowledge", "what simulated engines say of faults, and where it is otherwise by hand",
       set_up::evidence},
      {"check-knowledge", "Knowledge", "read all knowledge files and report every problem", set_up::check_knowledge},
  };
  return kCommands;
}

const Knowledge& Cli::knowledge() {
  if (!knowledge_) knowledge_ = load_knowledge(knowledge_folder.empty() ? usual_knowledge_folder() : knowledge_folder);
  return *knowledge_;
}

std::filesystem::path Cli::shop_path() const {
  if (demo && !shop_file.empty()) throw BadInput({"", 0, "--demo", "does not go with --shop", "one of the two"});
  if (!shop_file.empty()) return shop_file;
  if (demo) return usual_demo_file();
  const char* own = std::getenv("CRANKWISE_SHOP");
  return own != nullptr && *own != '\0' ? own : usual_shop_file();
}

Shop& Cli::shop() {
  if (!shop_) {
    const std::filesystem::path file = shop_path();
    if (demo) make_demo(*this, file);
    std::error_code failed;
    shop_is_there_ =
        may_create || std::filesystem::status(file, failed).type() != std::filesystem::file_type::not_found;
    if (!shop_is_there_ && !shop_file.empty() && !only_look)
      throw BadInput({file.string(), 0, "--shop", "there is no such file",
                      "the path of a shop file; crankwise add-bike makes a new one"});
    // A file whose making was cut short is there, but empty: create finishes it.
    shop_ = std::make_unique<Shop>(knowledge(),
                                   shop_is_there_ ? Store::open(file, Store::Mode::create) : Store::in_memory(),
                                   clock ? clock : Shop::Clock(utc_now), new_id);
  }
  return *shop_;
}

int Cli::job() {
  if (job_option) return shop().job(*job_option).number;
  const auto current = shop().current_job();
  if (current) return *current;
  throw BadInput({"", 0, "", "no job is open",
                  shop().bikes().empty()
                      ? "enter a bike first: crankwise add-bike \"Red 125\" --class motocross-125-two-stroke"
                      : "crankwise take-in BIKE \"what the rider says\""});
}

int Cli::job_or_last() {
  if (job_option || shop().current_job() || shop().jobs().empty()) return job();
  return shop().jobs().rbegin()->first;
}

void Cli::note(const std::vector<Entry>& entries) {
  shop().write(job(), entries);
  if (json) {
    output.line(Json{{"job", job()}, {"noted", entries.size()}}.dump());
    return;
  }
  for (const Entry& e : entries) output.line("noted: " + entry_in_words(knowledge(), e));
  say_next(entries.size());
}

void Cli::doubt(const Took& took, const std::string& anyway) {
  if (auto problem = doubt_of(knowledge(), shop().bike(shop().job(job()).bike), took)) {
    problem->right += "; " + anyway;
    throw BadInput(std::move(*problem));
  }
}

void Cli::say_next(std::size_t written) {
  const Diagnosis d = diagnosis();
  const std::size_t all = shop().job(job()).entries.size();
  for (const ReadingVerdict& v : d.verdicts) {
    if (v.entry + written >= all) output.verdict(d, v);
  }
  if (d.advice.proven) {
    output.line(fmt::format("proven: {:.1f} % doubt is left; crankwise close proven", 100 * d.advice.doubt));
    return;
  }
  const auto lead = d.suspects(1).front();
  output.line(fmt::format("leads: {} {:.0f} %; next: {} [{}]", d.fault(lead.fault).name, 100 * lead.probability,
                          d.bike().step_name(d.advice.options.front().step),
                          d.bike().step_id(d.advice.options.front().step)));
}

std::vector<Entry> parse_answers(const std::vector<std::string>& pairs) {
  std::vector<Entry> entries;
  std::vector<Problem> problems;
  for (const auto& pair : pairs) {
    const size_t equals = pair.find('=');
    const auto answer = equals == std::string::npos ? std::nullopt : answer_from(pair.substr(equals + 1));
    if (!answer) {
      problems.push_back(
          {"", 0, "", fmt::format("\"{}\" is not an answer", pair), "finding=yes, finding=no or finding=unsure"});
      continue;
    }
    entries.push_back(SaidSo{pair.substr(0, equals), *answer});
  }
  if (!problems.empty()) throw BadInput(std::move(problems));
  return entries;
}

namespace {

void print_help(Cli& cli) {
  cli.output.line("crankwise: from \"it won't rev out\" to a proven fix, by the shortest way.\n");
  cli.output.line("  crankwise add-bike \"Red 125\" --class motocross-125-two-stroke");
  cli.output.line("  crankwise take-in red-125 \"bogs up top, blubbers, plug is wet\"");
  cli.output.line("  crankwise work\n");
  const char* group = "";
  for (const Command& c : commands()) {
    if (std::string(group) != c.group) cli.output.line(fmt::format("{}:", group = c.group));
    cli.output.line(fmt::format("  {:<16} {}", c.name, c.help));
  }
  cli.output.line("\nEverywhere: --json for programs, --job N for another job than the last one, --shop FILE, --demo,");
  cli.output.line("--knowledge FOLDER. `crankwise COMMAND --help` tells the rest.");
}

Json commands_json(CLI::App& app) {
  Json all = Json::array();
  const auto options = [](CLI::App& of) {
    Json list = Json::array();
    for (const CLI::Option* o : of.get_options())
      for (const std::string& name : o->get_lnames()) list.push_back({{"name", "--" + name}});
    return list;
  };
  for (CLI::App* sub : app.get_subcommands([](CLI::App*) { return true; })) {
    all.push_back({{"name", sub->get_name()}, {"help", sub->get_description()}, {"options", options(*sub)}});
  }
  all.push_back({{"name", ""}, {"help", "everywhere"}, {"options", options(app)}});
  return all;
}

int parse_failed(const CLI::ParseError& e, const std::vector<std::string>& args, std::ostream& err) {
  std::vector<std::string> names;
  for (const Command& c : commands()) names.emplace_back(c.name);
  for (size_t i = 0; i < args.size(); ++i) {
    const bool split = args[i] == "--job" && i + 1 < args.size();
    if (!split && args[i].rfind("--job=", 0) != 0) continue;
    const std::string value = split ? args[i + 1] : args[i].substr(6);
    if (!value.empty() && value.find_first_not_of("0123456789") == std::string::npos && value.size() < 10) continue;
    err << fmt::format("crankwise: --job: \"{}\" is not a number of a job; crankwise jobs lists them\n", value);
    return kBadInput;
  }
  // The first word that is neither an option nor its value.
  auto word = args.begin();
  for (; word != args.end(); ++word) {
    if (*word == "--job" || *word == "--shop" || *word == "--knowledge") {
      if (++word == args.end()) break;
    } else if (word->empty() || (*word)[0] != '-') {
      break;
    }
  }
  if (word != args.end() && std::find(names.begin(), names.end(), *word) == names.end()) {
    const std::string near = nearest(*word, names);
    err << fmt::format("crankwise: \"{}\" is not a command; {}\n", *word,
                       near.empty() ? "crankwise --help lists them" : "perhaps \"" + near + "\"");
  } else {
    err << "crankwise: " << e.what() << "; `crankwise " << (word == args.end() ? "" : *word + " ")
        << "--help` tells more\n";
  }
  return kBadInput;
}

}  // namespace

int run_command(const std::vector<std::string>& args, Cli& cli, std::ostream& err) {
  CLI::App app("from \"it won't rev out\" to a proven fix, by the shortest way", "crankwise");
  app.set_help_flag();
  bool help = false, version = false;
  app.add_flag("--help,-h", help, "this");
  app.add_flag("--version", version, "the version");
  app.add_flag("--json", cli.json, "answer as JSON");
  app.add_flag("--demo", cli.demo, "the invented demo shop");
  app.add_option("--job", cli.job_option, "number of the job; otherwise the open one written to last")->type_name("N");
  app.add_option("--shop", cli.shop_file, "the shop file")->type_name("FILE");
  const bool knowledge_given = !cli.knowledge_folder.empty();
  auto* folder = app.add_option("--knowledge", cli.knowledge_folder, "the folder with the knowledge files");
  folder->type_name("FOLDER");
  if (!knowledge_given) folder->envname("CRANKWISE_KNOWLEDGE");
  app.fallthrough();
  app.require_subcommand(0, 1);
  for (const Command& c : commands()) {
    CLI::App* sub = app.add_subcommand(c.name, c.help);
    sub->set_help_flag("--help,-h", "what this command takes");
    const bool creates = c.set_up == set_up::add_bike || c.set_up == set_up::settings || c.set_up == set_up::serve;
    sub->preparse_callback([&cli, creates](size_t) { cli.may_create = creates; });
    c.set_up(*sub, cli);
  }
  bool list_commands = false;
  app.add_flag("--commands-json", list_commands, "")->group("");

  try {
    for (const std::string& a : args) {
      if (!is_utf8(a)) throw BadInput({"", 0, "command line", "is not UTF-8 text", "usual letters"});
    }
    std::vector<std::string> reversed(args.rbegin(), args.rend());
    app.parse(reversed);
    if (list_commands)
      cli.output.line(commands_json(app).dump(1));
    else if (version)
      cli.output.line("crankwise " CRANKWISE_VERSION);
    else if (help)
      print_help(cli);
    else if (app.get_subcommands().empty()) {
      const bool none = !cli.job_option && !cli.shop().current_job();
      if (cli.json && none)
        cli.output.line(Json{{"open_job", nullptr}}.dump());
      else if (none)
        print_help(cli);
      else
        return run_command({"next"}, cli, err);
    }
    return kDone;
  } catch (const CLI::CallForHelp&) {
    cli.output.line(app.get_subcommands().empty() ? app.help() : app.get_subcommands().front()->help());
    return kDone;
  } catch (const CLI::ParseError& e) {
    return parse_failed(e, args, err);
  } catch (const BadInput& e) {
    if (cli.json) {
      Json problems = Json::array();
      for (const Problem& p : e.problems()) {
        problems.push_back(
            {{"file", p.file}, {"line", p.line}, {"field", p.field}, {"wrong", p.wrong}, {"right", p.right}});
      }
      cli.output.line(Json{{"problems", problems}}.dump(1, ' ', false, Json::error_handler_t::replace));
    }
    err << "crankwise: " << e.what() << '\n';
    return kBadInput;
  } catch (const Stale&) {
    err << "crankwise: another program has written to the shop meanwhile; nothing of this entry was kept, try again\n";
    return kBadInput;
  }
}

}  // namespace crankwise
