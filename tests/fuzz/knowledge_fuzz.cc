// Knowledge files: any texts are either one body of knowledge, which then fits its bikes and judges them, or BadInput.
// A line "=== NAME" begins the next file.
#include <algorithm>
#include <cmath>
#include <cstdint>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "app/diagnosis.h"
#include "edge/problem.h"
#include "tests/fuzz/must.h"

namespace {

using namespace crankwise;
using fuzz::must;

std::vector<std::pair<std::string, std::string>> files_in(std::string_view text) {
  constexpr std::string_view kMark = "\n=== ";
  std::vector<std::pair<std::string, std::string>> files{{"one.toml", ""}};
  for (;;) {
    const std::size_t mark = text.find(kMark);
    files.back().second = text.substr(0, mark);
    if (mark == std::string_view::npos) return files;
    text.remove_prefix(mark + kMark.size());
    const std::size_t end = std::min(text.find('\n'), text.size());
    files.emplace_back(text.substr(0, end), "");
    text.remove_prefix(end);
  }
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  Knowledge k;
  try {
    k = parse_knowledge(files_in({reinterpret_cast<const char*>(data), size}));
  } catch (const BadInput& e) {
    must(!e.problems().empty(), "a refusal says why");
    for (const Problem& p : e.problems()) must(!p.wrong.empty() && !p.right.empty(), "every problem has a way out");
    return 0;
  }
  if (k.faults.size() > 40 || k.classes.size() > 3) return 0;  // large ones tell no more
  for (const BikeClass& c : k.classes) {
    Bike bike;
    bike.name = c.name;
    bike.traits = c.traits;
    bike.hours = 40;
    bike.hours_known = true;
    // What there is of each kind, said, measured and done once.
    std::vector<Entry> entries;
    const Traits traits(c.traits);
    for (const Finding& f : k.findings) {
      if (f.applies.holds(traits) && entries.size() < 4) entries.push_back(SaidSo{f.id, Answer::yes});
    }
    for (const Reading& r : k.readings) {
      if (r.applies.holds(traits) && entries.size() < 6) entries.push_back(Took{r.id, 1, r.unit, false});
    }
    for (const Step& s : k.steps) {
      if (s.applies.holds(traits) && entries.size() < 9) entries.push_back(Did{s.id});
    }
    entries.push_back(RanIt{RunResult::same, ""});
    const Diagnosis d = diagnose(k, bike, entries, {});
    for (double p : d.belief.still_there()) must(p >= 0 && p <= 1 + 1e-6, "a chance is a chance");
    must(!d.advice.options.empty() || d.advice.proven, "there is always something to do");
    for (const Option& o : d.advice.options) must(!std::isnan(o.value), "a cost is a number");
  }
  return 0;
}
