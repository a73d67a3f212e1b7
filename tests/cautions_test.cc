// No step of the knowledge without its warnings: those that its engine state, its parts, its findings or the words of
// its instructions ask for. Which hazard belongs to which job is common practice; the air pressure is that of 29 CFR
// 1910.242(b).
#include <gtest/gtest.h>

#include <algorithm>
#include <regex>
#include <set>
#include <string>
#include <vector>

#include "edge/knowledge.h"
#include "tests/real_knowledge.h"

namespace crankwise {
namespace {

const Knowledge& knowledge() { return real_knowledge(); }

/// What comes off by itself on the way to a part counts as coming off.
std::set<std::string> coming_off(const Step& s) {
  std::set<std::string> off;
  std::vector<std::string> open = s.off;
  while (!open.empty()) {
    const std::string id = open.back();
    open.pop_back();
    if (!off.insert(id).second) continue;
    const Part* p = knowledge().parts.find(id);
    if (p != nullptr) open.insert(open.end(), p->after.begin(), p->after.end());
  }
  return off;
}

/// Steps without a caution that they must carry, told all at once.
class Missing {
 public:
  void need(const Step& s, const std::string& caution, const std::string& why) {
    ++needed_;
    ASSERT_NE(knowledge().cautions.find(caution), nullptr) << caution;
    const std::vector<std::string> shown = cautions_of(knowledge(), s);
    if (std::find(shown.begin(), shown.end(), caution) != shown.end()) return;
    list_ += "\n  " + s.id + " needs \"" + caution + "\": " + why;
  }
  ~Missing() {
    EXPECT_EQ(list_, "");
    EXPECT_GT(needed_, 0) << "no step to judge";
  }

 private:
  std::string list_;
  int needed_ = 0;
};

TEST(Cautions, EngineRunningRiddenOrHot) {
  Missing missing;
  for (const Step& s : knowledge().steps) {
    if (s.engine == EngineState::running) missing.need(s, "exhaust-gas", "the engine runs");
    if (s.engine == EngineState::ridden) missing.need(s, "ride-test", "the bike is ridden");
    if (s.engine == EngineState::hot) missing.need(s, "hot-parts", "the engine is hot");
  }
}

TEST(Cautions, Petrol) {
  Missing missing;
  for (const Step& s : knowledge().steps) {
    const auto off = coming_off(s);
    for (const char* part : {"tank", "carburettor", "float-bowl", "float-bowl-plug", "fuel-pump", "throttle-body"}) {
      ASSERT_NE(knowledge().parts.find(part), nullptr) << part;
      if (off.count(part) == 0) continue;
      missing.need(s, "petrol-vapour", std::string("off comes the ") + part);
      break;
    }
  }
}

TEST(Cautions, PartsThatHurt) {
  struct Hazard {
    const char *part, *caution;
  };
  for (const auto& [part, caution] :
       {Hazard{"flywheel", "puller"}, Hazard{"pipe", "hot-parts"}, Hazard{"pipe", "pipe-springs"},
        Hazard{"silencer", "hot-parts"}, Hazard{"plug", "brittle-plug"}, Hazard{"coolant", "hot-coolant"},
        Hazard{"clutch-cover", "old-fluids"}, Hazard{"camshaft", "springs-clips"}, Hazard{"cylinder", "springs-clips"},
        Hazard{"engine", "lifting"}, Hazard{"fuel-pump", "fuel-under-pressure"},
        Hazard{"throttle-body", "fuel-under-pressure"}}) {
    ASSERT_NE(knowledge().parts.find(part), nullptr) << part;
    Missing missing;
    for (const Step& s : knowledge().steps) {
      if (coming_off(s).count(part) > 0) missing.need(s, caution, std::string("off comes the ") + part);
    }
  }
}

TEST(Cautions, PressureInTheEngine) {
  Missing missing;
  int leak_downs = 0;
  for (const Step& s : knowledge().steps) {
    std::set<std::string> told(s.answers.begin(), s.answers.end());
    for (const std::string& id : s.reads) {
      const Reading* r = knowledge().readings.find(id);
      told.insert({r->below, r->above, r->open});
    }
    if (told.count("leak-down-high") > 0) ++leak_downs, missing.need(s, "compressed-air", "leak-down");
    if (told.count("crankcase-leaks") > 0) missing.need(s, "crankcase-pressure", "crankcase pressure test");
  }
  EXPECT_GT(leak_downs, 0);
}

TEST(Cautions, Sparks) {
  Missing missing;
  int tests = 0;
  for (const Step& s : knowledge().steps) {
    const bool sparks = std::any_of(s.answers.begin(), s.answers.end(), [](const std::string& id) {
      return id == "no-spark" || id == "spark-weak" || id == "spark-lost-hot" || id == "stray-sparks-seen";
    });
    if (!sparks) continue;
    ++tests;
    missing.need(s, "ignition-voltage", "a spark test");
    missing.need(s, "spark-near-fuel", "a spark test");
  }
  EXPECT_GE(tests, 3);
}

// What the instructions of a step say must be done, and the caution that goes with it.
TEST(Cautions, WordsOfTheInstructions) {
  struct Hazard {
    const char* caution;
    std::vector<const char*> words;  // patterns
  };
  const Hazard hazards[] = {
      {"low-pressure-air",
       {"low-pressure air", "push(es)? air", "air gently", ", then air", "air through",
        "blow (dry|through|gently|from)", "blow [a-z ]*(dirt|dust) ", "syringe with a bit of hose",
        "try it with a syringe"}},
      {"exhaust-gas",
       {"warm it (up|well)", "engine idling", "idling warm", "run it (until|warm)", "run (warm|to hot|cap off)",
        "start it($|[,.:])", "usually idle", "start, (idle|warm)", "^warm[:,.]", "to the figure when warm",
        "warm, idle", "warm engine"}},
      {"starting-fluid", {"short burst"}},
      {"chemicals",
       {"(brake|contact|filter) cleaner", "carbon remover", "acid", "\\bsolvent", "degrease", "and weld", "weld (or|,)",
        ", weld,"}},
      {"hot-parts",
       {"blowlamp", "\\btorch outdoors", "cases warmed", "warm the (cases|hub)", "drain warm", "and weld", "weld or",
        ", weld,"}},
      {"crankcase-pressure", {"pressure[- ]test( the crankcase)?( before it|,|\\.)"}},
      {"ride-test", {"on the road if", "short (ride|pull)", "^ride ", ", ride "}},
      {"spark-near-fuel", {"plug out[^.]*(kick|crank)", "(kick|crank)[^.]*plug( and filler)? out"}},
      {"petrol-vapour", {"petrol (test|ports)", "drain (the )?(tank|bowl)", "tap on, drain"}},
      {"springs-clips", {"plunger is", "release the tensioner", "pin clips"}},
      {"packing-fibre", {"old packing"}},
      {"battery", {"12 v", "good battery", "earth lead last"}},
      {"runaway", {"stop switch's own plug", "hand-size board"}},
  };
  for (const auto& [caution, patterns] : hazards) {
    for (const char* pattern : patterns) {
      Missing missing;
      const std::regex asks(pattern, std::regex::icase);
      for (const Step& s : knowledge().steps) {
        for (const std::string& line : s.how) {
          if (std::regex_search(line, asks)) missing.need(s, caution, line);
        }
      }
    }
  }
}

}  // namespace
}  // namespace crankwise
