// What is wrong with an input, said so that it can be put right.
//
//   throw BadInput({.file = "carburettor.toml", .line = 12, .field = "fault.main-jet.share",
//                   .wrong = "-3 is below 0", .right = "a number from 0 to 100"});
//
// reads    carburettor.toml:12: fault.main-jet.share: -3 is below 0; right would be: a number from 0 to 100
//
// Loaders and parsers collect every problem they find and throw once. The command line catches it once (exit code 2).
#pragma once

#include <exception>
#include <string>
#include <vector>

namespace crankwise {

struct Problem {
  std::string file = {};   // path or "command line"; empty if there is none
  int line = 0;            // from 1; 0 if there is none
  std::string field = {};  // dotted path of the field, or the option; empty if there is none
  std::string wrong = {};  // what was wrong
  std::string right = {};  // what would be right; empty if that is plain from `wrong`

  std::string text() const;  // one line
};

class BadInput : public std::exception {
 public:
  explicit BadInput(std::vector<Problem> problems);
  explicit BadInput(Problem problem) : BadInput(std::vector{std::move(problem)}) {}
  const char* what() const noexcept override { return text_.c_str(); }  // one line a problem
  const std::vector<Problem>& problems() const { return problems_; }

 private:
  std::vector<Problem> problems_;
  std::string text_;
};

/// Nothing is wrong with the input: the same may work later.
struct NotNow : BadInput {
  using BadInput::BadInput;
};

/// The known name nearest to `name` (edit distance with swaps, at most a third of its length), or "".
std::string nearest(const std::string& name, const std::vector<std::string>& known);

}  // namespace crankwise
