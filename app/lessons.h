// What closed jobs teach the next ones.
//
//   Learned learned = learn(knowledge, bike, lessons);     // oldest first; put into diagnose()
//
// Each lesson counts kKeptPerJob of what it did for every job closed after it. The shares of the class are worth
// kJobsWorth jobs; those of the shop in turn kShopWorth jobs of this one bike, whose own history therefore counts more.
// Nothing is kept beside the jobs themselves: a job left out has taught nothing.
#pragma once

#include <map>
#include <span>
#include <string>
#include <vector>

#include "app/diagnosis.h"

namespace crankwise {

using Chances = std::map<std::string, double>;  // by fault

/// What one closed job says, as kept with its closing.
struct Lesson {
  std::string bike;
  std::vector<std::string> traits;          // of the bike
  std::vector<Chances> causes;              // each: what it may have been, by chance; one fault if it is known
  Chances expected_more;                    // factors of hours and contexts on the odds, where they are not 1
  std::map<std::string, AnswerCount> seen;  // looks and tests answered before the first repair: yes or no
};

inline constexpr double kJobsWorth =
    200;  // shares of a class; the safer of 100 and 200 on simulated shops (bench/seasons)
inline constexpr double kShopWorth = 100;  // shares of the shop against those of one bike; chosen, not measured
inline constexpr double kKeptPerJob = 0.98;
inline constexpr std::size_t kMostLessons = 400;  // older ones count less than 0.0004

Learned learn(const Knowledge&, const Bike&, std::span<const Lesson> oldest_first);

/// The causes of a job as far as its repairs and its last clean run tell, each with what it may have been. Chances are
/// those without what was learned. `d`: the job at its end.
std::vector<Chances> causes_of(const Diagnosis& d, const Learned&);

/// The answers on looks and tests that speak of the bike as it came. What the rider tells is left out: he names what he
/// noticed, and is asked about the rest where something is suspected, so that counts of it would lean to yes.
void add_answers(Lesson&, const Knowledge&, const std::vector<Entry>&);

}  // namespace crankwise
