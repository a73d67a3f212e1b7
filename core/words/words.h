// From the free words of a mechanic to findings worth asking about. It proposes; a person confirms.
//
//   Vocabulary v({{0, "bogs up top"}, {1, "will not start"}, {2, "black smoke"}});
//   v.propose("wont rev clean, boging on top end")  ->  0, heard "boging on top end"
//   v.propose("no black smoke")                     ->  2, negated
//   v.propose("starts fine")                        ->  1, negated
//   v.propose("black plug, smoke from my pipe")     ->  nothing: two clauses, two things
//
// Idea: words become ideas (spelling put right, endings dropped, `petrol` = `gas`, `wide open` = `full throttle`);
// a phrase is heard where its ideas stand close together in one sentence, in any order. What counts is how much of the
// phrase is there, each idea weighted by how few targets use it (log of inverse frequency); gaps, commas between,
// guesses at spelling and distant synonyms cost. A phrase with a negation is heard only in negated text, one without
// is heard as an answer "no" there. Of phrases that speak for the same words, the one that explains more of them wins;
// only the circumstance (`when hot`, `at full throttle`) may be said again by itself.
//
// Where it must fail: irony, "like it used to", and causes told as complaints ("the jet was blocked").
//
// Cost: words of the text times phrases that share an idea with it; a sentence against 1500 phrases takes well under a
// millisecond. Any bytes are accepted. Nothing is kept between calls, so one Vocabulary may serve several threads.
#pragma once

#include <memory>
#include <string>
#include <string_view>
#include <vector>

namespace crankwise {

struct Phrase {
  int target;  // several phrases may name one target
  std::string text;
};

struct Proposal {
  int target;
  bool negated;       // the text says that it is not so
  double score;       // 0 to 1
  std::string heard;  // the words of the text that spoke for it
};

class Vocabulary {
 public:
  explicit Vocabulary(const std::vector<Phrase>& phrases);

  /// Best first, at most one a target. `least`: about 0.5 still asks sensible questions, 0.8 is near certain.
  std::vector<Proposal> propose(std::string_view text, double least = 0.5) const;

 private:
  struct Index;
  std::shared_ptr<const Index> index_;  // never changed after construction
};

}  // namespace crankwise
