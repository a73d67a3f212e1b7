// The decoding itself, in this process: the filter between rates, and files cut off anywhere.
#include "edge/audio/decode/decoder.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <new>

#include "edge/audio/decode/ends.h"
#include "edge/audio/decode/samples.h"
#include "tests/take_case.h"

namespace crankwise::audio {
namespace {

using namespace test;

Source source_of(const std::string& bytes) {
  return {static_cast<std::int64_t>(bytes.size()), [&bytes](std::int64_t from, std::span<std::uint8_t> out) {
            const auto size = static_cast<std::int64_t>(bytes.size());
            const auto count = std::clamp(size - from, std::int64_t{0}, static_cast<std::int64_t>(out.size()));
            std::copy_n(bytes.begin() + std::min(from, size), count, out.begin());
            return count;
          }};
}

struct Heard {
  Facts facts;
  std::vector<std::vector<float>> channels;
};

Heard decoded(const std::string& bytes, double most_seconds = 60) {
  Heard heard;
  const Sink sink{[&](int channels) {
                    EXPECT_TRUE(heard.channels.empty());
                    heard.channels.resize(static_cast<std::size_t>(channels));
                  },
                  [&](std::span<const std::span<const float>> block) {
                    ASSERT_EQ(block.size(), heard.channels.size());
                    for (std::size_t c = 0; c < block.size(); ++c) {
                      EXPECT_TRUE(!block[c].empty() && block[c].size() <= kBlock && block[c].size() == block[0].size());
                      heard.channels[c].insert(heard.channels[c].end(), block[c].begin(), block[c].end());
                    }
                  },
                  [](double share) { EXPECT_TRUE(share >= 0 && share <= 1) << share; }};
  heard.facts = decode(source_of(bytes), sink, most_seconds);
  return heard;
}

std::vector<float> resampled(int rate_hz, double hz, double seconds) {
  std::vector<float> in(static_cast<std::size_t>(seconds * rate_hz)), out;
  for (std::size_t i = 0; i < in.size(); ++i)
    in[i] = static_cast<float>(0.5 * std::sin(2 * std::numbers::pi * hz * static_cast<double>(i) / rate_hz));
  Resampler resampler(rate_hz);
  for (std::size_t at = 0; at < in.size(); at += 1000)  // in pieces, as frames come
    resampler.push(std::span(in).subspan(at, std::min<std::size_t>(1000, in.size() - at)), out);
  resampler.finish(out);
  return out;
}

TEST(AudioResampler, LeavesTheBandAndCutsWhatWouldFoldIntoIt) {
  for (const int rate : {11025, 16000, 22050, 44100, 48000, 96000}) {
    EXPECT_EQ(resampled(rate, 500, 2).size(), 16000U) << rate;
    for (const double hz : {30.0, 300.0, 1000.0, 2200.0, 3400.0}) {
      const Tone found = heard(resampled(rate, hz, 2), hz, 0.2, 1.8);
      EXPECT_NEAR(20 * std::log10(found.amplitude / 0.5), 0, 0.2) << rate << " " << hz;
      EXPECT_NEAR(found.hz / hz, 1, 1e-5) << rate << " " << hz;
    }
    // The tracker uses sound up to 3.5 kHz: what folds to there comes from 4.5 kHz and more.
    for (const double hz : {4600.0, 5000.0, 7000.0}) {
      if (hz > rate / 2.0) continue;
      const double folded = std::fabs(8000 - hz);
      EXPECT_LT(20 * std::log10(heard(resampled(rate, hz, 2), folded, 0.2, 1.8).amplitude / 0.5), -60)
          << rate << " " << hz;
    }
  }
}

TEST(AudioResampler, KeepsTheMoment) {
  for (const int rate : {11025, 44100, 96000}) {
    std::vector<float> in(static_cast<std::size_t>(rate), 0.0F), out;
    in[static_cast<std::size_t>(rate) / 2] = 1;
    Resampler resampler(rate);
    resampler.push(in, out);
    resampler.finish(out);
    EXPECT_NEAR(static_cast<double>(std::max_element(out.begin(), out.end()) - out.begin()), 4000, 1) << rate;
  }
}

TEST(AudioEnds, WavPromises) {
  std::string bytes = wav_of(8000, {{{500, 0.3}}}, 1);
  EXPECT_EQ(promised_wav_bytes(source_of(bytes)), 16000);
  const std::string list = std::string("LIST") + std::string("\x03\0\0\0", 4) + "abc" + std::string(1, '\0');
  std::string longer = bytes;
  longer.insert(36, list);  // an odd chunk is filled up
  EXPECT_EQ(promised_wav_bytes(source_of(longer)), 16000);
  bytes.replace(40, 4, "\xff\xff\xff\xff");
  EXPECT_EQ(promised_wav_bytes(source_of(bytes)), 0) << "a recorder that did not know";
  EXPECT_EQ(promised_wav_bytes(source_of(bytes.substr(0, 40))), 0);
}

class Decoder : public TakeCase {};

TEST_F(Decoder, NothingCutOffOrDamagedDoesHarm) {
  written("in.wav", wav_of(16000, {{{1000, 0.4}}, {{700, 0.2}}}, 1));
  const std::pair<const char*, const char*> forms[] = {
      {"-c:a adpcm_ms", "a.wav"}, {"-c:a flac", "a.flac"},     {"-c:a libmp3lame", "a.mp3"},
      {"-c:a aac", "a.aac"},      {"-c:a aac", "a.m4a"},       {"-c:a aac -movflags +faststart", "b.m4a"},
      {"-c:a alac", "c.m4a"},     {"-c:a libvorbis", "a.ogg"}, {"-c:a libopus", "a.webm"},
      {"-c:a pcm_s16le", "b.wav"}};
  int refused = 0, used = 0;
  const auto attempt = [&](const std::string& bytes) {
    try {
      const Heard heard = decoded(bytes);
      ++used;
      EXPECT_FALSE(heard.channels.empty() || heard.channels[0].empty());
      EXPECT_EQ(heard.channels.size(), heard.facts.channels.size());
      EXPECT_TRUE(facts_of(text_of(heard.facts)));
      for (const float x : heard.channels[0]) ASSERT_TRUE(std::fabs(x) <= 200);
    } catch (const Refusal& r) {
      ++refused;
      EXPECT_TRUE(refusal_of(text_of(r))) << r.wrong;
    } catch (const std::bad_alloc&) {  // a header that asks for absurdly much
      ++refused;
    }
  };
  for (const auto& [arguments, file] : forms) {
    SCOPED_TRACE(file);
    const std::string whole = read_file(made("in.wav", arguments, file));
    const Heard heard = decoded(whole);
    EXPECT_NEAR(heard.facts.seconds, 1, 0.15);
    for (std::size_t i = 0; i < 40; ++i) {
      attempt(whole.substr(0, 1 + i * i * whole.size() / 1600));
      std::string flipped = whole;  // a byte here and there, most of them in the headers
      for (std::size_t k = 0; k < 3; ++k)
        flipped[(i * i * 7 + k * k * 131) % whole.size()] ^= static_cast<char>(1 << (i + k) % 8);
      attempt(flipped);
    }
  }
  EXPECT_GT(used, 200);
  EXPECT_GT(refused, 50);
}

TEST_F(Decoder, StopsAtItsLimitHoweverLongTheFileIs) {
  written("in.wav", wav_of(8000, {{{1000, 0.4}}}, 20));
  const std::string aac = read_file(made("in.wav", "-c:a aac", "a.aac"));
  EXPECT_THROW(decoded(aac, 3), Refusal);
  EXPECT_NO_THROW(decoded(aac, 21));
}

TEST_F(Decoder, BytesThatCannotBeReadEndIt) {
  const std::string bytes = wav_of(8000, {{{1000, 0.4}}}, 2);
  Source source = source_of(bytes);
  source.read = [good = source.read](std::int64_t from, std::span<std::uint8_t> out) -> std::int64_t {
    return from >= 16384 ? -1 : good(from, out.first(std::min<std::size_t>(out.size(), 16384)));
  };
  const Sink sink{[](int) {}, [](std::span<const std::span<const float>>) {}, [](double) {}};
  const Facts facts = decode(source, sink, 60);
  EXPECT_NEAR(facts.seconds, 1, 0.1);
  EXPECT_TRUE(facts.ends_in_error);
}

}  // namespace
}  // namespace crankwise::audio
