// Which parts are off the bike, and what it costs to change that.
//
// A part can come off only when those it stands behind are off; so the parts that are off always form a set closed
// under "must come off first". Going from one such set to another costs the parts that change, in any order: no search
// needed.
#pragma once

#include <cstdint>
#include <vector>

namespace crankwise {

using PartMask = std::uint64_t;  // bit p: part p; at most 64 parts

struct AccessPart {
  double off_min = 0, on_min = 0;
  double on_money = 0;     // gasket, coolant: spent when it goes back on
  std::vector<int> after;  // parts that must come off first
};

struct Effort {
  double minutes = 0, money = 0;
  double joined(double minutes_per_money) const { return minutes + money * minutes_per_money; }
  Effort& operator+=(const Effort& e) { return minutes += e.minutes, money += e.money, *this; }
  friend Effort operator+(Effort a, const Effort& b) { return a += b; }
};

class Access {
 public:
  Access() = default;
  /// No circles among `after`.
  explicit Access(std::vector<AccessPart> parts);

  int parts() const { return static_cast<int>(parts_.size()); }
  static PartMask bit(int part) { return PartMask{1} << part; }
  /// The part and all that must come off before it.
  PartMask closure(int part) const { return closure_[static_cast<std::size_t>(part)]; }
  PartMask closure(const std::vector<int>& parts) const;
  /// All parts that cannot be off while one of `on` is on, these included.
  PartMask blocked_by(PartMask on) const;

  /// The state nearest to `now` in which `off` (closed) is off and `on` is on; `on` and `off` share no part.
  PartMask reach(PartMask now, PartMask off, PartMask on) const { return (now | off) & ~blocked_by(on); }
  Effort move(PartMask from, PartMask to) const;

 private:
  std::vector<AccessPart> parts_;
  std::vector<PartMask> closure_;  // of each part
  std::vector<PartMask> above_;    // of each part: the parts whose closure holds it
};

}  // namespace crankwise
