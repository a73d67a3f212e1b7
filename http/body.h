// JSON in and out: what was sent, read field by field with every problem named; and the two shapes of answers.
//
//   Body body(request.body);
//   const std::string name = body.text("name");
//   const auto hours = body.number_or_nothing("hours");
//   body.done();                       // throws BadInput with all that was wrong, unknown fields included
#pragma once

#include <nlohmann/json.hpp>
#include <optional>
#include <set>
#include <string>
#include <vector>

#include "edge/job.h"
#include "edge/problem.h"
#include "http/message.h"

namespace crankwise {

class Body {
 public:
  explicit Body(const std::string& text);
  /// An object within another; problems of it are named "entries[0].kind".
  Body(Json object, std::string inside, std::vector<Problem>& problems);
  Body(const Body&) = delete;
  Body& operator=(const Body&) = delete;

  std::string text(const char* field);
  std::string text_or(const char* field, const char* otherwise);
  double number(const char* field);
  std::optional<double> number_or_nothing(const char* field);  // null or left out
  int whole(const char* field);
  bool flag(const char* field);
  std::vector<std::string> texts(const char* field);
  std::map<std::string, std::string> told(const char* field);
  Json list(const char* field);

  void wrong(const std::string& field, std::string wrong, std::string right);
  std::string inside() const { return inside_; }
  std::vector<Problem>& problems() { return *problems_; }
  /// Notes fields that nobody asked for; then throws if there is any problem (of the outermost one only).
  void done();

 private:
  const Json* find(const char* field, const char* right, bool needed);

  Json object_;
  std::string inside_;  // "entries[0]."
  std::set<std::string> asked_;
  std::vector<Problem> own_;
  std::vector<Problem>* problems_ = &own_;
};

HttpAnswer json_answer(const Json&, int status = 200);
HttpAnswer problem_answer(int status, const std::string& field, const std::string& wrong, const std::string& right);
HttpAnswer problem_answer(int status, const BadInput&);

}  // namespace crankwise
