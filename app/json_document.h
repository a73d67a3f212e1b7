// Reading a JSON document so that every problem in it is said at once, with its line: the base of what reads our files.
#pragma once

#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "edge/job.h"
#include "edge/json_lines.h"
#include "edge/problem.h"

namespace crankwise {

class JsonDocument {
 public:
  /// Throws BadInput if the text is not JSON. `name` is the file's, for the messages.
  JsonDocument(const std::string& text, std::string name);

 protected:
  /// Paths are as in steps[2].findings.muffled, counted from 1.
  void note(const std::string& path, const std::string& wrong, const std::string& right);
  [[noreturn]] void fail() { throw BadInput(std::move(problems_)); }
  bool sound() const { return problems_.empty(); }

  /// Each notes what is wrong, and then returns false or something harmless.
  bool object(const Json&, const std::string& path);
  bool fields(const Json&, const std::string& path, const std::vector<std::string>& known);
  bool flag_of(const Json&, const std::string& path);
  std::string text_of(const Json&, const std::string& path);
  double number_of(const Json&, const std::string& path, double low, double high);
  std::vector<std::string> list_of(const Json&, const std::string& path);

  Json top_;
  std::vector<Problem> problems_;

 private:
  std::string name_;
  JsonLines lines_;
};

}  // namespace crankwise
