// What the command line prints: text for people, JSON for programs. Told whether it writes to a terminal; asks nothing.
#pragma once

#include <nlohmann/json_fwd.hpp>
#include <ostream>
#include <string>

#include "app/diagnosis.h"
#include "app/explain.h"
#include "app/shop.h"

namespace crankwise {

class Output {
 public:
  Output(std::ostream& out, bool terminal) : out_(out), terminal_(terminal) {}

  void line(const std::string& text = "") { out_ << text << '\n'; }
  /// For programs; bytes that are not UTF-8 are replaced.
  void json(const Json&);
  void heading(const std::string& text);
  /// Wrapped at 78 columns behind an indent; `first` stands in the indent of the first line.
  void wrapped(const std::string& text, const std::string& first = "", std::size_t indent = 2);

  void job_head(const Job&, const Bike&, const Diagnosis*);
  void suspects(const Diagnosis&, std::size_t count);
  void next(const Diagnosis&, const ShopSettings&, std::size_t alternatives);
  void option(const Diagnosis&, const Option&, const ShopSettings&);
  void step_card(const BikeModel&, const Step&);  // cautions, how, what is right
  void verdicts(const Diagnosis&);
  void verdict(const Diagnosis&, const ReadingVerdict&);
  void why(const Diagnosis&, int fault);
  void standing(const Diagnosis&);  // of the next step
  void doubts(const Diagnosis&);
  void job_log(const Knowledge&, const Job&);

  std::ostream& stream() { return out_; }
  bool terminal() const { return terminal_; }

 private:
  std::string bold(const std::string& text) const;
  std::ostream& out_;
  bool terminal_;
};

/// " height= kick=usual/slow/brisk": what may be told behind a reading, as it is typed.
std::string may_tell(const std::vector<Input>&);
std::string minutes_words(double minutes);
std::string effort_words(const Effort&, const ShopSettings&);
/// Time and money of the option itself, access included.
Effort effort_now(const Option&);
std::string parts_words(const BikeModel&, PartMask);

/// Everything of a diagnosis, as documented in docs/case-format.md.
Json diagnosis_json(const Diagnosis&, const ShopSettings&);

}  // namespace crankwise
