#include "core/sound/presence.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <string>
#include <utility>

#include "tests/made_track.h"
#include "tests/sound_take.h"

namespace crankwise::sound {
namespace {

using Kind = Stretch::Kind;

/// Engine to 3.1 s, speech to 7 s, engine to 9 s, nothing to the end.
Track mixed() {
  Track track = track_of([](double) { return 3000.0; }, 12);
  for (size_t i = 0; i < track.frames.size(); ++i) {
    const double t = track.seconds(i);
    if (t >= 3.1 && t < 7) track.frames[i] = {2500, 30, 0.15F, -25};
    if (t >= 9) track.frames[i] = {0, 0, 0, -80};
  }
  return track;
}

TEST(Presence, StretchesHaveTheirBounds) {
  const auto found = stretches_of(mixed(), {});
  ASSERT_EQ(found.size(), 4);
  EXPECT_EQ(found[0].kind, Kind::engine);
  EXPECT_EQ(found[1].kind, Kind::no_engine);
  EXPECT_NEAR(found[1].from_s, 3.1, 0.05);
  EXPECT_NEAR(found[1].to_s, 7.0, 0.05);
  EXPECT_EQ(found[2].kind, Kind::engine);
  EXPECT_EQ(found[3].kind, Kind::silence);
  EXPECT_NEAR(found[3].from_s, 9, 0.05);
  EXPECT_NEAR(found[3].to_s, 12, 1e-9);
  for (size_t k = 1; k < found.size(); ++k) EXPECT_EQ(found[k].from_s, found[k - 1].to_s);
  const EngineShare share = engine_share(mixed(), stretches_of(mixed(), {}));
  EXPECT_NEAR(share.engine, 5.1 / 12, 0.01);
  EXPECT_NEAR(share.sure, 1, 0.02);
}

TEST(Presence, ShortBreaksAreNoStretches) {
  Track track = track_of([](double) { return 3000.0; }, 6);
  for (size_t i = 100; i < 110; ++i) track.frames[i] = {0, 0, 0, -80};
  EXPECT_EQ(stretches_of(track, {}).size(), 1);
  EXPECT_TRUE(stretches_of({}, {}).empty());
  EXPECT_EQ(engine_share({}, {}).engine, 0);
}

/// As if something had followed a rate through it, surely: the sound alone has to tell.
std::vector<Stretch> followed(const char* name, double rpm) {
  const auto take = sounds::make(sounds::Set::tuning, name);
  Track track = made_track(take);
  for (Frame& f : track.frames) f.rpm = static_cast<float>(rpm), f.sigma_rpm = 20, f.confidence = 0.9F;
  return stretches_of(track, firings_along(signal_of(take.samples), track, take.engine));
}

TEST(Presence, WithoutAnEngineThereIsNoStretchOfOne) {
  for (const char* name : {"none_silence", "none_speech", "none_music", "none_hum_50", "none_hammer"}) {
    const Track track = made_track(sounds::make(sounds::Set::tuning, name));
    for (const Stretch& s : stretches_of(track, {})) EXPECT_NE(s.kind, Kind::engine) << name;
  }
  // Of a take of silence alone the level says so.
  EXPECT_EQ(stretches_of(made_track(sounds::make(sounds::Set::tuning, "none_silence")), {}).front().kind,
            Kind::silence);
}

TEST(Presence, WhatIsFollowedButNoEngineIsRefused) {
  for (const auto& [name, rpm] :
       {std::pair{"none_hum_50", 3000.0}, {"none_music", 3900.0}, {"none_speech", 7200.0}, {"none_hammer", 1500.0}}) {
    const auto found = followed(name, rpm);
    ASSERT_EQ(found.size(), 1) << name;
    EXPECT_EQ(found[0].kind, Kind::no_engine) << name;
    EXPECT_NE(found[0].lack, Stretch::Lack::none) << name;
    EXPECT_NE(found[0].lack, Stretch::Lack::not_sure) << name;
  }
}

TEST(Presence, WhatStopsAndStartsIsNoEngine) {
  // Half a second loud, three tenths 30 dB below, as words are; and blips of 20 dB each second, as an
  // engine's are.
  Track speaks = track_of([](double) { return 6000.0; }, 6), blips = speaks;
  for (size_t i = 0; i < speaks.frames.size(); ++i) {
    speaks.frames[i].level_db = i % 40 < 25 ? -20 : -50;
    blips.frames[i].level_db = static_cast<float>(-40 + 20 * std::min<size_t>(i % 50, 50 - i % 50) / 25.0);
  }
  const auto found = stretches_of(speaks, {});
  ASSERT_EQ(found.size(), 1);
  EXPECT_EQ(found[0].kind, Kind::no_engine);
  EXPECT_EQ(found[0].lack, Stretch::Lack::with_pauses);
  ASSERT_EQ(stretches_of(blips, {}).size(), 1);
  EXPECT_EQ(stretches_of(blips, {})[0].kind, Kind::engine);
}

TEST(Presence, EnginesAreNot) {
  for (const std::string& name : sounds::names(sounds::Set::tuning)) {
    const auto take = sounds::make(sounds::Set::tuning, name);
    if (!take.truth.engine) continue;
    const Track track = made_track(take);
    for (const Stretch& s : stretches_of(track, firings_along(signal_of(take.samples), track, take.engine)))
      if (s.kind == Kind::no_engine) {
        EXPECT_EQ(take.truth.rpm.rpm((s.from_s + s.to_s) / 2), 0) << name << " " << s.from_s << " " << s.to_s;
      }
  }
}

}  // namespace
}  // namespace crankwise::sound
