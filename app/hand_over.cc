#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <set>

#include "app/take_over.h"

namespace crankwise {
namespace {

FileEvent file_event(const ShopReplay& shop, const Placed& p, Json data) {
  FileEvent e{p.shop.empty() ? shop.shop_id() : p.shop, p.seq, p.event.at, p.order, p.event.kind, std::move(data), ""};
  e.data.erase("from");
  return e;
}

/// Acts count from 1 in the order in which they count, so that shops with the same entries write the same.
void number_acts(std::vector<FileEvent>& events) {
  std::map<int, int> in_file;
  for (const FileEvent& e : events) {
    if (e.kind != "opened" && e.kind != "undone")
      in_file.try_emplace(e.data.at("act"), static_cast<int>(in_file.size()) + 1);
  }
  for (FileEvent& e : events) {
    if (e.kind != "opened") e.data["act"] = in_file.at(e.data.at("act"));
  }
}

/// Digests of all photos that its jobs name.
std::set<std::string> photos_in(const ShopFile& file) {
  std::set<std::string> photos;
  for (const FileRecord& j : file.jobs) {
    for (const FileEvent& e : j.events) {
      if (e.kind == "photo") photos.insert(e.data.at("sha256").get<std::string>());
    }
  }
  return photos;
}

}  // namespace

ShopFile shop_file_of(const ShopReplay& shop, const ReadData& read, const std::vector<std::string>& bikes) {
  std::set<std::string> chosen;
  for (const std::string& id : bikes) chosen.insert(shop.called(id));
  const auto wanted = [&](const std::string& bike) { return bikes.empty() || chosen.count(shop.called(bike)) > 0; };

  ShopFile file;
  file.shop = shop.shop_id();
  const auto record = [&](const std::string& id, const std::string& subject) {
    FileRecord r{id, {}};
    std::vector<const Placed*> list;
    for (const Placed& p : shop.record().at(subject)) list.push_back(&p);
    std::vector<Json> data = read(list);
    for (std::size_t i = 0; i < list.size(); ++i) r.events.push_back(file_event(shop, *list[i], std::move(data[i])));
    return r;
  };
  for (const auto& [subject, list] : shop.record()) {
    if (subject == "shop" && bikes.empty()) {
      for (const Placed& p : list) {
        if (p.event.kind == "set") file.settings.push_back(file_event(shop, p, p.data()));
      }
    } else if (subject.starts_with("bike/") && wanted(subject.substr(5))) {
      file.bikes.push_back(record(subject.substr(5), subject));
    }
  }
  for (const auto& [number, job] : shop.jobs()) {
    if (!wanted(job.bike)) continue;
    file.jobs.push_back(record(std::to_string(number), fmt::format("job/{}", number)));
    number_acts(file.jobs.back().events);
  }
  return file;
}

ShopFile Shop::hand_over(const std::vector<std::string>& chosen, const std::string& by) {
  return newest([&] {
    for (const std::string& id : chosen) bike(id);
    if (shop_id_.empty()) append({{"shop", "identity", Json{{"id", new_id_()}}.dump()}});
    ShopFile file = shop_file_of(
        *this, [this](const auto& list) { return read_data(list); }, chosen);
    for (const std::string& sha256 : photos_in(file)) file.photos.push_back(attached(sha256));
    file.written_at = clock_();
    file.written_by = by;
    return file;
  });
}

}  // namespace crankwise
