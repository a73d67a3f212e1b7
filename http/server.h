// The listening side: takes connections, reads questions within their limits, sends answers. Knows nothing of what they
// say.
//
//   HttpServer server({.port = 4870}, {.refuse = gate, .most_body = limit, .answer = routes});
//   server.port();    // serves until it goes out of scope
//
// Several threads answer at once. A body that is refused or too long is read to its end and thrown away, so that the
// answer arrives, up to kMostThrownAway; after that the connection is cut.
#pragma once

#include <cstddef>
#include <functional>
#include <memory>
#include <optional>
#include <string>

#include "http/message.h"

namespace crankwise {

struct HttpOptions {
  bool every_address = false;                      // false: this machine only
  int port = 0;                                    // 0: any that is free
  std::string certificate_pem = {}, key_pem = {};  // both or neither: with TLS or without
};

struct HttpHandlers {
  /// By the head alone, before the body is read: the answer if it is refused, as one that is unclear must be.
  std::function<std::optional<HttpAnswer>(const HttpRequest&)> refuse;
  /// Bytes of body that may come with it.
  std::function<std::size_t(const HttpRequest&)> most_body;
  /// The answer if the body is longer.
  std::function<HttpAnswer(const HttpRequest&)> too_long;
  /// Must not throw.
  std::function<HttpAnswer(const HttpRequest&)> answer;
};

inline constexpr std::size_t kMostThrownAway = 64'000'000;

class HttpServer {
 public:
  /// `listening` is called with the port before the first question is taken. Throws BadInput if it cannot listen there.
  HttpServer(const HttpOptions&, HttpHandlers, const std::function<void(int port)>& listening = {});
  ~HttpServer();
  int port() const { return port_; }

 private:
  struct Daemon;
  HttpHandlers handlers_;
  int port_ = 0;
  std::unique_ptr<Daemon> daemon_;
};

}  // namespace crankwise
