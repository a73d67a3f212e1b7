// The three forms of the job sheet: everything is in each, nothing that was written runs or breaks out. What is in a
// PDF is read back by pdftotext and pdfinfo (poppler).
#include <fmt/format.h>
#include <gtest/gtest.h>
#include <unistd.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <sstream>

#include "app/sheet.h"
#include "tests/pictures.h"
#include "tests/real_knowledge.h"
#include "tests/shop_case.h"

namespace crankwise {
namespace {

using namespace test;

/// A sheet in which every text field is `text` of a number of its own.
template <class Text>
JobSheet sheet_of(Text text) {
  int n = 0;
  const auto t = [&] { return text(n++); };
  JobSheet s;
  s.job = 7;
  s.bike = t(), s.kind = t(), s.hours = 42, s.taken_in = t(), s.closed = t();
  s.end = JobEnd::proven;
  s.complaint = t(), s.so = {t()}, s.not_so = {t()};
  s.checked = {{"id", t(), {t()}, {{t(), t(), t(), t()}}}};
  s.found = {{"id", t(), 0.11, 0.66, 0.004}};
  s.words = t();
  s.repaired = {{"id", t(), {t()}, t(), false}};
  s.clean_runs = 2, s.doubt = 0.013;
  s.time = {{t(), 12, true, 1}, {t(), 63, false, 2}};
  s.currency = t();
  s.parts = {{t(), 9.5, false, 1}, {t(), 20, true, 1}};
  s.due_as_of = "2026-03-01", s.due = {{t(), t()}};
  s.cautions = {{t(), t()}};
  for (const auto& [bytes, type] :
       {std::pair{kPng, "image/png"}, {kTurnedJpeg, "image/jpeg"}, {kWebpLossy, "image/webp"}})
    s.photos.push_back({{bytes, type, 3, 2, t()}, "2026-03-01T10:00:00.000Z"});
  return s;
}

constexpr int kTexts = 30;

/// In these tests a picture is kept where its digest would be.
Paper paper(const JobSheet& s) {
  return paper_of(s, [](const Pictured& p) { return p.sha256; });
}

struct ReadBack {
  std::string text;
  int pages = 0;
};

std::string said_by(const std::string& command) {
  std::string out;
  FILE* pipe = ::popen(command.c_str(), "r");
  char piece[4096];
  while (const size_t got = pipe == nullptr ? 0 : std::fread(piece, 1, sizeof piece, pipe)) out.append(piece, got);
  EXPECT_EQ(::pclose(pipe), 0) << command;
  return out;
}

class OnDisk {
 public:
  explicit OnDisk(const std::string& bytes) {
    std::string name = (fs::temp_directory_path() / "crankwise-sheet-XXXXXX").string();
    ::close(::mkstemp(name.data()));
    path = name;
    std::ofstream(path, std::ios::binary) << bytes;
  }
  OnDisk(const OnDisk&) = delete;
  OnDisk& operator=(const OnDisk&) = delete;
  ~OnDisk() { fs::remove(path); }
  std::string path;
};

/// The words one after another, in one line.
std::string one_line(const std::string& text) {
  std::string out;
  std::istringstream words(text);
  for (std::string word; words >> word;) out += (out.empty() ? "" : " ") + word;
  return out;
}

ReadBack read_back(const std::string& pdf) {
  const OnDisk file(pdf);
  ReadBack out;
  out.text = one_line(said_by("pdftotext -q " + file.path + " -"));
  std::istringstream info(said_by("pdfinfo " + file.path + " 2>/dev/null"));
  for (std::string line; std::getline(info, line);) {
    if (line.rfind("Pages:", 0) == 0) out.pages = std::stoi(line.substr(6));
  }
  return out;
}

TEST(SheetForms, EveryTextAndNumberIsInEach) {
  const JobSheet s = sheet_of([](int n) { return fmt::format("Q{}q", n); });
  const PdfForm pdf = as_pdf(paper(s));
  const ReadBack back = read_back(pdf.bytes);
  EXPECT_EQ(back.pages, pdf.pages);
  const std::pair<const char*, std::string> forms[] = {
      {"text", one_line(as_text(paper(s)))}, {"html", as_html(paper(s))}, {"pdf", back.text}};
  for (const auto& [form, text] : forms) {
    SCOPED_TRACE(form);
    for (int n = 0; n < kTexts; ++n) EXPECT_NE(text.find(fmt::format("Q{}q", n)), std::string::npos) << n;
    EXPECT_EQ(text.find(fmt::format("Q{}q", kTexts)), std::string::npos) << "the test counts wrongly";
    for (const char* words : {"Job sheet 7",
                              "What the rider said",
                              "What was checked",
                              "What was found",
                              "What was done",
                              "How it is known",
                              "Time",
                              "Parts and supplies",
                              "Due next (2026-03-01)",
                              "Cautions",
                              "Photos",
                              "proven by 2 test runs",
                              "11 of 100",
                              "66 of 100",
                              "fewer than 1 of 100",
                              "1 of 100",
                              "usually 12 min",
                              "1 h 03 min",
                              "about 1 h 15 min",
                              "9.50",
                              "usually 20",
                              "about 29.50",
                              "42 engine hours",
                              "2 times"}) {
      EXPECT_NE(text.find(words), std::string::npos) << words;
    }
  }
}

TEST(SheetForms, NothingThatWasWrittenIsMarkup) {
  const std::string script = "<script>alert('x')</script><img src=x onerror=\"alert(1)\">&lt;";
  const JobSheet s = sheet_of([&](int) { return script; });
  const std::string html = as_html(paper(s));
  EXPECT_EQ(html.find("<script"), std::string::npos);
  EXPECT_EQ(html.find("<img src=x"), std::string::npos);
  EXPECT_NE(html.find("default-src 'none'"), std::string::npos);
  const std::string shown =
      "&lt;script&gt;alert(&#39;x&#39;)&lt;/script&gt;&lt;img src=x onerror=&quot;alert(1)&quot;&gt;&amp;lt;";
  int count = 0;
  for (size_t at = 0; (at = html.find(shown, at)) != std::string::npos; ++at) ++count;
  EXPECT_GE(count, kTexts) << "each text is there to be read";
  EXPECT_NE(read_back(as_pdf(paper(s)).bytes).text.find("<script>"), std::string::npos);
}

TEST(SheetForms, PicturesAreWithin) {
  const JobSheet s = sheet_of([](int n) { return fmt::format("q{}", n); });
  const std::string html = as_html(paper(s));
  // RFC 4648 by Python's base64 module: the first nine bytes of a PNG file, and how the whole one ends.
  EXPECT_NE(html.find("src=\"data:image/png;base64,iVBORw0KGgoA"), std::string::npos);
  EXPECT_NE(html.find("FTkSuQmCC\""), std::string::npos);
  EXPECT_NE(html.find("data:image/jpeg;base64,/9j/"), std::string::npos);
  EXPECT_NE(html.find("data:image/webp;base64,UklGR"), std::string::npos);
  const OnDisk pdf(as_pdf(paper(s)).bytes);
  const std::string images = said_by("pdfimages -list " + pdf.path + " 2>/dev/null");
  EXPECT_NE(images.find("jpeg"), std::string::npos) << images;
  EXPECT_EQ(std::count(images.begin(), images.end(), '\n'), 4) << "two lines of heading, PNG and JPEG\n" << images;
  EXPECT_NE(read_back(as_pdf(paper(s)).bytes).text.find("a WebP picture, which PDF cannot hold"), std::string::npos);
}

TEST(SheetForms, ADamagedPictureDoesNotSpoilThePaper) {
  JobSheet s = sheet_of([](int n) { return fmt::format("Q{}q", n); });
  for (SheetPhoto& p : s.photos) {
    p.photo.sha256 = p.photo.media_type == "image/png" ? kPng.substr(0, 45) + std::string(33, 'x') : "\xff\xd8\xff";
  }
  const ReadBack back = read_back(as_pdf(paper(s)).bytes);
  EXPECT_NE(back.text.find("this picture cannot be shown here"), std::string::npos);
  EXPECT_NE(back.text.find("Q29q"), std::string::npos);
}

TEST(SheetForms, LettersOfManyLanguages) {
  const std::string words = "Läuft ölig, größer; Привет; Ωμ€–";
  const JobSheet s = sheet_of([&](int) { return words; });
  EXPECT_NE(as_text(paper(s)).find("Привет"), std::string::npos);
  EXPECT_NE(as_html(paper(s)).find(words), std::string::npos);
  EXPECT_NE(read_back(as_pdf(paper(s)).bytes).text.find(words), std::string::npos);
  // Beyond the first plane, broken, or no letter at all.
  const JobSheet odd = sheet_of([&](int) {
    return std::string(
        "a\xf0\x9f\x98\x80 b\xff\xc3 c\x1b[31m\td\xc2\x9b"
        "e\n<f");
  });
  EXPECT_NE(read_back(as_pdf(paper(odd)).bytes).text.find("b"), std::string::npos);
  EXPECT_EQ(as_text(paper(odd)).find('\x1b'), std::string::npos);
  EXPECT_EQ(as_html(paper(odd)).find('\x1b'), std::string::npos);
}

TEST(SheetForms, LongWordsStayOnThePaper) {
  const JobSheet s = sheet_of([](int n) { return (n % 2 == 0 ? "ä" : "W") + std::string(600, 'W'); });
  std::istringstream lines(as_text(paper(s)));
  for (std::string line; std::getline(lines, line);) EXPECT_LE(letters(line), 78u) << line;
  const OnDisk pdf(as_pdf(paper(s)).bytes);
  const std::string boxes = said_by("pdftotext -q -bbox " + pdf.path + " -");
  int words = 0;
  for (size_t at = 0; (at = boxes.find("xMax=\"", at)) != std::string::npos; at += 6, ++words)
    EXPECT_LT(std::stod(boxes.substr(at + 6)), 595.3 - 40) << "beyond the right margin";
  EXPECT_GT(words, 100);
}

/// A job of at least so many entries on a bike of the real knowledge.
int long_job(Shop& shop, size_t entries) {
  const Knowledge& k = shop.knowledge();
  Bike bike;
  bike.name = "Long 125";
  bike.bike_class = "motocross-125-two-stroke";
  const BikeClass* c = k.classes.find(bike.bike_class);
  bike.traits = c->traits, bike.displacement_cc = c->displacement_cc, bike.hours = 60, bike.hours_known = true;
  const int job = shop.take_in(shop.add_bike(bike), "flat on top since the summer, and nobody finds out why");
  shop.write(job, {SaidSo{"flat-on-top", Answer::yes}});
  const Traits traits(bike.traits);
  size_t looks = 0;
  std::vector<Entry> all;
  for (const Step& s : k.steps) {
    if (!s.applies.holds(traits) || s.last_resort || s.kind == StepKind::run) continue;
    const bool look = s.cures.empty();
    if (look && (s.answers.empty() || ++looks % 3 != 0)) continue;
    if (!look && looks % 3 != 1) continue;
    all.push_back(Did{s.id});
    for (const auto& f : s.answers) {
      if (look && k.findings.find(f)->applies.holds(traits)) all.push_back(SaidSo{f, Answer::no});
    }
    if (!look) all.push_back(RanIt{RunResult::same, ""});
    if (all.size() >= entries) break;
  }
  shop.write(job, all);
  shop.close(job, JobEnd::given_up, {}, "Nothing helped; it went to the specialist.");
  return job;
}

TEST(SheetForms, ALongJobFitsOnTwoPages) {
  Shop shop(real_knowledge(), Store::in_memory(), Ticking());
  const int job = long_job(shop, 40);
  ASSERT_GE(shop.job(job).entries.size(), 40u);
  const PdfForm pdf = as_pdf(paper(job_sheet(shop, job)));
  EXPECT_LE(pdf.pages, 2);
  const ReadBack back = read_back(pdf.bytes);
  EXPECT_EQ(back.pages, pdf.pages);
  EXPECT_NE(back.text.find("it went to the specialist"), std::string::npos);
  EXPECT_NE(back.text.find("page 1 of 2"), std::string::npos);
}

TEST(SheetForms, AShortOneHasOnePage) {
  JobSheet s;
  s.job = 1, s.bike = "Red", s.complaint = "bogs";
  EXPECT_EQ(as_pdf(paper(s)).pages, 1);
}

}  // namespace
}  // namespace crankwise
