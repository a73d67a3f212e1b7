// Files that are no recordings, or none that can be used: each is refused by name, with what is wrong and what would be
// right, and nothing that it names is opened.
#include <fcntl.h>
#include <gtest/gtest.h>
#include <netinet/in.h>
#include <sys/socket.h>
#include <sys/stat.h>
#include <unistd.h>

#include "edge/audio/take.h"
#include "tests/refusal.h"
#include "tests/take_case.h"

namespace crankwise {
namespace {

using namespace test;
using audio::Limits;
using audio::read_take;

class TakeBad : public TakeCase {
 protected:
  std::string said(const fs::path& file, const Limits& limits = {}) {
    const std::string text = refusal([&] { read_take(file, limits); });
    EXPECT_TRUE(text.starts_with(file.string() + ": ")) << text;
    return text;
  }
  std::string said_of(std::string_view bytes, const Limits& limits = {}) { return said(written("x", bytes), limits); }
  static bool has(const std::string& text, const std::string& part) { return text.find(part) != std::string::npos; }
};

#define SAYS(text, part) EXPECT_PRED2(has, text, part)

TEST_F(TakeBad, WhatIsNoFile) {
  SAYS(said(dir_ / "nothing.wav"), "there is no such file");
  SAYS(said(dir_), "is a folder");
  ASSERT_EQ(::mkfifo((dir_ / "pipe").c_str(), 0600), 0);
  SAYS(said(dir_ / "pipe"), "is no ordinary file");
  SAYS(said("/dev/zero"), "is no ordinary file");
  SAYS(said(written("empty.wav", "")), "is empty");
  if (::geteuid() != 0) {
    const fs::path locked = written("locked.wav", "x");
    fs::permissions(locked, fs::perms::none);
    SAYS(said(locked), "cannot be read: Permission denied");
  }
}

TEST_F(TakeBad, WhatIsNoSound) {
  SAYS(said_of("The bike will not rev out.\n"), "is not a sound or video file");
  SAYS(said_of(std::string(100'000, '\0')), "is not a sound or video file");
  SAYS(said_of("%PDF-1.4\n"), "is not a sound or video file");
  SAYS(said(ran("-f lavfi -i testsrc=d=1:r=1", "p.jpg")), "is a picture");
  SAYS(said(ran("-f lavfi -i testsrc=d=1:r=1", "p.png")), "is a picture");
  std::string noise;
  std::uint32_t state = 7;
  for (int i = 0; i < 200'000; ++i) noise += static_cast<char>((state = state * 1664525 + 1013904223) >> 24);
  SAYS(said_of(noise), "is not a sound or video file");
  SAYS(said(ran("-f lavfi -i sine=d=1", "a.avi")), "of the form \"avi\", which is not read");
}

TEST_F(TakeBad, VideoWithoutSound) {
  for (const char* name : {"a.mp4", "a.mov"})
    SAYS(said(ran("-f lavfi -i testsrc=s=64x48:d=1 -c:v mpeg4", name)), "is a video without sound");
  SAYS(said(ran("-f lavfi -i testsrc=s=64x48:d=1 -c:v libvpx", "a.webm")), "is a video without sound");
}

TEST_F(TakeBad, EncryptedOrOfAnUnknownCodec) {
  written("in.wav", wav_of(44100, {{{500, 0.3}}}, 1));
  SAYS(said(made("in.wav",
                 "-c:a aac -encryption_scheme cenc-aes-ctr -encryption_key 76a6c65c5ea762046bd749a2e632ccbb "
                 "-encryption_kid a7e61c373e219033c21091fa607bf3b8",
                 "locked.mp4")),
       "is encrypted");
  SAYS(said(made("in.wav", "-c:a wmav2", "a.mka")), "coded as wmav2, which is not read");
  std::string mp4 = read_file(made("in.wav", "-c:a alac", "a.m4a"));
  for (std::size_t at = 0; (at = mp4.find("alac", at)) != std::string::npos;) mp4.replace(at, 4, "zzzz");
  SAYS(said_of(mp4), "in a code that is not known");
}

TEST_F(TakeBad, Damaged) {
  written("in.wav", wav_of(44100, {{{500, 0.3}}}, 2));
  const std::string mp4 = read_file(made("in.wav", "-c:a aac", "a.m4a"));  // its table is at the end
  SAYS(said_of(mp4.substr(0, mp4.size() * 9 / 10)), "begins as mp4, but is cut off or damaged");
  const std::string flac = read_file(made("in.wav", "-c:a flac", "a.flac"));
  SAYS(said_of(flac.substr(0, 500)), "flac");
  std::string torn = flac;
  std::fill(torn.begin() + 8192 + 100, torn.end(), 'x');
  EXPECT_NE(said_of(torn.substr(0, 8192) + std::string(50'000, 'x')), "");
  const std::string head = wav_of(44100, {{{500, 0.3}}}, 0.1).substr(0, 44);
  SAYS(said_of(head), "0 seconds long");
  SAYS(said_of(head.substr(0, 40)), "begins as wav, but is cut off or damaged");
}

TEST_F(TakeBad, TooLongTooBigTooSlowARate) {
  const fs::path file = written("a.wav", wav_of(8000, {{{500, 0.3}}}, 5));
  SAYS(said(file, {.seconds = 2}), "lasts 5.0 seconds; right would be: at most 2.0 seconds");
  EXPECT_EQ(read_take(file, {.seconds = 5}).signal.samples, 40'000);
  EXPECT_EQ(read_take(file, {.seconds = 4.9}).signal.samples, 40'000) << "whole frames may be a little more";
  SAYS(said(file, {.file_bytes = 50'000}), "has 0.1 MB; right would be: at most 0.05 MB");
  // One that does not say how long it is.
  SAYS(said(made("a.wav", "-c:a aac", "a.aac"), {.seconds = 2}), "lasts");
  std::string slow = read_file(file);
  slow.replace(24, 4, std::string("\xa0\x0f\x00\x00", 4));  // 4000 Hz
  SAYS(said_of(slow), "is sampled at 4000 Hz; right would be: 8 to 96 kHz");
  SAYS(said_of(wav_of(8000, std::vector<Lane>(17, Lane{{500, 0.1}}), 1)), "has 17 channels");
}

TEST_F(TakeBad, NothingThatAFilePointsAtIsOpened) {
  const int listener = ::socket(AF_INET, SOCK_STREAM | SOCK_NONBLOCK | SOCK_CLOEXEC, 0);
  sockaddr_in address{};
  address.sin_family = AF_INET;
  address.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
  socklen_t size = sizeof address;
  ASSERT_EQ(::bind(listener, reinterpret_cast<sockaddr*>(&address), size), 0);
  ASSERT_EQ(::listen(listener, 5), 0);
  ASSERT_EQ(::getsockname(listener, reinterpret_cast<sockaddr*>(&address), &size), 0);
  const std::string url = "http://127.0.0.1:" + std::to_string(ntohs(address.sin_port)) + "/a.ts";
  const std::string real = written("real.wav", wav_of(44100, {{{500, 0.3}}}, 1)).string();

  for (const std::string& target : {url, real}) {
    SAYS(said_of("#EXTM3U\n#EXT-X-TARGETDURATION:10\n#EXTINF:10,\n" + target + "\n#EXT-X-ENDLIST\n"), "is a playlist");
    SAYS(said_of("#EXTM3U\n" + target + "\n"), "is a playlist");
    SAYS(said_of("ffconcat version 1.0\nfile '" + target + "'\n"), "is a playlist");
    SAYS(said_of("[playlist]\nFile1=" + target + "\n"), "is a playlist");
    SAYS(said_of("<?xml version=\"1.0\"?><MPD xmlns=\"urn:mpeg:dash:schema:mpd:2011\" profiles=\"urn:mpeg:dash:profile:"
                 "isoff-live:2011\"><Period><AdaptationSet><Representation><BaseURL>" +
                 target + "</BaseURL></Representation></AdaptationSet></Period></MPD>"),
         "is a playlist");
    SAYS(said_of("v=0\no=- 0 0 IN IP4 127.0.0.1\ns=x\nc=IN IP4 127.0.0.1\nt=0 0\nm=audio 5004 RTP/AVP 0\na=control:" +
                 target + "\n"),
         "is a playlist");
    EXPECT_NE(said_of(target + "\n"), "");
  }
  EXPECT_EQ(::accept(listener, nullptr, nullptr), -1);
  EXPECT_EQ(errno, EAGAIN) << "nobody called";
  ::close(listener);
}

TEST_F(TakeBad, MovieWhoseSoundLiesInAnotherFile) {
  written("in.wav", wav_of(44100, {{{500, 0.3}}}, 1));
  std::string mov = read_file(made("in.wav", "-c:a pcm_s16le", "a.mov"));
  // The data reference (QuickTime File Format, data reference atoms) loses its flag "in this same file".
  const auto dref = mov.find("dref");
  ASSERT_NE(dref, std::string::npos);
  const auto url = std::min(mov.find("url ", dref), mov.find("alis", dref));
  ASSERT_NE(url, std::string::npos);
  mov[url + 7] = 0;
  const auto made_of = [&] { return read_take(written("b.mov", mov)); };
  // Read as if it lay in this one, or refused: never from elsewhere.
  try {
    EXPECT_NEAR(heard(samples_of(made_of()), 500, 0.1, 0.9).amplitude, 0.3, 0.01);
  } catch (const BadInput& e) {
    SAYS(std::string(e.what()), "b.mov");
  }
}

}  // namespace
}  // namespace crankwise
