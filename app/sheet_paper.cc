// The job sheet as a paper: its headings and sentences.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "app/sheet.h"

namespace crankwise {
namespace {

std::string minutes(double m) {
  const int whole = std::max(1, static_cast<int>(std::lround(m)));
  return whole < 60 ? fmt::format("{} min", whole) : fmt::format("{} h {:02} min", whole / 60, whole % 60);
}

std::string money(double amount, const std::string& currency) {
  const bool whole = std::abs(amount - std::round(amount)) < 0.005;
  return (whole ? fmt::format("{:.0f}", amount) : fmt::format("{:.2f}", amount)) + " " + currency;
}

std::string of_100(double chance) {
  if (chance > 0.99) return "more than 99";
  if (chance < 0.01) return "fewer than 1";
  return fmt::format("{:.0f}", 100 * chance);
}

std::string capital(std::string text) {
  if (!text.empty() && text[0] >= 'a' && text[0] <= 'z') text[0] = static_cast<char>(text[0] - 'a' + 'A');
  return text;
}

std::string times(const std::string& what, int count) {
  return count == 1 ? what : fmt::format("{}, {} times", what, count);
}

std::string usually(bool usual, const std::string& words) { return usual ? "usually " + words : words; }

/// Words in one line, each once.
std::string joined(const std::vector<std::string>& words) { return fmt::format("{}", fmt::join(words, "; ")); }

class Writer {
 public:
  explicit Writer(const JobSheet& s) : s_(s) {}

  Paper paper() {
    paper_.title = fmt::format("Job sheet {}: {}", s_.job, s_.bike);
    std::string bike = s_.kind;
    if (s_.hours >= 0) bike += fmt::format("{}{:g} engine hours", bike.empty() ? "" : ", ", s_.hours);
    const std::string days = s_.closed.empty() ? "not finished yet" : "finished " + s_.closed;
    paper_.head.push_back({bike, Tone::plain});
    paper_.head.push_back({fmt::format("Taken in {}, {}.", s_.taken_in, days), Tone::plain});
    paper_.head.push_back({result(), Tone::strong});
    complaint();
    checked();
    found();
    repaired();
    proof();
    time();
    parts();
    due();
    cautions();
    if (std::any_of(s_.time.begin(), s_.time.end(), [](const auto& t) { return t.usual; }) ||
        std::any_of(s_.parts.begin(), s_.parts.end(), [](const auto& p) { return p.usual; })) {
      paper_.foot = "\"Usually\": not timed or noted on this job, but what such work takes or costs as a rule.";
    }
    return std::move(paper_);
  }

  void photos(const std::function<std::string(const Pictured&)>& picture, Paper& paper) const {
    if (s_.photos.empty()) return;
    Pictures all;
    for (const SheetPhoto& p : s_.photos) {
      const std::string between = p.of.empty() || p.photo.caption.empty() ? "" : ": ";
      all.pictures.push_back(
          {p.photo.media_type, picture(p.photo), p.of + between + p.photo.caption, p.photo.width, p.photo.height});
    }
    paper.sections.push_back({"Photos", {}});
    paper.sections.back().blocks.emplace_back(std::move(all));
  }

 private:
  void section(const std::string& title, std::vector<Block> blocks) {
    if (!blocks.empty()) paper_.sections.push_back({title, std::move(blocks)});
  }
  void section(const std::string& title, Table table) {
    std::vector<Block> blocks;
    blocks.emplace_back(std::move(table));
    section(title, std::move(blocks));
  }
  void section(const std::string& title, Paragraph paragraph) {
    std::vector<Block> blocks;
    blocks.emplace_back(std::move(paragraph));
    section(title, std::move(blocks));
  }

  std::string runs() const { return s_.clean_runs == 1 ? "a test run" : fmt::format("{} test runs", s_.clean_runs); }

  std::string result() const {
    switch (s_.end) {
      case JobEnd::proven:
        return fmt::format("Repaired, and proven by {} without the trouble.", runs());
      case JobEnd::fixed_unproven:
        return "Repaired, but not proven: watch it, and say so if the trouble comes back.";
      case JobEnd::given_up:
        return "Closed without a proven repair.";
      case JobEnd::open:
        break;
    }
    return "Still being worked on: this is what is known so far.";
  }

  void complaint() {
    std::vector<Block> blocks;
    blocks.emplace_back(Paragraph{s_.complaint, Tone::quote});
    if (!s_.so.empty()) blocks.emplace_back(Paragraph{"Asked about it, it was so: " + joined(s_.so) + "."});
    if (!s_.not_so.empty()) blocks.emplace_back(Paragraph{"Not so: " + joined(s_.not_so) + "."});
    section("What the rider said", std::move(blocks));
  }

  void checked() {
    Table t{{{"Check", 4}, {"What it showed", 6}}, {}};
    for (const SheetCheck& c : s_.checked) {
      std::vector<std::string> showed = c.saw;
      for (const SheetReading& r : c.readings) {
        showed.push_back(
            fmt::format("{} {}: {}{}", r.name, r.value, r.verdict, r.right.empty() ? "" : " (" + r.right + ")"));
      }
      t.rows.push_back({c.what, capital(joined(showed))});
    }
    if (!t.rows.empty()) section("What was checked", std::move(t));
  }

  void found() {
    std::vector<Block> blocks;
    for (const SheetCause& c : s_.found) {
      if (s_.end == JobEnd::open) {
        blocks.emplace_back(
            Paragraph{fmt::format("{}: the cause in {} of 100 such cases.", capital(c.name), of_100(c.now))});
        continue;
      }
      blocks.emplace_back(Paragraph{capital(c.name) + ".", Tone::strong});
      if (c.when_told >= 0) {
        const bool clearer = of_100(c.when_told) != of_100(c.when_checked);
        blocks.emplace_back(Paragraph{
            fmt::format("By the complaint alone this was the cause in {} of 100 such cases{}; after the work it is "
                        "still there in {} of 100.",
                        of_100(c.when_told),
                        clearer ? fmt::format(", by the checks in {} of 100", of_100(c.when_checked)) : "",
                        of_100(c.now)),
            Tone::small});
      }
    }
    if (s_.found.empty() && s_.end != JobEnd::open) blocks.emplace_back(Paragraph{"No cause was found for certain."});
    if (!s_.words.empty()) blocks.emplace_back(Paragraph{s_.words, Tone::quote});
    section(s_.end == JobEnd::open ? "What is suspected" : "What was found", std::move(blocks));
  }

  void repaired() {
    Table t{{{"Repair", 6}, {"Test run after it", 4}}, {}};
    for (const SheetRepair& r : s_.repaired) {
      const std::string outcome = r.outcome.empty() ? "not run yet" : r.outcome;
      t.rows.push_back({r.what, capital(joined(r.saw) + (r.saw.empty() ? "" : "; ") + outcome)});
    }
    if (!t.rows.empty()) section("What was done", std::move(t));
  }

  void proof() {
    std::string words;
    if (s_.clean_runs > 0) {
      words = fmt::format("{}he engine was run {} the way the trouble used to come, and it did not come back. ",
                          s_.repaired.empty() ? "T" : "After the last repair t",
                          s_.clean_runs == 1 ? "once" : fmt::format("{} times", s_.clean_runs));
    } else if (!s_.repaired.empty()) {
      words = "There was no test run without the trouble after the last repair. ";
    }
    constexpr double kUnexplained = 0.5;
    if (s_.clean_runs > 0 && s_.doubt > kUnexplained)
      words += "Nothing that was done explains that, so it may come back. ";
    if (s_.clean_runs > 0) {
      words += fmt::format("The doubt that is left: in {} of 100 such cases something would still be wrong.",
                           of_100(s_.doubt));
    }
    if (!words.empty()) section("How it is known", Paragraph{words});
  }

  void time() {
    Table t{{{"", 6}, {"", 4, true}}, {}, true};
    double sum = 0;
    bool usual = false;
    for (const SheetTime& x : s_.time) {
      t.rows.push_back({times(x.what, x.times), usually(x.usual, minutes(x.minutes))});
      sum += x.minutes;
      usual = usual || x.usual;
    }
    if (t.rows.empty()) return;
    t.rows.push_back({"Together", (usual ? "about " : "") + minutes(sum)});
    section("Time", std::move(t));
  }

  void parts() {
    Table t{{{"", 6}, {"", 4, true}}, {}, true};
    double sum = 0;
    bool usual = false;
    for (const SheetPart& x : s_.parts) {
      t.rows.push_back({times(capital(x.what), x.times), usually(x.usual, money(x.money, s_.currency))});
      sum += x.money;
      usual = usual || x.usual;
    }
    if (t.rows.empty()) return section("Parts and supplies", Paragraph{"None."});
    t.rows.push_back({"Together", (usual ? "about " : "") + money(sum, s_.currency)});
    section("Parts and supplies", std::move(t));
  }

  void due() {
    Table t{{{"", 5}, {"", 5}}, {}};
    for (const SheetDue& x : s_.due) t.rows.push_back({capital(x.what), x.when});
    if (!t.rows.empty()) section("Due next (" + s_.due_as_of + ")", std::move(t));
  }

  /// Whole while they are few; of many only what they are about.
  void cautions() {
    constexpr size_t kWhole = 8;
    std::vector<Block> blocks;
    std::vector<std::string> titles;
    for (const SheetCaution& c : s_.cautions) {
      titles.push_back(c.title);
      blocks.emplace_back(Paragraph{c.title + ". " + c.text, Tone::small});
    }
    if (blocks.size() > kWhole) {
      blocks.clear();
      blocks.emplace_back(Paragraph{joined(titles) + ".", Tone::small});
    }
    section("Cautions that go with this work, should you do it yourself", std::move(blocks));
  }

  const JobSheet& s_;
  Paper paper_;
};

}  // namespace

Paper paper_of(const JobSheet& sheet, const std::function<std::string(const Pictured&)>& picture) {
  Writer writer(sheet);
  Paper paper = writer.paper();
  writer.photos(picture, paper);
  return paper;
}

}  // namespace crankwise
