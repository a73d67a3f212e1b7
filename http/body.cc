#include "http/body.h"

#include <fmt/format.h>

#include <cmath>

namespace crankwise {
namespace {

constexpr const char* kJson = "application/json; charset=utf-8";

/// Depth is bounded by what the parser of the library may do on a stack: no answer of ours nests so far.
constexpr int kDeepest = 32;

/// Lines of HTTP end there, and no other shop would take it over.
bool holds_zero(const Json& j) {
  if (j.is_string()) return j.get_ref<const std::string&>().find('\0') != std::string::npos;
  for (const auto& [key, value] : j.items()) {
    if (key.find('\0') != std::string::npos || (j.is_structured() && holds_zero(value))) return true;
  }
  return false;
}

Json parsed(const std::string& text) {
  int depth = 0;
  bool quoted = false, escaped = false;
  for (const char c : text) {
    if (escaped) {
      escaped = false;
    } else if (quoted) {
      escaped = c == '\\';
      quoted = c != '"';
    } else if (c == '"') {
      quoted = true;
    } else if (c == '{' || c == '[') {
      if (++depth > kDeepest) throw BadInput({"", 0, "", "is nested too deeply", "an object as docs/api.md has it"});
    } else if (c == '}' || c == ']') {
      --depth;
    }
  }
  Json j = Json::parse(text, nullptr, false);
  if (j.is_discarded()) throw BadInput({"", 0, "", "is not JSON", "an object as docs/api.md has it"});
  if (!j.is_object()) throw BadInput({"", 0, "", "is not an object", "an object as docs/api.md has it"});
  if (holds_zero(j)) throw BadInput({"", 0, "", "a text holds a zero byte", "texts without it"});
  return j;
}

}  // namespace

Body::Body(const std::string& text) : object_(parsed(text)) {}

Body::Body(Json object, std::string inside, std::vector<Problem>& problems)
    : object_(std::move(object)), inside_(std::move(inside) + "."), problems_(&problems) {
  if (object_.is_object()) return;
  problems_->push_back({"", 0, inside_.substr(0, inside_.size() - 1), "is not an object", "an object"});
  object_ = Json::object();
}

const Json* Body::find(const char* field, const char* right, bool needed) {
  asked_.insert(field);
  const auto found = object_.find(field);
  if (found != object_.end()) return &*found;
  if (needed) wrong(field, "is missing", right);
  return nullptr;
}

void Body::wrong(const std::string& field, std::string what, std::string right) {
  problems_->push_back({"", 0, inside_ + field, std::move(what), std::move(right)});
}

std::string Body::text(const char* field) {
  const Json* j = find(field, "a text", true);
  if (j == nullptr) return "";
  if (j->is_string()) return *j;
  wrong(field, "is not a text", "a text");
  return "";
}

std::string Body::text_or(const char* field, const char* otherwise) {
  return object_.contains(field) ? text(field) : (asked_.insert(field), otherwise);
}

double Body::number(const char* field) {
  const Json* j = find(field, "a number", true);
  if (j == nullptr) return 0;
  if (j->is_number() && std::isfinite(j->get<double>())) return *j;
  wrong(field, "is not a number", "a number");
  return 0;
}

std::optional<double> Body::number_or_nothing(const char* field) {
  const Json* j = find(field, "a number, or null", false);
  if (j == nullptr || j->is_null()) return {};
  return number(field);
}

int Body::whole(const char* field) {
  const double x = number(field);
  if (x >= 0 && x <= 1e9 && x == std::floor(x)) return static_cast<int>(x);
  wrong(field, "is not a whole number", "a whole number from 0");
  return 0;
}

bool Body::flag(const char* field) {
  const Json* j = find(field, "true or false", true);
  if (j == nullptr) return false;
  if (j->is_boolean()) return *j;
  wrong(field, "is neither true nor false", "true or false");
  return false;
}

std::vector<std::string> Body::texts(const char* field) {
  const Json* j = find(field, "a list of texts", true);
  if (j == nullptr) return {};
  try {
    if (j->is_array()) return *j;
  } catch (const Json::exception&) {
  }
  wrong(field, "is not a list of texts", "a list of texts");
  return {};
}

std::map<std::string, std::string> Body::told(const char* field) {
  const Json* j = find(field, "an object of texts", true);
  if (j == nullptr) return {};
  try {
    if (j->is_object()) return *j;
  } catch (const Json::exception&) {
  }
  wrong(field, "is not an object of texts", "an object of texts");
  return {};
}

Json Body::list(const char* field) {
  const Json* j = find(field, "a list", true);
  if (j == nullptr) return Json::array();
  if (j->is_array()) return *j;
  wrong(field, "is not a list", "a list");
  return Json::array();
}

void Body::done() {
  for (const auto& [field, value] : object_.items()) {
    if (asked_.count(field) > 0) continue;
    const std::string near = nearest(field, {asked_.begin(), asked_.end()});
    wrong(field, "is not asked for", near.empty() ? "it left out" : "perhaps \"" + near + "\"");
  }
  if (problems_ == &own_ && !own_.empty()) throw BadInput(std::move(own_));
}

HttpAnswer json_answer(const Json& j, int status) {
  return {status, kJson, j.dump(-1, ' ', false, Json::error_handler_t::replace)};
}

HttpAnswer problem_answer(int status, const std::string& field, const std::string& wrong, const std::string& right) {
  return problem_answer(status, BadInput({"", 0, field, wrong, right}));
}

HttpAnswer problem_answer(int status, const BadInput& bad) {
  Json problems = Json::array();
  for (const Problem& p : bad.problems()) {
    // Files are this machine's business, and a page has no lines.
    problems.push_back({{"field", p.field}, {"wrong", p.wrong}, {"right", p.right}});
  }
  return json_answer({{"problems", std::move(problems)}}, status);
}

}  // namespace crankwise
