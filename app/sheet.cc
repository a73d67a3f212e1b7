#include "app/sheet.h"

#include "app/explain.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "app/gloss.h"

namespace crankwise {
namespace {

bool by_rider(const Finding& f) { return f.kind == FindingKind::complaint || f.kind == FindingKind::when; }

/// Without powers of ten.
std::string plain(double value, int digits) {
  return std::abs(value) < std::pow(10.0, digits) ? fmt::format("{:.{}g}", value, digits)
                                                  : fmt::format("{:.0f}", value);
}

std::string with_unit(const std::string& number, const std::string& unit) {
  return unit == "number" ? number : number + " " + unit;
}

/// What is right for a reading, and how this one compares.
void judge_in_words(SheetReading& out, const Appraised& v, const Reading& r) {
  out.value = v.open ? "no connection (open circuit)" : with_unit(plain(v.value, 4), r.unit);
  if (!v.held_against) {
    out.verdict = v.open ? "not in order" : !v.not_compared.empty() ? v.not_compared : "no figure to compare it with";
    return;
  }
  const ReadingYardstick& y = *v.held_against;
  const auto [from, low, high] = std::tuple(y.from, y.low, y.high);
  const bool own = from == FigureFrom::baseline, figure = from != FigureFrom::kind;
  const bool up_to = low == high / 20;  // a range from nought (edge/yardstick.cc)
  if (!v.reads_as.empty()) out.value += fmt::format(" ({} {})", with_unit(plain(v.corrected, 3), r.unit), v.reads_as);
  out.right = (own                            ? "this bike when it was right: "
               : from == FigureFrom::handbook ? "its handbook: "
               : from == FigureFrom::worked   ? y.words + ": "
                                              : "usual for its kind: ") +
              with_unit(up_to ? "up to " + plain(high, 3) : plain(low, 3) + " to " + plain(high, 3), r.unit);
  if (v.open)
    out.verdict = "not in order";
  else if (v.corrected < low && !up_to)
    out.verdict = figure ? "too low" : "lower than usual";
  else if (v.corrected > high)
    out.verdict = figure ? "too high" : "higher than usual";
  else
    out.verdict = "in order";
}

std::string outcome_words(RunResult r) {
  return r == RunResult::gone ? "trouble gone" : r == RunResult::better ? "better, but not right" : "no change";
}

class Builder {
 public:
  Builder(const Shop& shop, int number)
      : shop_(shop), k_(shop.knowledge()), job_(shop.job(number)), d_(shop.diagnosis(number)), gloss_(k_) {}

  JobSheet sheet() {
    head();
    for (entry_ = 0; entry_ < job_.entries.size(); ++entry_) {
      std::visit([&](const auto& e) { on(e); }, job_.entries[entry_].entry);
      cost();
    }
    if (job_.end != JobEnd::open) access_ += d_.bike().plan.access.move(d_.state.off, 0);
    causes();
    access_rows();
    const Bike& b = shop_.bike(job_.bike);
    s_.due_as_of = shop_.now().substr(0, 10) + (b.hours_known ? fmt::format(", engine at {:g} h", b.hours) : "");
    s_.due = due_after(shop_, job_);
    explain();
    return std::move(s_);
  }

 private:
  void head() {
    const Bike& b = shop_.bike(job_.bike);
    const BikeClass* c = k_.classes.find(b.bike_class);
    s_.job = job_.number;
    s_.bike = b.name;
    s_.kind = c == nullptr ? "" : c->name;
    if (b.displacement_cc > 0) s_.kind += fmt::format("{}{:g} cm3", s_.kind.empty() ? "" : ", ", b.displacement_cc);
    for (const JobEntry& e : job_.entries) {
      if (e.hours >= 0) s_.hours = e.hours;
    }
    s_.taken_in = job_.opened_at.substr(0, 10);
    s_.closed = job_.closed_at.substr(0, 10);
    s_.end = job_.end;
    s_.complaint = job_.complaint;
    s_.words = job_.words;
    s_.doubt = job_.doubt >= 0 ? job_.doubt : d_.advice.doubt;
    s_.currency = shop_.settings().currency;
  }

  const Step* step_of(const std::string& id) const { return k_.steps.find(id); }

  void rider(const std::string& name, bool so) { (so ? s_.so : s_.not_so).push_back(name); }

  void on(const SaidSo& e) {
    const Finding* f = k_.findings.find(e.finding);
    if (f == nullptr) return;
    if (by_rider(*f)) {
      if (e.answer != Answer::unsure) rider(f->name, e.answer == Answer::yes);
      return;
    }
    const std::string saw = fmt::format("{}: {}", f->name, e.answer == Answer::unsure ? "not sure" : text(e.answer));
    const auto asked = [&](const std::string& id) {
      const Step* s = step_of(id);
      return s != nullptr && std::find(s->answers.begin(), s->answers.end(), e.finding) != s->answers.end();
    };
    // What came with a repair in one entry belongs to it.
    if (!s_.repaired.empty() && repair_act_ == job_.entries[entry_].act) {
      s_.repaired.back().saw.push_back(saw);
      return;
    }
    const auto check =
        std::find_if(s_.checked.rbegin(), s_.checked.rend(), [&](const SheetCheck& c) { return asked(c.step); });
    if (check != s_.checked.rend())
      check->saw.push_back(saw);
    else
      loose("Seen").saw.push_back(saw);
  }

  /// The check for what belongs to no step; one line for what follows one another.
  SheetCheck& loose(const std::string& what) {
    if (s_.checked.empty() || s_.checked.back().what != what) s_.checked.push_back({"", what, {}, {}});
    return s_.checked.back();
  }

  void on(const Took& e) {
    const Reading* r = k_.readings.find(e.reading);
    if (r == nullptr) return;
    SheetReading reading{r->name, "", "", ""};
    const auto verdict = std::find_if(d_.verdicts.rbegin(), d_.verdicts.rend(),
                                      [&](const ReadingVerdict& v) { return v.entry == entry_; });
    if (verdict == d_.verdicts.rend()) return;
    judge_in_words(reading, verdict->appraised, *r);
    const auto check = std::find_if(s_.checked.rbegin(), s_.checked.rend(), [&](const SheetCheck& c) {
      const Step* s = step_of(c.step);
      return s != nullptr && std::find(s->reads.begin(), s->reads.end(), r->id) != s->reads.end();
    });
    if (check != s_.checked.rend())
      check->readings.push_back(std::move(reading));
    else
      loose("Measured").readings.push_back(std::move(reading));
  }

  void on(const Did& e) {
    const Step* s = step_of(e.step);
    if (s == nullptr) return;
    caution(*s);
    if (s->cures.empty()) {
      s_.checked.push_back({s->id, s->name, {}, {}});
      return;
    }
    s_.repaired.push_back({s->id, s->name, {}, "", false});
    repair_act_ = job_.entries[entry_].act;
    s_.clean_runs = 0;
  }

  void on(const WentBack& e) {
    const auto repair = std::find_if(s_.repaired.rbegin(), s_.repaired.rend(),
                                     [&](const SheetRepair& r) { return r.step == e.step && !r.went_back; });
    if (repair == s_.repaired.rend()) return;
    repair->went_back = true;
    repair->outcome += (repair->outcome.empty() ? "" : "; ") + std::string("the old part went back in");
    s_.clean_runs = 0;
  }

  void on(const RanIt& e) {
    if (const Step* s = run_step(e)) caution(*s);
    for (SheetRepair& r : s_.repaired) {
      if (r.outcome.empty()) r.outcome = outcome_words(e.result);
    }
    s_.clean_runs = e.result == RunResult::gone ? s_.clean_runs + 1 : 0;
  }

  void on(const WasSo& e) {
    if (const Context* c = k_.contexts.find(e.context)) rider("before: " + c->name, e.so);
  }
  void on(const Pictured& e) {
    SheetPhoto photo{e, job_.entries[entry_].at};
    for (const JobEntry& x : job_.entries) {
      if (e.of_act > 0 && x.act == e.of_act) photo.of += (photo.of.empty() ? "" : "; ") + entry_in_words(k_, x.entry);
    }
    s_.photos.push_back(std::move(photo));
  }
  void on(const Skipped&) {}
  void on(const NotMeant&) {}
  void on(const PartsNow&) {}
  void on(const Noted&) {}

  const Step* run_step(const RanIt& e) const {
    if (!e.step.empty()) return step_of(e.step);
    const int run = d_.bike().plan.run_step;
    return run < 0 ? nullptr : d_.bike().steps[static_cast<size_t>(run)];
  }

  void caution(const Step& s) {
    for (const auto& id : cautions_of(k_, s)) {
      const Caution* c = k_.cautions.find(id);
      const bool there = std::any_of(s_.cautions.begin(), s_.cautions.end(),
                                     [&](const SheetCaution& x) { return c != nullptr && x.title == c->name; });
      if (c != nullptr && !there) s_.cautions.push_back({c->name, c->text});
    }
  }

  /// Time and money of the entry: as told, or as usual. Told minutes include getting there.
  void cost() {
    const Entry& entry = job_.entries[entry_].entry;
    const Spent spent = spent_on(entry);
    const UsualEffort& usual = d_.usual[entry_];
    std::string what, part;
    bool stays = true;
    if (const auto* did = std::get_if<Did>(&entry)) {
      const Step* s = step_of(did->step);
      what = s == nullptr ? did->step : s->name;
      part = s == nullptr || s->needs.empty() ? what : fmt::format("{}", fmt::join(s->needs, ", "));
      stays = s == nullptr || s->kind != StepKind::swap || !goes_back(did->step);
    } else if (std::holds_alternative<RanIt>(entry)) {
      what = part = "Test run";
    } else if (const auto* took = std::get_if<Took>(&entry)) {
      const Reading* r = k_.readings.find(took->reading);
      what = part = "Measured: " + (r == nullptr ? took->reading : r->name);
    }
    if (spent.minutes)
      add(s_.time, what, *spent.minutes, false, &SheetTime::minutes);
    else if (usual.own.minutes > 0)
      add(s_.time, what, usual.own.minutes, true, &SheetTime::minutes);
    if (!spent.minutes) access_.minutes += usual.access.minutes;
    if (spent.money)
      add(s_.parts, part, *spent.money, false, &SheetPart::money);
    else if (usual.own.money > 0 && stays)
      add(s_.parts, part, usual.own.money, true, &SheetPart::money);
    if (!spent.money) access_.money += usual.access.money;
  }

  bool goes_back(const std::string& step) const {
    return std::any_of(job_.entries.begin() + static_cast<std::ptrdiff_t>(entry_), job_.entries.end(),
                       [&](const JobEntry& e) {
                         const auto* back = std::get_if<WentBack>(&e.entry);
                         return back != nullptr && back->step == step;
                       });
  }

  /// The same thing done again adds to its line.
  template <class Row>
  static void add(std::vector<Row>& rows, const std::string& what, double amount, bool usual, double Row::*field) {
    for (Row& r : rows) {
      if (r.what != what || r.usual != usual) continue;
      r.*field += amount;
      ++r.times;
      return;
    }
    Row row;
    row.what = what, row.usual = usual, row.*field = amount;
    rows.push_back(std::move(row));
  }

  void access_rows() {
    if (access_.minutes > 0)
      s_.time.push_back({"Taking parts off to get there, and putting them back", access_.minutes, true, 1});
    if (access_.money > 0) s_.parts.push_back({"Gaskets and fluids for what was off", access_.money, true, 1});
  }

  void causes() {
    if (job_.end == JobEnd::open) {
      constexpr double kWorthSaying = 0.05;
      for (const Suspect& x : d_.suspects(3)) {
        if (x.probability >= kWorthSaying)
          s_.found.push_back({d_.fault(x.fault).id, d_.fault(x.fault).name, -1, -1, x.probability});
      }
      return;
    }
    for (const auto& id : job_.causes) {
      const Fault* f = k_.faults.find(id);
      SheetCause cause{id, f == nullptr ? id : f->name};
      if (const int fault = d_.bike().fault(id); fault >= 0) chances(cause, fault);
      s_.found.push_back(std::move(cause));
    }
  }

  void chances(SheetCause& cause, int fault) {
    size_t told = 0, checked = 0;
    const auto touches = [&](const Happening& h) {
      const auto* repair = std::get_if<Repaired>(&h);
      return repair != nullptr &&
             std::any_of(repair->cures.begin(), repair->cures.end(), [&](const Cure& c) { return c.fault == fault; });
    };
    while (checked < d_.history.size() && !touches(d_.history[checked])) ++checked;
    while (told < checked) {
      const auto* answer = std::get_if<Answered>(&d_.history[told]);
      if (answer == nullptr || !by_rider(d_.finding(answer->finding))) break;
      ++told;
    }
    const auto chance = [&](size_t count) {
      const auto part = std::span<const Happening>(d_.history).first(count);
      return believe(d_.bike().model, part).still_there()[static_cast<size_t>(fault)];
    };
    cause.when_told = chance(told);
    cause.when_checked = chance(checked);
    cause.now = d_.belief.still_there()[static_cast<size_t>(fault)];
  }

  /// In the order in which the sheet is read.
  void explain() {
    const auto all = [&](std::vector<std::string>& texts) {
      for (auto& t : texts) t = gloss_(t);
    };
    all(s_.so);
    all(s_.not_so);
    for (SheetCheck& c : s_.checked) {
      c.what = gloss_(c.what);
      all(c.saw);
      for (SheetReading& r : c.readings) r.name = gloss_(r.name);
    }
    for (SheetCause& c : s_.found) c.name = gloss_(c.name);
    for (SheetRepair& r : s_.repaired) {
      r.what = gloss_(r.what);
      all(r.saw);
    }
    for (SheetTime& t : s_.time) t.what = gloss_(t.what);
    for (SheetPart& p : s_.parts) p.what = gloss_(p.what);
    for (SheetDue& x : s_.due) x.what = gloss_(x.what);
  }

  const Shop& shop_;
  const Knowledge& k_;
  const Job& job_;
  const Diagnosis d_;
  Gloss gloss_;
  JobSheet s_;
  size_t entry_ = 0;
  int repair_act_ = 0;  // of the last repair
  Effort access_;       // to get there and back, where nothing was told
};

}  // namespace

JobSheet job_sheet(const Shop& shop, int job) { return Builder(shop, job).sheet(); }

}  // namespace crankwise
