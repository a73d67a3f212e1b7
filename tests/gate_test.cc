// Who may ask what of the server. Rules of the browser: Fetch Metadata Request Headers (W3C) for Sec-Fetch-Site, RFC
// 6454 for Origin, RFC 6265bis for cookies with the prefix __Host-.
#include <gtest/gtest.h>

#include <fmt/format.h>
#include "http/gate.h"

#include "tests/temporary_folder.h"

namespace crankwise {
namespace {

using namespace test;

HttpRequest asked(const std::string& method, const std::string& path, std::map<std::string, std::string> headers = {}) {
  headers.try_emplace("host", "localhost:4870");
  if (method == "POST") headers.try_emplace("content-type", "application/json");
  return {method, path, {}, std::move(headers), ""};
}

int status(const Gate& gate, const HttpRequest& r) {
  const auto refused = gate.refuse(r);
  return refused ? refused->status : 0;
}

const GateOptions kHere{{"localhost:4870"}, false, nullptr};

TEST(Gate, LetsItsOwnPageAndProgramsIn) {
  const Gate gate(kHere);
  EXPECT_EQ(status(gate, asked("GET", "/")), 0);
  EXPECT_EQ(status(gate, asked("GET", "/api/shop", {{"sec-fetch-site", "same-origin"}})), 0);
  EXPECT_EQ(status(gate, asked("GET", "/api/jobs/1/sheet.html", {{"sec-fetch-site", "none"}})), 0) << "typed in";
  EXPECT_EQ(status(gate, asked("POST", "/api/jobs",
                               {{"origin", "http://localhost:4870"}, {"sec-fetch-site", "same-origin"}})),
            0);
  EXPECT_EQ(status(gate, asked("POST", "/api/jobs")), 0) << "no browser";
  EXPECT_EQ(status(gate, asked("GET", "/jobs/7", {{"sec-fetch-site", "cross-site"}})), 0) << "a link to the page";
}

TEST(Gate, KeepsOtherSitesOut) {
  const Gate gate(kHere);
  EXPECT_EQ(status(gate, asked("GET", "/", {{"host", "bad.example:4870"}})), 421) << "DNS rebinding";
  EXPECT_EQ(status(gate, asked("GET", "/", {{"host", "localhost"}})), 421);
  EXPECT_EQ(status(gate, asked("GET", "/", {{"host", ""}})), 421);
  EXPECT_EQ(status(gate, asked("GET", "/api/shop", {{"sec-fetch-site", "cross-site"}})), 403);
  EXPECT_EQ(status(gate, asked("GET", "/api/shop", {{"sec-fetch-site", "same-site"}})), 403) << "another port";
  EXPECT_EQ(status(gate, asked("POST", "/api/jobs", {{"origin", "http://bad.example"}})), 403);
  EXPECT_EQ(status(gate, asked("POST", "/api/jobs", {{"origin", "null"}})), 403);
  EXPECT_EQ(status(gate, asked("POST", "/api/jobs", {{"origin", "https://localhost:4870"}})), 403) << "another scheme";
  EXPECT_EQ(status(gate, asked("POST", "/api/jobs", {{"sec-fetch-site", "none"}})), 403);
  EXPECT_EQ(status(gate, asked("PUT", "/api/jobs")), 405);
  EXPECT_EQ(status(gate, asked("OPTIONS", "/api/jobs", {{"origin", "http://bad.example"}})), 405);
}

TEST(Gate, TakesBodiesOfTheRightTypeAndSize) {
  const Gate gate(kHere);
  EXPECT_EQ(status(gate, asked("POST", "/api/jobs", {{"content-type", "text/plain"}})), 415)
      << "a form of another site";
  EXPECT_EQ(status(gate, asked("POST", "/api/jobs", {{"content-type", "application/json; charset=utf-8"}})), 0);
  EXPECT_EQ(status(gate, asked("POST", "/api/jobs/1/photos", {{"content-type", "image/jpeg"}})), 0);
  EXPECT_EQ(status(gate, asked("POST", "/api/jobs/1/photos", {{"content-type", "text/html"}})), 415);
  EXPECT_EQ(Gate::most_body(asked("GET", "/api/shop")), 0u);
  EXPECT_EQ(Gate::most_body(asked("POST", "/api/jobs")), 200'000u);
  EXPECT_EQ(Gate::most_body(asked("POST", "/api/jobs/1/photos")), 20'000'000u);
}

TEST(Gate, AnswersBearTheSafetyHeaders) {
  for (const auto& refused : {*Gate(kHere).refuse(asked("PUT", "/")), too_long_answer(asked("POST", "/api/jobs"))}) {
    const auto has = [&](const std::string& name) {
      return std::any_of(refused.headers.begin(), refused.headers.end(), [&](auto& h) { return h.first == name; });
    };
    EXPECT_TRUE(has("Content-Security-Policy"));
    EXPECT_TRUE(has("X-Content-Type-Options"));
    EXPECT_NE(refused.body.find("\"right\":"), std::string::npos);
  }
}

class PairingTest : public TemporaryFolder {
 protected:
  Pairing pairing() {
    const auto random = [this] {
      std::string hex;
      for (int i = 0; i < 4; ++i) hex += fmt::format("{:016x}", ++random_ * 0x9e3779b97f4a7c15U);
      return hex;
    };
    return {dir_ / "phones", random, [this] { return now_; }};
  }
  std::uint64_t random_ = 0;
  std::int64_t now_ = 1'000'000;
};

TEST_F(PairingTest, TheCodePairsAndOthersDoNot) {
  Pairing p = pairing();
  ASSERT_EQ(p.code().size(), 9u);
  EXPECT_EQ(p.code()[4], '-');
  EXPECT_FALSE(p.pair(""));
  EXPECT_FALSE(p.pair("2222-2222"));
  EXPECT_FALSE(p.pair(p.code().substr(0, 8)));
  std::string told = p.code();
  for (char& c : told) c = static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
  told[4] = ' ';
  const auto token = p.pair(told);
  ASSERT_TRUE(token);
  EXPECT_TRUE(p.knows(*token));
  EXPECT_FALSE(p.knows(""));
  EXPECT_FALSE(p.knows(std::string(64, '0')));
  p.forget(*token);
  EXPECT_FALSE(p.knows(*token));
}

TEST_F(PairingTest, WrongOnesMakeItRest) {
  Pairing p = pairing();
  for (int i = 0; i < Pairing::kWrongTries; ++i) {
    EXPECT_FALSE(p.resting());
    EXPECT_FALSE(p.pair("2222-2222"));
  }
  EXPECT_TRUE(p.resting());
  EXPECT_FALSE(p.pair(p.code())) << "nobody is heard now";
  now_ += Pairing::kRest_s;
  EXPECT_TRUE(p.pair(p.code()));
}

TEST_F(PairingTest, PhonesStayPairedForHalfAYear) {
  std::string token;
  {
    Pairing p = pairing();
    token = *p.pair(p.code());
  }
  Pairing p = pairing();  // the program was started anew
  EXPECT_TRUE(p.knows(token));
  const fs::path file = dir_ / "phones/phones.json";
  EXPECT_EQ(fs::status(file).permissions(), fs::perms::owner_read | fs::perms::owner_write);
  EXPECT_EQ(read_file(file).find(token), std::string::npos) << "only its digest is kept";
  now_ += Pairing::kPaired_s;
  EXPECT_FALSE(p.knows(token));
  EXPECT_FALSE(pairing().knows(token));
}

TEST_F(PairingTest, OnlyPairedPhonesSeeTheShop) {
  Pairing p = pairing();
  for (const bool tls : {false, true}) {
    const Gate gate({{"localhost:4870"}, tls, &p});
    EXPECT_EQ(status(gate, asked("GET", "/")), 0);
    EXPECT_EQ(status(gate, asked("GET", "/api/hello")), 0);
    EXPECT_EQ(status(gate, asked("POST", "/api/pair")), 0);
    EXPECT_EQ(status(gate, asked("GET", "/api/shop")), 401);
    EXPECT_EQ(status(gate, asked("POST", "/api/jobs")), 401);
    const std::string token = *p.pair(p.code());
    const std::string cookie = gate.cookie_with(token);
    EXPECT_NE(cookie.find("HttpOnly; SameSite=Strict"), std::string::npos);
    EXPECT_EQ(cookie.find("; Secure") != std::string::npos, tls);
    EXPECT_EQ(cookie.rfind("__Host-", 0) == 0, tls);
    const std::string sent = cookie.substr(0, cookie.find(';'));
    EXPECT_EQ(status(gate, asked("GET", "/api/shop", {{"cookie", sent}})), 0);
    EXPECT_EQ(status(gate, asked("GET", "/api/shop", {{"cookie", "a=b; " + sent + "; c=d"}})), 0);
    EXPECT_EQ(status(gate, asked("GET", "/api/shop", {{"cookie", "x" + sent}})), 401);
    EXPECT_EQ(status(gate, asked("GET", "/api/shop", {{"cookie", sent + "0"}})), 401);
  }
}

}  // namespace
}  // namespace crankwise
