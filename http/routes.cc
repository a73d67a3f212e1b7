#include "http/routes.h"

#include <fmt/format.h>

#include "app/refuse.h"
#include "http/body.h"

namespace crankwise {
namespace {

std::vector<std::string> parts_of(const std::string& path) {
  std::vector<std::string> parts;
  std::size_t at = 0;
  while (at < path.size()) {
    const std::size_t next = std::min(path.find('/', at + 1), path.size());
    parts.push_back(path.substr(at + 1, next - at - 1));
    at = next;
  }
  return parts;
}

std::optional<PathParts> match(const Route& route, const std::vector<std::string>& path) {
  const std::vector<std::string> pattern = parts_of(route.path);
  if (pattern.size() != path.size()) return {};
  PathParts found;
  for (std::size_t i = 0; i < path.size(); ++i) {
    if (pattern[i].front() == '{')
      found[pattern[i].substr(1, pattern[i].size() - 2)] = path[i];
    else if (pattern[i] != path[i])
      return {};
  }
  return found;
}

HttpAnswer routed(Office& office, const HttpRequest& r) {
  if (r.path.rfind("/api/", 0) != 0) return page_answer(office.page, r);
  const std::vector<std::string> path = parts_of(r.path);
  const char* other = nullptr;
  for (const Route& route : routes()) {
    const auto found = match(route, path);
    if (!found) continue;
    if (r.method == route.method) return route.answer(office, r, *found);
    other = route.method;
  }
  if (other != nullptr) return problem_answer(405, "", fmt::format("{} is not for this", r.method), other);
  return problem_answer(404, "", fmt::format("there is no {}", r.path), "a route that docs/api.md names");
}

}  // namespace

const std::vector<Route>& routes() {
  static const std::vector<Route> kRoutes = [] {
    std::vector<Route> all;
    for (const auto& some : {shop_routes(), bike_routes(), job_routes(), sum_routes(), sound_routes()})
      all.insert(all.end(), some.begin(), some.end());
    return all;
  }();
  return kRoutes;
}

HttpAnswer answer(Office& office, const HttpRequest& r) {
  HttpAnswer a;
  try {
    a = routed(office, r);
  } catch (const Unknown& e) {
    a = problem_answer(404, e);
  } catch (const Overtaken& e) {
    a = problem_answer(409, e);
  } catch (const NotNow& e) {
    a = problem_answer(503, e);
  } catch (const BadInput& e) {
    a = problem_answer(400, e);
  } catch (const Stale&) {
    a = problem_answer(503, "", "other programs write to the shop all the time; nothing of this was kept",
                       "the same again, later");
  } catch (const std::exception& e) {
    a = problem_answer(500, "", fmt::format("the program failed, and nothing of this was kept: {}", e.what()),
                       "the same again, later");
  }
  add_safety_headers(a);
  return a;
}

std::optional<std::string> ViewShelf::find(int job, std::int64_t seq) {
  const std::lock_guard lock(mutex_);
  const auto view = views_.find(job);
  if (view == views_.end() || view->second.first != seq) return {};
  return view->second.second;
}

void ViewShelf::keep(int job, std::int64_t seq, std::string json) {
  const std::lock_guard lock(mutex_);
  if (views_.size() >= kMost && views_.count(job) == 0) views_.clear();
  auto& view = views_[job];
  if (seq >= view.first) view = {seq, std::move(json)};
}

HttpAnswer written(Office& office, const HttpRequest& r, const std::function<std::string(Shop&)>& change) {
  const std::string key = r.header("crankwise-entry");
  return office.workshop.with([&](Shop& shop) {
    std::string words;
    const Receipt receipt = shop.once(key, [&] { words = change(shop); });
    return json_answer({{"seq", shop.last()}, {"made", receipt.subject}, {"again", receipt.again}, {"words", words}});
  });
}

HttpAnswer doubted(const Problem& p) {
  return json_answer({{"problems", {{{"field", p.field}, {"wrong", p.wrong}, {"right", p.right}}}}, {"doubted", true}},
                     409);
}

bool nothing_new(const HttpRequest& r, std::int64_t now) {
  const std::string since = r.asked("since");
  if (since.empty()) return false;
  if (since.size() > 15 || since.find_first_not_of("0123456789") != std::string::npos)
    throw BadInput({"", 0, "since", fmt::format("\"{}\" is not a number", since), "the seq of an answer before"});
  return now <= std::stoll(since);
}

HttpAnswer nothing() { return {204, "", ""}; }

}  // namespace crankwise
