// What is off the bike: a tree by hand, and what must hold for any parts.
#include "core/plan/access.h"

#include <gtest/gtest.h>

#include <bit>

#include "tests/random_case.h"

namespace crankwise {
namespace {

constexpr int kSeat = 0, kTank = 1, kPlug = 2, kHead = 3, kCylinder = 4, kCarburettor = 5;

/// Seat before tank; tank and plug before head; head and carburettor before cylinder.
Access bike() {
  return Access({{1, 2, 0, {}},
                 {4, 5, 0, {kSeat}},
                 {2, 3, 1, {}},
                 {14, 18, 20, {kTank, kPlug}},
                 {18, 28, 15, {kHead, kCarburettor}},
                 {6, 7, 0, {}}});
}

PartMask mask(std::initializer_list<int> parts) {
  PartMask m = 0;
  for (int p : parts) m |= Access::bit(p);
  return m;
}

TEST(Access, WhatMustComeOffFirst) {
  const Access a = bike();
  EXPECT_EQ(a.parts(), 6);
  EXPECT_EQ(a.closure(kSeat), mask({kSeat}));
  EXPECT_EQ(a.closure(kTank), mask({kSeat, kTank}));
  EXPECT_EQ(a.closure(kHead), mask({kSeat, kTank, kPlug, kHead}));
  EXPECT_EQ(a.closure(kCylinder), mask({kSeat, kTank, kPlug, kHead, kCylinder, kCarburettor}));
  EXPECT_EQ(a.closure(std::vector<int>{kPlug, kTank}), mask({kSeat, kTank, kPlug}));
  EXPECT_EQ(a.closure(std::vector<int>{}), 0u);
}

TEST(Access, WhatCannotStayOff) {
  const Access a = bike();
  EXPECT_EQ(a.blocked_by(0), 0u);
  EXPECT_EQ(a.blocked_by(mask({kSeat})), mask({kSeat, kTank, kHead, kCylinder}));
  EXPECT_EQ(a.blocked_by(mask({kCarburettor})), mask({kCarburettor, kCylinder}));
  EXPECT_EQ(a.blocked_by(mask({kPlug, kCarburettor})), mask({kPlug, kHead, kCylinder, kCarburettor}));
}

TEST(Access, ToTheHeadAndBack) {
  const Access a = bike();
  const PartMask head = a.reach(0, a.closure(kHead), 0);
  EXPECT_EQ(head, mask({kSeat, kTank, kPlug, kHead}));
  EXPECT_EQ(a.move(0, head).minutes, 1 + 4 + 2 + 14);
  EXPECT_EQ(a.move(0, head).money, 0);
  EXPECT_EQ(a.move(head, 0).minutes, 2 + 5 + 3 + 18);
  EXPECT_EQ(a.move(head, 0).money, 1 + 20);
  EXPECT_EQ(a.move(head, head).minutes, 0);
  // From there a run that needs the tank on: the head goes back before it, the plug may stay off.
  const PartMask tank_on = a.reach(head, 0, mask({kTank}));
  EXPECT_EQ(tank_on, mask({kSeat, kPlug}));
  // The carburettor as well: nothing else moves.
  EXPECT_EQ(a.move(head, a.reach(head, a.closure(kCarburettor), 0)).minutes, 6);
  EXPECT_EQ(a.move(head, a.reach(head, a.closure(kCylinder), 0)).minutes, 6 + 18);
}

TEST(Access, TheLastOfSixtyFourParts) {
  std::vector<AccessPart> parts(64);
  for (int p = 0; p < 64; ++p) {
    parts[static_cast<size_t>(p)] = {1, 2, 0.5, {}};
    if (p + 1 < 64) parts[static_cast<size_t>(p)].after = {p + 1};  // the later ones come off first
  }
  const Access a(std::move(parts));
  EXPECT_EQ(a.closure(63), PartMask{1} << 63);
  EXPECT_EQ(a.closure(0), ~PartMask{0});
  EXPECT_EQ(a.blocked_by(Access::bit(63)), ~PartMask{0});
  EXPECT_EQ(a.move(0, ~PartMask{0}).minutes, 64);
  EXPECT_EQ(a.move(~PartMask{0}, 0).minutes, 128);
  EXPECT_EQ(a.move(~PartMask{0}, 0).money, 32);
}

TEST(Effort, Joined) {
  const Effort e = Effort{10, 4} + Effort{5, 2};
  EXPECT_EQ(e.minutes, 15);
  EXPECT_EQ(e.money, 6);
  EXPECT_EQ(e.joined(1.5), 24);
}

// Random parts. Which come off first is drawn from parts of a lower rank, in shuffled numbers, so there is no circle.
struct RandomParts {
  std::vector<AccessPart> parts;
  Access access;
  explicit RandomParts(Dice& dice, int most) {
    const int n = dice.whole(1, most);
    std::vector<int> rank(static_cast<size_t>(n));
    for (int& r : rank) r = dice.whole(0, 5);
    for (int p = 0; p < n; ++p) {
      AccessPart part{dice.between(0, 20), dice.between(0, 30), dice.chance(0.3) ? dice.between(0, 40) : 0, {}};
      for (int q = 0; q < n; ++q) {
        if (rank[static_cast<size_t>(q)] < rank[static_cast<size_t>(p)] && dice.chance(0.3)) part.after.push_back(q);
      }
      parts.push_back(part);
    }
    access = Access(parts);
  }
  bool closed(PartMask off) const {
    for (size_t p = 0; p < parts.size(); ++p) {
      if (!(off & Access::bit(static_cast<int>(p)))) continue;
      for (int q : parts[p].after) {
        if (!(off & Access::bit(q))) return false;
      }
    }
    return true;
  }
  PartMask any(Dice& dice) const {  // a state that a bike can be in
    PartMask m = 0;
    for (size_t p = 0; p < parts.size(); ++p) {
      if (dice.chance(0.3)) m |= access.closure(static_cast<int>(p));
    }
    return m;
  }
};

TEST(AccessAnyParts, StatesStayClosedAndEveryWishIsMet) {
  for (unsigned seed = 1; seed <= 300; ++seed) {
    Dice dice(seed);
    const RandomParts r(dice, 30);
    const PartMask now = r.any(dice), off = r.any(dice);
    PartMask on = 0;
    for (int p = 0; p < r.access.parts(); ++p) {
      if (dice.chance(0.2)) on |= Access::bit(p);
    }
    on &= ~off;
    ASSERT_TRUE(r.closed(now) && r.closed(off)) << "seed " << seed;
    const PartMask then = r.access.reach(now, off, on);
    ASSERT_TRUE(r.closed(then)) << "seed " << seed;
    ASSERT_EQ(then & off, off) << "seed " << seed;
    ASSERT_EQ(then & on, 0u) << "seed " << seed;
  }
}

TEST(AccessAnyParts, NoNearerStateMeetsTheWish) {
  int judged = 0;
  for (unsigned seed = 1; seed <= 200; ++seed) {
    Dice dice(seed);
    const RandomParts r(dice, 9);
    const PartMask now = r.any(dice), off = r.any(dice);
    PartMask on = 0;
    for (int p = 0; p < r.access.parts(); ++p) {
      if (dice.chance(0.25)) on |= Access::bit(p) & ~off;
    }
    double least = 1e9;
    for (PartMask m = 0; m < PartMask{1} << r.access.parts(); ++m) {
      if (r.closed(m) && (m & off) == off && (m & on) == 0) least = std::min(least, r.access.move(now, m).joined(1));
    }
    ASSERT_NEAR(r.access.move(now, r.access.reach(now, off, on)).joined(1), least, 1e-9) << "seed " << seed;
    judged += least > 0;
  }
  EXPECT_GT(judged, 100);
}

TEST(AccessAnyParts, ThereAndBackIsOffAndOnOfWhatMoved) {
  for (unsigned seed = 1; seed <= 200; ++seed) {
    Dice dice(seed);
    const RandomParts r(dice, 40);
    const PartMask a = r.any(dice), b = r.any(dice);
    Effort moved;
    for (int p = 0; p < r.access.parts(); ++p) {
      if (!((a ^ b) & Access::bit(p))) continue;
      const AccessPart& part = r.parts[static_cast<size_t>(p)];
      moved += {part.off_min + part.on_min, part.on_money};
    }
    const Effort both = r.access.move(a, b) + r.access.move(b, a);
    ASSERT_NEAR(both.minutes, moved.minutes, 1e-9) << "seed " << seed;
    ASSERT_NEAR(both.money, moved.money, 1e-9) << "seed " << seed;
  }
}

TEST(AccessAnyParts, MovesAddUp) {
  for (unsigned seed = 1; seed <= 200; ++seed) {
    Dice dice(seed);
    const RandomParts r(dice, 40);
    const PartMask a = r.any(dice), b = a | r.any(dice), c = b | r.any(dice), other = r.any(dice);
    const auto cost = [&](PartMask from, PartMask to) { return r.access.move(from, to).joined(0.7); };
    ASSERT_NEAR(cost(a, c), cost(a, b) + cost(b, c), 1e-9) << "seed " << seed;         // taking off, in two goes
    ASSERT_NEAR(cost(c, a), cost(c, b) + cost(b, a), 1e-9) << "seed " << seed;         // putting back, in two goes
    ASSERT_LE(cost(a, c), cost(a, other) + cost(other, c) + 1e-9) << "seed " << seed;  // a detour never pays
  }
}

}  // namespace
}  // namespace crankwise
