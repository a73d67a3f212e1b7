// What the server answers: one table of routes on the same use cases as the command line. The page's own files are
// beside it. docs/api.md and ui/src/wire.ts say what goes over the line.
#pragma once

#include <functional>
#include <map>
#include <string>
#include <vector>

#include "http/gate.h"
#include "http/message.h"
#include "http/page.h"
#include "http/workshop.h"

namespace crankwise {

struct Office;

/// The parts of a path that a route's {braces} stand for.
using PathParts = std::map<std::string, std::string>;

struct Route {
  const char* method;
  const char* path;  // "/api/jobs/{job}"; a part in braces is anything between slashes
  bool changes;      // it writes to the shop
  HttpAnswer (*answer)(Office&, const HttpRequest&, const PathParts&);
};
const std::vector<Route>& routes();

/// Answers of views, kept until what they show has changed.
class ViewShelf {
 public:
  std::optional<std::string> find(int job, std::int64_t seq);
  void keep(int job, std::int64_t seq, std::string json);

 private:
  static constexpr std::size_t kMost = 200;
  std::mutex mutex_;
  std::map<int, std::pair<std::int64_t, std::string>> views_;
};

/// All that routes work with.
struct Office {
  Workshop& workshop;
  const Gate& gate;
  Pairing* pairing;  // nothing: this machine only
  const PageFiles& page;
  bool demo = false;
  std::string version;
  ViewShelf views = {};
};

/// The answer to a request that the gate let pass. Never throws.
HttpAnswer answer(Office&, const HttpRequest&);

// By file.
std::vector<Route> shop_routes();
std::vector<Route> bike_routes();
std::vector<Route> job_routes();
std::vector<Route> sum_routes();
std::vector<Route> sound_routes();

/// The number in a path; throws Unknown.
int job_of(const PathParts&);

/// Does the change under the request's key, once, and says so.
HttpAnswer written(Office&, const HttpRequest&, const std::function<std::string(Shop&)>& change);
/// 409: it can hardly be meant so, and is taken if it is sent again with "sure".
HttpAnswer doubted(const Problem&);
/// 204 if `now` is no later than what the page knows already.
bool nothing_new(const HttpRequest&, std::int64_t now);
HttpAnswer nothing();

}  // namespace crankwise
