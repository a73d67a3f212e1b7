// What a picture file is, and what is not one. Sizes are those that Pillow was told to write.
#include "edge/picture.h"

#include <gtest/gtest.h>

#include "tests/pictures.h"
#include "tests/refusal.h"

namespace crankwise {
namespace {

using namespace test;

TEST(Picture, KnowsEachFormAndItsSize) {
  const std::pair<const std::string*, const char*> pictures[] = {
      {&kJpeg, "image/jpeg"},      {&kProgressive, "image/jpeg"},  {&kTurnedJpeg, "image/jpeg"},  {&kPng, "image/png"},
      {&kWebpLossy, "image/webp"}, {&kWebpLossless, "image/webp"}, {&kWebpExtended, "image/webp"}};
  for (const auto& [bytes, type] : pictures) {
    const PictureFacts facts = picture_facts(*bytes, "p");
    EXPECT_EQ(facts.media_type, type);
    EXPECT_EQ(facts.width, 3) << type;
    EXPECT_EQ(facts.height, 2) << type;
  }
}

TEST(Picture, MoreAfterTheEndOfAJpegIsNoHarm) { EXPECT_EQ(picture_facts(kJpeg + std::string(100, 'x'), "p").width, 3); }

TEST(Picture, RefusesWhatIsNone) {
  const auto said = [](const std::string& bytes) { return refusal([&] { picture_facts(bytes, "p.jpg"); }); };
  EXPECT_NE(said("").find("p.jpg: is empty"), std::string::npos);
  EXPECT_NE(said("GIF89a and more").find("not a JPEG, PNG or WebP"), std::string::npos);
  EXPECT_NE(said("<html><script>").find("not a JPEG, PNG or WebP"), std::string::npos);
  EXPECT_NE(said("\xff\xd8\xff").find("damaged"), std::string::npos);
  EXPECT_NE(said(kPng.substr(0, 8)).find("damaged"), std::string::npos);
  EXPECT_NE(said("RIFF....WEBP").find("damaged"), std::string::npos);
  EXPECT_NE(said(std::string(kMostPictureBytes + 1, 'x')).find("20 MB at the most"), std::string::npos);
}

/// The numbers of the header at the same places, other sizes in them.
std::string png_of(unsigned width, unsigned height) {
  std::string bytes = kPng;
  for (int i = 0; i < 4; ++i) {
    bytes[static_cast<size_t>(16 + i)] = static_cast<char>(width >> (24 - 8 * i));
    bytes[static_cast<size_t>(20 + i)] = static_cast<char>(height >> (24 - 8 * i));
  }
  return bytes;
}

TEST(Picture, RefusesSizesBeyondReason) {
  EXPECT_EQ(picture_facts(png_of(12000, 9000), "p").width, 12000);
  EXPECT_NE(refusal([] { picture_facts(png_of(0, 2), "p"); }), "");
  EXPECT_NE(refusal([] { picture_facts(png_of(0xffffffff, 2), "p"); }), "");
  EXPECT_NE(refusal([] { picture_facts(png_of(30001, 1), "p"); }), "");
  EXPECT_NE(refusal([] { picture_facts(png_of(20000, 20000), "p"); }), "");
}

TEST(Picture, NothingCutOffPassesAndNothingBeyondTheEndIsRead) {
  for (const std::string* whole :
       {&kJpeg, &kProgressive, &kTurnedJpeg, &kPng, &kWebpLossy, &kWebpLossless, &kWebpExtended}) {
    for (size_t length = 0; length < whole->size(); ++length) {
      // A copy of its own, so that the address sanitizer sees its end.
      const std::string cut = whole->substr(0, length);
      EXPECT_NE(refusal([&] { picture_facts(cut, "p"); }), "") << length << " of " << whole->size();
    }
  }
}

}  // namespace
}  // namespace crankwise
