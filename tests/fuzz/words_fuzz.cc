// Free words: any bytes may be heard, against the project's own phrases and against any phrases. The first empty line
// parts phrases (one a line) from the text; without it all of it is text.
#include <algorithm>
#include <cstdint>
#include <set>
#include <string>
#include <string_view>
#include <vector>

#include "core/words/words.h"
#include "edge/knowledge.h"
#include "tests/fuzz/must.h"

namespace {

using namespace crankwise;
using fuzz::must;

const std::vector<Phrase>& our_phrases() {
  static const std::vector<Phrase> kPhrases = [] {
    const Knowledge& k = fuzz::knowledge();
    std::vector<Phrase> phrases;
    int target = 0;
    const auto add = [&](const auto& thing) {
      phrases.push_back({target, thing.name});
      for (const auto& words : thing.words) phrases.push_back({target, words});
      ++target;
    };
    for (const Finding& f : k.findings) add(f);
    for (const Context& c : k.contexts) add(c);
    return phrases;
  }();
  return kPhrases;
}

void hear(const Vocabulary& vocabulary, int targets, std::string_view text) {
  const std::vector<Proposal> heard = vocabulary.propose(text);
  std::set<int> once;
  double before = 1;
  for (const Proposal& p : heard) {
    must(p.target >= 0 && p.target < targets && once.insert(p.target).second, "each target at most once");
    must(p.score >= 0.5 && p.score <= before + 1e-12, "best first, none below what was asked for");
    must(!p.heard.empty(), "something was heard");
    before = p.score;
  }
  must(vocabulary.propose(text, 0.8).size() <= heard.size(), "asking for more certainty gives no more");
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  static const Vocabulary kOurs(our_phrases());
  std::string_view text(reinterpret_cast<const char*>(data), size);
  const std::size_t parting = text.find("\n\n");
  if (parting != std::string_view::npos) {
    std::vector<Phrase> phrases;
    std::string_view lines = text.substr(0, parting);
    while (!lines.empty() && phrases.size() < 200) {
      const std::size_t end = std::min(lines.find('\n'), lines.size());
      phrases.push_back({static_cast<int>(phrases.size() / 2), std::string(lines.substr(0, end))});
      lines.remove_prefix(std::min(end + 1, lines.size()));
    }
    text.remove_prefix(parting + 2);
    hear(Vocabulary(phrases), static_cast<int>(phrases.size()), text);
  }
  hear(kOurs, our_phrases().back().target + 1, text);
  return 0;
}
