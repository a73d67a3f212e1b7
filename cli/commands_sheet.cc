// The job sheet and the photos on it.
#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <filesystem>
#include <memory>
#include <nlohmann/json.hpp>

#include "app/sheet.h"
#include "cli/cli.h"
#include "edge/file.h"
#include "edge/picture.h"

namespace crankwise::set_up {
namespace {

Json chance(double p) { return p < 0 ? Json() : Json(p); }

template <class Row, class Fields>
Json list(const std::vector<Row>& rows, Fields fields) {
  Json out = Json::array();
  for (const Row& row : rows) out.push_back(fields(row));
  return out;
}

Json sheet_json(const JobSheet& s) {
  Json j{{"job", s.job},
         {"bike", s.bike},
         {"kind", s.kind},
         {"taken_in", s.taken_in},
         {"closed", s.closed},
         {"end", text(s.end)},
         {"so", s.so},
         {"complaint", s.complaint},
         {"not_so", s.not_so},
         {"clean_runs", s.clean_runs},
         {"doubt", s.doubt},
         {"words", s.words},
         {"currency", s.currency}};
  j["hours"] = s.hours < 0 ? Json() : Json(s.hours);
  j["checked"] = list(s.checked, [](const SheetCheck& c) {
    return Json{{"step", c.step},
                {"what", c.what},
                {"saw", c.saw},
                {"readings", list(c.readings, [](const auto& r) {
                   return Json{{"name", r.name}, {"value", r.value}, {"right", r.right}, {"verdict", r.verdict}};
                 })}};
  });
  j["found"] = list(s.found, [](const SheetCause& c) {
    return Json{{"fault", c.fault},
                {"name", c.name},
                {"when_told", chance(c.when_told)},
                {"when_checked", chance(c.when_checked)},
                {"now", chance(c.now)}};
  });
  j["repaired"] = list(s.repaired, [](const SheetRepair& r) {
    return Json{{"step", r.step}, {"what", r.what}, {"saw", r.saw}, {"outcome", r.outcome}, {"went_back", r.went_back}};
  });
  j["time"] = list(s.time, [](const SheetTime& t) {
    return Json{{"what", t.what}, {"minutes", t.minutes}, {"usual", t.usual}, {"times", t.times}};
  });
  j["parts"] = list(s.parts, [](const SheetPart& p) {
    return Json{{"what", p.what}, {"money", p.money}, {"usual", p.usual}, {"times", p.times}};
  });
  j["due_as_of"] = s.due_as_of;
  j["due"] = list(s.due, [](const SheetDue& d) { return Json{{"what", d.what}, {"when", d.when}}; });
  j["cautions"] = list(s.cautions, [](const SheetCaution& c) { return Json{{"title", c.title}, {"text", c.text}}; });
  j["photos"] = list(s.photos, [](const SheetPhoto& p) {
    Json photo = entry_data(p.photo);
    photo["at"] = p.at;
    return photo;
  });
  return j;
}

enum class Form { text, html, pdf };

/// As told, or by the ending of the file.
Form form_of(const std::string& told, const std::filesystem::path& file) {
  if (told == "text") return Form::text;
  if (told == "html") return Form::html;
  if (told == "pdf") return Form::pdf;
  if (!told.empty()) throw BadInput({"", 0, "--as", fmt::format("\"{}\" is not a form", told), "text, html or pdf"});
  const std::string ending = file.extension().string();
  return ending == ".html" || ending == ".htm" ? Form::html : ending == ".pdf" ? Form::pdf : Form::text;
}

}  // namespace

void photo(CLI::App& app, Cli& cli) {
  struct Args {
    std::string file;
    std::vector<std::string> caption;
    bool last = false;
  };
  auto a = std::make_shared<Args>();
  app.add_option("file", a->file, "the picture: JPEG, PNG or WebP, 20 MB at the most")->required()->type_name("FILE");
  app.add_option("--caption", a->caption, "what it shows")->type_name("WORDS");
  app.add_flag("--last", a->last, "it shows what was written down last");
  app.callback([a, &cli] {
    const int number = cli.job();
    const std::string bytes = read_whole(a->file, kMostPictureBytes);
    const int of_act = a->last ? cli.shop().last_act(number).act : 0;
    if (a->last && of_act == 0)
      throw BadInput({"", 0, "--last", fmt::format("nothing is written down on job {} yet", number), "it left out"});
    const Pictured p =
        cli.shop().add_photo(number, bytes, fmt::format("{}", fmt::join(a->caption, " ")), a->file, of_act);
    if (cli.json) {
      Json j = entry_data(p);
      j["job"] = number;
      return cli.output.json(j);
    }
    cli.output.line("noted: " + entry_in_words(cli.knowledge(), p));
  });
}

void sheet(CLI::App& app, Cli& cli) {
  struct Args {
    std::string as, to;
    bool replace = false;
  };
  auto a = std::make_shared<Args>();
  app.add_option("--as", a->as, "its form; left out: by the ending of the file, otherwise text")
      ->type_name("text|html|pdf");
  app.add_option("--to", a->to, "the file to write it to; left out: shown here (not as pdf)")->type_name("FILE");
  app.add_flag("--replace", a->replace, "write over the file if it is there");
  app.callback([a, &cli] {
    const Form form = form_of(a->as, a->to);
    const int number = cli.job_or_last();
    const JobSheet s = job_sheet(cli.shop(), number);
    if (cli.json && a->to.empty()) return cli.output.json(sheet_json(s));
    if (form == Form::pdf && a->to.empty())
      throw BadInput({"", 0, "--as", "a pdf cannot be shown here", "--to FILE, such as --to sheet.pdf"});
    const Paper paper = paper_of(s, [&](const Pictured& p) { return cli.shop().picture(p); });
    const std::string bytes = form == Form::text   ? as_text(paper)
                              : form == Form::html ? as_html(paper)
                                                   : as_pdf(paper).bytes;
    if (a->to.empty()) {
      cli.output.stream() << bytes;
      return;
    }
    write_whole(a->to, bytes, a->replace);
    if (cli.json)
      cli.output.json(Json{{"job", number}, {"to", a->to}});
    else
      cli.output.line(fmt::format("the sheet of job {} is in {}", number, a->to));
  });
}

}  // namespace crankwise::set_up
