// Free words to findings. A row is a text and exactly the findings that it must propose; `!` before one means "no".
#include "core/words/words.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <random>

#include "core/words/lexicon.h"
#include "core/words/text.h"

namespace crankwise {
namespace {

struct Entry {
  const char* name;
  std::vector<const char*> phrases;
};

const std::vector<Entry> kEntries = {
    {"wall", {"hits a wall", "stops revving at one speed", "like a rev limiter", "won't go past"}},
    {"blubbers", {"blubbers", "burbles", "four-stroking", "runs rich", "loads up", "runs as if the choke is on"}},
    {"flat-on-top", {"flat on top", "no top end", "runs out of power at the top", "slow to rev", "weak on top"}},
    {"bogs-up-top", {"bogs up top", "bogs wide open", "falls on its face at full throttle"}},
    {"breaks-up", {"breaks up", "misfires at high revs", "sputters", "popping"}},
    {"cuts-out", {"cuts out", "dies suddenly", "stopped while riding", "engine died"}},
    {"surges", {"surges", "hunts", "revs go up and down"}},
    {"starves", {"starves", "runs out of fuel", "pulls then dies", "fades after a few seconds"}},
    {"bogs-when-snapped", {"bogs when snapped", "hesitates", "flat spot", "dies when throttle is opened"}},
    {"under-load", {"only under load", "revs fine in neutral", "revs on the stand but not in gear"}},
    {"will-not-rev", {"won't rev", "revs do not come up", "will not rev out with no load"}},
    {"no-power", {"no power", "gutless", "weak", "lost power", "down on power"}},
    {"weak-low-down", {"weak low down", "no bottom end", "only goes at high revs"}},
    {"will-not-start", {"will not start", "refuses to start", "not a pop", "does nothing when kicked", "dead"}},
    {"hard-start-cold", {"hard to start", "takes many kicks", "needs a bump start"}},
    {"hard-start-hot", {"hard to start hot", "won't start hot"}},
    {"will-not-idle", {"won't idle", "stalls", "will not tick over", "barely idles"}},
    {"idle-hangs", {"hanging idle", "revs hang", "slow to come down", "revs do not drop"}},
    {"dies-hot", {"dies when hot", "runs fine cold", "quits when warm"}},
    {"pops-on-overrun", {"pops on overrun", "bangs on closed throttle"}},
    {"spits-back", {"spits back", "backfires through the carburettor"}},
    {"pings", {"pings", "detonation", "knock under load"}},
    {"smokes", {"smokes", "blue smoke", "burns oil"}},
    {"smokes-black", {"black smoke", "stinks of petrol"}},
    {"smokes-white", {"white smoke", "loses coolant"}},
    {"fouls-plugs", {"fouls plugs", "plug wet and black", "keeps fouling"}},
    {"drips-fuel", {"drips fuel", "leaks fuel", "overflow", "floods"}},
    {"noise", {"new noise", "rattle", "rumbling noise", "noises it did not make before"}},
    {"locked", {"locked", "seized", "will not turn over", "kickstarter stuck"}},
    {"kick-soft", {"no compression", "kicks over easily", "lost compression"}},
    {"battery", {"battery flat", "battery dead", "lights dim"}},
    {"throttle-odd", {"throttle sticks", "stiff throttle"}},
    {"clutch-slips", {"clutch slips", "revs rise but no speed"}},
    {"bumps", {"bogs on landing", "cuts out in whoops"}},
    {"comes-and-goes", {"intermittent", "comes and goes", "now and then", "cannot be found"}},
    {"no-spark", {"no spark", "ignition not firing", "weak spark"}},
    {"at-full", {"full throttle", "wide open"}},
    {"at-half", {"half throttle"}},
    {"when-hot", {"when hot", "once warm", "hot engine"}},
    {"when-wet", {"in the rain", "when wet", "after washing"}},
    {"suddenly", {"suddenly", "out of nowhere"}},
    {"slowly", {"slowly", "getting worse", "over time"}},
    {"choke-helps", {"better with choke", "only runs on choke"}},
    {"cap-helps", {"after opening the fuel cap"}},
    {"stood", {"stood", "over winter", "sat for"}},
    {"top-end-apart", {"new top end", "new piston"}},
    {"carb-opened", {"cleaned the carb", "new jets"}},
    {"silencer-off", {"new silencer"}},
    {"plug-new", {"new plug", "changed the plug"}},
};

std::vector<Phrase> phrases() {
  std::vector<Phrase> out;
  for (size_t e = 0; e < kEntries.size(); ++e) {
    for (const char* text : kEntries[e].phrases) out.push_back({static_cast<int>(e), text});
  }
  return out;
}

const Vocabulary& vocabulary() {
  static const Vocabulary it(phrases());
  return it;
}

std::string name_of(int target) { return kEntries[static_cast<size_t>(target)].name; }

std::string in_order(std::vector<std::string> names) {
  std::sort(names.begin(), names.end());
  std::string out;
  for (const std::string& n : names) out += (out.empty() ? "" : " ") + n;
  return out;
}

std::string proposed(std::string_view text) {
  std::vector<std::string> names;
  for (const Proposal& p : vocabulary().propose(text)) names.push_back((p.negated ? "!" : "") + name_of(p.target));
  return in_order(names);
}

struct Row {
  std::string_view text;
  std::string expected;  // names in any order
};

void expect_rows(const std::vector<Row>& rows) {
  for (const Row& row : rows) {
    std::vector<std::string> names;
    for (size_t at = 0; at < row.expected.size();) {
      const size_t end = std::min(row.expected.find(' ', at), row.expected.size());
      names.push_back(row.expected.substr(at, end - at));
      at = end + 1;
    }
    EXPECT_EQ(proposed(row.text), in_order(names)) << row.text;
  }
}

TEST(Words, SeveralComplaintsInOneLine) {
  expect_rows({
      {"bogs up top, blubbers, plug is wet and black", "bogs-up-top blubbers fouls-plugs"},
      {"Starves at the end of the straight; smokes a bit, rattles.", "starves smokes noise"},
      {"idle hangs on overrun and it pops on the overrun", "idle-hangs pops-on-overrun"},
      {"will not start\nkick locked", "will-not-start locked"},
      {"loads up at half throttle but pulls clean wide open", "blubbers at-half at-full"},
  });
}

TEST(Words, OrderOfWords) {
  expect_rows({
      {"up top it bogs", "bogs-up-top"},
      {"plugs: fouls one after the other", "fouls-plugs"},
      {"smoke that is black", "smokes-black"},
      {"to start it is hard", "hard-start-cold"},
      {"when it is hot it dies", "dies-hot when-hot"},
  });
}

TEST(Words, EndingsAndIrregularForms) {
  expect_rows({
      {"bogged when snapped", "bogs-when-snapped"},
      {"bogging wide open", "bogs-up-top at-full"},
      {"it surged", "surges"},
      {"stalling", "will-not-idle"},
      {"hesitation", "bogs-when-snapped"},
      {"losing power", "no-power"},
      {"the engine is dying suddenly", "cuts-out suddenly"},
      {"ran out of fuel", "starves"},
      {"engine has seized", "locked"},
      {"misfiring at high rpm", "breaks-up"},
  });
}

TEST(Words, Synonyms) {
  expect_rows({
      {"leaks gas", "drips-fuel"},
      {"gasoline leaking", "drips-fuel"},
      {"cleaned the carburetor", "carb-opened"},
      {"cleaned the carby", "carb-opened"},
      {"backfires through the carb", "spits-back"},
      {"new muffler", "silencer-off"},
      {"kickstart stuck", "locked"},
      {"bogs at WOT", "bogs-up-top at-full"},
      {"bogs when I whack the throttle open", "bogs-when-snapped"},
      {"won't tickover", "will-not-idle"},
      {"pops on deceleration", "pops-on-overrun"},
      {"difficult to start", "hard-start-cold"},
      {"now and again it cuts out", "comes-and-goes cuts-out"},
      {"all of a sudden it cut out", "suddenly cuts-out"},
  });
}

TEST(Words, Compounds) {
  expect_rows({
      {"four-strokes", "blubbers"},
      {"four strokes", "blubbers"},
      {"fourstrokes", "blubbers"},
      {"back fires through the carburettor", "spits-back"},
      {"over flow", "drips-fuel"},
      {"kick starter stuck", "locked"},
      {"new spark plug", "plug-new"},
      {"a four-stroke engine", ""},
  });
}

TEST(Words, Misspellings) {
  expect_rows({
      {"blubers", "blubbers"},
      {"boggs up top", "bogs-up-top"},
      {"hesitaets", "bogs-when-snapped"},
      {"sputtres", "breaks-up"},
      {"back fires thru the carberator", "spits-back"},
      {"it dosent start", "will-not-start"},
      {"no compresion", "kick-soft"},
      {"siezed", "locked"},
      {"intermitent", "comes-and-goes"},
      {"stinks of petorl", "smokes-black"},
      {"full throtle", "at-full"},
  });
}

TEST(Words, OrdinaryWordsAreNotMisspellings) {
  expect_rows({
      {"the shop said the trail was a mile long", ""},
      {"rode home on the main road", ""},
      {"a bare wire on the coil", ""},
      {"tyres are new, brakes work well", ""},
      {"cord pulled, engine cover off", ""},
  });
}

TEST(Words, NegatedPhraseNeedsNegatedText) {
  expect_rows({
      {"won't start", "will-not-start"},
      {"wont start", "will-not-start"},
      {"won\xE2\x80\x99t start", "will-not-start"},
      {"would not even start", "will-not-start"},
      {"fails to start", "will-not-start"},
      {"no longer starts", "will-not-start"},
      {"starts", ""},
      {"not a single pop", "will-not-start"},
      {"does nothing at all when kicked", "will-not-start"},
      {"spark", ""},
      {"no visible spark", "no-spark"},
      {"without spark", "no-spark"},
      {"lack of power", "no-power"},
      {"revs", ""},
      {"starts and idles but will not rev", "will-not-rev"},
      {"doesn't idle, doesn't start", "will-not-idle will-not-start"},
      {"no spark or compression", "no-spark kick-soft"},
  });
}

TEST(Words, DeniedPhraseIsProposedAsNo) {
  expect_rows({
      {"it does not smoke", "!smokes"},
      {"no black smoke", "!smokes-black"},
      {"never stalls", "!will-not-idle"},
      {"no loss of power", "!no-power"},
      {"no coolant loss", "!smokes-white"},
      {"is not hard to start", "!hard-start-cold"},
      {"it not only smokes, it rattles", "smokes noise"},
      {"does not bog up top but it blubbers", "!bogs-up-top blubbers"},
      {"won't start after it stood over winter", "will-not-start stood"},
      {"no spark with a new plug", "no-spark plug-new"},
      {"will not pull clean at full throttle", "at-full"},
      {"will not run without popping", "breaks-up"},
  });
}

TEST(Words, PraiseAnswersNoToAFault) {
  expect_rows({
      {"strong spark", "!no-spark"},
      {"good spark", "!no-spark"},
      {"spark is fine", "!no-spark"},
      {"has spark", "!no-spark"},
      {"compression seems ok", "!kick-soft"},
      {"starts well", "!will-not-start"},
      {"idles perfectly", "!will-not-idle"},
      {"no trouble starting", "!will-not-start"},
      {"not a good spark", "no-spark"},
      {"tank is fine", ""},
  });
}

TEST(Words, HedgesDoNotMatter) {
  expect_rows({
      {"it seems to maybe blubber a bit", "blubbers"},
      {"plug is kind of wet and sort of black", "fouls-plugs"},
      {"really very hard to start I think", "hard-start-cold"},
      {"it just about never really wants to start", "will-not-start"},
  });
}

TEST(Words, WordsOfDifferentClausesDoNotJoin) {
  expect_rows({
      {"plug is black, smoke comes from my pipe", "smokes"},
      {"battery is new. Dead straight forks", ""},
      {"the lights work; dim garage though", ""},
      {"bogs a little. Up top it is fine", ""},
      {"plug is wet, and rather black", "fouls-plugs"},
      {"it pulls, then dies", "starves"},
      {"dies, then pulls", ""},
  });
}

TEST(Words, TheMoreSpecificPhraseWins) {
  expect_rows({
      {"hard to start", "hard-start-cold"},
      {"hard to start when hot", "hard-start-hot when-hot"},
      {"cuts out", "cuts-out"},
      {"cuts out in the whoops", "bumps"},
      {"battery dead", "battery"},
      {"it is dead", "will-not-start"},
      {"weak", "no-power"},
      {"weak spark", "no-spark"},
      {"weak on top", "flat-on-top"},
      {"weak low down", "weak-low-down"},
      {"power came slowly back", ""},
      {"the plug is wet", ""},
      {"misses when wet", "when-wet"},
  });
}

TEST(Words, SaysWhatItHeard) {
  const auto heard = [](std::string_view text) {
    const auto p = vocabulary().propose(text);
    return p.empty() ? std::string() : p[0].heard;
  };
  EXPECT_EQ(heard("well, it Bogs up TOP, sadly"), "Bogs up TOP");
  EXPECT_EQ(heard("my bike really won\xE2\x80\x99t start now"), "won\xE2\x80\x99t start");
  EXPECT_EQ(heard("the plug is wet and really, really black"), "plug is wet ... black");
}

TEST(Words, ScoresFallWithTheFit) {
  const auto score = [](std::string_view text) {
    const auto p = vocabulary().propose(text, 0.0);
    return p.empty() ? 0.0 : p[0].score;
  };
  EXPECT_GT(score("plug wet and black"), score("black and wet plug"));
  EXPECT_GT(score("burbles"), score("burbels"));
  EXPECT_GT(score("no spark"), score("good spark"));
  EXPECT_LE(score("plug wet and black"), 1.0);
  EXPECT_TRUE(vocabulary().propose("bogs up top", 1.01).empty());
}

TEST(Words, EveryPhraseProposesItsOwnTargetFirst) {
  for (const Phrase& phrase : phrases()) {
    const auto p = vocabulary().propose(phrase.text);
    ASSERT_FALSE(p.empty()) << phrase.text;
    EXPECT_EQ(name_of(p[0].target), name_of(phrase.target)) << phrase.text;
    EXPECT_FALSE(p[0].negated) << phrase.text;
  }
}

/// A slip that makes an ordinary word, such as `foods` of `floods`, cannot be seen.
bool is_another_word(const std::vector<words::RawWord>& text, size_t begin) {
  static const std::vector<words::RawWord> ordinary = words::split(words::ordinary_words());
  const auto slip = std::find_if(text.begin(), text.end(), [&](const auto& w) { return w.begin == begin; });
  return std::any_of(ordinary.begin(), ordinary.end(),
                     [&](const auto& w) { return words::stem(w.form) == words::stem(slip->form); });
}

TEST(Words, OneTypoInALongWordIsForgiven) {
  std::mt19937 random(20);
  int tried = 0;
  for (const Phrase& phrase : phrases()) {
    for (const words::RawWord& word : words::split(phrase.text)) {
      if (word.form.size() < 6 || word.end - word.begin != word.form.size()) continue;
      for (int kind = 0; kind < 4; ++kind) {
        std::string text = phrase.text;
        const size_t at = word.begin + 1 + random() % (word.form.size() - 2);
        const char letter = static_cast<char>('a' + random() % 26);
        if (kind == 0) text.erase(at, 1);
        if (kind == 1) text.insert(at, 1, letter);
        if (kind == 2) text[at] = letter;
        if (kind == 3) std::swap(text[at], text[at + 1]);
        if (is_another_word(words::split(text), word.begin)) continue;
        const auto p = vocabulary().propose(text);
        const bool there =
            std::any_of(p.begin(), p.end(), [&](const Proposal& x) { return x.target == phrase.target && !x.negated; });
        EXPECT_TRUE(there) << phrase.text << " as " << text;
        ++tried;
      }
    }
  }
  EXPECT_GT(tried, 200);
}

TEST(Words, ExamplesOfTheHeader) {
  const Vocabulary v({{0, "bogs up top"}, {1, "will not start"}, {2, "black smoke"}});
  const auto one = [&](std::string_view text) {
    const auto p = v.propose(text);
    return p.size() != 1 ? std::string() : std::to_string(p[0].target) + (p[0].negated ? " no, " : ", ") + p[0].heard;
  };
  EXPECT_EQ(one("wont rev clean, boging on top end"), "0, boging on top end");
  EXPECT_EQ(one("no black smoke"), "2 no, no black smoke");
  EXPECT_EQ(one("starts fine"), "1 no, starts");
  EXPECT_TRUE(v.propose("black plug, smoke from my pipe").empty());
}

TEST(Words, SameTextSameAnswer) {
  const Vocabulary other(phrases());
  for (const std::string_view text : {"bogs up top, blubbers", "no spark, starts well, smokes", "hrad to strat hot"}) {
    const auto a = vocabulary().propose(text), b = other.propose(text);
    ASSERT_EQ(a.size(), b.size());
    for (size_t i = 0; i < a.size(); ++i) {
      EXPECT_EQ(a[i].target, b[i].target);
      EXPECT_EQ(a[i].score, b[i].score);
      EXPECT_EQ(a[i].heard, b[i].heard);
    }
  }
}

}  // namespace
}  // namespace crankwise
