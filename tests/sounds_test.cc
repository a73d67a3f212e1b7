// The makers of engine sounds against what they promise.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <complex>
#include <numbers>
#include <set>

#include "tests/sounds/case.h"
#include "tests/sounds/recipe.h"

namespace crankwise::sounds {
namespace {

constexpr double kTwoPi = 2 * std::numbers::pi;

/// dB of one frequency under a Hann window.
double line_db(const std::vector<float>& s, double hz) {
  std::complex<double> sum = 0;
  const auto n = static_cast<double>(s.size());
  for (std::size_t i = 0; i < s.size(); ++i) {
    const auto x = static_cast<double>(i);
    sum += static_cast<double>(s[i]) * (1 - std::cos(kTwoPi * x / n)) * std::polar(1.0, -kTwoPi * hz * x / 8000);
  }
  return 20 * std::log10(std::abs(sum) / n + 1e-12);
}

Profile steady(double rpm, double seconds) {
  return Profile(std::vector<double>(static_cast<std::size_t>(seconds / Profile::kStepS) + 1, rpm));
}

/// Nothing random but the pipe.
Single even(Single s) {
  s.jitter = s.scatter = s.shape = s.hiss = s.intake = s.clatter = s.ticks = s.whine = 0;
  return s;
}

struct Row {
  Cycle cycle;
  double rpm, hz;
};

class FiringRate : public testing::TestWithParam<Row> {};

/// A two-stroke fires n/60 times a second, a four-stroke n/120: 1800, 6000 and 11,500 rpm give 30, 100 and 191.67 Hz,
/// 9500 and 13,400 rpm of a four-stroke 79.17 and 111.67 Hz.
INSTANTIATE_TEST_SUITE_P(All, FiringRate,
                         testing::Values(Row{Cycle::two_stroke, 1800, 30}, Row{Cycle::two_stroke, 6000, 100},
                                         Row{Cycle::two_stroke, 11500, 191.667}, Row{Cycle::four_stroke, 9500, 79.1667},
                                         Row{Cycle::four_stroke, 13400, 111.667}));

TEST_P(FiringRate, EvenTakesHaveTheirLinesThereAndNowhereElse) {
  Random random(3);
  Draw draw(random, false);
  Recipe r;
  r.single = even(GetParam().cycle == Cycle::two_stroke ? draw.two_stroke() : draw.four_stroke());
  r.truth.rpm = steady(GetParam().rpm, 3);
  r.beside.clear();
  r.phone.high_pass_hz = 20;
  const Made made = make(r, random);
  for (int k = 2; k <= 6; ++k) {
    const double on = line_db(made.samples, k * GetParam().hz);
    for (const double off : {k - 0.5, k - 1.0 / 3, k + 0.25})
      EXPECT_GT(on, line_db(made.samples, off * GetParam().hz) + 40) << k;
  }
}

TEST(MadeSounds, FiringsIntegrateTheProfileExactly) {
  Random random(1);
  const Truth t = Ride(random).start(1800).hold(0.5).blip(11000, 0.5, 0.2, 0.3).hold(0.5).truth();
  for (const Cycle cycle : {Cycle::two_stroke, Cycle::four_stroke}) {
    Single s;
    s.cycle = cycle;
    s.jitter = 0;
    const double turns = cycle == Cycle::two_stroke ? 1 : 2;
    const std::vector<Firing> all = firings(s, t.rpm, random);
    ASSERT_GT(all.size(), 40U);
    for (std::size_t k = 0; k < all.size(); ++k) {
      EXPECT_NEAR(t.rpm.turns(all[k].at_s), turns * (static_cast<double>(k) + 0.5), 1e-9);
    }
  }
}

TEST(MadeSounds, TurnsAreTheIntegralOfTheSpeed) {  // linear 2000 to 12,000 in 1.5 s: 7000 / 60 * 1.5 = 175 turns
  std::vector<double> rpm;
  for (int i = 0; i <= 1500; ++i) rpm.push_back(2000 + 10000 * i / 1500.0);
  const Profile p(rpm);
  EXPECT_NEAR(p.turns(1.5), 175, 1e-9);
  EXPECT_NEAR(p.turns(0.75), (2000 + 7000) / 2.0 / 60 * 0.75, 1e-9);
  EXPECT_NEAR(p.when(p.turns(0.7654321)), 0.7654321, 1e-12);
  EXPECT_NEAR(p.rpm(0.3), 4000, 1e-9);
  EXPECT_EQ(p.rpm(1.6), 0);
}

TEST(MadeSounds, JitterAndScatterAreAsStated) {
  Random random(5);
  Single s;
  s.jitter = 0.02;
  const Profile p = steady(6000, 60);
  const std::vector<Firing> all = firings(s, p, random);
  double square = 0;
  for (std::size_t k = 0; k < all.size(); ++k) {
    const double late = all[k].at_s - (static_cast<double>(k) + 0.5) / 100;
    square += late * late;
  }
  EXPECT_NEAR(std::sqrt(square / static_cast<double>(all.size())) * 100, 0.02, 0.001);  // 6000 firings: 1 % and 5 sigma
}

TEST(MadeSounds, WindIsAsLoudAsStated) {
  for (const double snr_db : {6.0, -6.0}) {
    Recipe r;
    Random dice(7);
    r.single = Draw(dice, false).two_stroke();
    r.truth.rpm = steady(6000, 6);
    r.phone.high_pass_hz = 5;
    r.beside.clear();
    Random random(11), again(11);
    const std::vector<float> engine = make(r, random).samples;
    r.beside = {{Noise::wind, snr_db}};
    const std::vector<float> both = make(r, again).samples;
    double ee = 0, eb = 0, bb = 0;  // both = gain * engine + wind
    for (std::size_t i = 0; i < engine.size(); ++i) {
      const double e = engine[i], b = both[i];
      ee += e * e, eb += e * b, bb += b * b;
    }
    const double gain = eb / ee, wind = bb - gain * eb;
    EXPECT_NEAR(10 * std::log10(gain * gain * ee / wind), snr_db, 0.5);
  }
}

TEST(MadeSounds, WindIsSteepAboveAFewHundredHertz) {
  Random random(2);
  const Sound wind = noise(Noise::wind, 10 * static_cast<std::size_t>(kInsideHz), random);
  const double all = power(wind), above = power(high_pass(wind, 400, 2));
  EXPECT_LT(10 * std::log10(above / all), -12);
}

TEST(MadeSounds, NothingFoldsBackFromAboveHalfTheRate) {
  const auto level = [](double hz) {
    Sound s(32000);
    for (std::size_t i = 0; i < s.size(); ++i) s[i] = std::sin(kTwoPi * hz * static_cast<double>(i) / kInsideHz);
    double sum = 0;
    const std::vector<float> out = to_8_khz(s);
    for (std::size_t i = 1000; i < 7000; ++i) sum += static_cast<double>(out[i]) * out[i] / 6000;
    return 10 * std::log10(2 * sum + 1e-15);
  };
  EXPECT_NEAR(level(50), 0, 0.01);
  EXPECT_NEAR(level(3500), 0, 0.01);
  for (const double hz : {4010.0, 5000.0, 7950.0, 12000.0}) EXPECT_LT(level(hz), -78) << hz;
}

/// Far off, what comes is f c / (c - v), what goes f c / (c + v).
TEST(MadeSounds, PassesByAsDopplerSays) {
  Recipe r;
  r.truth.rpm = steady(6000, 20);
  r.passing = Passing{.speed_mps = 14, .closest_m = 5, .closest_s = 10};
  r.beside.clear();
  Random random(1);
  const Made m = make(r, random);
  EXPECT_NEAR(m.truth.rpm.rpm(2), 6000 * 343 / (343 - 14.0), 1);
  EXPECT_NEAR(m.truth.rpm.rpm(18), 6000 * 343 / (343 + 14.0), 1);
  // What is heard is what was fired, and so is the sound itself.
  for (std::size_t k = 30; k < 1900; k += 100) {
    const auto& f = m.truth.firings;
    EXPECT_NEAR(60 * 20 / (f[k + 20].at_s - f[k].at_s), m.truth.rpm.rpm((f[k + 20].at_s + f[k].at_s) / 2), 40);
  }
  const std::vector<float> coming(m.samples.begin() + 8000, m.samples.begin() + 40000);
  EXPECT_GT(line_db(coming, 3 * 100 * 343 / 329.0), line_db(coming, 300) + 15);
}

TEST(MadeSounds, WeakFiringsAreCounted) {
  Random random(9);
  Single s;
  s.weak = {{.from_rpm = 8000, .share = 0.3, .strength = 0.1}, {.to_rpm = 4000, .alternate = true, .strength = 0.4}};
  const Truth ridden =
      Ride(random).start(3000).wander(0).hold(10).ramp(6000, 0.1).hold(10).ramp(9000, 0.1).hold(20).truth();
  Truth t = ridden;
  t.firings = firings(s, ridden.rpm, random);
  EXPECT_NEAR(t.weak_share(8000), 0.3, 0.05);  // 3000 firings: 0.8 % and 5 sigma
  EXPECT_EQ(t.weak_share(4001, 7999), 0);
  EXPECT_NEAR(t.weak_share(0, 4000), 0.5, 0.01);
}

TEST(MadeSounds, BlipsAreMeasuredAsMade) {
  Random random(4);
  const Truth t = Ride(random).start(2000).wander(0).idles().hold(1).blip(10000, 0.6, 0.2, 0.3).hold(1).truth();
  ASSERT_EQ(t.blips.size(), 1U);
  // A half wave of a cosine goes from a tenth to nine tenths in acos(-0.8) - acos(0.8) of pi; an exponential in ln 9.
  EXPECT_NEAR(t.blips[0].rise_s, 0.6 * (std::acos(-0.8) - std::acos(0.8)) / std::numbers::pi, 0.002);
  EXPECT_NEAR(t.blips[0].fall_s, 0.3 * std::log(9), 0.003);
  // From 5000 to 2240: (5000 - 2000) / 240.
  EXPECT_NEAR(t.hang_s.value_or(0), 0.3 * std::log(3000 / 240.0), 0.005);
}

TEST(MadeSounds, EveryTakeIsTheSameEachTime) {
  for (const std::string name : {"2t_blips", "4t_wind_0", "pass_by", "none_speech"}) {
    for (const Set set : {Set::tuning, Set::scoring})
      EXPECT_EQ(make(set, name).samples, make(set, name).samples) << name;
    EXPECT_NE(make(Set::tuning, name).samples, make(Set::scoring, name).samples) << name;
  }
}

TEST(MadeSounds, TheSetsShareNoSeedAndScoringHasEveryKindAndMore) {
  const std::vector<std::string> tuning = names(Set::tuning), scoring = names(Set::scoring);
  std::set<std::uint64_t> seeds;
  for (const std::string& n : tuning) {
    EXPECT_TRUE(seeds.insert(seed(Set::tuning, n)).second) << n;
    EXPECT_TRUE(std::ranges::count(scoring, n) == 1) << n;
  }
  for (const std::string& n : scoring) EXPECT_TRUE(seeds.insert(seed(Set::scoring, n)).second) << n;
  EXPECT_GE(tuning.size(), 43U);
  EXPECT_GE(scoring.size(), tuning.size() + 15);
  EXPECT_THROW(make(Set::tuning, "2t_gusts"), std::invalid_argument);  // kept for scoring
}

TEST(MadeSounds, TruthAndTakeFitTogether) {
  for (const Set set : {Set::tuning, Set::scoring}) {
    for (const std::string& n : names(set)) {
      const Case c = make(set, n);
      EXPECT_NEAR(static_cast<double>(c.samples.size()) / sound::kRateHz, c.truth.rpm.seconds(), 0.001) << n;
      EXPECT_EQ(c.truth.engine, !c.truth.firings.empty()) << n;
      EXPECT_EQ(c.truth.engine, n.find("none_") != 0) << n;
      for (const double rpm : c.truth.rpm.knots()) {
        EXPECT_TRUE(rpm == 0 || (c.truth.engine && rpm >= 0.9 * c.engine.rpm_min && rpm <= c.engine.rpm_max))
            << n << rpm;
        if (testing::Test::HasFailure()) return;
      }
      const auto [low, high] = std::ranges::minmax(c.samples);
      EXPECT_TRUE(low >= -1 && high <= 1 && high > 1e-4) << n;
    }
  }
}

}  // namespace
}  // namespace crankwise::sounds
