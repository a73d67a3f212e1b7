// A small shop with invented bikes, and all that makes it as text and numbers.
#pragma once

#include <fmt/format.h>
#include <gtest/gtest.h>
#include <unistd.h>

#include <filesystem>
#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "app/shop.h"
#include "tests/refusal.h"
#include "tests/small_knowledge.h"
#include "tests/temporary_folder.h"

namespace crankwise::test {

namespace fs = std::filesystem;

/// One second on at each look.
class Ticking {
 public:
  std::string operator()() {
    ++count_;
    return fmt::format("2026-03-01T{:02}:{:02}:{:02}.000Z", count_ / 3600 % 24, count_ / 60 % 60, count_ % 60);
  }

 private:
  int count_ = 0;
};

inline Shop new_shop() { return {small_knowledge(), Store::in_memory(), Ticking()}; }

inline Bike red() {
  Bike b;
  b.name = "Red 85";
  b.bike_class = "mini-two-stroke";
  b.traits = small_knowledge().classes.find(b.bike_class)->traits;
  b.displacement_cc = 85;
  b.hours = 42;
  b.hours_known = true;
  return b;
}

inline Bike blue() {
  Bike b;
  b.name = "Blue 110";
  b.bike_class = "mini-four-stroke";
  b.traits = small_knowledge().classes.find(b.bike_class)->traits;
  b.displacement_cc = 110;
  return b;
}

/// All that makes a job, as one text.
inline std::string in_words(const Job& j) {
  std::string out = fmt::format("{} {} \"{}\" {}-{} {} acts {} \"{}\" [{}]\n", j.number, j.bike, j.complaint,
                                j.opened_at, j.closed_at, text(j.end), j.acts, j.words, fmt::join(j.causes, " "));
  for (const JobEntry& e : j.entries) {
    out += fmt::format("  {} act {} at {} h: {} {}\n", e.at, e.act, e.hours, entry_kind(e.entry),
                       entry_data(e.entry).dump());
  }
  return out;
}

/// All that makes a shop.
inline std::string in_words(const Shop& s) {
  std::string out = fmt::format("{} {} [{}] current {}\n", s.settings().money_per_hour, s.settings().currency,
                                fmt::join(s.settings().lacks, " "), s.current_job().value_or(0));
  for (const auto& [id, b] : s.bikes()) {
    out += fmt::format("{} {} {} {}\n", id, b.id, bike_data(b).dump(), s.hour_book(id).source());
    for (const auto& [part, r] : s.renewals(id))
      out += fmt::format("  {} at {} h on {}, told {}\n", part, r.hours, r.day, r.told_at);
  }
  for (const auto& [number, j] : s.jobs()) out += in_words(j);
  return out;
}

/// The numbers of a diagnosis, to the bit.
struct Verdict {
  std::vector<double> there, at_start, values;
  std::vector<int> steps;
  double left_out = 0, doubt = 0;
  bool proven = false;
  PartMask off = 0;

  explicit Verdict(const Diagnosis& d)
      : there(d.belief.still_there()),
        at_start(d.belief.there_at_start()),
        left_out(d.belief.left_out()),
        doubt(d.advice.doubt),
        proven(d.advice.proven),
        off(d.state.off) {
    for (const Option& o : d.advice.options) steps.push_back(o.step), values.push_back(o.value);
  }
  bool operator==(const Verdict&) const = default;
};

inline double chance_of(const Shop& s, int job, const std::string& fault) {
  const Diagnosis d = s.diagnosis(job);
  return d.belief.still_there()[static_cast<size_t>(d.bike().fault(fault))];
}

class ShopOnDisk : public TemporaryFolder {
 protected:
  Shop open() const { return {small_knowledge(), Store::open(dir_ / "shop.db", Store::Mode::create), Ticking()}; }
};

}  // namespace crankwise::test
