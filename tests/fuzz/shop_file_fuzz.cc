// Shop files: any text is either taken over, and then again adds nothing and moves on to a third shop as it is, or
// refused as BadInput, with a place and a way out in every problem.
#include <cstdint>
#include <string>

#include "app/take_over.h"
#include "tests/fuzz/must.h"

using namespace crankwise;
using fuzz::knowledge;
using fuzz::must;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const std::string text(reinterpret_cast<const char*>(data), size);
  const auto shop = [](char digit) {
    return Shop(
        knowledge(), Store::in_memory(), [] { return std::string("2026-05-04T17:30:00.000Z"); },
        [digit] { return std::string(32, digit); });
  };
  Shop first = shop('a'), second = shop('b');
  try {
    const ShopFile file = read_shop_file(knowledge(), text, "shop.json");
    first.take_over(file, {}, false);
    must(first.take_over(file, {}, false).events.empty(), "twice adds nothing");
  } catch (const BadInput& e) {
    must(!e.problems().empty(), "a refusal says why");
    for (const Problem& p : e.problems()) {
      must(p.file == "shop.json" && !p.wrong.empty() && !p.right.empty(), "every problem has a place and a way out");
      must(p.line >= 0 && static_cast<std::size_t>(p.line) <= size + 1, "the line is in the file");
    }
    must(first.replay().seen() == 0, "what is refused changes nothing");
    return 0;
  }
  // What was taken over is good enough to be moved on, whole.
  const std::string moved = shop_file_text(first.hand_over({}, "fuzz"));
  second.take_over(read_shop_file(knowledge(), moved, "moved.json"), {}, false);
  must(second.bikes().size() == first.bikes().size() && second.jobs().size() == first.jobs().size(), "nothing is lost");
  for (const auto& [number, job] : first.jobs())
    must(second.job(number).entries.size() == job.entries.size(), "no entry is lost");
  return 0;
}
