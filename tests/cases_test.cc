// Published repairs of real bikes (tests/cases/real-repairs.json), coded as a mechanic would tick them. The confirmed
// cause must be something that can be said here, must not sink as its evidence comes in, and must on the whole stand
// near the top; the rider's own words must propose what was ticked. They are no sample: short posts and odd causes are
// over-represented, so the floors guard against going backwards and say nothing of a workshop's hit rate.
//
// A case: `told` complaint lines, `before` what went before in words; `bike`, `context`, `findings` as in a case file,
// from complaint and context alone; `later` what was tried and measured before the cause was found; `causes` the faults
// that were confirmed; `or` the same thing under another name.
#include <fmt/format.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <fstream>
#include <map>
#include <nlohmann/json.hpp>
#include <set>

#include "app/case_file.h"
#include "cli/cli.h"
#include "edge/problem.h"
#include "tests/real_knowledge.h"
#include "tests/real_repair.h"

namespace crankwise {
namespace {

struct Repair {
  std::string id, told, before;
  Json coded;
  Case as_told, at_end;
  std::set<std::string> causes;
};

const Knowledge& knowledge() { return real_knowledge(); }

std::string sentences(const Json& lines) {
  std::string all;
  for (const Json& line : lines) all += line.get<std::string>() + ". ";
  return all;
}

/// The case as read, with or without what came later. An unreadable one is a failure.
Case case_of(const Json& c, bool with_later) {
  try {
    return parse_case(knowledge(), case_file_of(c, with_later).dump(), c.at("id"));
  } catch (const BadInput& e) {
    ADD_FAILURE() << e.what();
    return {};
  }
}

const std::vector<Repair>& repairs() {
  static const std::vector<Repair> all = [] {
    std::vector<Repair> read;
    std::ifstream in(CRANKWISE_SOURCE_DIR "/tests/cases/real-repairs.json");
    for (const Json& c : Json::parse(in)) {
      Repair r{
          c.at("id"),       sentences(c.at("told")), sentences(c.value("before", Json::array())), c, case_of(c, false),
          case_of(c, true), c.at("causes")};
      if (c.contains("or")) r.causes.merge(c["or"].get<std::set<std::string>>());
      read.push_back(std::move(r));
    }
    return read;
  }();
  return all;
}

Diagnosis diagnose(const Case& c) { return diagnose(knowledge(), c.bike, c.entries, c.shop); }

/// From 1, of the likeliest cause; the number of faults and one if none is there.
size_t rank(const Diagnosis& d, const std::set<std::string>& causes) {
  const auto suspects = d.suspects(d.bike().faults.size());
  const auto at = std::find_if(suspects.begin(), suspects.end(),
                               [&](const Suspect& s) { return causes.count(d.fault(s.fault).id) > 0; });
  return static_cast<size_t>(at - suspects.begin()) + 1;
}

double median(std::vector<size_t> of) {
  std::sort(of.begin(), of.end());
  return static_cast<double>(of[(of.size() - 1) / 2] + of[of.size() / 2]) / 2;
}

double share_within(const std::vector<size_t>& ranks, size_t n) {
  const auto within = std::count_if(ranks.begin(), ranks.end(), [&](size_t r) { return r <= n; });
  return static_cast<double>(within) / static_cast<double>(ranks.size());
}

TEST(RealRepairs, AreNamedAndCited) {
  EXPECT_GE(repairs().size(), 55u);
  std::set<std::string> ids;
  for (const Repair& r : repairs()) {
    EXPECT_TRUE(ids.insert(r.id).second) << r.id << " is there twice";
    EXPECT_EQ(r.coded.at("source").get<std::string>().rfind("http", 0), 0u) << r.id;
    EXPECT_FALSE(r.told.empty()) << r.id;
    EXPECT_FALSE(r.causes.empty()) << r.id;
  }
}

TEST(RealRepairs, EveryCauseCanBeThereAndBePutRight) {
  for (const Repair& r : repairs()) {
    const BikeModel m = fit(knowledge(), r.as_told.bike, {}, r.as_told.shop);
    for (const std::string& id : r.causes) {
      ASSERT_NE(knowledge().faults.find(id), nullptr) << r.id << ": no fault is called " << id;
      const int fault = m.fault(id);
      ASSERT_GE(fault, 0) << r.id << ": " << id << " does not apply to the bike";
      const bool curable = std::any_of(m.plan.steps.begin(), m.plan.steps.end(), [&](const PlanStep& s) {
        return std::any_of(s.cures.begin(), s.cures.end(),
                           [&](const Cure& c) { return c.fault == fault && c.chance >= 0.5; });
      });
      EXPECT_TRUE(curable) << r.id << ": nothing cures " << id;
    }
  }
}

TEST(RealRepairs, EverythingCodedAppliesAndIsJudged) {
  for (const Repair& r : repairs()) {
    for (const Case* c : {&r.as_told, &r.at_end}) {
      const Diagnosis d = diagnose(*c);
      EXPECT_TRUE(d.left_out.empty()) << r.id << ": " << (d.left_out.empty() ? "" : d.left_out.front());
      EXPECT_FALSE(d.belief.contradiction) << r.id;
      EXPECT_FALSE(d.advice.options.empty()) << r.id << ": nothing to do next";
      for (const double p : d.belief.still_there()) ASSERT_TRUE(std::isfinite(p) && p >= 0 && p <= 1) << r.id;
    }
  }
}

TEST(RealRepairs, EvidenceDoesNotBuryTheCause) {
  constexpr size_t kPlaces = 3;  // that the cause may lose where its evidence is thin
  const std::map<std::string, std::string> exceptions = {
      {"open-4t-010", "it acted as if starved and was said to; the intake boot had come off"},
  };
  for (const Repair& r : repairs()) {
    if (!r.coded.contains("later") || exceptions.count(r.id) > 0) continue;
    const size_t told = rank(diagnose(r.as_told), r.causes), end = rank(diagnose(r.at_end), r.causes);
    EXPECT_LE(end, told + kPlaces) << r.id << ": from " << told << " to " << end;
  }
}

// Measured: as told, median rank 3 of about 140 faults, 51 % in the first 3, 73 % in the first 10 (55 cases); after the
// evidence, where there was any, median 1, 63 % in the first 3, 95 % in the first 10 (38 cases). The floors leave room
// for a change of knowledge that is right in general and costs a case or two here. bench/cases prints them all.
TEST(RealRepairs, TheCauseStandsNearTheTop) {
  std::vector<size_t> told, told_then_evidence, evidence;
  for (const Repair& r : repairs()) {
    told.push_back(rank(diagnose(r.as_told), r.causes));
    if (!r.coded.contains("later")) continue;
    told_then_evidence.push_back(told.back());
    evidence.push_back(rank(diagnose(r.at_end), r.causes));
  }
  EXPECT_LE(median(told), 5);
  EXPECT_GE(share_within(told, 10), 0.65);
  EXPECT_LE(median(evidence), 2);
  EXPECT_GE(share_within(evidence, 3), 0.55);
  EXPECT_GE(share_within(evidence, 10), 0.88);
  EXPECT_LT(median(evidence), median(told_then_evidence)) << "what was tried and measured must help";
}

// What the rider said proposes what a mechanic ticked of it, and the same way round. Measured: 80 % of the 137
// complaints and circumstances (what is missed is mostly inferred, such as "came suddenly" from "stopped dead"), 43 of
// the 44 contexts, and a third of a proposal a case that was not ticked.
TEST(RealRepairs, TheRidersWordsAreUnderstood) {
  int coded = 0, heard = 0, coded_before = 0, heard_before = 0, unasked = 0;
  for (const Repair& r : repairs()) {
    std::map<std::string, bool> said, went_before;
    for (const Heard& h : hear(knowledge(), r.as_told.bike, r.told)) {
      if (!h.is_context) said[h.id] = h.so;
    }
    for (const Heard& h : hear(knowledge(), r.as_told.bike, r.told + r.before)) {
      if (h.is_context) went_before[h.id] = h.so;
    }
    for (const auto& [id, answer] : r.coded.at("findings").items()) {
      const Finding* f = knowledge().findings.find(id);
      const auto at = said.find(id);
      if (f != nullptr && (f->kind == FindingKind::complaint || f->kind == FindingKind::when)) {
        ++coded;
        heard += at != said.end() && at->second == (answer == "yes");
      }
      if (at != said.end()) said.erase(at);
    }
    unasked += static_cast<int>(said.size());
    const Json context = r.coded.value("context", Json::object());
    for (const auto& [id, so] : context.items()) {
      ++coded_before;
      const auto at = went_before.find(id);
      heard_before += at != went_before.end() && at->second == so.get<bool>();
    }
  }
  EXPECT_GE(heard, 0.74 * coded) << heard << " of " << coded;
  EXPECT_GE(heard_before, 0.9 * coded_before) << heard_before << " of " << coded_before;
  EXPECT_LE(unasked, 0.6 * static_cast<double>(repairs().size())) << unasked;
}

}  // namespace
}  // namespace crankwise
