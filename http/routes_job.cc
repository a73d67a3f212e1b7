// Jobs: taking in, the view of one, what is written on it, photos, the sheet.
#include <fmt/format.h>

#include <charconv>

#include "app/event_kinds.h"
#include "app/readings/told.h"
#include "app/refuse.h"
#include "app/sheet.h"
#include "app/telling.h"
#include "http/body.h"
#include "http/routes.h"
#include "http/wire.h"

namespace crankwise {
namespace {

/// A number from 1, or nothing.
std::optional<int> number_of(const std::string& text) {
  int n = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), n);
  if (error != std::errc() || end != text.data() + text.size() || n < 1) return {};
  return n;
}

bool holds_words(const Job& job, const std::string& bike_name, const std::vector<std::string>& words) {
  std::string text = fmt::format("{} {} {} {}", job.number, bike_name, job.complaint, job.words);
  for (const std::string& c : job.causes) text += " " + c;
  const auto low = [](std::string s) {
    for (char& c : s) c = static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
    return s;
  };
  text = low(std::move(text));
  return std::all_of(words.begin(), words.end(),
                     [&](const std::string& w) { return text.find(low(w)) != std::string::npos; });
}

std::vector<std::string> split(const std::string& text) {
  std::vector<std::string> words;
  for (std::size_t at = text.find_first_not_of(' '); at != std::string::npos;) {
    const std::size_t end = std::min(text.find(' ', at), text.size());
    words.push_back(text.substr(at, end - at));
    at = text.find_first_not_of(' ', end);
  }
  return words;
}

HttpAnswer closed_jobs(Office& office, const HttpRequest& r, const PathParts&) {
  constexpr std::size_t kPage = 20;
  const std::string before = r.asked("before"), bike = r.asked("bike");
  const auto below = number_of(before);
  if (!before.empty() && !below)
    throw BadInput({"", 0, "before", fmt::format("\"{}\" is not a number of a job", before), "a number from 1"});
  const std::vector<std::string> words = split(r.asked("words"));
  return office.workshop.with([&](Shop& s) {
    Json lines = Json::array();
    bool more = false;
    for (auto at = s.jobs().rbegin(); at != s.jobs().rend() && !more; ++at) {
      const auto& [number, job] = *at;
      if (job.end == JobEnd::open || (below && number >= *below) || (!bike.empty() && job.bike != bike)) continue;
      if (!holds_words(job, s.bike(job.bike).name, words)) continue;
      more = lines.size() == kPage;
      if (!more) lines.push_back(wire::job_line(s.knowledge(), s, job));
    }
    return json_answer({{"jobs", std::move(lines)}, {"more", more}});
  });
}

HttpAnswer take_in(Office& office, const HttpRequest& r, const PathParts&) {
  Body body(r.body);
  const std::string bike = body.text("bike"), complaint = body.text("complaint");
  body.done();
  return written(office, r, [&](Shop& s) {
    s.take_in(bike, complaint);
    return "";
  });
}

/// The case, worked on outside of the shop; nothing if the page knows all of it.
HttpAnswer view(Office& office, const HttpRequest& r, const PathParts& parts) {
  const int number = job_of(parts);
  std::optional<std::string> made;
  bool new_to_page = true;
  const auto c = office.workshop.with([&](Shop& s) -> std::optional<wire::JobCase> {
    const std::int64_t seq = (s.job(number), s.last_for(number));
    new_to_page = !nothing_new(r, seq);
    if (!new_to_page) return {};
    made = office.views.find(number, seq);
    if (made) return {};
    return wire::job_case(s, number);
  });
  if (!new_to_page) return nothing();
  if (made) return {200, "application/json; charset=utf-8", std::move(*made)};
  HttpAnswer a = json_answer(wire::job(office.workshop.knowledge(), *c));
  office.views.keep(number, c->seq, a.body);
  return a;
}

HttpAnswer step(Office& office, const HttpRequest&, const PathParts& parts) {
  const int number = job_of(parts);
  const JobState state = office.workshop.with([&](Shop& s) { return s.state(number); });
  const Diagnosis d = diagnose(office.workshop.knowledge(), state);
  const int s = d.bike().step(parts.at("step"));
  if (s < 0)
    throw Unknown(
        {"", 0, "", fmt::format("no step of this bike is called \"{}\"", parts.at("step")), "one of its steps"});
  return json_answer(wire::step(d, state.settings, s));
}

HttpAnswer why(Office& office, const HttpRequest&, const PathParts& parts) {
  const int number = job_of(parts);
  const JobState state = office.workshop.with([&](Shop& s) { return s.state(number); });
  const Diagnosis d =
      judge(office.workshop.knowledge(), state.bike, state.job.plain_entries(), state.settings, state.learned);
  const int fault = d.bike().fault(parts.at("fault"));
  if (fault < 0)
    throw Unknown(
        {"", 0, "", fmt::format("no fault of this bike is called \"{}\"", parts.at("fault")), "one of its suspects"});
  return json_answer(wire::why(d, fault));
}

/// One entry as it was sent; problems are named by its place in the list.
std::optional<Entry> entry_told(const Knowledge& k, const Json& sent, std::size_t index,
                                std::vector<Problem>& problems) {
  Body body(sent, fmt::format("entries[{}]", index), problems);
  const std::size_t before = problems.size();
  const std::string kind = body.text("kind");
  Json data = sent.is_object() ? sent : Json::object();
  for (auto field = data.begin(); field != data.end();)
    field = field->is_null() || field.key() == "kind" ? data.erase(field) : std::next(field);
  std::optional<Entry> entry;
  if (kind == "measured") {
    const std::string reading = body.text("reading"), told = body.text("told");
    Spent spent{body.number_or_nothing("took_min"), body.number_or_nothing("paid")};
    body.done();
    if (problems.size() > before) return {};
    const Reading* r = k.readings.find(reading);
    Took took = took_from_words(reading, told, r);
    took.spent = spent;
    return took;
  }
  const EventKind* known = kind == "photo" ? nullptr : find_entry_kind(kind);
  if (known == nullptr) {
    body.wrong("kind", fmt::format("\"{}\" is not a kind of entry", kind), "one that docs/api.md names");
    return {};
  }
  for (const EventField& f : known->fields) {
    const std::string name = f.name;
    if (name == "act" || name == "hours") continue;
    if (f.type == EventField::Type::text)
      f.needed ? body.text(f.name) : body.text_or(f.name, "");
    else if (f.type == EventField::Type::texts)
      body.texts(f.name);
    else if (f.type == EventField::Type::flag)
      body.flag(f.name);
    else
      body.number_or_nothing(f.name);
  }
  body.done();
  if (problems.size() > before) return {};
  try {
    return entry_from(kind, data);
  } catch (const std::exception& e) {
    body.wrong("kind", e.what(), "an entry as docs/api.md has it");
    return {};
  }
}

HttpAnswer entries(Office& office, const HttpRequest& r, const PathParts& parts) {
  const int number = job_of(parts);
  Body body(r.body);
  const Json sent = body.list("entries");
  const bool sure = body.flag("sure");
  if (sent.empty()) body.wrong("entries", "is empty", "at least one entry");
  std::vector<Entry> told;
  for (std::size_t i = 0; i < sent.size(); ++i) {
    if (auto e = entry_told(office.workshop.knowledge(), sent[i], i, body.problems())) told.push_back(std::move(*e));
  }
  body.done();
  if (!sure) {
    const Bike bike = office.workshop.with([&](Shop& s) { return s.bike(s.job(number).bike); });
    for (const Entry& e : told) {
      const auto* took = std::get_if<Took>(&e);
      if (took == nullptr) continue;
      if (const auto doubt = doubt_of(office.workshop.knowledge(), bike, *took)) return doubted(*doubt);
    }
  }
  return written(office, r, [&](Shop& s) {
    s.write(number, told);
    return "";
  });
}

HttpAnswer undo(Office& office, const HttpRequest& r, const PathParts& parts) {
  const int number = job_of(parts);
  Body body(r.body);
  const int act = body.whole("act");
  body.done();
  return written(office, r, [&](Shop& s) { return "taken back: " + s.undo(number, act); });
}

HttpAnswer close(Office& office, const HttpRequest& r, const PathParts& parts) {
  const int number = job_of(parts);
  Body body(r.body);
  const std::string how = body.text("end"), words = body.text("words");
  const std::vector<std::string> causes = body.texts("causes");
  JobEnd end = JobEnd::open;
  for (const JobEnd e : {JobEnd::proven, JobEnd::fixed_unproven, JobEnd::given_up}) {
    if (how == text(e)) end = e;
  }
  if (end == JobEnd::open)
    body.wrong("end", fmt::format("\"{}\" is not an end", how), "proven, not-proven or given-up");
  body.done();
  return written(office, r, [&](Shop& s) {
    s.close(number, end, causes, words);
    return "";
  });
}

HttpAnswer add_photo(Office& office, const HttpRequest& r, const PathParts& parts) {
  const int number = job_of(parts);
  const std::string of = r.asked("of");
  const auto act = number_of(of);
  if (!of.empty() && !act)
    throw BadInput(
        {"", 0, "of", fmt::format("\"{}\" is not the number of an act", of), "the act of an entry in the log"});
  return written(office, r, [&](Shop& s) {
    s.add_photo(number, r.body, r.asked("caption"), "photo", act.value_or(0));
    return "";
  });
}

HttpAnswer photo(Office& office, const HttpRequest&, const PathParts& parts) {
  const auto picture = office.workshop.with([&](Shop& s) { return s.attachment(parts.at("sha256")); });
  if (!picture) throw Unknown({"", 0, "", "there is no such picture", "one that a job's log names"});
  return {200,
          picture->media_type,
          picture->bytes,
          {{"Cache-Control", "private, max-age=31536000, immutable"},
           {"Content-Security-Policy", "default-src 'none'; sandbox"}}};
}

template <class Form>
HttpAnswer sheet(Office& office, const PathParts& parts, const char* type, Form form) {
  const int number = job_of(parts);
  const Paper paper = office.workshop.with(
      [&](Shop& s) { return paper_of(job_sheet(s, number), [&](const Pictured& p) { return s.picture(p); }); });
  return {200,
          type,
          form(paper),
          {{"Content-Security-Policy",
            "default-src 'none'; style-src 'unsafe-inline'; img-src data:; sandbox allow-modals"}}};
}

HttpAnswer sheet_html(Office& office, const HttpRequest&, const PathParts& parts) {
  return sheet(office, parts, "text/html; charset=utf-8", [](const Paper& p) { return as_html(p); });
}
HttpAnswer sheet_text(Office& office, const HttpRequest&, const PathParts& parts) {
  return sheet(office, parts, "text/plain; charset=utf-8", [](const Paper& p) { return as_text(p); });
}
HttpAnswer sheet_pdf(Office& office, const HttpRequest&, const PathParts& parts) {
  return sheet(office, parts, "application/pdf", [](const Paper& p) { return as_pdf(p).bytes; });
}

}  // namespace

int job_of(const PathParts& parts) {
  if (const auto n = number_of(parts.at("job"))) return *n;
  throw Unknown({"", 0, "", fmt::format("\"{}\" is not a number of a job", parts.at("job")), "a number from 1"});
}

std::vector<Route> job_routes() {
  return {
      {"GET", "/api/jobs", false, closed_jobs},  // ?before=N&bike=ID&words=...
      {"POST", "/api/jobs", true, take_in},
      {"GET", "/api/jobs/{job}", false, view},  // ?since=SEQ
      {"GET", "/api/jobs/{job}/steps/{step}", false, step},
      {"GET", "/api/jobs/{job}/why/{fault}", false, why},
      {"POST", "/api/jobs/{job}/entries", true, entries},
      {"POST", "/api/jobs/{job}/undo", true, undo},
      {"POST", "/api/jobs/{job}/close", true, close},
      {"POST", "/api/jobs/{job}/photos", true, add_photo},  // ?caption=...&of=ACT
      {"GET", "/api/jobs/{job}/sheet.html", false, sheet_html},
      {"GET", "/api/jobs/{job}/sheet.txt", false, sheet_text},
      {"GET", "/api/jobs/{job}/sheet.pdf", false, sheet_pdf},
      {"GET", "/api/photos/{sha256}", false, photo},
  };
}

}  // namespace crankwise
