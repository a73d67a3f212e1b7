#include "app/json_document.h"

#include <fmt/format.h>

#include <algorithm>

namespace crankwise {
namespace {

struct Spot {
  int line, column;  // from 1; the column in bytes
};
Spot spot_of(const std::string& text, size_t at) {
  const auto end = text.begin() + static_cast<std::ptrdiff_t>(std::min(at, text.size()));
  const size_t line_start = std::string(text.begin(), end).find_last_of('\n');
  return {1 + static_cast<int>(std::count(text.begin(), end, '\n')),
          static_cast<int>(std::min(at, text.size()) - (line_start == std::string::npos ? 0 : line_start + 1)) + 1};
}

/// Control characters would break or cut the message.
std::string printable(std::string text) {
  for (char& c : text) {
    if (static_cast<unsigned char>(c) < 0x20 || c == 0x7f) c = '?';
  }
  return text;
}

}  // namespace

JsonDocument::JsonDocument(const std::string& text, std::string name) : name_(std::move(name)) {
  // The JSON library takes a zero byte for the end and would let anything follow.
  if (const size_t zero = text.find('\0'); zero != std::string::npos) {
    throw BadInput({name_, spot_of(text, zero).line, "", "is not JSON: it holds a zero byte", "valid JSON"});
  }
  try {
    top_ = Json::parse(text);
  } catch (const Json::parse_error& e) {
    std::string why = e.what();  // "[json.exception...] parse error at line 1, column 2: why"
    if (const size_t colon = why.find(": "); colon != std::string::npos) why = why.substr(colon + 2);
    const Spot spot = spot_of(text, e.byte > 0 ? e.byte - 1 : 0);
    throw BadInput(
        {name_, spot.line, "", fmt::format("is not JSON (column {}): {}", spot.column, printable(why)), "valid JSON"});
  } catch (const Json::exception&) {
    throw BadInput({name_, 0, "", "holds a value that cannot be kept", "numbers of a usual size"});
  }
  lines_ = json_lines(text);
  for (const auto& [path, line] : lines_.twice) {
    problems_.push_back({name_, line, printable(path), "is there twice", "once"});
  }
}

void JsonDocument::note(const std::string& path, const std::string& wrong, const std::string& right) {
  // The line of the field itself, or of the nearest thing around it that has one.
  int line = 0;
  for (std::string near = path; !near.empty() && line == 0;) {
    if (const auto at = lines_.line.find(near); at != lines_.line.end()) line = at->second;
    const size_t cut = near.find_last_of(".[");
    near.resize(cut == std::string::npos ? 0 : cut);
  }
  problems_.push_back({name_, line, printable(path), printable(wrong), printable(right)});
}

bool JsonDocument::object(const Json& j, const std::string& path) {
  if (j.is_object()) return true;
  note(path, "is not an object", "{ ... }");
  return false;
}

bool JsonDocument::fields(const Json& j, const std::string& path, const std::vector<std::string>& known) {
  if (!object(j, path)) return false;
  for (const auto& [key, value] : j.items()) {
    if (std::find(known.begin(), known.end(), key) != known.end()) continue;
    const std::string near = nearest(key, known);
    note(path.empty() ? key : path + "." + key, "is not a field here",
         near.empty() ? fmt::format("one of {}", fmt::join(known, ", ")) : "perhaps \"" + near + "\"");
  }
  return true;
}

bool JsonDocument::flag_of(const Json& j, const std::string& path) {
  if (j.is_boolean()) return j.get<bool>();
  note(path, "is not true or false", "true or false");
  return false;
}

std::string JsonDocument::text_of(const Json& j, const std::string& path) {
  if (j.is_string()) return j.get<std::string>();
  note(path, "is not a text", "a text in quotes");
  return "";
}

double JsonDocument::number_of(const Json& j, const std::string& path, double low, double high) {
  if (j.is_number() && j.get<double>() >= low && j.get<double>() <= high) return j.get<double>();
  note(path, j.is_number() ? "is out of range" : "is not a number",
       fmt::format("a number from {:g} to {:g}", low, high));
  return low;
}

std::vector<std::string> JsonDocument::list_of(const Json& j, const std::string& path) {
  std::vector<std::string> out;
  if (!j.is_array()) {
    note(path, "is not a list", "[\"...\"]");
    return out;
  }
  for (const Json& item : j) out.push_back(text_of(item, path));
  return out;
}

}  // namespace crankwise
