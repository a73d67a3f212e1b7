#include "core/belief/course.h"

#include <algorithm>
#include <optional>

namespace crankwise::course {

Observation RunSeen::if_none_left() const {
  if (!untouched.empty()) return {0, 1, {quiet, {touched, nothing - touched, untouched}}};
  return {0, 1, {{nothing * quiet.constant, nothing * quiet.coef, quiet.factor}}};
}

Likelihood RunSeen::if_gone() const { return {touched * quiet.constant, touched * quiet.coef, quiet.factor}; }

namespace {

void see(SetTable& table, const Observation& o) {
  if (!(table.observe(o) > 0)) table.clear();
}

/// How probable everything later is, given the set now. Two tables where the next run asks what was put right since the
/// last one: `untouched` if nothing was so far, `touched` if something was; that leaves sets of up to two.
struct Backwards {
  SetTable untouched;
  std::optional<SetTable> touched;

  template <class Do>
  void both(const Do& change) {
    change(untouched);
    if (touched) change(*touched);
  }

  void back(const Observation& o) {
    both([&](SetTable& t) { see(t, o); });
  }
  void back(const RunSeen& run) {
    touched.reset();
    if (run.touched != run.nothing) {
      touched = untouched.up_to_two();
      see(*touched, {0, 1, {run.if_gone()}});
    }
    see(untouched, run.if_none_left());
  }
  void back(const Cured& c) {
    untouched.raise(c.chance, touched ? *touched : untouched);
    if (touched) touched->raise(c.chance, *touched);
  }
  void back(const Moved& m) {
    both([&](SetTable& t) { t.draw(m.from, m.to, m.share); });
  }
  void back(const Resized& r) {
    both([&](SetTable& t) { t.resize(r.before); });
  }
};

double product(const std::vector<float>& factor, const int (&members)[3]) {
  double p = 1;
  for (int m : members) p *= m < 0 ? 1 : static_cast<double>(factor[static_cast<size_t>(m)]);
  return p;
}

double chance(const Observation& o, const int (&members)[3]) {
  double p = o.weight;
  for (const Likelihood& l : o.parts) p *= l.constant + l.coef * product(l.factor, members);
  return std::max(o.offset + p, 0.0);
}

/// All that may have become of one set.
struct Ways {
  struct Way {
    int left[3];
    double untouched, touched;  // weight with nothing, with something gone from the set since the last run
  };
  std::vector<Way> ways;

  void on(const Observation& o) {
    for (Way& w : ways) {
      const double p = chance(o, w.left);
      w.untouched *= p, w.touched *= p;
    }
  }
  void on(const RunSeen& run) {
    const Observation none_left = run.if_none_left();
    for (Way& w : ways) {
      const double quiet = run.quiet.constant + run.quiet.coef * product(run.quiet.factor, w.left);
      w.untouched = w.untouched * chance(none_left, w.left) + w.touched * run.touched * quiet;
      w.touched = 0;
    }
  }
  void on(const Cured& c) {
    for (int k = 0; k < 3; ++k) {
      for (size_t i = 0, end = ways.size(); i < end; ++i) {
        const int m = ways[i].left[k];
        const double p = m < 0 ? 0 : c.chance[static_cast<size_t>(m)];
        if (p <= 0) continue;
        Way gone = ways[i];
        gone.left[k] = -1;
        gone.touched = p * (gone.touched + gone.untouched), gone.untouched = 0;
        ways[i].untouched *= 1 - p, ways[i].touched *= 1 - p;
        add(gone);
      }
    }
  }
  void on(const Moved& move) {
    for (int k = 0; k < 3; ++k) {
      for (size_t i = 0, end = ways.size(); i < end; ++i) {
        if (ways[i].left[k] != move.from) continue;
        Way moved = ways[i];
        moved.left[k] = move.to;
        moved.untouched *= move.share, moved.touched *= move.share;
        ways[i].untouched *= 1 - move.share, ways[i].touched *= 1 - move.share;
        add(moved);
      }
    }
    std::erase_if(ways,
                  [](const Way& w) { return w.untouched + w.touched == 0; });  // nothing stays at a place given up
  }
  void on(const Resized&) {}

  void add(const Way& more) {
    for (Way& w : ways) {
      if (!std::equal(w.left, w.left + 3, more.left)) continue;
      w.untouched += more.untouched, w.touched += more.touched;
      return;
    }
    ways.push_back(more);
  }
};

}  // namespace

SetTable start_after(const SetTable& before, std::span<const Event> course) {
  const auto seen = [](const Event& e) {
    return std::holds_alternative<Observation>(e) || std::holds_alternative<RunSeen>(e);
  };
  if (std::none_of(course.begin(), course.end(), seen)) return before;
  const std::vector<double> alike(static_cast<size_t>(before.faults()), 1.0);
  Backwards later{SetTable(alike, {}), {}};
  for (size_t e = course.size(); e-- > 0;) {
    std::visit([&](const auto& event) { later.back(event); }, course[e]);
  }
  later.untouched.times(before);
  return later.untouched;
}

std::vector<End> ends_of(const int (&start)[3], std::span<const Event> course) {
  Ways all{{{{start[0], start[1], start[2]}, 1, 0}}};
  for (const Event& e : course) std::visit([&](const auto& event) { all.on(event); }, e);
  std::vector<End> ends;
  for (const Ways::Way& w : all.ways) {
    if (w.untouched + w.touched > 0) ends.push_back({{w.left[0], w.left[1], w.left[2]}, w.untouched + w.touched});
  }
  return ends;
}

}  // namespace crankwise::course
