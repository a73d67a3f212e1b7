// What words mean to a mechanic, as tables. Constant data; `reader` gives it life.
//
// A row joins words, and sequences of words, to one idea. Words are matched by stem (`bog` covers bogs, bogging,
// bogged);
// `=word` is matched as written. In a sequence small words such as `the` and `it` do not count.
#pragma once

#include <span>
#include <string_view>

namespace crankwise::words {

enum Trait : unsigned {
  kPlain = 0,
  // what it does in a phrase
  kCircumstance = 1u << 0,  // says when, not what: hot, at full throttle
  kVague = 1u << 1,         // alone it says something only if it stands by itself: dead, weak, slow
  kFiller = 1u << 2,        // counts little and may be left out: seems, a bit, very
  kParticle = 1u << 3,      // counts less: up, out, off
  kCommon = 1u << 4,        // stands for any machine: engine, bike
  kGlue = 1u << 5,          // does not count and ends a negation: at, on, when
  kLink = 1u << 6,          // ... does not end it: "does not want *to* start"
  kVoid = 1u << 7,          // dropped at once: the, is, it
  // yes and no
  kGood = 1u << 8,       // says that a thing is as it should be
  kThing = 1u << 9,      // to have it is good: "has spark"
  kDuty = 1u << 10,      // a sound engine does it: "starts well"
  kHas = 1u << 11,       // has, got
  kNot = 1u << 12,       // negates what follows
  kWithout = 1u << 13,   // negates what follows; after another negation it takes it back
  kNegating = 1u << 14,  // means something and negates what follows: nothing
  kTail = 1u << 15,      // takes the negation from the word before it: "no coolant *loss*"
  // joins clauses
  kBreakOr = 1u << 16,
  kBreakAnd = 1u << 17,
  kBreakComma = 1u << 18,
};

struct WordClass {
  std::string_view name;  // not a word of the text
  unsigned traits;
  std::string_view words;      // separated by spaces
  std::string_view sequences;  // separated by ';'
};

/// Ideas that can stand for one another in a phrase of several words.
struct NearClass {
  double likeness;         // 0 to 1
  std::string_view names;  // of classes, or plain words
};

std::span<const WordClass> word_classes();
std::span<const NearClass> near_classes();

/// Ordinary words that are an edit or two from a word of the trade and are never a misspelling of it.
std::string_view ordinary_words();

}  // namespace crankwise::words
