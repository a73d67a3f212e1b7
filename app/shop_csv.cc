#include "app/shop_csv.h"

#include <fmt/format.h>

#include <algorithm>
#include <tuple>
#include <vector>

namespace crankwise {
namespace {

std::string line(const std::vector<std::string>& cells) { return fmt::format("{}\r\n", fmt::join(cells, ",")); }

std::string number(double value) { return fmt::format("{}", value); }

}  // namespace

std::string csv_cell(const std::string& text) {
  constexpr std::string_view formula = "=+-@\t\r\n";
  const bool guarded = !text.empty() && formula.find(text.front()) != std::string_view::npos;
  std::string cell = guarded ? "'" + text : text;
  if (cell.find_first_of(",\"\r\n") == std::string::npos) return cell;
  std::string quoted = "\"";
  for (const char c : cell) quoted += c == '"' ? std::string("\"\"") : std::string(1, c);
  return quoted + "\"";
}

std::string jobs_csv(const Shop& shop) {
  std::string out = line({"job", "bike", "bike_name", "opened", "closed", "end", "hours", "entries", "complaint",
                          "causes", "cause_names", "words"});
  for (const auto& [id, job] : shop.jobs()) {
    std::vector<std::string> names;
    for (const std::string& c : job.causes) {
      const Fault* f = shop.knowledge().faults.find(c);
      names.push_back(f == nullptr ? c : f->name);
    }
    double hours = -1;
    for (const JobEntry& e : job.entries) hours = std::max(hours, e.hours);
    out +=
        line({std::to_string(id), csv_cell(job.bike), csv_cell(shop.bike(job.bike).name), job.opened_at, job.closed_at,
              std::string(text(job.end)), hours < 0 ? "" : number(hours), std::to_string(job.entries.size()),
              csv_cell(job.complaint), csv_cell(fmt::format("{}", fmt::join(job.causes, " "))),
              csv_cell(fmt::format("{}", fmt::join(names, "; "))), csv_cell(job.words)});
  }
  return out;
}

std::string hours_csv(const Shop& shop) {
  struct Mark {
    std::string at, what, part, job;
    double hours;
  };
  std::string out = line({"bike", "bike_name", "at", "what", "part", "hours", "job"});
  for (const auto& [id, bike] : shop.bikes()) {
    std::vector<Mark> marks;
    const HourBook& book = shop.hour_book(id);
    for (const HourMark& m : book.marks)
      marks.push_back({m.at, m.from == HoursFrom::meter ? "meter" : "estimate", "", "", m.hours});
    for (const Placed* p : shop.replay().of_bike(id, true)) {
      const Json d = p->data();
      if (p->event.kind == "added" && d.contains("renewed_h")) {
        for (const auto& [part, h] : d.at("renewed_h").items()) marks.push_back({p->event.at, "renewed", part, "", h});
      }
      if (p->event.kind != "renewed") continue;
      const std::string day = d.value("day", "");
      for (const std::string& part : d.value("parts", std::vector{d.value("part", "")}))
        marks.push_back({day.empty() ? p->event.at : day, "renewed", part, "", d.value("hours", -1.0)});
    }
    for (const auto& [number, job] : shop.jobs()) {
      if (job.bike != id) continue;
      for (const JobEntry& e : job.entries) {
        const auto* did = std::get_if<Did>(&e.entry);
        const Step* step = did == nullptr ? nullptr : shop.knowledge().steps.find(did->step);
        if (step == nullptr || taken_out_again(job, e)) continue;
        for (const std::string& part : step->renews)
          marks.push_back({e.at, "renewed", part, std::to_string(number), book.hours_at(e.moment)});
      }
    }
    std::stable_sort(marks.begin(), marks.end(), [](const Mark& a, const Mark& b) { return a.at < b.at; });
    for (const Mark& m : marks)
      out += line({csv_cell(id), csv_cell(bike.name), m.at, m.what, csv_cell(m.part),
                   m.hours < 0 ? "" : number(m.hours), m.job});
  }
  return out;
}

}  // namespace crankwise
