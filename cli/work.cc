// The step-by-step mode: one question at a time in a plain terminal. Every answer is kept as soon as it is given; b
// takes the last one back; leaving (q, or end of input) loses nothing.
#include <fmt/format.h>

#include <algorithm>
#include <map>

#include "app/readings/told.h"
#include "cli/cli.h"

namespace crankwise {
namespace {

struct Leave {};  // the mechanic has had enough for now
struct Again {};  // something changed: look at the job anew

class Bench {
 public:
  explicit Bench(Cli& cli) : cli_(cli), out_(cli.output) {}

  void run() {
    try {
      const bool fresh = !cli_.job_option && !cli_.shop().current_job();
      if (fresh && cli_.shop().bikes().empty())
        throw BadInput(
            {"", 0, "", "no bike is entered yet", "crankwise add-bike \"Red 125\" --class motocross-125-two-stroke"});
      if (!fresh) cli_.job_option = job_ = cli_.job();
      out_.line(
          "At every question: b takes the last entry back, w says why, o offers other steps, ? explains, q leaves (all "
          "is kept).");
      if (fresh) begin();
      confirm_words();
      for (;;) {
        try {
          if (turn()) return;
        } catch (const Again&) {
        } catch (const BadInput& e) {
          out_.line(e.what());
        }
      }
    } catch (const Leave&) {
      out_.line(job_ > 0 ? "\nKept. Go on with: crankwise work" : "\nNothing was entered.");
    }
  }

 private:
  std::string line(const std::string& prompt) {
    out_.stream() << prompt << ' ' << std::flush;
    std::string text;
    while (std::getline(cli_.in, text)) {
      while (!text.empty() && (text.back() == '\r' || text.back() == ' ')) text.pop_back();
      while (!text.empty() && text.front() == ' ') text.erase(0, 1);
      if (is_utf8(text)) return text;
      out_.line("That is not UTF-8 text; write it in usual letters.");
      out_.stream() << prompt << ' ' << std::flush;
    }
    throw Leave{};
  }

  /// Asks until the answer is one of `keys` (first letters), after the keys that work everywhere.
  char key(const std::string& prompt, const std::string& keys, const std::string& explain) {
    for (;;) {
      const std::string text = line(prompt);
      const char c = key_of(text, keys);
      if (c == 'q') throw Leave{};
      if (c != 0 && keys.find(c) != std::string::npos) return c;
      if (c == 'b') back();
      if (c == 'w') {
        const Diagnosis d = cli_.diagnosis();
        out_.why(d, d.suspects(1).front().fault);
        continue;
      }
      if (c == 'o' && !at_words_) others();
      out_.line(explain);
    }
  }

  /// The key that the text is, or the word that it stands for; 0 for anything else: a word that merely begins alike
  /// must not take an entry back.
  static char key_of(std::string text, const std::string& keys) {
    for (char& c : text) c = static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
    if (text.size() == 1) return text[0];
    static const std::map<std::string, char> kWords{
        {"yes", 'y'},   {"no", 'n'},   {"unsure", 'u'}, {"skip", 's'},   {"back", 'b'}, {"why", 'w'},  {"others", 'o'},
        {"other", 'o'}, {"quit", 'q'}, {"gone", '1'},   {"better", '2'}, {"same", '3'}, {"later", 'l'}};
    const auto word = kWords.find(text);
    const bool everywhere = word != kWords.end() && std::string("bwoq").find(word->second) != std::string::npos;
    return word != kWords.end() && (everywhere || keys.find(word->second) != std::string::npos) ? word->second : 0;
  }

  /// Free words. q leaves; b goes back to the question before, which has written nothing yet.
  std::string words(const std::string& prompt) {
    const std::string text = line(prompt);
    const char c = key_of(text, "");
    if (c == 'q') throw Leave{};
    if (c == 'b') throw Again{};
    return text;
  }

  void back() {
    if (at_words_) throw Again{};  // confirm_words knows what was written last
    take_back();
    throw Again{};
  }

  void take_back() {
    try {
      out_.line("taken back: " + cli_.shop().undo(job_));
    } catch (const BadInput& e) {
      out_.line(e.what());
    }
  }

  void write(const std::vector<Entry>& entries) { cli_.shop().write(job_, entries); }

  static Answer answer_of(char c) { return c == 'y' ? Answer::yes : c == 'n' ? Answer::no : Answer::unsure; }

  void begin() {
    std::string bike, said;
    while (said.empty()) {
      try {
        if (bike.empty()) bike = which_bike();
        said = words("What does the rider say?");
      } catch (const Again&) {
        bike.clear();
      }
    }
    cli_.job_option = job_ = cli_.shop().take_in(bike, said);
  }

  std::string which_bike() {
    out_.line("Which bike?");
    std::vector<std::string> ids;
    for (const auto& [id, b] : cli_.shop().bikes()) {
      ids.push_back(id);
      out_.line(fmt::format("  {}  {}", ids.size(), b.name));
    }
    for (;;) {
      const std::string text = words("number or name:");
      for (size_t i = 0; i < ids.size(); ++i) {
        if (text == std::to_string(i + 1) || text == ids[i] || text == cli_.shop().bike(ids[i]).name) return ids[i];
      }
      out_.line("One of the numbers above, or a name.");
    }
  }

  /// What the rider's words may mean, one by one. b goes back to the one before, and takes back what it wrote.
  void confirm_words() {
    const Job& job = cli_.shop().job(job_);
    const std::vector<Heard> heard = to_confirm(cli_.knowledge(), job, cli_.shop().bike(job.bike));
    std::vector<bool> wrote;  // by those answered so far
    at_words_ = true;
    while (wrote.size() < heard.size()) {
      try {
        confirm(heard[wrote.size()]);
        wrote.push_back(true);
      } catch (const Again&) {
        if (wrote.empty()) {
          out_.line("There is nothing before this question.");
          continue;
        }
        if (wrote.back()) take_back();
        wrote.pop_back();
      } catch (const BadInput& e) {
        out_.line(e.what());
        wrote.push_back(false);
      }
    }
    at_words_ = false;
  }

  void confirm(const Heard& h) {
    const std::string ask =
        h.is_context ? cli_.knowledge().contexts.find(h.id)->ask : cli_.knowledge().findings.find(h.id)->ask;
    const char c = key(fmt::format("{}\n  (heard: \"{}\")  y yes, n no, u unsure, s leave it out >", ask, h.words),
                       "ynus", "y, n, u or s; the other steps come after these words");
    if (c == 's' || (h.is_context && c == 'u'))
      write({NotMeant{h.id}});
    else if (h.is_context)
      write({WasSo{h.id, c == 'y'}});
    else
      write({SaidSo{h.id, answer_of(c)}});
  }

  /// One look at the job and one thing done. True when there is no more to do.
  bool turn() {
    const Job& job = cli_.shop().job(job_);
    if (job.end != JobEnd::open) {
      out_.line("This job is closed.");
      return true;
    }
    const Diagnosis d = cli_.diagnosis();
    out_.line(std::string(78, '-'));
    out_.job_head(job, cli_.shop().bike(job.bike), &d);
    out_.suspects(d, 4);
    out_.next(d, cli_.shop().settings(), 0);
    if (d.advice.proven) return finish(d);
    const size_t mine = chosen_.empty() ? 0 : option_index(d, chosen_);
    chosen_.clear();
    if (mine != 0) {
      out_.line("\nYour choice:");
      out_.option(d, d.advice.options[mine], cli_.shop().settings());
    }
    do_step(d, d.advice.options[mine].step);
    return false;
  }

  static size_t option_index(const Diagnosis& d, const std::string& id) {
    for (size_t i = 0; i < d.advice.options.size(); ++i) {
      if (d.bike().step_id(d.advice.options[i].step) == id) return i;
    }
    return 0;
  }

  void others() {
    const Diagnosis d = cli_.diagnosis();
    for (size_t i = 0; i < std::min<size_t>(d.advice.options.size(), 12); ++i) {
      const Option& o = d.advice.options[i];
      out_.wrapped(fmt::format("{} ({})  [{}]", d.bike().step_name(o.step),
                               effort_words(effort_now(o), cli_.shop().settings()), d.bike().step_id(o.step)),
                   fmt::format("{:3}  ", i + 1), 5);
    }
    const std::string text = words("number, or the id of any step (enter: stay):");
    if (text.empty()) throw Again{};
    const int n = std::atoi(text.c_str());
    std::string id = text;
    if (n >= 1 && static_cast<size_t>(n) <= d.advice.options.size())
      id = d.bike().step_id(d.advice.options[static_cast<size_t>(n - 1)].step);
    if (option_index(d, id) == 0 && d.bike().step_id(d.advice.options[0].step) != id) {
      const int s = d.bike().step(id);
      if (s < 0) {
        std::vector<std::string> ids;
        for (const auto& [known, index] : d.bike().step_index) ids.push_back(known);
        const std::string near = nearest(id, ids);
        out_.line(fmt::format("no step is called \"{}\"{}", id, near.empty() ? "" : "; perhaps \"" + near + "\""));
        throw Again{};
      }
      out_.line("\n" + d.bike().step_name(s));
      out_.step_card(d.bike(), *d.bike().steps[static_cast<size_t>(s)]);
      do_step(d, s);
      throw Again{};
    }
    chosen_ = id;
    throw Again{};
  }

  void do_step(const Diagnosis& d, int s) {
    const PlanStep& p = d.bike().plan.steps[static_cast<size_t>(s)];
    const std::string id = d.bike().step_id(s);
    const Step* step = d.bike().steps[static_cast<size_t>(s)];
    switch (p.act) {
      case Act::ask:
        return step == nullptr ? ask_rider(d, s) : look(d, *step, p);
      case Act::run:
        return run_it(*step, false);
      case Act::last_resort:
        return last_resort(*step);
      case Act::repair:
      case Act::swap:
        break;
    }
    const char c = key("\nDone? y yes, n not yet, s leave it out >", "yns",
                       "y once it is done; n not now, show me others; s if it cannot be done (no part, no tool)");
    if (c == 's') return leave_out(id);
    if (c == 'n') others();
    write({Did{id}});
    run_it(*step, p.act == Act::swap);
  }

  void leave_out(const std::string& id) { write({Skipped{id, words("why (enter: no reason)?")}}); }

  void ask_rider(const Diagnosis& d, int s) {
    const Finding& f = d.finding(d.bike().question[static_cast<size_t>(s)]);
    const char c = key("\ny yes, n no, u unsure, s cannot say >", "ynus", f.ask);
    if (c == 's')
      write({Skipped{f.id, "the rider cannot say"}});
    else
      write({SaidSo{f.id, answer_of(c)}});
  }

  std::string prompt_for(const Diagnosis& d, const Reading& r) {
    const std::string told = may_tell(worth_asking(r, d.bike().traits, cli_.shop().settings().usual));
    return fmt::format("{}{}{}\n  in {}{}; enter: not measured; s leave the step out >", r.ask,
                       told.empty() ? "" : "\n  behind it, as far as known:", told, r.unit,
                       r.open.empty() ? "" : ", or open");
  }

  void look(const Diagnosis& d, const Step& step, const PlanStep& plan) {
    bool first = true;
    const auto keep = [&](Entry e) {
      std::vector<Entry> entries;
      if (first) entries.push_back(Did{step.id});
      first = false;
      entries.push_back(std::move(e));
      write(entries);
    };
    std::vector<std::string> read;  // findings that a reading speaks for
    for (const Reading* r : d.bike().readings_of(step)) {
      out_.line();
      const std::string prompt = prompt_for(d, *r);
      for (std::string doubted;;) {
        const std::string text = line(prompt);
        const char c = key_of(text, "s");
        if (c == 'q') throw Leave{};
        if (c == 'b') back();
        if (c == 'o') others();
        if (c == 'w') {
          out_.why(d, d.suspects(1).front().fault);
          continue;
        }
        if (c == '?') {
          out_.step_card(d.bike(), step);
          continue;
        }
        if (c == 's') return leave_out(step.id);
        if (text.empty()) break;
        try {
          Took took = took_from_words(r->id, with_unit_of(*r, text), r);
          if (text != doubted) {
            doubted = text;  // told again it is meant so
            cli_.doubt(took, "if it is as you say, the same again");
          }
          keep(std::move(took));
        } catch (const BadInput& e) {
          out_.line(e.what());
          continue;
        }
        for (const auto& id : {r->below, r->above, r->open}) read.push_back(id);
        const Diagnosis now = cli_.diagnosis();
        if (!now.verdicts.empty()) out_.verdict(now, now.verdicts.back());
        break;
      }
    }
    for (int f : plan.findings) {
      const Finding& finding = d.finding(f);
      const bool behind_reading =
          finding.kind == FindingKind::measured || std::find(read.begin(), read.end(), finding.id) != read.end();
      if (behind_reading || d.state.settled[static_cast<size_t>(f)]) continue;
      const char c =
          key(fmt::format("\n{}\n  y yes, n no, u unsure, s leave the step out >", finding.ask), "ynus", finding.ask);
      if (c == 's') {
        if (first) leave_out(step.id);
        return;
      }
      keep(SaidSo{finding.id, answer_of(c)});
    }
    if (first) leave_out(step.id);  // nothing was seen or measured
  }

  void run_it(const Step& step, bool swapped) {
    const Diagnosis d = cli_.diagnosis();
    const int run = d.bike().plan.run_step;
    const Step& ride = step.kind == StepKind::run ? step : *d.bike().steps[static_cast<size_t>(run)];
    out_.line("\n" + ride.name);
    out_.step_card(d.bike(), ride);
    const char c = key("\nPut back what it needs and run it. 1 trouble gone, 2 better but not right, 3 same, l later >",
                       "123l", "Run it the way the trouble came. l: not now, I do something else first");
    if (c == 'l') {
      if (step.kind == StepKind::run) leave_out(step.id);
      return;
    }
    const RunResult result = c == '1' ? RunResult::gone : c == '2' ? RunResult::better : RunResult::same;
    write({RanIt{result, step.kind == StepKind::run ? step.id : ""}});
    if (!swapped || result == RunResult::gone) return;
    if (key("Does the old part go back in? y yes, n no, the new one stays >", "yn",
            "y: the known good part comes out again") == 'y') {
      write({WentBack{step.id}});
    }
  }

  void last_resort(const Step& step) {
    const char c = key("\nNothing cheaper is left. y strip it or send it out and close the job, s leave it >", "ys",
                       "y closes the job as given-up");
    if (c == 's') return leave_out(step.id);
    cli_.shop().close(job_, JobEnd::given_up, {}, words("What do you tell the owner?"));
    out_.line("Closed as given-up. When the cause is known, write it down with crankwise undo and crankwise close.");
  }

  bool finish(const Diagnosis&) {
    const auto causes = cli_.shop().likely_causes(job_);
    for (const auto& c : causes) out_.line("  it was: " + cli_.knowledge().faults.find(c)->name);
    if (key("\nClose the job as proven? y yes, n not yet >", "yn", "y closes it; n leaves it open") == 'n')
      throw Leave{};
    cli_.shop().close(job_, JobEnd::proven, {}, words("Anything for the record (enter: nothing)?"));
    out_.line(fmt::format("Job {} is closed, proven. The record: crankwise log --job {}", job_, job_));
    return true;
  }

  Cli& cli_;
  Output& out_;
  int job_ = 0;
  bool at_words_ = false;  // the rider's words are being confirmed
  std::string chosen_;     // id of the step that the mechanic chose instead of the best
};

}  // namespace

void work(Cli& cli) { Bench(cli).run(); }

}  // namespace crankwise
