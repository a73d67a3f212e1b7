#include "bench/phones/check.h"

#include <fmt/format.h>

#include <set>

#include "app/places.h"
#include "app/shop.h"

namespace crankwise::bench {
namespace {

/// What the act that this event belongs to says now, in the shop that is replayed from the file.
Json said_in(const Shop& shop, const Event& e) {
  const crankwise::Job& job = shop.job(std::stoi(e.subject.substr(e.subject.find('/') + 1)));
  if (e.kind == "opened") return {{"bike", job.bike}, {"complaint", job.complaint}};
  if (e.kind == "closed") return {{"end", text(job.end)}};
  const int act = Json::parse(e.data).at("act");
  Json said = Json::array();
  for (const JobEntry& x : job.entries) {
    if (x.act == act) said.push_back({{entry_kind(x.entry), entry_data(x.entry)}});
  }
  return said;
}

}  // namespace

Found check(const Knowledge& k, const std::filesystem::path& path, std::int64_t before,
            std::span<const PhoneLog> logs) {
  const Store store = Store::open(path, Store::Mode::existing);
  const Shop shop(k, Store::open(path, Store::Mode::existing), utc_now);
  Found found;
  std::set<std::pair<std::string, int>> asked;  // acts by subject
  const auto act_of = [](const Event& e) { return std::pair(e.subject, Json::parse(e.data).value("act", 0)); };
  for (const PhoneLog& log : logs) {
    for (const Sent& sent : log.sent) {
      ++found.acknowledged;
      if (sent.said.is_array()) found.entries += sent.said.size();
      const auto last = store.receipt(sent.key);
      if (!last || last->subject != sent.subject) {
        found.lost.push_back(fmt::format("{} {}: not there", sent.subject, sent.said.dump()));
        continue;
      }
      asked.insert(act_of(*last));
      const Json now = said_in(shop, *last);
      if (now != sent.said)
        found.lost.push_back(fmt::format("{} {}: reads {}", sent.subject, sent.said.dump(), now.dump()));
    }
  }
  std::set<std::pair<std::string, int>> written;
  for (const Event& e : store.since(before)) written.insert(act_of(e));
  for (const auto& act : written) found.unasked += asked.count(act) == 0;
  return found;
}

}  // namespace crankwise::bench
