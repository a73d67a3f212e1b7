// Whatever the bytes are, words are found quickly and nothing breaks.
#include <gtest/gtest.h>

#include <chrono>
#include <random>
#include <set>

#include "core/words/text.h"
#include "core/words/words.h"

namespace crankwise {
namespace {

const std::vector<Phrase> kPhrases = {
    {0, "bogs up top"},      {1, "no spark"},
    {2, "blubbers"},         {3, "stalls"},
    {4, "when hot"},         {5, "hard to start hot"},
    {6, "pulls then dies"},  {7, "plug wet and black"},
    {8, "runs out of fuel"}, {9, "dead"},
};

const Vocabulary& vocabulary() {
  static const Vocabulary it(kPhrases);
  return it;
}

/// The targets proposed, best first: "0 3".
std::string proposed(std::string_view text) {
  std::string out;
  for (const Proposal& p : vocabulary().propose(text)) out += (out.empty() ? "" : " ") + std::to_string(p.target);
  return out;
}

TEST(WordsText, NothingToHear) {
  for (const char* text : {"", " \t\n", ".,;:!?-'()&+/", "the it is at of", "12345 0.6 25:1 3/4"}) {
    EXPECT_EQ(proposed(text), "") << text;
  }
  EXPECT_TRUE(Vocabulary({}).propose("bogs up top").empty());
  EXPECT_TRUE(Vocabulary({{0, ""}, {1, "..."}, {2, "the"}}).propose("bogs up top, the").empty());
}

TEST(WordsText, AnyBytesAreAccepted) {
  EXPECT_EQ(proposed("\xFF\xFE bogs \x80up\xC3 top\xE2\x80"), "0");
  EXPECT_EQ(proposed("bl\xC3\xBC"
                     "bbers"),
            "2");
  EXPECT_EQ(proposed(std::string_view("no\0spark", 8)), "1");
  EXPECT_EQ(proposed("\xE2\x9A\xA1 no spark \xF0\x9F\x98\xA2"), "1");
  EXPECT_EQ(proposed(std::string(100000, 'b')), "");
  EXPECT_EQ(proposed("boggs" + std::string(100000, 's') + " stalls"), "3");
  std::mt19937 random(7);
  for (int round = 0; round < 300; ++round) {
    std::string text(random() % 300, ' ');
    for (char& c : text) c = static_cast<char>(random() % 256);
    for (const Proposal& p : vocabulary().propose(text, 0.0)) {
      EXPECT_GE(p.score, 0.0);
      EXPECT_LE(p.score, 1.0);
    }
  }
}

/// A phrase may be any bytes as well.
TEST(WordsText, AnyPhraseIsAccepted) {
  std::mt19937 random(8);
  std::vector<Phrase> odd = kPhrases;
  for (int target = 10; target < 60; ++target) {
    std::string text(random() % 60, ' ');
    for (char& c : text) c = static_cast<char>(random() % 256);
    odd.push_back({target, text});
  }
  odd.push_back({60, "not not without no nothing never or and but then"});
  odd.push_back({61, "a b c d e f g h i j k l m n o p q r s t u v w x y z bogs"});
  const Vocabulary it(odd);
  for (const Phrase& phrase : odd) it.propose(phrase.text, 0.0);
  EXPECT_EQ(it.propose("it bogs up top")[0].target, 0);
}

/// Words of the vocabulary and noise, without end: the worst case for the matcher.
std::string junk(size_t bytes) {
  std::mt19937 random(11);
  std::string text;
  while (text.size() < bytes) {
    const auto words = words::split(kPhrases[random() % kPhrases.size()].text);
    text += random() % 3 == 0 ? std::string(1 + random() % 9, static_cast<char>('a' + random() % 26))
                              : words[random() % words.size()].form;
    text += random() % 40 == 0 ? ", " : " ";
  }
  for (const char* more : {"no spark ", "hot ", "not ", "dies then "}) {
    for (int i = 0; i < 2000; ++i) text += more;
  }
  return text;
}

TEST(WordsText, LongJunkIsCheapAndSaysEachTargetOnce) {
  const std::string text = junk(100000);
  const auto start = std::chrono::steady_clock::now();
  const auto heard = vocabulary().propose(text);
  const auto took = std::chrono::steady_clock::now() - start;
  std::set<int> seen;
  for (const Proposal& p : heard) EXPECT_TRUE(seen.insert(p.target).second) << p.target;
#ifndef CRANKWISE_SANITIZED
  EXPECT_LT(took, std::chrono::seconds(5));
#else
  EXPECT_LT(took, std::chrono::seconds(60));
#endif
}

TEST(WordsText, Stems) {
  using words::stem;
  for (const auto& [form, root] : std::vector<std::pair<const char*, const char*>>{{"bogs", "bog"},
                                                                                   {"bogging", "bog"},
                                                                                   {"bogged", "bog"},
                                                                                   {"surges", "surg"},
                                                                                   {"surging", "surg"},
                                                                                   {"misses", "mis"},
                                                                                   {"missing", "mis"},
                                                                                   {"carried", "carri"},
                                                                                   {"carry", "carri"},
                                                                                   {"speed", "speed"},
                                                                                   {"spring", "spring"},
                                                                                   {"gas", "gas"},
                                                                                   {"", ""},
                                                                                   {"s", "s"}}) {
    EXPECT_EQ(stem(form), root) << form;
  }
}

TEST(WordsText, Edits) {
  using words::edits;
  EXPECT_EQ(edits("petrol", "petrol", 2), 0);
  EXPECT_EQ(edits("petorl", "petrol", 2), 1);
  EXPECT_EQ(edits("ptrol", "petrol", 2), 1);
  EXPECT_EQ(edits("petrool", "petrol", 2), 1);
  EXPECT_EQ(edits("pedrul", "petrol", 2), 2);
  EXPECT_EQ(edits("diesel", "petrol", 2), 3);
  EXPECT_EQ(edits("", "ab", 2), 2);
  EXPECT_EQ(edits(std::string(50, 'a'), std::string(50, 'a'), 2), 3) << "too long to be looked at";
}

}  // namespace
}  // namespace crankwise
