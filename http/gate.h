// Who may ask what: looked at for every request, before anything of the shop is touched.
//
// - The host must be one that this machine goes by, so that no page elsewhere can reach the server under a name of its
//   own (DNS rebinding).
// - What changes something, or reads the shop, must come from the server's own page: by the browser's own word in
//   Origin and Sec-Fetch-Site. Programs that are no browser send neither, and cannot be made to by a foreign page.
// - Opened to the network, the shop is seen and written only by phones that are paired.
// - A body is no longer than its path needs, and of the type that it should be.
#pragma once

#include <optional>
#include <set>
#include <string>

#include "http/message.h"
#include "http/pairing.h"

namespace crankwise {

struct GateOptions {
  std::set<std::string> hosts;  // as in the header: "localhost:4870"
  bool tls = false;
  const Pairing* pairing = nullptr;  // nothing: this machine only, nobody needs to be paired
};

class Gate {
 public:
  explicit Gate(GateOptions options) : options_(std::move(options)) {}
  /// By the head: the answer if it is refused.
  std::optional<HttpAnswer> refuse(const HttpRequest&) const;
  static std::size_t most_body(const HttpRequest&);
  bool paired(const HttpRequest&) const;
  const char* cookie() const { return options_.tls ? "__Host-crankwise" : "crankwise"; }
  /// The session's cookie with this value; "" ends it.
  std::string cookie_with(const std::string& token) const;
  std::string token_of(const HttpRequest&) const;

 private:
  std::optional<HttpAnswer> looked_at(const HttpRequest&) const;
  GateOptions options_;
};

HttpAnswer too_long_answer(const HttpRequest&);

/// Headers that every answer bears.
void add_safety_headers(HttpAnswer&);

}  // namespace crankwise
