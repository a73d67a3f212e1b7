// Shops that exchange files: made by chance, and compared whatever their jobs and bikes are called where they are.
#pragma once

#include <algorithm>
#include <map>
#include <memory>
#include <string>
#include <vector>

#include "app/shop_file.h"
#include "app/take_over.h"
#include "tests/chance.h"
#include "tests/pictures.h"
#include "tests/shop_case.h"

namespace crankwise::test {

/// A clock that all shops of a case share, unless one of them is off by some minutes.
class SharedClock {
 public:
  std::string now(int minutes_off) {
    ++seconds_;
    const int s = seconds_ + 60 * (minutes_off + 600);
    return fmt::format("2026-03-{:02}T{:02}:{:02}:{:02}.000Z", 1 + s / 86400, s / 3600 % 24, s / 60 % 60, s % 60);
  }

 private:
  int seconds_ = 0;
};

inline Shop shop_called(char digit, const std::shared_ptr<SharedClock>& clock, int minutes_off = 0) {
  return {small_knowledge(), Store::in_memory(), [clock, minutes_off] { return clock->now(minutes_off); },
          [digit] { return std::string(32, digit); }};
}

inline std::string text_from(Shop& shop, const std::vector<std::string>& bikes = {}) {
  return shop_file_text(shop.hand_over(bikes, "test"));
}

inline TakenOver bring(const std::string& text, Shop& to, const SameBikes& same = {}, bool only_look = false) {
  return to.take_over(read_shop_file(small_knowledge(), text, "shop.json"), same, only_look);
}
inline TakenOver bring(Shop& from, Shop& to, const SameBikes& same = {}) { return bring(text_from(from), to, same); }

/// Random work on a shop: new bikes, new jobs, and all that can be written on those that are there.
inline void work_on(Shop& s, Chance& chance, int times) {
  for (int i = 0; i < times; ++i) {
    std::vector<std::string> bikes;
    for (const auto& [id, b] : s.bikes()) bikes.push_back(id);
    std::vector<int> open, all;
    for (const auto& [number, job] : s.jobs()) {
      all.push_back(number);
      if (job.end == JobEnd::open) open.push_back(number);
    }
    const auto any = [&](const auto& of) { return of[static_cast<size_t>(chance.below(static_cast<int>(of.size())))]; };
    const int what = chance.below(18);
    if (bikes.empty() || what == 0) {
      s.add_bike(chance.below(2) == 0 ? red() : blue());
    } else if (what == 1) {
      const std::string id = any(bikes);
      refusal([&] { change_hours(s, id, chance); });  // a correction may be refused where both sides changed the meter
    } else if (what == 2) {
      s.set_figure(any(bikes), "compression",
                   {chance.number(1, 90), chance.number(90, 200), "psi", chance.below(2) == 0});
    } else if (what == 3) {
      s.set_access(any(bikes), "tank", chance.number(0, 20), chance.number(0, 20));
    } else if (what == 4) {
      const std::string id = any(bikes);
      RenewedWhen when{.again = true};
      if (s.bike(id).hours_known && chance.below(2) == 0) when.hours = chance.number(0, s.bike(id).hours);
      if (chance.below(3) == 0) when.day = "2026-02-20";
      s.renewed(id, chance.below(2) == 0 ? "plug" : "fuel", when);
    } else if (what == 9) {
      const std::string id = any(bikes);
      if (chance.below(2) == 0)
        s.set_hard(id, chance.below(2) == 0);
      else if (chance.below(2) == 0)
        s.set_interval(id, "plug", {chance.number(0, 50), 0});
      else
        refusal([&] { s.undo_on_bike(id); });
    } else if (what == 10 && !open.empty() && chance.below(3) == 0) {
      s.add_photo(any(open), kPng, "a picture", "p.png");
    } else if (what == 5) {
      ShopSettings settings;
      settings.money_per_hour = chance.number(20, 90);
      s.set(settings);
    } else if (all.empty() || what == 6) {
      s.take_in(any(bikes), fmt::format("complaint {} \"<\\\u00fc\n", chance.below(1000)));
    } else if (what == 7) {
      const int job = any(all);
      if (!s.job(job).entries.empty() || s.job(job).end != JobEnd::open) s.undo(job);
    } else if (what == 8 && !open.empty()) {
      s.close(any(open), chance.below(2) == 0 ? JobEnd::given_up : JobEnd::fixed_unproven, {"main-jet-blocked"},
              "words");
    } else if (!open.empty()) {
      const int job = any(open);
      std::vector<Entry> act;
      for (int n = 1 + chance.below(3); n > 0; --n) act.push_back(chance.entry(s.bike(s.job(job).bike)));
      s.write(job, act);
    }
  }
}

/// All bikes and jobs, whatever they are called here: named by their first events instead.
inline std::string wherever(Shop& s) {
  const ShopFile file = s.hand_over({}, "test");
  std::map<std::string, std::string> bike_is;  // id here -> for all shops
  const auto name = [&](const FileRecord& r) {
    return fmt::format("{}/{}/{}", r.events.front().shop, r.events.front().seq, r.events.front().at);
  };
  for (const FileRecord& b : file.bikes) bike_is[b.id] = name(b);
  std::map<std::string, std::string> all;
  const auto put = [&](const FileRecord& r) {
    std::string& out = all[name(r)];
    for (const FileEvent& e : r.events) {
      Json data = e.data;
      if (data.contains("bike")) data["bike"] = bike_is.at(data["bike"]);
      out += fmt::format("  {} {} {} {} {} {}\n", e.shop, e.seq, e.at, e.order, e.kind, data.dump());
    }
    return &out;
  };
  for (const FileRecord& b : file.bikes) {
    std::string* out = put(b);
    const Bike& bike = s.bike(b.id);  // of several that are one, the one
    *out += bike_data(bike).dump() + "\n";
  }
  for (const FileRecord& j : file.jobs) {
    std::string* out = put(j);
    const Job& job = s.job(std::stoi(j.id));
    *out += fmt::format("{} {} {} {} {}\n", bike_data(s.bike(job.bike)).dump(), text(job.end), job.closed_at, job.words,
                        fmt::join(job.causes, " "));
    for (const JobEntry& e : job.entries)
      *out += fmt::format("  {} {} {}\n", e.at, e.hours, entry_kind(e.entry) + entry_data(e.entry).dump());
    for (const JobEntry& e : job.taken_back)
      *out += fmt::format("  gone {} {}\n", e.at, entry_kind(e.entry) + entry_data(e.entry).dump());
  }
  std::string out;
  for (const auto& [id, words] : all) out += id + "\n" + words;
  return out;
}

}  // namespace crankwise::test
