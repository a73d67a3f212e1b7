#include "app/shop.h"

#include <fmt/format.h>

#include <algorithm>
#include <nlohmann/json.hpp>

#include "app/explain.h"
#include "app/readings/told.h"
#include "app/refuse.h"
#include "edge/digest.h"
#include "edge/picture.h"

namespace crankwise {
namespace {

std::string slug(const std::string& name) {
  std::string out;
  for (unsigned char c : name) {
    if (std::isalnum(c) && c < 128)
      out += static_cast<char>(std::tolower(c));
    else if (!out.empty() && out.back() != '-')
      out += '-';
  }
  while (!out.empty() && out.back() == '-') out.pop_back();
  return out.empty() ? "bike" : out;
}

}  // namespace

bool Shop::moves_lessons(const Event& e) const {
  if (e.kind == "lesson" || e.kind == "same-as") return true;
  if (e.kind == "closed") return Json::parse(e.data).contains("from");  // of another shop: it may be of any time
  if (e.kind != "undone" || e.subject.rfind("job/", 0) != 0) return false;
  const auto job = jobs_.find(std::stoi(e.subject.substr(4)));
  return job != jobs_.end() && job->second.end != JobEnd::open;
}

bool taken_out_again(const Job& job, const JobEntry& put_in) {
  bool after = false;
  for (const JobEntry& e : job.entries) {
    const auto* back = std::get_if<WentBack>(&e.entry);
    if (after && back != nullptr && back->step == std::get<Did>(put_in.entry).step) return true;
    after = after || &e == &put_in;
  }
  return false;
}

std::string_view text(JobEnd end) {
  constexpr std::string_view kWords[] = {"open", "proven", "not-proven", "given-up"};
  return kWords[static_cast<size_t>(end)];
}

std::vector<Entry> Job::plain_entries() const {
  std::vector<Entry> out;
  for (const JobEntry& e : entries) out.push_back(e.entry);
  return out;
}

Shop::Shop(const Knowledge& knowledge, Store store, Clock clock, NewId new_id)
    : knowledge_(&knowledge), store_(std::move(store)), clock_(std::move(clock)), new_id_(std::move(new_id)) {
  refresh();
}

void Shop::refresh() {
  try {
    // The chances of what was believed are two thirds of a log, and seldom asked for: read_data().
    Changed changed;
    store_.each_since(seen_, {"believed", "chances"}, [&](const Event& e) {
      if (moves_lessons(e)) {
        learned_.clear();
        relearnt_ = e.seq;
      }
      take(e, changed);
    });
    settle(changed);
  } catch (const BadInput&) {
    static_cast<ShopReplay&>(*this) = ShopReplay();  // half a state would be none
    throw;
  }
}

void Shop::append(const std::vector<NewEvent>& events, const std::vector<Attachment>& attachments) {
  store_.append(events, clock_(), seen_, attachments, key_);
  refresh();
}

Receipt Shop::once(const std::string& key, const std::function<void()>& change) {
  if (key.size() != 32 || key.find_first_not_of("0123456789abcdef") != std::string::npos)
    refuse(fmt::format("\"{}\" is not a key", key), "32 lower-case hex digits, another for every order");
  struct Key {
    std::string& of;
    ~Key() { of.clear(); }
  } const under{key_ = key};
  bool again = false;
  try {
    change();
  } catch (const WrittenBefore&) {
    again = true;
  }
  const auto last = store_.receipt(key);
  if (!last) throw std::logic_error("an order that writes nothing");
  return {last->subject, again};
}

const Bike& Shop::bike(const std::string& id) const {
  const auto found = bikes_.find(called(id));
  if (found != bikes_.end()) return found->second;
  std::vector<std::string> ids;
  for (const auto& [known, b] : bikes_) ids.push_back(known);
  const std::string near = nearest(id, ids);
  throw Unknown({"", 0, "", fmt::format("no bike is called \"{}\"", id),
                 near.empty() ? "crankwise bikes lists them" : "perhaps \"" + near + "\""});
}

const Job& Shop::job(int number) const {
  const auto found = jobs_.find(number);
  if (found == jobs_.end())
    throw Unknown({"", 0, "", fmt::format("there is no job {}", number), "crankwise jobs lists them"});
  return found->second;
}

Job& Shop::open_job(int number) {
  job(number);
  Job& j = jobs_.at(number);
  if (j.end != JobEnd::open)
    refuse(fmt::format("job {} is closed", number), "an open job; taking its closing back opens it again");
  return j;
}

std::optional<int> Shop::current_job() const {
  std::optional<int> current;
  for (const auto& [number, job] : jobs_) {
    if (job.end != JobEnd::open) continue;
    if (!current || touched_.at(number) > touched_.at(*current)) current = number;
  }
  return current;
}

JobState Shop::state(int number) const { return {job(number), bike_on_job(number), settings_, learned(number)}; }

Diagnosis diagnose(const Knowledge& k, const JobState& s) {
  return diagnose(k, s.bike, s.job.plain_entries(), s.settings, s.learned);
}

std::int64_t Shop::last_for_bike(const std::string& id) const {
  std::int64_t last = 0;
  for (const auto& called : ids_of(id)) last = std::max(last, last_of("bike/" + called));
  return last;
}

std::int64_t Shop::last_for(int number) const {
  std::int64_t last = std::max({last_of(fmt::format("job/{}", number)), last_of("shop"), relearnt_});
  return std::max(last, last_for_bike(job(number).bike));
}

void Shop::set(const ShopSettings& s) {
  return newest([&] {
    if (!(s.money_per_hour > 0 && s.money_per_hour < 1e6))
      throw BadInput({"", 0, "money_per_hour", "the worth of an hour must be above 0", "what your hour costs, as 60"});
    if (!is_simulated_worth(s.simulated_worth))
      throw BadInput({"", 0, "simulated", "is not a number of answers", "0 to 1000; 0: simulations do not count"});
    if (!is_utf8(s.currency)) throw BadInput({"", 0, "currency", "is not UTF-8 text", "usual letters"});
    std::vector<Problem> problems;
    for (const auto& t : s.lacks) {
      if (knowledge_->tools.find(t) != nullptr) continue;
      const std::string near = nearest(t, knowledge_->tools.ids());
      problems.push_back({"", 0, "tools", "no tool is called \"" + t + "\"",
                          near.empty() ? "crankwise list tools" : "perhaps \"" + near + "\""});
    }
    for (const auto& [condition, told] : s.usual)
      check_lasting(AskedCondition::Of::shop, condition, told, condition, problems);
    if (!problems.empty()) throw BadInput(std::move(problems));
    append({{"shop", "set", settings_data(s).dump()}});
  });
}

std::string Shop::add_bike(Bike b) {
  return newest([&] {
    std::vector<Problem> problems;
    check_bike(*knowledge_, b, "bike", problems);
    constexpr size_t kLongest = 100;
    if (b.name.size() > kLongest)
      problems.push_back({"", 0, "name", fmt::format("is longer than {} letters", kLongest), "a name to call it by"});
    if (!b.name.empty() && b.name.find_first_not_of(" \t\n") == std::string::npos)
      problems.push_back({"", 0, "name", "is blank", "a name to call it by"});
    if (!problems.empty()) throw BadInput(std::move(problems));
    const std::string base = slug(b.name);
    std::string id = base;
    for (int n = 2; record().count("bike/" + id) > 0; ++n) id = fmt::format("{}-{}", base, n);
    append({{"bike/" + id, "added", bike_data(b).dump()}});
    return id;
  });
}

void Shop::set_figure(const std::string& id, const std::string& figure, const Figure& f) {
  return newest([&] {
    Bike b = bike(id);
    b.figures = {{figure, f}}, b.baselines.clear();
    std::vector<Problem> problems;
    check_bike(*knowledge_, b, "", problems);
    if (!problems.empty()) throw BadInput(std::move(problems));
    Figure kept = f;
    if (f.baseline) kept.at = with_usual(*knowledge_->readings.find(figure), f.at, settings_.usual);
    Json data = figure_data(kept);
    data["figure"] = figure;
    append({{"bike/" + b.id, "figure", data.dump()}});
  });
}

void Shop::set_fact(const std::string& id, const std::string& fact, const std::string& told) {
  return newest([&] {
    const Bike& b = bike(id);
    std::vector<Problem> problems;
    check_lasting(AskedCondition::Of::bike, fact, told, fact, problems);
    if (!problems.empty()) throw BadInput(std::move(problems));
    append({{"bike/" + b.id, "fact", Json{{"fact", fact}, {"told", told}}.dump()}});
  });
}

void Shop::set_table(const std::string& id, const std::string& reading, const std::map<double, double>& rows) {
  return newest([&] {
    const Bike& b = bike(id);
    std::vector<Problem> problems;
    check_table(*knowledge_, reading, rows, reading, problems);
    if (!problems.empty()) throw BadInput(std::move(problems));
    append({{"bike/" + b.id, "table", Json{{"reading", reading}, {"rows", table_data(rows)}}.dump()}});
  });
}

void Shop::set_access(const std::string& id, const std::string& part, double off_min, double on_min) {
  return newest([&] {
    Bike b = bike(id);
    b.access_min = {{part, {off_min, on_min}}};
    std::vector<Problem> problems;
    check_bike(*knowledge_, b, "", problems);
    if (!problems.empty()) throw BadInput(std::move(problems));
    append({{"bike/" + b.id, "access", Json{{"part", part}, {"off", off_min}, {"on", on_min}}.dump()}});
  });
}

int Shop::take_in(const std::string& bike_id, const std::string& complaint) {
  return newest([&] {
    const std::string id = bike(bike_id).id;
    if (!is_utf8(complaint)) refuse("the complaint is not UTF-8 text", "what the rider says, in usual letters");
    if (complaint.find_first_not_of(" \t\n") == std::string::npos)
      refuse("the complaint is empty", "what the rider says, in his words");
    const int number = jobs_.empty() ? 1 : jobs_.rbegin()->first + 1;
    append({{fmt::format("job/{}", number), "opened", Json{{"bike", id}, {"complaint", complaint}}.dump()}});
    return number;
  });
}

void Shop::write(int number, const std::vector<Entry>& entries) { write_with(number, entries, {}); }

Pictured Shop::add_photo(int number, const std::string& bytes, const std::string& caption, const std::string& name,
                         int of_act) {
  const PictureFacts facts = picture_facts(bytes, name);
  const Pictured photo{sha256_hex(bytes), facts.media_type, facts.width, facts.height, caption, of_act};
  write_with(number, {photo}, {{photo.sha256, photo.media_type, bytes}});
  return photo;
}

Attachment Shop::attached(const std::string& sha256) const {
  auto found = store_.attachment(sha256);
  if (!found)
    refuse(fmt::format("the picture {} is not in the shop file", sha256.substr(0, 12)), "the whole shop file");
  return std::move(*found);
}

std::vector<Json> Shop::read_data(const std::vector<const Placed*>& placed) const {
  std::vector<std::int64_t> seqs;
  for (const Placed* p : placed) seqs.push_back(p->event.seq);
  std::vector<Json> out;
  for (const std::string& data : store_.data_of(seqs)) out.push_back(Json::parse(data));
  return out;
}

std::string Shop::picture(const Pictured& photo) const { return attached(photo.sha256).bytes; }

void Shop::write_with(int number, const std::vector<Entry>& entries, const std::vector<Attachment>& attachments) {
  return newest([&] {
    const Job& j = open_job(number);
    std::vector<Problem> problems;
    for (const Entry& e : entries) {
      check_entry(*knowledge_, bike(j.bike), e, "", problems);
      const auto* photo = std::get_if<Pictured>(&e);
      const auto* noted = std::get_if<Noted>(&e);
      if (noted != nullptr && noted->text.find_first_not_of(" \t\n") == std::string::npos)
        problems.push_back({"", 0, "text", "the note is empty", "anything worth keeping"});
      const auto of_it = [&](const JobEntry& x) { return photo != nullptr && x.act == photo->of_act; };
      if (photo != nullptr && photo->of_act > 0 && std::none_of(j.entries.begin(), j.entries.end(), of_it))
        problems.push_back({"", 0, "of", fmt::format("there is no entry {} on job {}", photo->of_act, number),
                            "one that still stands"});
      if (photo != nullptr && attachments.empty() && !store_.attachment(photo->sha256))
        problems.push_back({"", 0, "photo", "its picture is not in the shop", "the picture itself, added with it"});
    }
    if (!problems.empty()) throw BadInput(std::move(problems));
    const std::string subject = fmt::format("job/{}", number);
    std::vector<NewEvent> events = {{subject, "believed", believed_before(number).dump()}};
    for (Entry e : entries) {
      if (auto* took = std::get_if<Took>(&e))
        took->at = with_usual(*knowledge_->readings.find(took->reading), took->at, settings_.usual);
      Json data = entry_data(e);
      data["act"] = j.acts + 1;
      if (bike(j.bike).hours_known) data["hours"] = bike(j.bike).hours;
      events.push_back({subject, entry_kind(e), data.dump()});
    }
    append(events, attachments);
  });
}

LastAct Shop::last_act(int number) const {
  const Job& j = job(number);
  if (j.lesson_act > 0 && j.end != JobEnd::open) return {j.lesson_act, "what was said about its lesson"};
  if (j.end != JobEnd::open) return {j.closing_act, "closing the job"};
  if (j.entries.empty()) return {};
  LastAct last{j.entries.back().act, ""};
  for (const JobEntry& e : j.entries) {
    if (e.act == last.act) last.words += (last.words.empty() ? "" : "; ") + entry_in_words(*knowledge_, e.entry);
  }
  return last;
}

std::string Shop::undo(int number, std::optional<int> act) {
  return newest([&] {
    const LastAct last = last_act(number);
    if (act && *act != last.act) {
      throw Overtaken({"", 0, "", "something else was written or taken back meanwhile",
                       last.act == 0 ? "nothing is left to take back" : "now this would be taken back: " + last.words});
    }
    if (last.act == 0) refuse(fmt::format("there is nothing to take back on job {}", number), "an entry to take back");
    append({{fmt::format("job/{}", number), "undone", Json{{"act", last.act}}.dump()}});
    return last.words;
  });
}

std::vector<std::string> likely_causes(const Diagnosis& d) {
  const std::vector<double> start = d.belief.there_at_start(), now = d.belief.still_there();
  std::vector<std::string> causes;
  size_t best = 0;
  for (size_t f = 0; f < start.size(); ++f) {
    const double cured = start[f] - now[f];
    if (cured > 0.5) causes.push_back(d.fault(static_cast<int>(f)).id);
    if (cured > start[best] - now[best]) best = f;
  }
  if (causes.empty() && start[best] - now[best] > 0.05) causes.push_back(d.fault(static_cast<int>(best)).id);
  return causes;
}

void Shop::close(int number, JobEnd end, const std::vector<std::string>& causes, const std::string& words) {
  return newest([&] {
    open_job(number);
    if (!is_utf8(words)) refuse("the words are not UTF-8 text", "usual letters");
    std::vector<Problem> problems;
    for (const auto& c : causes) {
      if (knowledge_->faults.find(c) != nullptr) continue;
      const std::string near = nearest(c, knowledge_->faults.ids());
      problems.push_back({"", 0, "causes", "no fault is called \"" + c + "\"",
                          near.empty() ? "crankwise list faults" : "perhaps \"" + near + "\""});
    }
    if (!problems.empty()) throw BadInput(std::move(problems));
    const Diagnosis d = diagnosis(number);
    if (end == JobEnd::proven && !d.advice.proven) {
      refuse(d.state.last_run_clean ? fmt::format("not proven yet: {:.0f} % doubt is left", 100 * d.advice.doubt)
                                    : "not proven yet: the last thing done is not a run without the trouble",
             d.state.last_run_clean ? "another clean run, or close it as not-proven"
                                    : "a run after the fix, or close it as not-proven or given-up");
    }
    append({{fmt::format("job/{}", number), "closed", closing(number, end, causes, words, d.advice.doubt).dump()}});
  });
}

void Shop::backup_to(const std::filesystem::path& path) const { store_.backup_to(path); }

}  // namespace crankwise
