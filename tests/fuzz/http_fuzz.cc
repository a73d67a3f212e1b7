// The server's routes: any body for any of them, one after the other on one shop, is answered in one of the two shapes,
// and what was answered as written is in the shop. The first byte of a line chooses the route, the rest is the body.
#include <cstdint>
#include <nlohmann/json.hpp>
#include <string>

#include "http/routes.h"
#include "tests/fuzz/must.h"
#include "tests/small_knowledge.h"

using namespace crankwise;
using fuzz::must;

namespace {

struct World {
  Shop shop{test::small_knowledge(), Store::in_memory(), [] { return std::string("2026-03-01T08:00:00.000Z"); }};
  Workshop workshop{shop};
  Gate gate{{{"localhost:1"}, false, nullptr}};
  PageFiles page{{"/index.html", {"text/html", "", "", ""}}};
  Office office{workshop, gate, nullptr, page, false, "0"};

  World() {
    const Knowledge& k = shop.knowledge();
    Bike b;
    b.name = "b";
    b.bike_class = (*k.classes.begin()).id;
    b.traits = (*k.classes.begin()).traits;
    shop.add_bike(b);
    shop.take_in("b", "bogs");
  }
};

std::string with_parts(std::string path, const char* bike, const char* job) {
  for (const auto& [part, value] : {std::pair<std::string, std::string>{"{bike}", bike},
                                    {"{job}", job},
                                    {"{step}", "ride"},
                                    {"{fault}", "plug-fouled"},
                                    {"{sum}", "oil-for-fuel"},
                                    {"{sha256}", "0"}}) {
    if (const auto at = path.find(part); at != std::string::npos) path.replace(at, part.size(), value);
  }
  return path;
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const std::string text(reinterpret_cast<const char*>(data), size);
  World world;
  int orders = 0;
  for (std::size_t at = 0; at < text.size() && orders < 8; ++orders) {
    const std::size_t end = std::min(text.find('\n', at), text.size());
    const Route& route = routes()[static_cast<std::uint8_t>(text[at]) % routes().size()];
    HttpRequest r{route.method, with_parts(route.path, "b", "1"), {}, {}, text.substr(at + 1, end - at - 1)};
    r.headers["crankwise-entry"] = std::string(31, '0') + static_cast<char>('0' + orders);
    r.query = {{"since", r.body}, {"words", r.body}, {"bike", "b"}, {"caption", r.body}};
    if (r.body.find_first_not_of("0123456789") != std::string::npos) r.query.erase("since");
    const std::int64_t before = world.shop.last();
    const HttpAnswer a = answer(world.office, r);
    must(a.status != 500, a.body.c_str());
    must(route.changes || world.shop.last() == before, "only what changes the shop changes it");
    if (a.status >= 400) {
      const auto problems = nlohmann::json::parse(a.body).at("problems");
      must(!problems.empty() && world.shop.last() == before, "a refusal says why, and nothing is kept");
      for (const auto& p : problems) must(p.at("wrong") != "" || p.at("right") != "", "it says what is wrong");
    } else if (route.changes) {
      must(world.shop.last() > before, "what was answered as written is there");
    }
    at = end + 1;
  }
  return 0;
}
