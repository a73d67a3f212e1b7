// Game archives, packages and the readings of real recordings.
#include <gtest/gtest.h>

#include <filesystem>
#include <stdexcept>
#include <string>

#include "tests/sounds/archives.h"
#include "tests/sounds/packages.h"
#include "tests/sounds/process.h"
#include "tests/sounds/real.h"

namespace crankwise::sounds {
namespace {

using namespace std::string_literals;

const std::filesystem::path kCache = std::filesystem::path(CRANKWISE_SOURCE_DIR) / "build/recordings";

std::string little(unsigned value, int size) {
  std::string out;
  for (int i = 0; i < size; ++i) out += static_cast<char>(value >> (8 * i) & 0xff);
  return out;
}

/// Two sounds: offsets with the highest bit set, lengths; each sound a name and a file.
std::string cat() {
  const std::string one =
                        "\x03"
                        "one"
                        "RIFF1",
                    two =
                        "\x03"
                        "two"
                        "RIFF22";
  return little(16 | 0x80000000, 4) + little(5, 4) + little(16 + 9, 4) + little(6, 4) + one + two;
}

TEST(Archives, SoundsComeOutOfACat) {
  EXPECT_EQ(out_of_cat(cat(), 0), "RIFF1");
  EXPECT_EQ(out_of_cat(cat(), 1), "RIFF22");
  EXPECT_THROW(out_of_cat(cat(), 2), std::runtime_error);
  for (std::size_t n = 0; n < cat().size(); ++n)
    EXPECT_THROW(out_of_cat(cat().substr(0, n), 1), std::runtime_error) << n;
}

/// One lump, a sound of three samples at 11,025 Hz.
std::string wad() {
  const std::string sound = little(3, 2) + little(11025, 2) + little(3, 4) + "abc";
  return "IWAD" + little(1, 4) + little(12 + 11, 4) + sound + little(12, 4) + little(11, 4) + "DSSAW\0\0\0"s;
}

TEST(Archives, SoundsComeOutOfAWad) {
  const std::string riff = out_of_wad(wad(), "DSSAW");
  EXPECT_EQ(riff.size(), 47U);
  EXPECT_EQ(riff.substr(40), little(3, 4) + "abc");
  EXPECT_EQ(riff.substr(24, 4), little(11025, 4));
  EXPECT_THROW(out_of_wad(wad(), "DSSA"), std::runtime_error);
  EXPECT_THROW(out_of_wad("RIFF" + wad().substr(4), "DSSAW"), std::runtime_error);
  for (std::size_t n = 0; n < wad().size(); ++n) {
    EXPECT_THROW(out_of_wad(wad().substr(0, n), "DSSAW"), std::runtime_error) << n;
  }
}

std::string bin() {
  return "XBI3\x02"
         "ab\x05"
         "a.lvl\x01z"s +
         little(2, 4) +
         "xy\x05"
         "b.wav\x01z" +
         little(4, 4) + "RIFF";
}

TEST(Archives, FilesComeOutOfABin) {
  EXPECT_EQ(out_of_bin(bin(), "a.lvl"), "xy");
  EXPECT_EQ(out_of_bin(bin(), "b.wav"), "RIFF");
  EXPECT_THROW(out_of_bin(bin(), "c.wav"), std::runtime_error);
  for (std::size_t n = 0; n < bin().size(); ++n) {
    EXPECT_THROW(out_of_bin(bin().substr(0, n), "b.wav"), std::runtime_error) << n;
  }
}

TEST(Archives, PcmIsReadAsItIs) {
  const std::string head = "RIFF" + little(0, 4) + "WAVEfmt " + little(16, 4) + little(1, 2) + little(1, 2) +
                           little(44100, 4) + little(88200, 4) + little(2, 2) + little(16, 2) + "data" + little(4, 4);
  const Pcm pcm = pcm_of(head + little(0x8000, 2) + little(0x4000, 2));
  EXPECT_EQ(pcm.rate_hz, 44100);
  EXPECT_EQ(pcm.samples, (Sound{-1, 0.5}));
  EXPECT_THROW(pcm_of(head), std::runtime_error);
}

TEST(Labels, AreReadAndDrawnThrough) {
  const Label l =
      read_label("x",
                 "# saw\npackage p\npath a/b.ogg\npart 56\ncycle four-stroke\nlimits 900 12000\ntolerance 1.5\n"
                 "0.20 1000\n0.40 3000  # top\n");
  EXPECT_EQ(l.package, "p");
  EXPECT_EQ(l.part, "56");
  EXPECT_EQ(l.engine.cycle, Cycle::four_stroke);
  EXPECT_EQ(l.engine.rpm_max, 12000);
  EXPECT_NEAR(l.tolerance, 0.015, 1e-12);
  EXPECT_EQ(l.rpm(0.1), 0);
  EXPECT_EQ(l.rpm(0.2), 1000);
  EXPECT_NEAR(l.rpm(0.35), 2500, 1e-9);
  EXPECT_EQ(l.rpm(0.41), 0);
  for (const char* bad : {"package p\npath x\n0 1\n", "package p\npath x\n0.2 1\n0.1 1\n", "path x\n0 1\n1 1\n",
                          "package p\npath x\n0 1\n1 none\n", "package p\npath x\ncycle rotary\n0 1\n1 1\n",
                          "package p\npath x\n0 1\n1 -5\n", "package p\npath x\nspeed 3\n0 1\n1 1\n"}) {
    EXPECT_THROW(read_label("x", bad), std::runtime_error) << bad;
  }
}

TEST(Labels, OfTheTreeAreWithinWhatTheirEnginesCanDo) {
  const std::vector<Label> all = read_labels(std::filesystem::path(CRANKWISE_SOURCE_DIR) / "tests/sounds/real");
  ASSERT_EQ(all.size(), 5U);
  for (const Label& l : all) {
    for (std::size_t i = 0; i < l.read.size(); ++i) {
      EXPECT_GE(l.read[i].second, l.engine.rpm_min) << l.name;
      EXPECT_LE(l.read[i].second, l.engine.rpm_max) << l.name;
      if (i == 0) continue;
      const double rise = (l.read[i].second / l.read[i - 1].second - 1) / (l.read[i].first - l.read[i - 1].first);
      EXPECT_LT(std::abs(rise), 9) << l.name << " at " << l.read[i].first;  // an engine does not go faster, per second
    }
  }
}

/// The two smaller packages: fetched once, then from the cache.
TEST(Recordings, ComeOutOfPackages) {
  try {
    from_package("openttd-opensfx", "usr/share/games/openttd/baseset/opensfx/opensfx.cat", kCache);
    from_package("xmoto-data", "usr/share/games/xmoto/xmoto.bin", kCache);
  } catch (const std::runtime_error& e) {
    GTEST_SKIP() << e.what();  // no Debian, or no network
  }
  for (const Label& l : read_labels(std::filesystem::path(CRANKWISE_SOURCE_DIR) / "tests/sounds/real")) {
    if (l.package != "openttd-opensfx") continue;
    EXPECT_NEAR(static_cast<double>(std::filesystem::file_size(recording(l, kCache))), 239002, 1000);  // 2.7 s
  }
  const Case c = make_bangs("bangs_4t_pull", kCache);
  EXPECT_EQ(c.samples, make_bangs("bangs_4t_pull", kCache).samples);
  EXPECT_NEAR(static_cast<double>(c.samples.size()) / 8000, c.truth.rpm.seconds(), 0.001);
  EXPECT_NEAR(static_cast<double>(c.truth.firings.size()), c.truth.rpm.turns(c.truth.rpm.seconds()) / 2, 1);
}

TEST(Processes, TellWhatTheySayAndFail) {
  EXPECT_EQ(output_of({find_program("printf"), "%s", "a b; c"}), "a b; c");
  EXPECT_EQ(output_of({find_program("pwd")}, "/usr"), "/usr\n");
  EXPECT_THROW(output_of({find_program("false")}), std::runtime_error);
  EXPECT_THROW(output_of({"/no/such/program"}), std::runtime_error);
  EXPECT_EQ(find_program("no-such-program-at-all"), "");
}

}  // namespace
}  // namespace crankwise::sounds
