// A shop, or some of its bikes with their jobs, as one JSON file: docs/moving.md, docs/shop-file.schema.json.
//
//   write_whole(path, shop_file_text(shop.hand_over({}, "crankwise 0.1.0")), false);
//   TakenOver news = other.take_over(read_shop_file(knowledge, text, path), {}, false);
#pragma once

#include <cstdint>
#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "edge/job.h"
#include "edge/store.h"

namespace crankwise {

/// What was written down at one time. Which event it is follows from shop, seq, at and kind, wherever it is moved.
struct FileEvent {
  std::string shop;       // it was written in
  std::int64_t seq = 0;   // its number there
  std::string at, order;  // when it happened; when it counts, not before `at`
  std::string kind;
  Json data;
  std::string path;  // in the file, such as jobs[2].events[1]; only of a file that was read
};

struct FileRecord {
  std::string id;  // of the bike, or number of the job
  std::vector<FileEvent> events;
};

struct ShopFile {
  std::string shop, written_at, written_by;
  std::string name;  // of the file, for messages; only of one that was read
  std::vector<FileEvent> settings;
  std::vector<FileRecord> bikes, jobs;
  std::vector<Attachment> photos;  // of the jobs, each once
};

std::string shop_file_text(const ShopFile&);

/// Throws BadInput with every problem: not JSON, a newer format, unknown fields, kinds or names, values that cannot be,
/// hours that run backwards, renewals in the future, things that are there twice, photos that are missing or not whole.
ShopFile read_shop_file(const Knowledge&, const std::string& text, const std::string& name);

}  // namespace crankwise
