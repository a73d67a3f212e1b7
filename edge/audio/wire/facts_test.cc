// What the decoder tells: the same after its way down the pipe, and nothing else taken for it.
#include "edge/audio/wire/facts.h"

#include <gtest/gtest.h>

#include <limits>

namespace crankwise::audio {
namespace {

Facts facts() {
  return {.container = "webm",
          .codec = "opus",
          .source_rate_hz = 48000,
          .header_rate_hz = 44100.5,
          .channels = {{0.25, 0.9, 0.001}, {0.125, 1.5, 0}},
          .seconds = 12.5,
          .stated_seconds = 13,
          .starts_s = -0.25,
          .sound_tracks = 2,
          .picture_seconds = 12,
          .picture_fps = 29.97,
          .capture_fps = 240,
          .gaps_s = 0.5,
          .packets = 600,
          .bad_packets = 3,
          .ends_in_error = true,
          .changes = true,
          .wild_samples = 7};
}

TEST(AudioFacts, ComeBackAsTheyWere) {
  const std::string text = text_of(facts());
  const auto back = facts_of(text);
  ASSERT_TRUE(back);
  EXPECT_EQ(text_of(*back), text);
  // Every field of a whole struct, so that one forgotten on the way shows.
  EXPECT_EQ(back->codec, "opus");
  EXPECT_EQ(back->header_rate_hz, 44100.5);
  ASSERT_EQ(back->channels.size(), 2U);
  EXPECT_EQ(back->channels[1].peak, 1.5);
  EXPECT_EQ(back->starts_s, -0.25);
  EXPECT_EQ(back->sound_tracks, 2);
  EXPECT_EQ(back->capture_fps, 240);
  EXPECT_EQ(back->gaps_s, 0.5);
  EXPECT_EQ(back->bad_packets, 3);
  EXPECT_TRUE(back->ends_in_error && back->changes);
  EXPECT_EQ(back->wild_samples, 7);
  const auto refusal = refusal_of(text_of(Refusal{"is empty", "a recording"}));
  ASSERT_TRUE(refusal);
  EXPECT_EQ(refusal->wrong, "is empty");
  EXPECT_EQ(refusal->right, "a recording");
}

TEST(AudioFacts, WhatMakesNoSenseIsNotTaken) {
  const std::string good = text_of(facts());
  const auto with = [&](const std::string& from, const std::string& to) {
    std::string text = good;
    const auto at = text.find(from);
    EXPECT_NE(at, std::string::npos) << from;
    return text.replace(at, from.size(), to);
  };
  EXPECT_TRUE(facts_of(with("12.5", "12.75")));
  for (const auto& [from, to] : {std::pair{"12.5", "-1"},
                                 {"12.5", "1e300"},
                                 {"12.5", "null"},
                                 {"12.5", "\"12\""},
                                 {"48000", "0"},
                                 {"\"opus\"", "\"op\\u001bus\""},
                                 {"\"opus\"", "7"},
                                 {"\"opus\"", "\"01234567890123456789012345678901234567890\""},
                                 {"\"packets\"", "\"pockets\""},
                                 {"true", "1"},
                                 {"0.001", "2"},
                                 {"\"peak\"", "\"pike\""},
                                 {"\"channels\":[", "\"channels\":[3,"}}) {
    EXPECT_FALSE(facts_of(with(from, to))) << from << " -> " << to;
  }
  Facts endless = facts();
  endless.seconds = std::numeric_limits<double>::infinity();
  EXPECT_FALSE(facts_of(text_of(endless)));
  for (const char* text : {"", "[]", "{}", "{", "null", "\"x\""}) {
    EXPECT_FALSE(facts_of(text)) << text;
    EXPECT_FALSE(refusal_of(text)) << text;
  }
  EXPECT_FALSE(refusal_of(R"({"wrong": "", "right": "x"})"));
  EXPECT_FALSE(refusal_of(R"({"wrong": "x"})"));
  EXPECT_FALSE(refusal_of(R"({"wrong": "a\nb", "right": "x"})"));
  EXPECT_FALSE(facts_of(good + std::string(kMostText, ' ')));
}

}  // namespace
}  // namespace crankwise::audio
