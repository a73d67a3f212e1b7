#include "app/take_over.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>

#include "app/shop_file_check.h"

namespace crankwise {
namespace {

class Plan {
 public:
  Plan(const Knowledge& k, const ShopReplay& here, const ReadData& read, const ShopFile& file,
       const std::string& new_id)
      : k_(k), here_(here), read_(read), file_(file), new_id_(new_id) {
    for (const auto& [subject, list] : here.record()) {
      for (const Placed& p : list) {
        known_[identity_of(p.shop.empty() ? here.shop_id() : p.shop, p.seq, p.event.at, p.event.kind)] = &p;
      }
    }
  }

  TakenOver make(const SameBikes& same) {
    settings();
    for (const FileRecord& b : file_.bikes) name(b);
    for (const FileRecord& b : file_.bikes) bike(b);
    int next = here_.jobs().empty() ? 1 : here_.jobs().rbegin()->first + 1;
    for (const FileRecord& j : file_.jobs) job(j, next);
    for (const auto& [theirs, ours] : same) join(theirs, ours);
    if (!problems_.empty()) throw BadInput(std::move(problems_));
    if (news_.events.empty()) return std::move(news_);
    if (here_.shop_id().empty())
      news_.events.insert(news_.events.begin(), {"shop", "identity", Json{{"id", new_id_}}.dump()});
    news_.events.push_back(
        {"shop", "took-over",
         Json{{"shop", file_.shop}, {"written", file_.written_at}, {"entries", news_.added}}.dump()});
    try_it();
    return std::move(news_);
  }

 private:
  void note(const std::string& path, std::string wrong, std::string right) {
    problems_.push_back({file_.name, 0, path, std::move(wrong), std::move(right)});
  }

  const Placed* find(const FileEvent& e) const {
    const auto found = known_.find(identity_of(e.shop, e.seq, e.at, e.kind));
    return found == known_.end() ? nullptr : found->second;
  }

  const FileEvent& first_of(const FileRecord& r) const {
    return *std::min_element(r.events.begin(), r.events.end(), counts_before);
  }

  /// Adds it unless it is here; `local` has its names as they are here.
  void add(const FileEvent& e, const std::string& subject, const Json& local, TakenOver::Item* item) {
    if (const Placed* p = find(e)) {
      Json data = read_({p}).front();
      data.erase("from");
      if (p->event.subject != subject || data != local || p->order != e.order)
        note(e.path, "is not what this shop has as the same entry", "a file as crankwise export wrote it");
      ++news_.known;
      return;
    }
    Json data = local;
    data["from"] = {{"shop", e.shop}, {"seq", e.seq}};
    if (e.order != e.at) data["from"]["order"] = e.order;
    news_.events.push_back({subject, e.kind, data.dump(), e.at});
    ++news_.added;
    if (item != nullptr) ++item->entries;
  }

  void settings() {
    bool ours = false;
    for (const FileEvent& e : file_.settings) ours = ours || find(e) != nullptr;
    if (const auto shop = here_.record().find("shop"); shop != here_.record().end()) {
      for (const Placed& p : shop->second) ours = ours || p.event.kind == "set";
    }
    if (ours && !file_.settings.empty()) {
      const FileEvent& last = *std::max_element(file_.settings.begin(), file_.settings.end(), counts_before);
      const ShopSettings& s = here_.settings();
      if (last.data != settings_data(s))
        news_.notes.emplace_back("settings: those of this shop stay (worth of an hour, currency, tools)");
      return;
    }
    for (const FileEvent& e : file_.settings) {
      add(e, "shop", e.data, nullptr);
      news_.settings = true;
    }
  }

  /// What a bike of the file is called here.
  void name(const FileRecord& b) {
    if (const Placed* p = find(first_of(b))) {
      bikes_[b.id] = p->event.subject.substr(5);
      return;
    }
    std::string id = b.id;
    const auto taken = [&] {
      if (here_.record().count("bike/" + id) > 0) return true;
      return std::any_of(bikes_.begin(), bikes_.end(), [&](const auto& other) { return other.second == id; });
    };
    for (int n = 2; taken(); ++n) id = fmt::format("{}-{}", b.id, n);
    bikes_[b.id] = id;
  }

  /// How many of the events here under this subject the file does not have.
  bool more_here(const std::string& subject, const FileRecord& r) const {
    const auto here = here_.record().find(subject);
    if (here == here_.record().end()) return false;
    const auto in_both =
        std::count_if(r.events.begin(), r.events.end(), [&](const FileEvent& e) { return find(e) != nullptr; });
    return static_cast<size_t>(in_both) < here->second.size();
  }

  void bike(const FileRecord& b) {
    const std::string& id = bikes_.at(b.id);
    TakenOver::Item item{b.id, id, first_of(b).data.at("name"), find(first_of(b)) == nullptr};
    item.carried_on_here = more_here("bike/" + id, b);
    for (const FileEvent& e : b.events) {
      Json local = e.data;
      if (e.kind == "same-as") local["bike"] = bikes_.at(e.data.at("bike"));
      add(e, "bike/" + id, local, &item);
    }
    if (item.is_new && id != b.id)
      news_.notes.push_back(fmt::format("bike {} of the file is {} here: there is another {}", b.id, id, b.id));
    if (item.entries > 0) news_.bikes.push_back(std::move(item));
  }

  void job(const FileRecord& j, int& next) {
    const FileEvent& opened = first_of(j);
    const Placed* known = find(opened);
    int number = 0, acts = 0;
    if (known != nullptr) {
      number = std::stoi(known->event.subject.substr(4));
      acts = here_.jobs().at(number).acts;
    } else {
      number = next++;
    }
    const std::string subject = fmt::format("job/{}", number);
    TakenOver::Item item{j.id, std::to_string(number), opened.data.at("complaint"), known == nullptr};
    item.carried_on_here = more_here(subject, j);
    std::map<int, int> act_here;  // of the file -> here
    for (const FileEvent& e : j.events) {
      if (e.kind == "opened" || e.kind == "undone") continue;
      if (const Placed* p = find(e)) act_here[e.data.at("act")] = p->data().at("act");
    }
    for (const FileEvent& e : j.events) {
      if (e.kind == "opened" || e.kind == "undone") continue;
      if (act_here.try_emplace(e.data.at("act"), acts + 1).second) ++acts;
    }
    for (const FileEvent& e : j.events) {
      Json local = e.data;
      if (e.kind == "opened")
        local["bike"] = bikes_.at(e.data.at("bike"));
      else
        local["act"] = act_here.at(e.data.at("act"));
      add(e, subject, local, &item);
    }
    if (item.entries == 0) return;
    if (item.carried_on_here)
      news_.notes.push_back(
          fmt::format("job {} was carried on in both shops: the entries are in the order of their time", number));
    news_.jobs.push_back(std::move(item));
  }

  /// The equipment that differs between two bikes said to be one, in groups of which a bike has exactly one.
  std::string differs(const Json& theirs, const Bike& ours) const {
    const Traits one(theirs.at("traits").get<std::vector<std::string>>()), two(ours.traits);
    std::string out;
    for (const Trait& t : k_.traits) {
      if (!t.group.empty() && one.has(t.id) && !two.has(t.id)) out += (out.empty() ? "" : ", ") + t.name;
    }
    return out;
  }

  void join(const std::string& theirs, const std::string& ours) {
    std::vector<std::string> in_file, in_shop;
    for (const FileRecord& b : file_.bikes) in_file.push_back(b.id);
    for (const auto& [id, b] : here_.bikes()) in_shop.push_back(id);
    const auto there = bikes_.find(theirs);
    const auto here = here_.bikes().find(here_.called(ours));
    const auto unknown = [&](const std::string& id, const std::vector<std::string>& ids, const char* where) {
      const std::string near = nearest(id, ids);
      note("--same", fmt::format("no bike {} is called \"{}\"", where, id),
           near.empty() ? fmt::format("one of {}", fmt::join(ids, ", ")) : "perhaps \"" + near + "\"");
    };
    if (there == bikes_.end()) unknown(theirs, in_file, "of the file");
    if (here == here_.bikes().end()) unknown(ours, in_shop, "here");
    if (there == bikes_.end() || here == here_.bikes().end()) return;
    if (here_.called(there->second) == here->first) return;  // they are one already
    const auto b = std::find_if(file_.bikes.begin(), file_.bikes.end(), [&](const auto& r) { return r.id == theirs; });
    if (const std::string other = differs(first_of(*b).data, here->second); !other.empty()) {
      note("--same", fmt::format("{} cannot be {}: it has another equipment ({})", theirs, ours, other),
           "a bike of the same cycle, fuelling and ignition");
      return;
    }
    news_.events.push_back({"bike/" + there->second, "same-as", Json{{"bike", here->first}}.dump()});
    joined_.emplace_back(theirs, there->second);
  }

  /// On a copy: what would not be readable afterwards is never written; and says how it comes out.
  void try_it() {
    ShopReplay after = here_;
    std::vector<Event> events;
    for (const NewEvent& e : news_.events) {
      events.push_back({e, here_.seen() + static_cast<std::int64_t>(events.size()) + 1});
      if (e.at.empty()) events.back().at = file_.written_at;
    }
    try {
      after.add(events);
    } catch (const BadInput& e) {
      throw BadInput({file_.name, 0, "", fmt::format("cannot be joined with this shop: {}", e.problems().front().wrong),
                      "a file as crankwise export wrote it"});
    }
    for (TakenOver::Item& b : news_.bikes) {
      b.ours = after.called(b.ours);
      const auto before = here_.bikes().find(b.ours);
      const Bike& now = after.bikes().at(b.ours);
      if (before == here_.bikes().end() || !before->second.hours_known) continue;
      if (now.hours == before->second.hours) continue;
      news_.notes.push_back(fmt::format("bike {}: {:g} h now, {:g} h before", b.ours, now.hours, before->second.hours));
    }
    for (const auto& [theirs, id] : joined_)
      news_.notes.push_back(
          fmt::format("bike {} of the file is {} from now on; what was noted last counts", theirs, after.called(id)));
  }

  const Knowledge& k_;
  const ShopReplay& here_;
  const ReadData& read_;
  const ShopFile& file_;
  const std::string& new_id_;
  std::map<std::string, const Placed*> known_;
  std::map<std::string, std::string> bikes_;                 // of the file -> id here
  std::vector<std::pair<std::string, std::string>> joined_;  // of the file, id here
  std::vector<Problem> problems_;
  TakenOver news_;
};

}  // namespace

TakenOver plan_take_over(const Knowledge& k, const ShopReplay& here, const ReadData& read, const ShopFile& file,
                         const SameBikes& same, const std::string& new_id) {
  return Plan(k, here, read, file, new_id).make(same);
}

TakenOver Shop::take_over(const ShopFile& file, const SameBikes& same, bool only_look) {
  return newest([&] {
    const std::string id = shop_id_.empty() ? new_id_() : "";
    TakenOver news = plan_take_over(
        *knowledge_, *this, [this](const auto& list) { return read_data(list); }, file, same, id);
    if (!only_look && !news.events.empty()) append(news.events, file.photos);
    return news;
  });
}

}  // namespace crankwise
