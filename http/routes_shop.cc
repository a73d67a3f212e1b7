// Pairing, the shop as a whole, and what pages need of the knowledge.
#include <fmt/format.h>

#include "app/refuse.h"
#include "app/track_record.h"
#include "http/body.h"
#include "http/routes.h"
#include "http/wire.h"

namespace crankwise {
namespace {

Json hello_json(const Office& office, bool paired) {
  return {
      {"version", office.version}, {"paired", paired}, {"network", office.pairing != nullptr}, {"demo", office.demo}};
}

HttpAnswer hello(Office& office, const HttpRequest& r, const PathParts&) {
  return json_answer(hello_json(office, office.gate.paired(r)));
}

HttpAnswer pair(Office& office, const HttpRequest& r, const PathParts&) {
  Body body(r.body);
  const std::string code = body.text("code");
  body.done();
  if (office.pairing == nullptr) refuse("nothing is to be paired: the server is open to this machine only", "no code");
  if (office.pairing->resting())
    return problem_answer(429, "code", "there were too many wrong codes", "the right one, in a minute");
  const auto token = office.pairing->pair(code);
  if (!token) return problem_answer(403, "code", "this is not the code", "the eight letters that the program shows");
  HttpAnswer a = json_answer(hello_json(office, true));
  a.headers.emplace_back("Set-Cookie", office.gate.cookie_with(*token));
  return a;
}

HttpAnswer unpair(Office& office, const HttpRequest& r, const PathParts&) {
  Body(r.body).done();
  if (office.pairing != nullptr) office.pairing->forget(office.gate.token_of(r));
  HttpAnswer a = json_answer(hello_json(office, office.pairing == nullptr));
  a.headers.emplace_back("Set-Cookie", office.gate.cookie_with(""));
  return a;
}

HttpAnswer shop(Office& office, const HttpRequest& r, const PathParts&) {
  return office.workshop.with(
      [&](Shop& s) { return nothing_new(r, s.last()) ? nothing() : json_answer(wire::shop(s)); });
}

HttpAnswer words(Office& office, const HttpRequest&, const PathParts&) {
  return json_answer(wire::words(office.workshop.knowledge()));
}

HttpAnswer settings(Office& office, const HttpRequest&, const PathParts&) {
  return office.workshop.with([&](Shop& s) { return json_answer(wire::settings(s.settings())); });
}

HttpAnswer set_settings(Office& office, const HttpRequest& r, const PathParts&) {
  Body body(r.body);
  ShopSettings told;
  told.money_per_hour = body.number("money_per_hour");
  told.currency = body.text("currency");
  for (const std::string& tool : body.texts("lacks")) told.lacks.insert(tool);
  told.usual = body.told("usual");
  body.done();
  return written(office, r, [&](Shop& s) {
    ShopSettings all = s.settings();  // with what pages do not tell
    all.money_per_hour = told.money_per_hour;
    all.currency = told.currency;
    all.lacks = told.lacks;
    all.usual = told.usual;
    s.set(all);
    return "";
  });
}

HttpAnswer hear(Office& office, const HttpRequest& r, const PathParts&) {
  const Bike bike = office.workshop.with([&](Shop& s) { return s.bike(r.asked("bike")); });
  const Knowledge& k = office.workshop.knowledge();
  return json_answer(wire::heard(k, crankwise::hear(k, bike, r.asked("words"))));
}

HttpAnswer learned(Office& office, const HttpRequest&, const PathParts&) {
  const TrackRecord t = office.workshop.with([](Shop& s) { return track_record(s); });
  Json bins = Json::array();
  for (const Reliability::Bin& bin : t.leader.bins()) {
    if (bin.count == 0) continue;
    const auto count = static_cast<double>(bin.count);
    bins.push_back(
        {{"believed", bin.said / count}, {"right", static_cast<double>(bin.hits) / count}, {"acts", bin.count}});
  }
  return json_answer({{"jobs", t.jobs}, {"least", TrackRecord::kLeastJobs}, {"leader_right", std::move(bins)}});
}

}  // namespace

std::vector<Route> shop_routes() {
  return {
      {"GET", "/api/hello", false, hello},           {"POST", "/api/pair", false, pair},
      {"POST", "/api/unpair", false, unpair},        {"GET", "/api/shop", false, shop},  // ?since=SEQ
      {"GET", "/api/words", false, words},           {"GET", "/api/settings", false, settings},
      {"POST", "/api/settings", true, set_settings}, {"GET", "/api/hear", false, hear},  // ?bike=ID&words=...
      {"GET", "/api/learned", false, learned},
  };
}

}  // namespace crankwise
