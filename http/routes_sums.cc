// Bench sums: nothing of the shop is read or written.
#include "app/refuse.h"
#include "http/body.h"
#include "http/routes.h"
#include "http/wire.h"

namespace crankwise {
namespace {

HttpAnswer all(Office& office, const HttpRequest&, const PathParts&) {
  Json list = Json::array();
  for (const Sum& s : sums()) list.push_back(wire::sum_form(office.workshop.knowledge(), s));
  return json_answer({{"sums", std::move(list)}});
}

HttpAnswer work(Office&, const HttpRequest& r, const PathParts& parts) {
  const Sum* sum = find_sum(parts.at("sum"));
  if (sum == nullptr)
    throw Unknown({"", 0, "", "no sum is called \"" + parts.at("sum") + "\"", "one of GET /api/sums"});
  Body body(r.body);
  std::vector<std::string> pairs;
  for (const auto& [name, told] : body.told("told")) pairs.push_back(name + "=" + told);
  body.done();
  return json_answer(wire::sum_answer(sum->work(read_sum_inputs(*sum, pairs))));
}

}  // namespace

std::vector<Route> sum_routes() {
  return {
      {"GET", "/api/sums", false, all},
      {"POST", "/api/sums/{sum}", false, work},
  };
}

}  // namespace crankwise
