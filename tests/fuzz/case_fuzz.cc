// Case files: any text is either judged or refused as BadInput, with a place and a way out in every problem.
// CRANKWISE_KNOWLEDGE names another folder of knowledge than the project's.
#include <cmath>
#include <cstdint>
#include <string>

#include "app/case_file.h"
#include "edge/problem.h"
#include "tests/fuzz/must.h"

using namespace crankwise;
using fuzz::knowledge;
using fuzz::must;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const std::string text(reinterpret_cast<const char*>(data), size);
  Case c;
  try {
    c = parse_case(knowledge(), text, "case.json");
  } catch (const BadInput& e) {
    must(!e.problems().empty(), "a refusal says why");
    for (const Problem& p : e.problems()) {
      must(p.file == "case.json" && !p.wrong.empty() && !p.right.empty(), "every problem has a place and a way out");
      must(p.line >= 0 && static_cast<std::size_t>(p.line) <= size + 1, "the line is in the file");
    }
    return 0;
  }
  // Judging takes a while and long cases tell no more: most of the time goes to reading.
  if (c.entries.size() > 12) return 0;
  const Diagnosis d = diagnose(knowledge(), c.bike, c.entries, c.shop);
  for (double p : d.belief.still_there()) must(p >= 0 && p <= 1 + 1e-6, "a chance is a chance");
  must(d.belief.left_out() >= 0 && d.belief.left_out() <= 1 + 1e-6, "the bound is a chance");
  must(!d.advice.options.empty() || d.advice.proven, "there is always something to do");
  for (const Option& o : d.advice.options) must(std::isfinite(o.value) && o.value >= 0, "a cost is a number");
  return 0;
}
