// The command for recordings.
#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <cmath>
#include <memory>
#include <nlohmann/json.hpp>
#include <string_view>

#include "app/readings/appraise.h"
#include "app/sound/engine.h"
#include "app/sound/picture.h"
#include "app/sound/pull_told.h"
#include "app/sound/report.h"
#include "cli/cli.h"
#include "edge/file.h"

namespace crankwise::set_up {
namespace {

struct Args {
  std::string file, before, bike, cycle, of, picture;
  std::optional<double> idle, ceiling, cc, times;
  std::vector<std::string> pull;
  bool enter = false;
};

/// The bike that it is about, if it is one of the shop: named, or that of the job.
std::optional<Bike> bike_of(Cli& cli, const Args& a) {
  if (!a.bike.empty()) return cli.shop().bike(a.bike);
  if (!a.cycle.empty() && !a.enter) return {};
  if (!cli.job_option && !cli.shop().current_job()) return {};
  return cli.shop().bike_on_job(cli.job());
}

sound::Engine engine_for(const Args& a, const std::optional<Bike>& bike) {
  sound::Engine engine;
  if (bike) {
    engine = engine_of(*bike);
  } else {
    if (a.cycle.empty())
      throw BadInput({"", 0, "--cycle", "which engine is it? Nothing names a bike",
                      "--bike BIKE, --job N, or --cycle two-stroke"});
    engine = usual_engine(a.cycle == "two-stroke" ? Cycle::two_stroke : Cycle::four_stroke, a.cc.value_or(0));
  }
  if (bike && !a.cycle.empty() && (a.cycle == "two-stroke") != (engine.cycle == Cycle::two_stroke))
    throw BadInput(
        {"", 0, "--cycle", fmt::format("{} is no {}", bike->name, a.cycle), "leave it out: the bike says it"});
  if (a.idle) engine.idle_rpm = a.idle;
  if (a.ceiling) engine.ceiling_rpm = a.ceiling;
  if (auto wrong = problems(engine); !wrong.empty()) throw BadInput(std::move(wrong));
  return engine;
}

ListenAsk ask_of(const Args& a) {
  ListenAsk ask;
  if (!a.of.empty()) ask.of = take_of_from(a.of);
  if (a.times) ask.times = times_from(*a.times);
  if (!a.pull.empty()) ask.pull = pull_told(a.pull);
  return ask;
}

/// A bar on a terminal, for takes that are worth one.
std::function<void(double)> bar(Cli& cli) {
  if (!cli.output.terminal() || cli.json) return {};
  auto last = std::make_shared<int>(-1);
  return [&cli, last](double done) {
    constexpr int kWide = 40;
    const int full = static_cast<int>(done * kWide);
    if (full == *last) return;
    *last = full;
    cli.output.stream() << '\r' << std::string(static_cast<size_t>(full), '#')
                        << std::string(static_cast<size_t>(kWide - full), '.')
                        << (full == kWide ? "\r" + std::string(kWide, ' ') + "\r" : "") << std::flush;
  };
}

void say(Cli& cli, const std::vector<ReportLine>& lines) {
  for (const auto& [what, words] : lines) cli.output.wrapped(words, fmt::format("  {:<13}", what), 15);
}

void say_proposals(Cli& cli, const Proposals& told, const Bike& bike, const std::string& enter) {
  cli.output.heading("As readings of this bike");
  for (const ToldReading& p : told.readings) {
    const Reading& r = *cli.knowledge().readings.find(p.took.reading);
    const Appraised seen = appraise(r, p.took, bike, bike.readings);
    cli.output.wrapped(p.words, "  - ", 4);
    if (!seen.held_against) continue;
    cli.output.wrapped(in_words(seen, r), "    ", 4);
    for (const FindingWeight& w : seen.weights) {
      const Finding* f = cli.knowledge().findings.find(w.finding);
      if (f == nullptr || w.if_so <= 0 || w.if_not <= 0) continue;
      cli.output.wrapped(fmt::format("\"{}\" {}", f->name, weight_in_words(10 * std::log10(w.ratio()))), "    ", 4);
    }
  }
  for (const std::string& why : told.not_told) cli.output.wrapped("not told: " + why, "  . ", 4);
  if (!told.readings.empty() && !enter.empty()) cli.output.line("\nNothing is written down yet. " + enter);
}

void enter(Cli& cli, const Proposals& told) {
  std::vector<Entry> entries{Did{told.step}};
  for (const ToldReading& p : told.readings) entries.push_back(p.took);
  if (told.readings.empty())
    throw BadInput(
        {"", 0, "--enter", "the take gave no reading that could be entered", "a take as the step asks for it"});
  cli.note(entries);
}

void run(Cli& cli, const Args& a) {
  const std::optional<Bike> bike = bike_of(cli, a);
  const sound::Engine engine = engine_for(a, bike);
  const ListenAsk ask = ask_of(a);
  const Listened heard = listen_to(a.file, engine, ask, bar(cli));
  std::optional<Listened> before;
  if (!a.before.empty()) before = listen_to(a.before, engine, ask, bar(cli));
  if (!a.picture.empty()) write_whole(a.picture, before ? picture_of(*before, heard) : picture_of(heard), true);

  std::optional<Proposals> told;
  const std::string question = octave_question(heard);
  if (bike && question.empty()) told = proposals(heard, cli.knowledge(), *bike);
  if (a.enter) {
    if (!told)
      throw BadInput({"", 0, "--enter", question.empty() ? "there is no job to enter it on" : question,
                      question.empty()
                          ? "--job N"
                          : fmt::format("--times 1 or --times {:g}, or --idle, --ceiling", heard.track.other)});
    return enter(cli, *told);
  }
  if (cli.json) {
    Json j = as_json(heard);
    if (told) {
      j["readings"] = Json::array();
      for (const ToldReading& p : told->readings)
        j["readings"].push_back(
            {{"reading", p.took.reading}, {"value", p.took.value}, {"unit", p.took.unit}, {"at", p.took.at}});
    }
    if (before) j["changes"] = as_json(sound::compare(before->heard, heard.heard));
    return cli.output.json(j);
  }
  say(cli, report(heard));
  if (!question.empty())
    cli.output.wrapped(
        fmt::format("Answer with --times 1 or --times {:g}; or tell --idle or --ceiling.", heard.track.other), "  ", 2);
  if (before) {
    cli.output.heading("Before and after");
    say(cli, report(*before, heard));
  }
  const bool on_job = cli.job_option || (a.bike.empty() && told);
  if (told) say_proposals(cli, *told, *bike, on_job ? "Is it so? Again with --enter." : "");
}

}  // namespace

void listen(CLI::App& app, Cli& cli) {
  auto a = std::make_shared<Args>();
  app.add_option("file", a->file, "recording or video off a phone: wav, flac, mp3, m4a, ogg, opus, webm, mp4 ...")
      ->required()
      ->type_name("FILE");
  app.add_option("--before", a->before, "an earlier take of the same sort, to compare with")->type_name("FILE");
  app.add_option("--bike", a->bike, "whose engine; left out: that of the open job")->type_name("BIKE");
  app.add_option("--cycle", a->cycle, "of a bike that is in no shop")
      ->check(CLI::IsMember({"two-stroke", "four-stroke"}));
  app.add_option("--cc", a->cc, "its displacement")->check(CLI::Range(30, 800))->type_name("CM3");
  app.add_option("--idle", a->idle, "about the speed that it idles at")->type_name("RPM");
  app.add_option("--ceiling", a->ceiling, "the highest speed that it can turn")->type_name("RPM");
  app.add_option("--of", a->of, "what was done; left out: by what is heard")
      ->check(CLI::IsMember({"idle", "blips", "hold", "pull"}));
  app.add_option("--times", a->times, "it turned so many times the speeds found: the answer to that question")
      ->check([](const std::string& told) {
        double number = 0;
        const bool is = CLI::detail::lexical_cast(told, number) && times_from(number);
        return is ? std::string() : told + " is no multiple or part that may have been asked for: 1, 2, 0.5 ...";
      });
  app.add_option(
         "--pull", a->pull,
         "power of a pull in one gear: primary=2.82:1 gear=1.05:1 front=14 rear=48 \"mass=190 kg\"; tyre, drag, "
         "rolling, slope, slip and air may be told too")
      ->type_name("INPUT=VALUE");
  app.add_option("--picture", a->picture, "write what was heard as a picture, SVG")->type_name("FILE");
  app.add_flag("--enter", a->enter, "yes, it is so: write the readings on the job");
  app.callback([a, &cli] { run(cli, *a); });
}

}  // namespace crankwise::set_up
