#include "http/gate.h"

#include <fmt/format.h>

#include "http/body.h"

namespace crankwise {
namespace {

constexpr std::size_t kMostJson = 200'000, kMostPhoto = 20'000'000, kMostRecording = 60'000'000;

bool is_api(const HttpRequest& r) { return r.path.rfind("/api/", 0) == 0; }
bool is_photo(const HttpRequest& r) { return r.path.ends_with("/photos"); }
bool is_recording(const HttpRequest& r) { return r.path.ends_with("/listen"); }

}  // namespace

std::size_t Gate::most_body(const HttpRequest& r) {
  if (r.method != "POST") return 0;
  return is_photo(r) ? kMostPhoto : is_recording(r) ? kMostRecording : kMostJson;
}

std::optional<HttpAnswer> Gate::refuse(const HttpRequest& r) const {
  auto refused = looked_at(r);
  if (refused) add_safety_headers(*refused);
  return refused;
}

std::optional<HttpAnswer> Gate::looked_at(const HttpRequest& r) const {
  if (!r.unclear.empty()) return problem_answer(400, "", r.unclear, "a plain question of HTTP/1.1");
  if (options_.hosts.count(r.header("host")) == 0) {
    return problem_answer(421, "host", fmt::format("\"{}\" is not a name of this machine", r.header("host")),
                          "the address that the program printed when it was started");
  }
  if (r.method != "GET" && r.method != "POST")
    return problem_answer(405, "", fmt::format("{} is not understood", r.method), "GET or POST");
  const std::string origin = r.header("origin"), site = r.header("sec-fetch-site");
  const std::string own = (options_.tls ? "https://" : "http://") + r.header("host");
  const bool foreign = (!origin.empty() && origin != own) ||
                       (!site.empty() && site != "same-origin" && !(site == "none" && r.method == "GET"));
  if (foreign && (is_api(r) || r.method != "GET"))
    return problem_answer(403, "origin", "this was asked from the page of another site", "the bench screen's own page");
  if (!is_api(r)) return {};
  if (!paired(r) && r.path != "/api/hello" && r.path != "/api/pair")
    return problem_answer(401, "", "this phone is not paired with the shop", "the code that the program shows");
  if (r.method != "POST") return {};
  const std::string type = r.header("content-type").substr(0, r.header("content-type").find(';'));
  if (is_photo(r)) {
    if (type.rfind("image/", 0) != 0)
      return problem_answer(415, "content-type", fmt::format("\"{}\" is not a picture", type),
                            "image/jpeg, image/png or image/webp");
  } else if (is_recording(r)) {
    if (type.rfind("audio/", 0) != 0 && type.rfind("video/", 0) != 0)
      return problem_answer(415, "content-type", fmt::format("\"{}\" is not a recording", type),
                            "audio/mp4, audio/wav, video/mp4 or the like");
  } else if (type != "application/json") {
    return problem_answer(415, "content-type", fmt::format("\"{}\" is not JSON", type), "application/json");
  }
  return {};
}

HttpAnswer too_long_answer(const HttpRequest& r) {
  HttpAnswer a = problem_answer(413, "", "this is too much at once",
                                fmt::format("at most {:g} MB", static_cast<double>(Gate::most_body(r)) / 1e6));
  add_safety_headers(a);
  return a;
}

bool Gate::paired(const HttpRequest& r) const {
  return options_.pairing == nullptr || options_.pairing->knows(token_of(r));
}

std::string Gate::token_of(const HttpRequest& r) const {
  const std::string cookies = "; " + r.header("cookie"), name = fmt::format("; {}=", cookie());
  const std::size_t at = cookies.find(name);
  if (at == std::string::npos) return "";
  const std::size_t start = at + name.size();
  return cookies.substr(start, cookies.find(';', start) - start);
}

std::string Gate::cookie_with(const std::string& token) const {
  return fmt::format("{}={}; Path=/; HttpOnly; SameSite=Strict; Max-Age={}{}", cookie(), token,
                     token.empty() ? 0 : Pairing::kPaired_s, options_.tls ? "; Secure" : "");
}

void add_safety_headers(HttpAnswer& a) {
  const auto add = [&](const char* name, const char* value) {
    for (const auto& [known, told] : a.headers) {
      if (known == name) return;
    }
    a.headers.emplace_back(name, value);
  };
  add("Content-Security-Policy",
      "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' blob:; connect-src 'self'; "
      "manifest-src 'self'; worker-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'");
  add("X-Content-Type-Options", "nosniff");
  add("Referrer-Policy", "no-referrer");
  add("Cross-Origin-Resource-Policy", "same-origin");
  add("Cross-Origin-Opener-Policy", "same-origin");
  add("Permissions-Policy", "camera=(self), microphone=(self), geolocation=()");
  add("Cache-Control", "no-store");
}

}  // namespace crankwise
