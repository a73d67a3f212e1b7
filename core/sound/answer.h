// What a take tells, and why it does not tell more.
//
//   const Answer<Idle> idle = ...;
//   if (idle) use(idle->rpm.value, idle->rpm.sigma);
//   else say(in_words(idle.why_not()));
#pragma once

#include <cassert>
#include <optional>
#include <utility>

namespace crankwise::sound {

/// A number and its standard uncertainty.
struct Value {
  double value = 0;
  double sigma = 0;
};

enum class Why {
  no_engine,
  octave_open,
  too_short,
  no_idle,
  idle_unknown,
  no_blip,
  next_blip_first,
  ended_first,
  never_fell,
  not_chopped,
  not_passing,
  one_speed_only,
  not_held_at_top,
  never_rose_to_it,
  too_few_firings,
  firings_hidden,
  alternates,
  fires_unevenly,
  between_the_shapes,
  another_shape,
  passing,
  two_engines,
  no_pull,
  rises_too_fast,
  never_flattens,
  not_in_both,
};

/// One sentence for the mechanic.
const char* in_words(Why);

template <typename T>
class Answer {
 public:
  Answer(T is) : is_(std::move(is)) {}
  Answer(Why why_not) : why_not_(why_not) {}

  explicit operator bool() const { return is_.has_value(); }
  const T& operator*() const {
    assert(is_);
    return *is_;
  }
  const T* operator->() const { return &**this; }
  /// Only without an answer.
  Why why_not() const {
    assert(!is_);
    return why_not_;
  }

 private:
  std::optional<T> is_;
  Why why_not_{};
};

}  // namespace crankwise::sound
