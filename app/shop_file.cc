#include "app/shop_file.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <map>
#include <set>

#include "app/event_kinds.h"
#include "app/json_document.h"
#include "app/shop_file_check.h"
#include "edge/base64.h"
#include "edge/dates.h"
#include "edge/digest.h"
#include "edge/picture.h"

namespace crankwise {
namespace {

using Ordered = nlohmann::ordered_json;

constexpr int kFormat = 1;
/// Entry n brings a document of format n + 1 to format n + 2.
const std::vector<void (*)(Json&)> kUpgrades{};

bool is_shop_id(const std::string& id) {
  return id.size() == 32 && id.find_first_not_of("0123456789abcdef") == std::string::npos;
}

bool is_bike_id(const std::string& id) {
  const bool letters = id.find_first_not_of("abcdefghijklmnopqrstuvwxyz0123456789-") == std::string::npos;
  return letters && !id.empty() && id.size() <= 200 && id.front() != '-' && id.back() != '-';
}

Ordered event_json(const FileEvent& e, const std::string& shop) {
  Ordered j;
  if (e.shop != shop) j["shop"] = e.shop;
  j["seq"] = e.seq;
  j["at"] = e.at;
  if (e.order != e.at) j["order"] = e.order;
  j["kind"] = e.kind;
  j["data"] = Ordered::parse(e.data.dump());
  return j;
}

class ShopFileReader : JsonDocument {
 public:
  ShopFileReader(const Knowledge& k, const std::string& text, const std::string& name)
      : JsonDocument(text, name), k_(k) {
    file_.name = name;
  }

  ShopFile read() {
    version();
    for (const char* need : {"written", "shop", "settings", "bikes", "jobs", "photos"}) {
      if (!top_.contains(need)) note(need, "is missing", "a file written by crankwise export");
    }
    fields(top_, "", {"crankwise_shop", "written", "shop", "settings", "bikes", "jobs", "photos"});
    if (!sound()) fail();
    if (fields(top_["written"], "written", {"at", "by"})) {
      file_.written_at = utc(top_["written"].value("at", Json()), "written.at");
      file_.written_by = text_of(top_["written"].value("by", Json()), "written.by");
    }
    file_.shop = shop_id(top_["shop"], "shop");
    file_.settings = events(top_["settings"], "settings", "shop");
    records("bikes", "bike", "id", file_.bikes, [this](const Json& id, const std::string& path) {
      const std::string text = text_of(id, path);
      if (id.is_string() && !is_bike_id(text)) note(path, "\"" + text + "\" is not an id", "such as red-125");
      return text;
    });
    records("jobs", "job", "number", file_.jobs,
            [this](const Json& number, const std::string& path) { return std::to_string(whole(number, path)); });
    photos();
    if (sound()) {
      check_shop_file(file_, [this](const std::string& path, const std::string& wrong, const std::string& right) {
        note(path, wrong, right);
      });
    }
    if (!sound()) refuse();
    return std::move(file_);
  }

 private:
  void version() {
    if (!object(top_, "")) fail();
    const Json v = top_.value("crankwise_shop", Json());
    if (!v.is_number_integer() || v < 1) {
      note("crankwise_shop", top_.contains("crankwise_shop") ? "is not a version" : "is missing",
           "a file written by crankwise export");
      fail();
    }
    if (v > kFormat) {
      note("crankwise_shop",
           fmt::format("written by a newer crankwise (format {}, this one knows {})", v.dump(), kFormat),
           "this file read by that newer crankwise");
      fail();
    }
    for (size_t from = v; from < kFormat; ++from) kUpgrades.at(from - 1)(top_);
  }

  /// What names the same unknown thing in many places is said once, with how often.
  [[noreturn]] void refuse() {
    std::vector<Problem> once;
    std::map<std::pair<std::string, std::string>, std::pair<size_t, int>> seen;  // said -> index in once, times
    for (const Problem& p : problems_) {
      const bool named = p.wrong.find('"') != std::string::npos;
      const auto [at, fresh] = seen.try_emplace({p.wrong, p.right + (named ? "" : p.field)}, once.size(), 0);
      ++at->second.second;
      if (fresh) once.push_back(p);
    }
    for (const auto& [said, where] : seen) {
      if (where.second > 1) once[where.first].wrong += fmt::format(" ({} times)", where.second);
    }
    throw BadInput(std::move(once));
  }

  std::int64_t whole(const Json& j, const std::string& path) {
    if (j.is_number_integer() && j >= 1 && j <= 1000000000) return j.get<std::int64_t>();
    note(path, "is not a whole number from 1", "1, 2, 3 ...");
    return 1;
  }

  std::string utc(const Json& j, const std::string& path) {
    if (j.is_string() && is_utc(j.get<std::string>()) && j < "9999") return j.get<std::string>();
    note(path, "is not a time in UTC", "2026-05-04T17:30:00.000Z");
    return "2000-01-01T00:00:00.000Z";
  }

  std::string shop_id(const Json& j, const std::string& path) {
    if (j.is_string() && is_shop_id(j.get<std::string>())) return j.get<std::string>();
    note(path, "is not the id of a shop", "32 digits from 0 to f");
    return "";
  }

  template <class Id>
  void records(const char* list, const char* of, const char* key, std::vector<FileRecord>& out, Id id_of) {
    const Json& all = top_[list];
    if (!all.is_array()) return note(list, "is not a list", "[ ... ]");
    for (size_t i = 0; i < all.size(); ++i) {
      const std::string path = fmt::format("{}[{}]", list, i + 1);
      if (!fields(all[i], path, {key, "events"})) continue;
      FileRecord r;
      r.id = id_of(all[i].value(key, Json()), fmt::format("{}.{}", path, key));
      r.events = events(all[i].value("events", Json()), path + ".events", of);
      out.push_back(std::move(r));
    }
  }

  std::vector<FileEvent> events(const Json& list, const std::string& path, const std::string& of) {
    std::vector<FileEvent> out;
    if (!list.is_array()) {
      note(path, "is not a list", "[ ... ]");
      return out;
    }
    for (size_t i = 0; i < list.size(); ++i) {
      const Json& j = list[i];
      FileEvent e;
      e.path = fmt::format("{}[{}]", path, i + 1);
      if (!fields(j, e.path, {"shop", "seq", "at", "order", "kind", "data"})) continue;
      e.shop = j.contains("shop") ? shop_id(j["shop"], e.path + ".shop") : file_.shop;
      e.seq = whole(j.value("seq", Json()), e.path + ".seq");
      e.at = utc(j.value("at", Json()), e.path + ".at");
      e.order = j.contains("order") ? utc(j["order"], e.path + ".order") : e.at;
      if (e.order < e.at) note(e.path + ".order", "is before the time it happened", "that time or later");
      e.kind = text_of(j.value("kind", Json()), e.path + ".kind");
      e.data = j.value("data", Json());
      if (!e.kind.empty()) data(e, of);
      out.push_back(std::move(e));
    }
    return out;
  }

  void photos() {
    const Json& all = top_["photos"];
    if (!all.is_array()) return note("photos", "is not a list", "[ ... ]");
    for (size_t i = 0; i < all.size(); ++i) {
      const std::string path = fmt::format("photos[{}]", i + 1);
      if (!fields(all[i], path, {"sha256", "media_type", "base64"})) continue;
      Attachment a{text_of(all[i].value("sha256", Json()), path + ".sha256"),
                   text_of(all[i].value("media_type", Json()), path + ".media_type"), ""};
      const auto bytes = from_base64(text_of(all[i].value("base64", Json()), path + ".base64"));
      if (!bytes || bytes->empty() || bytes->size() > kMostPictureBytes) {
        note(path + ".base64", "is not a picture in base64", "a file written by crankwise export");
        continue;
      }
      a.bytes = *bytes;
      if (sha256_hex(a.bytes) != a.sha256)
        note(path, "its bytes are not those of its sha256", "the file as it was written");
      file_.photos.push_back(std::move(a));
    }
  }

  void data(const FileEvent& e, const std::string& of) {
    const EventKind* kind = find_event_kind(of, e.kind);
    if (kind == nullptr) {
      std::vector<std::string> known;
      for (const EventKind& each : event_kinds()) {
        if (of == each.of) known.emplace_back(each.kind);
      }
      const std::string near = nearest(e.kind, known);
      return note(e.path + ".kind", fmt::format("\"{}\" is not a kind of entry of a {}", e.kind, of),
                  near.empty() ? fmt::format("one of {}", fmt::join(known, ", ")) : "perhaps \"" + near + "\"");
    }
    const std::string path = e.path + ".data";
    const size_t before = problems_.size();
    std::vector<std::string> names;
    for (const EventField& f : kind->fields) names.emplace_back(f.name);
    if (!fields(e.data, path, names)) return;
    for (const EventField& f : kind->fields) {
      if (e.data.contains(f.name))
        field(e.data[f.name], path + "." + f.name, f.type);
      else if (f.needed)
        note(path + "." + f.name, "is missing", "a file written by crankwise export");
    }
    if (problems_.size() > before) return;
    std::vector<Problem> found;
    kind->check(k_, e.kind, e.data, found);
    for (const Problem& p : found) note(p.field.empty() ? path : path + "." + p.field, p.wrong, p.right);
  }

  void field(const Json& j, const std::string& path, EventField::Type type) {
    using Type = EventField::Type;
    const auto each = [&](const std::function<void(const Json&, const std::string&)>& what) {
      if (!object(j, path)) return;
      for (const auto& [key, value] : j.items()) what(value, path + "." + key);
    };
    switch (type) {
      case Type::text:
        plain_text(j, path);
        break;
      case Type::number:
        number_of(j, path, 0, 1e9);
        break;
      case Type::hours:
        number_of(j, path, 0, 1e5);
        break;
      case Type::act:
        whole(j, path);
        break;
      case Type::flag:
        flag_of(j, path);
        break;
      case Type::texts:
        list_of(j, path);
        break;
      case Type::hours_of:
        each([&](const Json& h, const std::string& at) { number_of(h, at, 0, 1e5); });
        break;
      case Type::figures:
        each([&](const Json& f, const std::string& at) {
          if (!fields(f, at, {"low", "high", "unit", "baseline", "at"})) return;
          number_of(f.value("low", Json()), at + ".low", 0, 1e9);
          number_of(f.value("high", Json()), at + ".high", 0, 1e9);
          plain_text(f.value("unit", Json()), at + ".unit");
          if (f.contains("baseline")) flag_of(f["baseline"], at + ".baseline");
          if (f.contains("at")) field(f["at"], at + ".at", Type::told);
        });
        break;
      case Type::told:
        each([&](const Json& words, const std::string& at) { plain_text(words, at); });
        break;
      case Type::rows:
        if (!j.is_array()) note(path, "is not a list", "[ { \"kelvin\": 293.15, \"ohm\": 2450 }, ... ]");
        for (size_t i = 0; j.is_array() && i < j.size(); ++i) {
          const std::string at = fmt::format("{}[{}]", path, i + 1);
          if (!fields(j[i], at, {"kelvin", "ohm"})) continue;
          number_of(j[i].value("kelvin", Json()), at + ".kelvin", 1, 1000);
          number_of(j[i].value("ohm", Json()), at + ".ohm", 0, 1e9);
        }
        break;
      case Type::tables:
        each([&](const Json& rows, const std::string& at) { field(rows, at, Type::rows); });
        break;
      case Type::factors:
        factors(j, path);
        break;
      case Type::lesson: {
        if (!fields(j, path, {"causes", "expected"})) break;
        const Json causes = j.value("causes", Json());
        if (!causes.is_array()) note(path + ".causes", "is not a list", "[ ... ]");
        for (size_t i = 0; causes.is_array() && i < causes.size(); ++i)
          factors(causes[i], fmt::format("{}.causes[{}]", path, i + 1));
        factors(j.value("expected", Json()), path + ".expected");
        break;
      }
      case Type::minutes:
        each([&](const Json& m, const std::string& at) {
          if (!fields(m, at, {"off", "on"})) return;
          number_of(m.value("off", Json()), at + ".off", 0, 10000);
          number_of(m.value("on", Json()), at + ".on", 0, 10000);
        });
        break;
    }
  }

  void factors(const Json& j, const std::string& path) {
    if (!object(j, path)) return;
    for (const auto& [fault, factor] : j.items()) number_of(factor, path + "." + fault, 0, 1e9);
  }

  void plain_text(const Json& j, const std::string& path) {
    if (text_of(j, path).find('\0') != std::string::npos) note(path, "holds a zero byte", "text without it");
  }

  const Knowledge& k_;
  ShopFile file_;
};

}  // namespace

std::string shop_file_text(const ShopFile& f) {
  // One event a line: readable, and a difference between two files shows what was written down between them.
  const auto list = [&](const std::vector<FileEvent>& events, const std::string& indent) {
    std::vector<std::string> lines;
    for (const FileEvent& e : events) lines.push_back(indent + "  " + event_json(e, f.shop).dump());
    return lines.empty() ? std::string("[]") : fmt::format("[\n{}\n{}]", fmt::join(lines, ",\n"), indent);
  };
  const auto records = [&](const std::vector<FileRecord>& all, const char* key, bool number) {
    std::vector<std::string> items;
    for (const FileRecord& r : all) {
      items.push_back(fmt::format("    {{ \"{}\": {}, \"events\": {} }}", key, number ? r.id : Json(r.id).dump(),
                                  list(r.events, "    ")));
    }
    return items.empty() ? std::string("[]") : fmt::format("[\n{}\n  ]", fmt::join(items, ",\n"));
  };
  std::vector<std::string> photos;
  for (const Attachment& a : f.photos) {
    photos.push_back(
        "    " + Ordered{{"sha256", a.sha256}, {"media_type", a.media_type}, {"base64", base64_of(a.bytes)}}.dump());
  }
  return fmt::format(
      "{{\n  \"crankwise_shop\": {},\n  \"written\": {},\n  \"shop\": {},\n  \"settings\": {},\n  \"bikes\": {},\n"
      "  \"jobs\": {},\n  \"photos\": {}\n}}\n",
      kFormat, Ordered{{"at", f.written_at}, {"by", f.written_by}}.dump(), Json(f.shop).dump(), list(f.settings, "  "),
      records(f.bikes, "id", false), records(f.jobs, "number", true),
      photos.empty() ? std::string("[]") : fmt::format("[\n{}\n  ]", fmt::join(photos, ",\n")));
}

ShopFile read_shop_file(const Knowledge& k, const std::string& text, const std::string& name) {
  return ShopFileReader(k, text, name).read();
}

}  // namespace crankwise
