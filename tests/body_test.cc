// JSON that was sent, read field by field.
#include <gtest/gtest.h>

#include "http/body.h"
#include "http/gzip.h"
#include "http/page.h"
#include "tests/refusal.h"
#include "tests/temporary_folder.h"

namespace crankwise {
namespace {

using namespace test;

TEST(Body, ReadsWhatIsThere) {
  Body b(R"({"t": "x", "n": 2.5, "w": 7, "f": true, "l": ["a", "b"], "o": {"k": "v"}, "none": null})");
  EXPECT_EQ(b.text("t"), "x");
  EXPECT_EQ(b.number("n"), 2.5);
  EXPECT_EQ(b.whole("w"), 7);
  EXPECT_TRUE(b.flag("f"));
  EXPECT_EQ(b.texts("l"), (std::vector<std::string>{"a", "b"}));
  EXPECT_EQ(b.told("o").at("k"), "v");
  EXPECT_FALSE(b.number_or_nothing("none"));
  EXPECT_FALSE(b.number_or_nothing("left-out"));
  EXPECT_EQ(b.text_or("left-out", "otherwise"), "otherwise");
  EXPECT_EQ(refusal([&] { b.done(); }), "");
}

TEST(Body, NamesEveryProblemAtOnce) {
  Body b(R"({"t": 1, "n": "x", "w": 1.5, "f": 0, "l": [1], "o": {"k": 2}, "hous": 3, "more": 1})");
  b.text("t"), b.number("n"), b.whole("w"), b.flag("f"), b.texts("l"), b.told("o"), b.number("hours");
  EXPECT_EQ(refusal([&] { b.done(); }),
            "t: is not a text; right would be: a text\n"
            "n: is not a number; right would be: a number\n"
            "w: is not a whole number; right would be: a whole number from 0\n"
            "f: is neither true nor false; right would be: true or false\n"
            "l: is not a list of texts; right would be: a list of texts\n"
            "o: is not an object of texts; right would be: an object of texts\n"
            "hours: is missing; right would be: a number\n"
            "hous: is not asked for; right would be: perhaps \"hours\"\n"
            "more: is not asked for; right would be: it left out");
}

TEST(Body, InnerProblemsSayWhere) {
  std::vector<Problem> problems;
  Body b(Json{{"kind", 3}}, "entries[1]", problems);
  b.text("kind");
  b.done();
  ASSERT_EQ(problems.size(), 1u);
  EXPECT_EQ(problems[0].field, "entries[1].kind");
  Body none(Json(7), "entries[2]", problems);
  EXPECT_EQ(problems[1].field, "entries[2]");
}

TEST(Body, RefusesWhatIsNoObject) {
  for (const char* text : {"", "x", "[]", "7", "null", "{", "{\"a\": 1,}", "{\"a\": NaN}", "{\"a\": \"\xff\"}"})
    EXPECT_NE(refusal([&] { Body b(text); }), "") << text;
  const std::string deep = R"({"a":)" + std::string(100'000, '[') + std::string(100'000, ']') + "}";
  EXPECT_NE(refusal([&] { Body b(deep); }).find("too deeply"), std::string::npos);
  const std::string many(100, '[');
  EXPECT_EQ(Body(R"({"a": "\"[)" + many + R"("})").text("a"), "\"[" + many) << "brackets within texts do not nest";
}

TEST(Gzip, PacksTextOnly) {
  const std::string text(5000, 'x');
  EXPECT_TRUE(worth_packing({200, "application/json; charset=utf-8", text}));
  EXPECT_FALSE(worth_packing({200, "image/jpeg", text}));
  EXPECT_FALSE(worth_packing({200, "text/plain", "short"}));
  EXPECT_FALSE(worth_packing({200, "text/plain", text, {{"Content-Encoding", "gzip"}}}));
  const std::string packed = gzip(text);
  EXPECT_LT(packed.size(), 100u);
  EXPECT_EQ(packed.substr(0, 2), "\x1f\x8b");  // RFC 1952
}

class PageTest : public TemporaryFolder {};

TEST_F(PageTest, GivesItsFilesAndNoOthers) {
  EXPECT_NE(refusal([&] { read_page(dir_); }).find("the page's files are not there"), std::string::npos);
  write_file(dir_ / "index.html", "<!doctype html>" + std::string(2000, ' '));
  write_file(dir_ / "app.js", "1");
  write_file(dir_ / "secret.key", "secret");
  const PageFiles page = read_page(dir_);
  const auto get = [&](const std::string& path, std::map<std::string, std::string> headers = {}) {
    return page_answer(page, {"GET", path, {}, std::move(headers), ""});
  };
  for (const char* screen : {"/", "/jobs/7", "/bikes/red-125", "/take-in"}) {
    EXPECT_EQ(get(screen).status, 200) << screen;
    EXPECT_EQ(get(screen).type, "text/html; charset=utf-8");
  }
  EXPECT_EQ(get("/app.js").body, "1");
  for (const char* path :
       {"/secret.key", "/../secret.key", "/..%2fsecret.key", "//etc/passwd.js", "/jobs/app.js", "/missing.js"})
    EXPECT_EQ(get(path).status, 404) << path;
  EXPECT_EQ(page_answer(page, {"POST", "/", {}, {}, ""}).status, 405);

  const HttpAnswer packed = get("/", {{"accept-encoding", "gzip, br"}});
  EXPECT_LT(packed.body.size(), 200u);
  std::string tag;
  for (const auto& [name, value] : packed.headers) tag = name == "ETag" ? value : tag;
  EXPECT_EQ(get("/", {{"if-none-match", tag}}).status, 304);
}

}  // namespace
}  // namespace crankwise
